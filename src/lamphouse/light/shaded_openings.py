"""Openings on which the eye sees the shadow of a strand that runs through the box."""

from collections.abc import Iterator, Sequence

from lamphouse.design.panel import Opening
from lamphouse.design.strand import Strand
from lamphouse.light.box_scene import Drawn
from lamphouse.light.shown_openings import Shown, lit_sheet
from lamphouse.light.solved_box import SolvedBox
from lamphouse.light.strand_posts import Post, post_of, posts_in
from lamphouse.light.strand_shadow import Shadow, shadow_of
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.spacing import gap_mm


class Shaded(Record):
    """An opening with the plainest shadow that a strand throws on it."""

    shown: Shown
    opening: Opening
    strand: Strand
    shadow: Shadow
    """That of a bare, clear fibre."""
    others: int
    """Further strands whose shadow on it is seen."""


def bare(strand: Strand) -> Post:
    """Give a strand as a clear post."""
    return replace(post_of(strand), clear=True)


def hole_of(strand: Strand) -> Corners:
    """Give the outline of a strand where it comes out of the panel."""
    return circle(strand.fibre.diameter_mm, x_mm=strand.x_mm, y_mm=strand.y_mm)


def stands_in(strand: Strand, *, opening: Opening) -> bool:
    """Tell whether a strand comes out in an opening, wholly or in part."""
    return gap_mm(hole_of(strand), other=opening.outline.corners) < 0.0


def shaded_openings(
    drawn: Drawn,
    *,
    shown: Sequence[tuple[Opening, Shown]],
    strands: Sequence[Strand],
    distance_mm: float,
) -> Iterator[Shaded]:
    """Find the openings on which the eye sees the shadow even of a bare strand."""
    posts = posts_in(drawn, strands=strands)
    for opening, each in shown:
        seen = []
        for strand in posts:
            if stands_in(strand, opening=opening):
                continue
            shadow = shadow_of(each, post=bare(strand), distance_mm=distance_mm)
            if shadow is not None and shadow.excess >= 1.0:
                seen.append((shadow, strand))
        if seen:
            shadow, strand = max(seen, key=lambda pair: pair[0].excess)
            yield Shaded(
                shown=each,
                opening=opening,
                strand=strand,
                shadow=shadow,
                others=len(seen) - 1,
            )


def openings_of(solved: SolvedBox) -> list[tuple[Opening, Shown]]:
    """List the openings of a solved box that have a figure."""
    below = lit_sheet(solved.drawn)
    return [
        (
            sight.window.opening,
            Shown(
                drawn=solved.drawn,
                index=sight.index,
                cells_cd_m2=tuple(cell for row in sight.glow.cells_cd_m2 for cell in row),
                room_cd_m2=sight.glow.room_cd_m2,
                below=below,
            ),
        )
        for sight in solved.sights
        if sight.window.stack is not None
    ]
