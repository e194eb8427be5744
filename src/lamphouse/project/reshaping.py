"""Shapes changed in the maker's file: sides and corners moved, corners added, words made points."""

from lamphouse.project.fields.shape_words import Shape
from lamphouse.project.item_moving import Spot, moved
from lamphouse.project.outlines import Corners, written_mm, written_points
from lamphouse.project.splice import Value
from lamphouse.project.tree import Path, plain
from lamphouse.project.write import ChangeError, add_item, remove_item, set_value, sound_tree
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.transform import move
from lamphouse.units import Quantity, UnitError, parse_many

SIZED = ("rectangle", "rounded", "slot", "round")
"""Shapes whose size stands in their words and can be dragged."""


def kind_of(value: object) -> str:
    """Tell what kind of shape stands in the file: a word of ``Shape.EXAMPLES``, or ``points``.

    A shape that is changed further after its size counts as ``changed``.
    """
    if isinstance(value, dict):
        return "changed" if value.get("then") else "points"
    words = str(value).split()
    kind = words[0].casefold() if words else ""
    further = any(
        word.casefold() in ("grown", "shrunk", "rounded", "mirrored") for word in words[1:]
    )
    return "changed" if further or kind not in Shape.EXAMPLES else kind


def resized(text: str, *, path: Path, size_mm: Spot, by_mm: Spot, scale: float) -> str:
    """Give the text with a sized shape of another size.

    Parameters
    ----------
    text
        The whole file.
    path
        Of the shape: it ends with ``shape``, ``outline`` or ``inside``.
    size_mm
        Width and height, or the diameter twice.
    by_mm
        How far its middle moves, so that the side or corner across from the hand stays.
    scale
        Full size over model size.

    Raises
    ------
    LookupError
        If there is no shape.
    ChangeError
        If it has no size in its words.
    """
    words = _value(text, path)
    kind = kind_of(words)
    wide, high = (written_mm(side).removesuffix(" mm") for side in size_mm)
    match kind:
        case "round":
            new = f"round {wide} mm"
        case "rounded":
            radius = _radius(str(words), most_mm=min(size_mm) / 2.0, scale=scale)
            new = f"rounded {wide} x {high} mm, radius {written_mm(radius)}"
        case "rectangle" | "slot":
            if kind == "slot" and size_mm[0] < size_mm[1]:
                short = "a slot is longer than wide; turn it instead"
                raise ChangeError(short)
            new = f"{kind} {wide} x {high} mm"
        case _:
            sizeless = f"'{words}' has no size of its own; make points of it first"
            raise ChangeError(sizeless)
    text = set_value(text, path, new)
    is_placed = path[-1] != "outline" or "overlays" in path
    if is_placed and any(by_mm):
        text = moved(text, path=path[:-1], by_mm=by_mm, scale=scale)
    return text


def _radius(words: str, *, most_mm: float, scale: float) -> float:
    """Read the radius of a rounded rectangle, or the largest that fits."""
    try:
        (radius,) = parse_many(
            words.partition("radius")[2].strip(" ,"), Quantity.LENGTH, count=1, scale=scale
        )
    except UnitError as fault:
        raise ChangeError(fault.problem) from fault
    return min(radius, most_mm)


def corner_moved(text: str, *, path: Path, corner: int, to_mm: Spot) -> str:
    """Give the text with one point of an outline elsewhere.

    Parameters
    ----------
    text
        The whole file.
    path
        Of the shape, which is given as points.
    corner
        Its number in the list, from 0.
    to_mm
        Where, in the shape's own coordinates.

    Raises
    ------
    LookupError
        If there is no such point.
    """
    point: Path = (*path, "points", corner)
    given = _value(text, point)
    spot = point if isinstance(given, list) else (*point, "to")
    for axis, length in enumerate(to_mm):
        text = set_value(text, (*spot, axis), written_mm(length))
    return text


def corner_added(text: str, *, path: Path, before: int, at_mm: Spot) -> str:
    """Give the text with one more point of an outline, before the point of a number.

    Raises
    ------
    LookupError
        If the shape is not given as points.
    """
    points = _value(text, (*path, "points"))
    if not isinstance(points, list):
        wordy = "the shape is given in words; make points of it first"
        raise ChangeError(wordy)
    spot: Value = [written_mm(length) for length in at_mm]
    if before == len(points):
        return add_item(text, (*path, "points"), spot)
    return set_value(text, (*path, "points"), [*points[:before], spot, *points[before:]])


def corner_removed(text: str, *, path: Path, corner: int) -> str:
    """Give the text with one point of an outline less.

    Raises
    ------
    LookupError
        If there is no such point.
    ChangeError
        If fewer than three would be left.
    """
    points = _value(text, (*path, "points"))
    if not isinstance(points, list) or len(points) <= 3:
        few = "an outline needs three corners"
        raise ChangeError(few)
    return remove_item(text, (*path, "points", corner))


def as_points(text: str, *, path: Path, corners: Corners, stands_mm: Spot) -> str:
    """Give the text with a shape's words made points.

    Parameters
    ----------
    text
        The whole file.
    path
        Of the shape.
    corners
        The shape as it lies in the panel plane, not turned.
    stands_mm
        The place its item is written at.

    Raises
    ------
    LookupError
        If there is no shape.
    """
    _value(text, path)
    own = move(corners, x_mm=-stands_mm[0], y_mm=-stands_mm[1])
    return set_value(text, path, {"points": written_points(own)})


def middle_mm(corners: Corners) -> Spot:
    """Give the middle of the box around an outline."""
    left, bottom, right, top = bounds_mm(corners)
    return (left + right) / 2.0, (bottom + top) / 2.0


def _value(text: str, path: Path) -> object:
    node = sound_tree(text).find(path)
    if node is None:
        lost = f"there is no '{path[-1]}'"
        raise LookupError(lost)
    return plain(node)
