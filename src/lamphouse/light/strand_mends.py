"""Changes after which no shadow of a strand is seen, each computed: a move, a sheet, more depth."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from math import cos, dist, pi, sin

import numpy as np

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.led_body import body_of, package_corners
from lamphouse.design.lightbox import InnerDiffuser, Led, LightBox, Seat
from lamphouse.design.panel import Opening
from lamphouse.design.strand import Strand
from lamphouse.light import sound_suite
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.clearance import room_for_sheet_mm, too_near
from lamphouse.light.glow import Glow
from lamphouse.light.glow_mends import SEARCH_STEP
from lamphouse.light.glow_words import in_mm
from lamphouse.light.shaded_openings import Shaded, bare, hole_of, stands_in
from lamphouse.light.shown_openings import Shown, lit_sheet
from lamphouse.light.solved_box import SolvedBox
from lamphouse.light.step_size import step_mm
from lamphouse.light.strand_posts import posts_in
from lamphouse.light.strand_shadow import shadow_of
from lamphouse.light.uprights import inside
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import gap_mm

PLAY_MM = 0.5
"""Sheet left between a strand's hole and an opening, an LED or the outside of a wall [PRACTICE]."""
ROUND_MM = 0.1
"""Places are rounded to this."""
DEEPER = (1.25, 1.5, 2.0)
"""Depths tried, times the depth there is."""
INNER_FILMS = ("opal film 70", "opal film 40")
"""Inner diffusers tried at half depth."""
SHIFTS_MM = (1.0, 2.0, 4.0, 8.0)
WAYS = 8
"""A strand is moved within its box by these lengths in so many directions, or out of it."""
Change = Callable[[LightBox, bool], tuple[Drawn, Glow, Shown | None] | None]
"""Gives a changed box drawn, solved on a mesh for search or for answers, and its inner diffuser;
None when it cannot be computed."""


def changes_of(solved: SolvedBox) -> Change:
    """Solve changed boxes, each once for all openings they are tried for."""
    currents = {current.led: current for current in solved.currents}
    old = solved.drawn

    @cache
    def change(box: LightBox, is_search: bool) -> tuple[Drawn, Glow, Shown | None] | None:  # noqa: FBT001
        drawn = draw_box(old.panel, box=box, currents=currents, beside=old.beside)
        if sound_suite.faults(drawn) or any(too_near(drawn)):
            return None
        step = SEARCH_STEP * step_mm(drawn.scene) if is_search else None
        return drawn, sound_suite.solve(drawn, step=step), lit_sheet(drawn, step=step)

    return change


def _is_unseen(
    shown: Shown, *, opening: Opening, strands: Iterable[Strand], distance_mm: float
) -> bool:
    """Whether no strand but those in the opening throws a shadow that is seen."""
    shadows = (
        shadow_of(shown, post=bare(strand), distance_mm=distance_mm)
        for strand in strands
        if not stands_in(strand, opening=opening)
    )
    return all(shadow is None or shadow.excess < 1.0 for shadow in shadows)


def _is_free(place: Spot, *, strand: Strand, drawn: Drawn, among: Sequence[Strand]) -> bool:
    """Whether a strand can come out at a place: on the panel, clear of all that is there."""
    x, y = place
    radius = strand.fibre.diameter_mm / 2.0
    here = circle(strand.fibre.diameter_mm, x_mm=x, y_mm=y)
    left, bottom, right, top = bounds_mm(drawn.panel.outline.corners)
    room = radius + PLAY_MM
    if not (left + room <= x <= right - room and bottom + room <= y <= top - room):
        return False
    openings = (gap_mm(here, other=one.outline.corners) for one in drawn.panel.openings)
    leds = (gap_mm(here, other=seat_of(led)) for led in drawn.box.leds)
    holes = (gap_mm(here, other=hole_of(other)) for other in among if other is not strand)
    wall = nearest_side(place, ring=drawn.scene.outline).gap_mm
    is_inside = bool(inside(np.array([place]), rings=(drawn.scene.outline,))[0])
    clear = room if is_inside else room + drawn.box.sheet.thickness_mm - ROUND_MM
    return wall >= clear and min([*openings, *leds, *holes], default=PLAY_MM) >= PLAY_MM


def _places(strand: Strand, *, drawn: Drawn) -> Iterator[tuple[float, Spot, bool]]:
    """Give moves of a strand, shortest first: length, place, and whether it leaves the box."""
    spot, radius = (strand.x_mm, strand.y_mm), strand.fibre.diameter_mm / 2.0
    side = nearest_side(spot, ring=drawn.scene.outline)
    past = radius + drawn.box.sheet.thickness_mm + PLAY_MM
    out = (side.foot[0] - past * side.normal[0], side.foot[1] - past * side.normal[1])
    moves = [(dist(spot, out), out, True)]
    for shift in SHIFTS_MM:
        for way in range(WAYS):
            angle = 2.0 * pi * way / WAYS
            place = (strand.x_mm + shift * cos(angle), strand.y_mm + shift * sin(angle))
            if inside(np.array([place]), rings=(drawn.scene.outline,))[0]:
                moves.append((shift, place, False))
    for shift, (x, y), outside in sorted(moves):
        yield shift, (round(x, 1), round(y, 1)), outside


def _moved(shaded: Shaded, *, strands: Sequence[Strand], distance_mm: float) -> str | None:
    """Find the shortest move of a strand after which its shadow is not seen."""
    strand, drawn = shaded.strand, shaded.shown.drawn
    for shift, place, outside in _places(strand, drawn=drawn):
        if not _is_free(place, strand=strand, drawn=drawn, among=strands):
            continue
        post = replace(bare(strand), x_mm=place[0], y_mm=place[1])
        shadow = None if outside else shadow_of(shaded.shown, post=post, distance_mm=distance_mm)
        if shadow is None or shadow.excess < 1.0:
            where = ", outside the box" if outside else ""
            return f"move it {in_mm(shift)} to [{in_mm(place[0])}, {in_mm(place[1])}]{where}"
    return None


def ways_to_light(
    shaded: Shaded,
    *,
    drawn: Drawn,
    strands: Sequence[Strand],
    distance_mm: float,
    change: Change,
) -> list[str]:
    """List changes after which no shadow is seen on an opening, each computed."""
    posts = posts_in(drawn, strands=strands)
    ways = []
    if not shaded.others:
        move = _moved(shaded, strands=strands, distance_mm=distance_mm)
        ways += [move] if move else []

    def is_mended(box: LightBox) -> bool:
        # What fails on the mesh of a search is not solved on that of an answer.
        for is_search in (True, False):
            changed = change(box, is_search)
            if changed is None:
                return False
            redrawn, solved, below = changed
            cells = tuple(solved.looks[shaded.shown.index].luminance_cd_m2.tolist())
            shown = replace(shaded.shown, drawn=redrawn, cells_cd_m2=cells, below=below)
            if not _is_unseen(
                shown, opening=shaded.opening, strands=posts, distance_mm=distance_mm
            ):
                return False
        return True

    if drawn.box.inner_diffuser is None:
        half = round(drawn.box.depth_mm / 2.0, 1)
        for name in INNER_FILMS:
            film = built_in().film_types[name]
            height = room_for_sheet_mm(drawn.box, thickness_mm=film.thickness_mm, half_mm=half)
            if height is None:
                break
            inner = InnerDiffuser(film=film, height_mm=height)
            if is_mended(replace(drawn.box, inner_diffuser=inner)):
                ways.append(f"lay '{name}' across the box {in_mm(height)} above its back")
                break
    for times in DEEPER:
        depth = round(times * drawn.box.depth_mm * 2.0) / 2.0
        if is_mended(replace(drawn.box, depth_mm=depth)):
            ways.append(f"deepen the box to {in_mm(depth)}")
            break
    return ways


def seat_of(led: Led) -> Corners:
    """Give an LED's package in plan; of one on a wall what it may reach."""
    if led.seat is Seat.WALL:
        return circle(2.0 * body_of(led).top_mm, x_mm=led.x_mm, y_mm=led.y_mm)
    return package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
