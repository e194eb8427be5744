"""An outline cut into level bands, each as the upright rectangles that just hold what lies in it.

Whatever the outline, the rectangles cover it; the more bands, the less they cover besides.
"""

from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import Bounds, area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners

CHORD_MM = 0.02
SQUARE = 1e-9
"""An outline that fills the rectangle around it but for this share is that rectangle."""


class Banded(Record):
    """The rectangles of one outline."""

    boxes: tuple[Bounds, ...]
    """Left, bottom, right and top of each, from the bottom up."""


def banded(corners: Corners, *, count: int) -> Banded:
    """Cut a sound outline into bands.

    Parameters
    ----------
    count
        How many bands of one height; a rectangle stays whole.
    """
    left, bottom, right, top = bounds_mm(corners)
    if area_mm2(corners) >= (1.0 - SQUARE) * (right - left) * (top - bottom):
        return Banded(boxes=((left, bottom, right, top),))
    import shapely

    solid = shapely.Polygon(flatten(corners, error_mm=CHORD_MM))
    step = (top - bottom) / count
    found: list[Bounds] = []
    for number in range(count):
        low, high = bottom + number * step, bottom + (number + 1) * step
        cut = shapely.intersection(solid, shapely.box(left - 1.0, low, right + 1.0, high))
        found += [
            (float(part.bounds[0]), low, float(part.bounds[2]), high)
            for part in shapely.get_parts(cut)
            if part.area > 0.0
        ]
    return Banded(boxes=tuple(found))
