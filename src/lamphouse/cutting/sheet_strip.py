"""The shortest strip that holds given shapes: the classic trial of a placer, and its squeeze."""

from collections.abc import Sequence

from lamphouse.cutting.sheet_cells import pitch_for
from lamphouse.cutting.sheet_places import Blank, Workshop, turned_items
from lamphouse.cutting.sheet_search import Item, Search
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import area_mm2, bounds_mm, size_mm
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.transform import move, turn

CELLS = 190
"""Across the strip, about: fine enough to lose little, coarse enough to try many orders."""


class StripShape(Record):
    """A shape to lay, and how often."""

    outline: Corners
    count: int = 1
    turns_deg: tuple[float, ...] = (0.0,)
    cutouts: tuple[Corners, ...] = ()


class StripPlace(Record):
    """One copy of a shape in the strip."""

    shape: int
    turn_deg: float
    x_mm: float
    y_mm: float
    """Where its own origin lies from the strip's lower left corner."""

    def placed(self, corners: Corners) -> Corners:
        """Give an outline of the shape where it lies."""
        return move(turn(corners, angle_deg=self.turn_deg), x_mm=self.x_mm, y_mm=self.y_mm)


class Strip(Record):
    """Shapes in a strip of given height."""

    height_mm: float
    gap_mm: float
    places: tuple[StripPlace, ...]
    length_mm: float
    """From the left end to the right edge of the last shape."""


def lay_strip(
    shapes: Sequence[StripShape],
    *,
    height_mm: float,
    gap_mm: float = 0.0,
    tries: int,
    seed: int,
    cells: int = CELLS,
) -> Strip:
    """Lay shapes in a strip as short as the search finds.

    Parameters
    ----------
    shapes
        With sound outlines.
    height_mm
        Of the strip; a gap is kept between shapes, none to the strip's edges.
    tries
        Orders to try.
    cells
        Across the strip, at least about.

    Raises
    ------
    ValueError
        If a shape is higher than the strip in all its turns.
    """
    shop = Workshop(
        pitch_mm=pitch_for(height_mm, gap_mm=gap_mm, cells=cells),
        gap_mm=gap_mm,
        most_high_mm=height_mm,
    )
    items = [_item(shape, shop=shop) for shape in shapes]
    copies = [number for number, shape in enumerate(shapes) for _ in range(shape.count)]
    high = int(height_mm / shop.pitch_mm + 1e-6)
    for item in items:
        if not any(shop.shapes[one.shape].high <= high for one in item.turns):
            tall = (
                f"a shape of {item.wide_mm:g} x {item.high_mm:g} mm does not fit {height_mm:g} mm"
            )
            raise ValueError(tall)
    longest = sum(
        max(items[number].wide_mm, items[number].high_mm) + gap_mm + 2.0 * shop.pitch_mm
        for number in copies
    )
    search = Search(
        [items[number] for number in copies],
        blanks=[Blank(wide=int(longest / shop.pitch_mm) + 1, high=high)],
        costs=[1.0],
        shop=shop,
        seed=seed,
    )
    places = tuple(
        StripPlace(
            shape=copies[put.item],
            turn_deg=put.turned.turn_deg,
            x_mm=put.x * shop.pitch_mm - put.turned.left_mm,
            y_mm=put.y * shop.pitch_mm - put.turned.bottom_mm,
        )
        for put in search.run(tries=tries).puts
    )
    return strip_of(shapes, places=places, height_mm=height_mm, gap_mm=gap_mm)


def strip_of(
    shapes: Sequence[StripShape],
    *,
    places: tuple[StripPlace, ...],
    height_mm: float,
    gap_mm: float,
) -> Strip:
    """Measure how long a strip is."""
    length = max(
        (bounds_mm(one.placed(shapes[one.shape].outline))[2] for one in places), default=0.0
    )
    return Strip(height_mm=height_mm, gap_mm=gap_mm, places=places, length_mm=length)


def _item(shape: StripShape, *, shop: Workshop) -> Item:
    width, height = size_mm(shape.outline)
    rings = [flatten(each) for each in (shape.outline, *shape.cutouts)]
    return Item(
        turns=turned_items(rings, turns_deg=shape.turns_deg, shop=shop),
        area_mm2=area_mm2(shape.outline),
        wide_mm=width,
        high_mm=height,
    )
