"""What stands on one panel, each item with its place in the maker's file."""

from collections.abc import Iterator, Mapping

from lamphouse.project.naming import row_names
from lamphouse.project.reshaping import kind_of
from lamphouse.project.tree import Keyed, Path, Tree, plain
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse
from lamphouse.units.digits import whole_number

SHAPES = {"openings": "shape", "boxes": "inside", "overlays": "outline", "pillars": "shape"}
"""Key of an item's shape, by the group it stands in."""
KINDS = {
    "openings": "opening",
    "boxes": "box",
    "leds": "LED",
    "baffles": "baffle",
    "strands": "strand",
    "overlays": "overlay",
    "pillars": "pillar",
}
IN_BOXES = ("leds", "baffles", "pillars")
"""What stands in a light box and is shown."""
MOST_MEMBERS = 500


class PanelItem(Record):
    """One item, or one member of a row."""

    kind: str
    """A word of ``KINDS``, or ``panel``."""
    name: str
    path: Path
    """Of the item, or of its row."""
    member: int = 0
    """From 1; 0 for an item that stands alone."""
    of: int = 1
    """How many the row has."""
    shape: str = ""
    """Kind of its shape, as ``reshaping.kind_of`` tells; empty where it has none."""
    shape_key: str = ""
    along: str = ""
    """Outline that its row stands along, which gives it its place."""
    is_turned: bool = False
    box: str = ""
    """Box it stands in."""
    keys: tuple[str, ...] = ()
    """Those the file gives it."""
    points_mm: tuple[tuple[float, float], ...] = ()
    """Of a shape of points, as the file lists them, in the shape's own coordinates."""


def panel_items(
    tree: Tree, *, sub_assembly: str, panel: str, scale: float
) -> tuple[PanelItem, ...]:
    """List a panel and all that stands on it and behind it, in the order of the file.

    Parameters
    ----------
    tree
        The file.
    sub_assembly, panel
        Names.
    scale
        Full size over model size.

    Raises
    ------
    LookupError
        If the file has no such panel.
    """
    path: Path = ("sub_assemblies", sub_assembly, "panels", panel)
    node = tree.find(path)
    entries = plain(node) if isinstance(node, Keyed) else None
    if entries is None:
        lost = f"there is no panel '{panel}' in '{sub_assembly}'"
        raise LookupError(lost)
    items = [
        PanelItem(
            kind="panel",
            name=panel,
            path=path,
            shape=kind_of(entries["outline"]) if "outline" in entries else "",
            shape_key="outline",
            keys=tuple(entries),
            points_mm=_points(entries.get("outline"), scale=scale),
        )
    ]
    for group in ("openings", "overlays", "boxes", "strands"):
        items += _group(entries, path, group, scale=scale)
    return tuple(items)


def _group(
    entries: Mapping[str, object], path: Path, group: str, *, scale: float
) -> Iterator[PanelItem]:
    inside = entries.get(group)
    for key, value in inside.items() if isinstance(inside, dict) else ():
        if not isinstance(value, dict):
            continue
        here: Path = (*path, group, key)
        yield from _members(key, value, here, group, scale=scale)
        if group == "boxes":
            for inner in IN_BOXES:
                yield from _group(value, here, inner, scale=scale)


def _members(
    key: str, value: Mapping[str, object], path: Path, group: str, *, scale: float
) -> Iterator[PanelItem]:
    count = _count(value.get("count")) * _count(value.get("rows"))
    shape_key = SHAPES.get(group, "")
    for number, name in enumerate(row_names(key, count=count), start=1):
        yield PanelItem(
            kind=KINDS[group],
            name=name,
            path=path,
            member=number if count > 1 else 0,
            of=count,
            shape=kind_of(value.get(shape_key, "")) if shape_key else "",
            shape_key=shape_key,
            along=str(value.get("along") or ""),
            is_turned=bool(value.get("turn")) and group in ("openings", "pillars"),
            keys=tuple(value),
            points_mm=_points(value.get(shape_key), scale=scale) if shape_key else (),
            box=str(path[5]) if group in IN_BOXES else "",
        )


def _count(given: object) -> int:
    return min(whole_number(str(given)) or 1, MOST_MEMBERS)


def _points(shape: object, *, scale: float) -> tuple[tuple[float, float], ...]:
    """Read the places of a shape of points; none where one of them cannot be read."""
    given = shape.get("points") if isinstance(shape, dict) else None
    places = []
    for point in given if isinstance(given, list) else ():
        spot = point.get("to") if isinstance(point, dict) else point
        parts = spot if isinstance(spot, list) else str(spot).split(",")
        if len(parts) != 2:
            return ()
        try:
            x, y = (parse(str(part).strip(), Quantity.LENGTH, scale=scale) for part in parts)
        except UnitError:
            return ()
        places.append((x, y))
    return tuple(places)
