"""Which masks are cut for each coat of paint, and the order in which everything goes on.

Each coat is sprayed over all that is not masked. What has its paint is then masked, and stays so to
the end: the mask ends on the line where a later paint begins, and laps over masks that are there
already, so that no line between two masks stays open. Openings that stay clear are masked from
behind.

Terminology
-----------
wanted
    What of an area shows in the end: the area less all that lie over it.
mask
    Everything stuck on at one time, of one or more pieces; masks are lettered in their order.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mends import at_mm
from lamphouse.cutting.piece import Piece
from lamphouse.design.masks import CoatOrder, Masks, PaintArea
from lamphouse.design.panel import Outline
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Corners, circle_of
from lamphouse.shapes.regions import Area, all_of, area_of, nothing
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.transform import mirror, move

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Coat(Record):
    """One paint over all that is not masked."""

    number: int
    """From 1."""
    areas: tuple[str, ...]
    """The areas it is wanted in."""
    paint: str


class Mask(Record):
    """What is stuck on at one time."""

    letter: str
    covers: str
    """What stays as it is under it, in words."""
    behind: bool
    """Stuck on from behind."""
    regions: tuple[Region, ...]
    """In the panel plane, seen from the front."""
    pieces: tuple[Piece, ...]
    """As they are cut: seen from the side they are stuck on, each with its own datum."""


class Shown(Record):
    """What of an area is seen in the end."""

    area: PaintArea
    coat: int
    """Number of its coat; 0 when none of it is seen."""
    regions: tuple[Region, ...]


class MaskPlan(Record):
    """The painting of one panel."""

    sub_assembly: str
    panel: str
    masks: Masks
    edge: Corners
    steps: tuple[Mask | Coat, ...]
    """In the order in which they go on; masks come off together at the end."""
    shown: tuple[Shown, ...]
    """In the order of the areas."""

    def pieces(self) -> tuple[Piece, ...]:
        """List the pieces of film."""
        return tuple(
            piece for step in self.steps if isinstance(step, Mask) for piece in step.pieces
        )


class Wanted(Record):
    """A panel's face divided among its paints."""

    face: Area
    open: Area
    """What is cut out of it."""
    covered: tuple[Area, ...]
    """All of each area that lies on the face, in the order of the list."""
    seen: tuple[Area, ...]
    """What of each is seen in the end."""
    bare: Area
    """What no area covers."""


def divided(layout: Layout, *, masks: Masks) -> Wanted:
    """Divide a face with a sound edge among its areas: a later one lies over an earlier one."""
    face = area_of(layout.edge)
    cut = all_of(area_of(spot.corners) for spot in layout.openings if spot.is_cut)
    solid = face.without(cut)
    covered = tuple(_covered(area).within(solid) for area in masks.areas)
    seen: list[Area] = []
    over = nothing()
    for area in reversed(covered):
        seen.insert(0, area.without(over))
        over = over.joined(area)
    return Wanted(face=face, open=cut, covered=covered, seen=tuple(seen), bare=solid.without(over))


def _covered(area: PaintArea) -> Area:
    """Join the outlines of an area that are sound."""
    return all_of(
        area_of(
            outline.corners,
            holes=[one.corners for one in area.inner[number : number + 1] if _sound(one)],
        )
        for number, outline in enumerate(area.outlines)
        if _sound(outline)
    )


def _sound(outline: Outline) -> bool:
    return flaw_of(outline.corners) is None


def in_order(masks: Masks) -> tuple[int, ...]:
    """Give the numbers of the areas in the order in which they are painted."""
    numbers = range(len(masks.areas))
    if masks.order is CoatOrder.LISTED:
        return tuple(numbers)
    return tuple(sorted(numbers, key=lambda number: -(masks.areas[number].lightness or 0.0)))


def coats_of(masks: Masks, *, wanted: Wanted) -> tuple[tuple[int, ...], ...]:
    """Give the numbers of the areas of each coat; areas of one paint share the first one's coat.

    Areas of which nothing is seen get none.
    """
    coats: dict[str, list[int]] = {}
    for number in in_order(masks):
        if not wanted.seen[number].is_nothing:
            coats.setdefault(masks.areas[number].paint, []).append(number)
    return tuple(tuple(numbers) for numbers in coats.values())


def mask_plan(layout: Layout, *, masks: Masks, wanted: Wanted, sub_assembly: str) -> MaskPlan:
    """Plan the painting of a panel with a sound edge.

    Parameters
    ----------
    layout
        The panel with its openings.
    masks
        How it is painted.
    wanted
        Its face divided among its paints.
    sub_assembly
        For the names of the pieces.

    Returns
    -------
    MaskPlan
        Areas of which nothing is seen get no coat.
    """
    coats = coats_of(masks, wanted=wanted)
    maker = _Maker(layout=layout, masks=masks, sub_assembly=sub_assembly, open=wanted.open)
    steps: list[Mask | Coat] = []
    behind = maker.behind()
    if behind:
        steps.append(behind)
    held = nothing()
    if not wanted.bare.is_nothing:
        steps.append(maker.over(wanted.bare, held=held, covers="what stays bare"))
        held = wanted.bare
    for coat, numbers in enumerate(coats, start=1):
        areas = [masks.areas[number] for number in numbers]
        names = tuple(area.name for area in areas)
        steps.append(Coat(number=coat, areas=names, paint=areas[0].paint))
        if coat < len(coats):
            listed = " and ".join(f"'{name}'" for name in names)
            seen = all_of(wanted.seen[number] for number in numbers)
            steps.append(maker.over(seen, held=held, covers=f"{areas[0].paint} of {listed}"))
            held = held.joined(seen)
    coat_of = {number: coat for coat, numbers in enumerate(coats, start=1) for number in numbers}
    return MaskPlan(
        sub_assembly=sub_assembly,
        panel=layout.panel.name,
        masks=masks,
        edge=layout.edge,
        steps=tuple(steps),
        shown=tuple(
            Shown(area=area, coat=coat_of.get(number, 0), regions=wanted.seen[number].regions())
            for number, area in enumerate(masks.areas)
        ),
    )


@dataclass(slots=True, kw_only=True)
class _Maker:
    """What makes the masks of one panel, one after another."""

    layout: Layout
    masks: Masks
    sub_assembly: str
    open: Area
    made: int = 0

    def behind(self) -> Mask | None:
        """Make the mask over openings that stay clear, lapping over the rear face round them."""
        kept = [spot for spot in self.layout.openings if spot.label in self.masks.clear]
        if not kept:
            return None
        over = all_of(area_of(spot.corners).grown(self.masks.overlap_mm) for spot in kept)
        names = ", ".join(f"'{spot.label}'" for spot in kept)
        return self._mask(over, covers=f"the openings {names}", behind=True)

    def over(self, seen: Area, *, held: Area, covers: str) -> Mask:
        """Make the mask over what has its paint."""
        lap = seen.grown(self.masks.overlap_mm).within(held)
        over = seen.joined(lap)
        cut_out = over.surrounded(self.open)
        if not cut_out.is_nothing:
            over = over.joined(cut_out)
        return self._mask(over, covers=covers, behind=False)

    def _mask(self, over: Area, *, covers: str, behind: bool) -> Mask:
        letter = _letter(self.made)
        self.made += 1
        regions = over.regions()
        return Mask(
            letter=letter,
            covers=covers,
            behind=behind,
            regions=regions,
            pieces=tuple(self._pieces(letter, regions, behind=behind)),
        )

    def _pieces(self, letter: str, regions: Sequence[Region], *, behind: bool) -> Iterator[Piece]:
        for number, region in enumerate(regions, start=1):
            name = f"mask {letter}{number if len(regions) > 1 else ''}"
            left, bottom, right, _ = bounds_mm(region.outside)
            middle = (left + right) / 2.0

            def own(
                corners: Corners, middle: float = middle, left: float = left, low: float = bottom
            ) -> Outline:
                seen = mirror(corners, about_x_mm=middle) if behind else corners
                moved = move(seen, x_mm=-left, y_mm=-low)
                ring = circle_of(moved)
                return Outline(
                    corners=moved, words="", diameter_mm=ring.diameter_mm if ring else None
                )

            corner = at_mm(right if behind else left, y_mm=bottom)
            how = "stuck on from behind: " if behind else ""
            yield Piece(
                name=f"{self.sub_assembly} / {self.layout.panel.name} / {name}",
                where=self.masks.where,
                sub_assembly=self.sub_assembly,
                sheet=self.masks.film,
                outline=own(region.outside),
                cutouts=tuple(own(hole) for hole in region.holes),
                cutout_names=("",) * len(region.holes),
                face="back" if behind else "front",
                notes=(f"{how}lower left corner of the box round it at {corner} of the panel",),
            )


def _letter(number: int) -> str:
    """Give A to Z, then AA and so on."""
    first, last = divmod(number, len(LETTERS))
    return (LETTERS[first - 1] if first else "") + LETTERS[last]
