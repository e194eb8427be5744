"""Proof of a layout of sheets by exact geometry, sharing no routine with what laid it.

Every copy of every piece is there once, on its own material, within the edge, along the grain, and
no two come nearer to one another than the gap. A locked piece may lie in the edge of its sheet and
across the grain. Arcs are chords within 5e-5 mm.
"""

from collections import Counter
from collections.abc import Iterator, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import LaidSheet, SheetLayout
from lamphouse.cutting.sheet_strip import Strip, StripShape
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.plates import too_near

ROUNDING_MM = 2e-4
"""What chords and sums may take from a distance."""
ROUNDING_MM2 = 1e-3
"""What they may add to an area shared."""


class LayoutFault(Exception):
    """A layout breaks its own promise: our fault, never the maker's."""


def prove(layout: SheetLayout, *, pieces: Sequence[Piece]) -> None:
    """Prove a layout.

    Raises
    ------
    LayoutFault
        With everything that does not hold.
    """
    faults = [*_count(layout, pieces)]
    for sheet in layout.sheets:
        faults += faults_of(sheet, gap_mm=layout.gap_mm, edge_mm=layout.edge_mm)
    if faults:
        raise LayoutFault("; ".join(faults))


def faults_of(sheet: LaidSheet, *, gap_mm: float, edge_mm: float) -> tuple[str, ...]:
    """Tell in words what does not hold on one sheet."""
    return (*_within(sheet, edge_mm), *_material(sheet), *_grain(sheet), *_apart(sheet, gap_mm))


def _count(layout: SheetLayout, pieces: Sequence[Piece]) -> Iterator[str]:
    wanted: Counter[str] = Counter()
    for piece in pieces:
        wanted[piece.name] += piece.count
    laid = Counter(one.piece.name for sheet in layout.sheets for one in sheet.laid)
    laid.update(piece.name for piece in layout.unlaid)
    for name in sorted(wanted.keys() | laid.keys()):
        if wanted[name] != laid[name]:
            yield f"{name}: {wanted[name]} wanted, {laid[name]} laid"


def _within(sheet: LaidSheet, edge_mm: float) -> Iterator[str]:
    for one in sheet.laid:
        left, bottom, right, top = bounds_mm(one.placed(one.piece.outline.corners))
        least = min(left, bottom, sheet.width_mm - right, sheet.height_mm - top)
        if not least >= (0.0 if one.locked else edge_mm) - ROUNDING_MM:
            yield f"{sheet.name}: {one.name} lies {least:.4f} mm from the edge"


def _material(sheet: LaidSheet) -> Iterator[str]:
    for one in sheet.laid:
        if one.piece.sheet.name != sheet.sheet.name:
            yield f"{sheet.name}: {one.name} is cut from {one.piece.sheet.name}"


def _grain(sheet: LaidSheet) -> Iterator[str]:
    for one in sheet.laid:
        wanted = {"along x": 0.0, "along y": 90.0}.get(one.piece.grain)
        if wanted is not None and not one.locked and (one.turn_deg + wanted) % 180.0:
            yield f"{sheet.name}: {one.name} lies across the grain"


def _apart(sheet: LaidSheet, gap_mm: float) -> Iterator[str]:
    plates = [
        (
            one.placed(one.piece.outline.corners),
            tuple(one.placed(cutout.corners) for cutout in one.piece.cutouts),
        )
        for one in sheet.laid
    ]
    for pair in too_near(plates, gap_mm=gap_mm):
        one, other = sheet.laid[pair.earlier], sheet.laid[pair.later]
        if pair.shared_mm2 > ROUNDING_MM2:
            yield f"{sheet.name}: {one.name} and {other.name} share {pair.shared_mm2:.4f} mm2"
        elif pair.gap_mm < gap_mm - ROUNDING_MM:
            yield f"{sheet.name}: {one.name} and {other.name} lie {pair.gap_mm:.4f} mm apart"


def prove_strip(strip: Strip, *, shapes: Sequence[StripShape]) -> None:
    """Prove a strip: every copy once, in an allowed turn, within the strip, and the gap kept.

    Raises
    ------
    LayoutFault
        With everything that does not hold.
    """
    faults = []
    laid = Counter(one.shape for one in strip.places)
    for number, shape in enumerate(shapes):
        if laid[number] != shape.count:
            faults.append(f"shape {number}: {shape.count} wanted, {laid[number]} laid")
    plates = []
    for one in strip.places:
        shape = shapes[one.shape]
        outline = one.placed(shape.outline)
        plates.append((outline, tuple(one.placed(cutout) for cutout in shape.cutouts)))
        left, bottom, right, top = bounds_mm(outline)
        least = min(left, bottom, strip.length_mm - right, strip.height_mm - top)
        if not least >= -ROUNDING_MM:
            faults.append(f"shape {one.shape} sticks out by {-least:.4f} mm")
        if all(abs((one.turn_deg - turn + 180) % 360 - 180) > 1e-6 for turn in shape.turns_deg):
            faults.append(f"shape {one.shape} is turned by {one.turn_deg:g} degrees")
    for pair in too_near(plates, gap_mm=strip.gap_mm):
        if pair.shared_mm2 > ROUNDING_MM2 or pair.gap_mm < strip.gap_mm - ROUNDING_MM:
            faults.append(
                f"places {pair.earlier} and {pair.later} share {pair.shared_mm2:.4f} mm2 and lie "
                f"{pair.gap_mm:.4f} mm apart"
            )
    if faults:
        raise LayoutFault("; ".join(faults))
