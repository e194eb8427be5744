"""The rule of baffles that hang from a panel: their foot keeps clear of what goes through it."""

from collections.abc import Iterable, Iterator, Sequence
from math import dist

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.layout import Layout
from lamphouse.cutting.led_rules import led_overlap
from lamphouse.cutting.mends import way_words
from lamphouse.cutting.pillar_rules import baffle_through
from lamphouse.cutting.seats import baffle_foot, hanging_baffles
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Baffle, LightBox, Seat
from lamphouse.findings import Finding, MendEdit, Severity, Told, rule, sets
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure, gap_mm, overlap_mm2

BEAD_MM = 0.5
"""Sheet offered beside the foot of a baffle for its bead of glue [PRACTICE]."""

OVER_MM2 = 1e-2
"""A foot over less of an opening only touches it."""

_DIGITS = 2
"""Places are offered in hundredths of a millimetre."""


@rule("CUT088", Severity.WARN, "A baffle hangs over an opening of its panel")
def hangs_over_opening(layout: Layout, *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for baffles glued to a panel where something goes through it.

    What it checks
        The foot of a baffle that hangs from a panel lies beside the openings of the panel and the
        holes of its strands.

    Why it matters
        Its edge shows through the opening as a dark line, its glue spoils the film there, and a
        strand finds no way to its hole.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        baffles:
                          middle:
                            from: [35 mm, 12 mm]
                            to: [35 mm, 28 mm]
                            height: 6 mm
                            seat: panel
                            sheet: styrene 0.5 mm

    Mend
        Move the baffle as the message says: the least move to the side, or up or down, that leaves
        room for its glue beside everything, LEDs under the panel too.

    Source
        Geometry; the half millimetre for glue is common practice, no source.
    """
    for box in boxes:
        for baffle in hanging_baffles(box):
            foot = baffle_foot(baffle)
            over = [
                spot
                for spot in layout.spots
                if overlap_mm2(foot, other=spot.corners) > OVER_MM2
                or (spot.strand and gap_mm(foot, other=spot.corners) <= ROUNDING_MM)
            ]
            if not over:
                continue
            moved = _moved_off(baffle, box=box, holes=[spot.corners for spot in layout.spots])
            more = f" and {len(over) - 1} more" if len(over) > 1 else ""
            yield Told(
                where=baffle.where,
                message=f"baffle '{baffle.name}' of box '{box.name}' hangs over "
                f"{over[0].name}{more}: its edge shows there as a dark line",
                remedy=_remedy(baffle, moved=moved),
                mend=() if moved is None else _ends(moved),
            )


def _remedy(baffle: Baffle, *, moved: Baffle | None) -> str:
    if moved is None:
        return "there is no room for it beside them: let it stand on the back, or shrink them"
    across, up = (there - here for here, there in zip(baffle.start_mm, moved.start_mm, strict=True))
    return f"move it {way_words(round(across, _DIGITS), y_mm=round(up, _DIGITS))}"


def _ends(moved: Baffle) -> tuple[MendEdit, ...]:
    """Set both ends of a baffle."""
    return tuple(
        one
        for key, (x, y) in (("from", moved.start_mm), ("to", moved.end_mm))
        for one in sets(f"{key} 0", f"{x:g} mm") + sets(f"{key} 1", f"{y:g} mm")
    )


def _moved_off(baffle: Baffle, *, box: LightBox, holes: Sequence[Corners]) -> Baffle | None:
    """Move a baffle to the side or up by the least that clears every hole and LED, in its box."""
    enclosure = Enclosure(box.inside.corners)
    taken = [
        *holes,
        *(
            package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
            for led in box.leds
            if led.seat is Seat.PANEL
        ),
    ]
    half = baffle.sheet.thickness_mm / 2.0
    for moved in _beside(baffle, taken=taken):
        foot = baffle_foot(moved)
        alone = replace(box, baffles=(moved,), pillars=())
        if baffle_through(replace(box, baffles=(moved,))) or any(
            led_overlap(replace(alone, leds=(led,))) for led in box.leds
        ):
            continue
        if enclosure.margin_mm(foot) >= -(half + ROUNDING_MM) and all(
            gap_mm(foot, other=one) >= BEAD_MM - 10.0**-_DIGITS for one in taken
        ):
            return moved
    return None


def _beside(baffle: Baffle, *, taken: Sequence[Corners]) -> Iterator[Baffle]:
    """Give the baffle beside each of the outlines, on both sides, the nearest place first."""
    (ax, ay), (bx, by_y) = baffle.start_mm, baffle.end_mm
    long = dist(baffle.start_mm, baffle.end_mm)
    normal = ((ay - by_y) / long, (bx - ax) / long)
    reach = baffle.sheet.thickness_mm / 2.0 + BEAD_MM
    shifts = set()
    for corners in taken:
        off = [(x - ax) * normal[0] + (y - ay) * normal[1] for x, y in flatten(corners)]
        shifts |= {max(off) + reach, min(off) - reach}
    # To the side or up: ends on walls along the axes stay on them.
    axis = 0 if abs(normal[0]) >= abs(normal[1]) else 1
    for shift in sorted(shifts, key=lambda one: (abs(one), one)):
        by = shift / normal[axis]
        dx, dy = (by, 0.0) if axis == 0 else (0.0, by)
        yield replace(
            baffle, start_mm=_rounded(ax + dx, ay + dy), end_mm=_rounded(bx + dx, by_y + dy)
        )


def _rounded(x_mm: float, y_mm: float) -> tuple[float, float]:
    return round(x_mm, _DIGITS), round(y_mm, _DIGITS)


def look_at_hanging(layout: Layout, *, boxes: Sequence[LightBox]) -> tuple[Finding, ...]:
    """Run the rule of hanging baffles of the boxes whose inside is sound."""
    sound = [box for box in boxes if not flaw_of(box.inside.corners)]
    return hangs_over_opening(layout, boxes=sound)
