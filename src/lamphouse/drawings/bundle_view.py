"""A bundle drawn large: its end as the LED sees it, and LED, gap, ferrule and collar from the side.

Both views have one scale of their own, large enough to write every strand's flag into its circle.
"""

from collections.abc import Iterator

from lamphouse.design.led_body import is_dome
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of
from lamphouse.fibres.apparent_source import dome_mm
from lamphouse.fibres.bundle import Bundle

LARGEST_MM = 60.0
"""Widest end view."""
STRAND_MM = 9.0
"""A thin strand is drawn about this wide where there is room."""
LONG_MM = 15.0
"""Length of ferrule shown, in mm of the part."""
_BESIDE_MM = 8.0


def bundle_view(bundle: Bundle) -> Drawing:
    """Draw a bundle's end and, beside it, its side."""
    thinnest = min(bundle.packing.diameters_mm)
    outer = bundle.ferrule.outside_mm if bundle.ferrule else bundle.packing.bore_mm
    scale = min(LARGEST_MM / outer, STRAND_MM / thinnest)
    items = [*_end(bundle, scale), *_side(bundle, left_mm=scale * outer / 2.0 + _BESIDE_MM)]
    return drawing_of(items, name=f"bundle {bundle.group.name}")


def _end(bundle: Bundle, scale: float) -> Iterator[Item]:
    bore = bundle.ferrule.inside_mm if bundle.ferrule else bundle.packing.bore_mm
    yield Circle(pen=Pen.MARK, x_mm=0.0, y_mm=0.0, diameter_mm=scale * bore)
    if bundle.ferrule:
        outside = scale * bundle.ferrule.outside_mm
        yield Circle(pen=Pen.CUT, x_mm=0.0, y_mm=0.0, diameter_mm=outside)
    for each in bundle.lit:
        x, y = (scale * part for part in each.spot_mm)
        wide = scale * each.strand.fibre.diameter_mm
        yield Circle(pen=Pen.DRILL, x_mm=x, y_mm=y, diameter_mm=wide)
        words = shortened(each.strand.name, height_mm=LEAST_MM, room_mm=wide - 0.6)
        yield Text(
            x_mm=x,
            y_mm=y - LEAST_MM / 2.0,
            words=words,
            height_mm=LEAST_MM,
            anchor=Anchor.MIDDLE,
        )


def _side(bundle: Bundle, *, left_mm: float) -> Iterator[Item]:
    """Draw the side, LED on the left, at a scale that keeps it narrow."""
    led = bundle.group.source
    if led is None:
        return
    kind = led.led_type
    body = dome_mm(kind) if is_dome(kind) else max(kind.package_mm[:2])
    deep = kind.package_mm[2]
    outer = bundle.ferrule.outside_mm if bundle.ferrule else bundle.packing.bore_mm
    collar = bundle.collar.outside_mm if bundle.collar else bundle.collar_over_mm
    scale = min(4.0, 24.0 / collar, 36.0 / (deep + bundle.gap_mm + LONG_MM))
    tip = left_mm + scale * deep
    mouth = tip + scale * bundle.gap_mm
    end = mouth + scale * LONG_MM
    half = scale * body / 2.0
    if is_dome(kind):
        yield Path(
            pen=Pen.MARK,
            corners=(
                (left_mm, -half, 0.0),
                (max(tip - half, left_mm), -half, 1.0),
                (max(tip - half, left_mm), half, 0.0),
                (left_mm, half, 0.0),
            ),
            closed=True,
        )
    else:
        yield rectangle(Pen.MARK, left=left_mm, bottom=-half, right=tip, top=half)
    reach = scale * outer / 2.0
    yield rectangle(Pen.CUT, left=mouth, bottom=-reach, right=end, top=reach)
    wide = scale * collar / 2.0
    for side in (-1.0, 1.0):
        inner, outside = side * scale * bundle.collar_over_mm / 2.0, side * wide
        low, high = sorted((inner, outside))
        yield rectangle(
            Pen.CUT, left=left_mm, bottom=low, right=mouth + scale * 5.0, top=high, filled=True
        )
    low, high = -wide - 2.0 - LEAST_MM, wide + 2.0
    for x, y, words, anchor in (
        (left_mm, low, "LED", Anchor.START),
        (mouth, high, f"gap {bundle.gap_mm:g} mm", Anchor.MIDDLE),
        (end, low, "ferrule", Anchor.END),
    ):
        yield Text(x_mm=x, y_mm=y, words=words, height_mm=LEAST_MM, anchor=anchor)
