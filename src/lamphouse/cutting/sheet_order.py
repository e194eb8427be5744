"""The order in which the pieces of a sheet are cut out.

A piece that lies in a cut-out of another comes before that one, so that it is cut while the sheet
still holds it. Otherwise small pieces come before large ones, as long as the sheet round them is
stiff. Of each piece its holes and cut-outs come before its outline. Heat is not reckoned with.
"""

from collections.abc import Sequence

from lamphouse.cutting.sheet_layout import Laid
from lamphouse.record import replace
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.spacing import margin_mm


def in_order(laid: Sequence[Laid]) -> tuple[Laid, ...]:
    """Give pieces their numbers and put them in the order in which they are cut out."""
    depths = [_depth(one, among=laid) for one in laid]
    ranked = sorted(
        zip(depths, laid, strict=True),
        key=lambda pair: (
            -pair[0],
            area_mm2(pair[1].piece.outline.corners),
            *bounds_mm(pair[1].placed(pair[1].piece.outline.corners))[:2],
        ),
    )
    return tuple(replace(one, order=number) for number, (_, one) in enumerate(ranked, start=1))


def _depth(one: Laid, *, among: Sequence[Laid]) -> int:
    """Count the cut-outs of other pieces a piece lies in."""
    outline = one.placed(one.piece.outline.corners)
    return sum(
        _lies_in(outline, other.placed(cutout.corners))
        for other in among
        if other is not one
        for cutout in other.piece.cutouts
    )


def _lies_in(inner: Corners, outer: Corners) -> bool:
    left, bottom, right, top = bounds_mm(inner)
    out_left, out_bottom, out_right, out_top = bounds_mm(outer)
    boxed = left >= out_left and bottom >= out_bottom and right <= out_right and top <= out_top
    return boxed and margin_mm(inner, outer=outer) >= 0.0
