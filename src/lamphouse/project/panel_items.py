"""What stands on one panel, each item with its place in the maker's file."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lamphouse.project.naming import row_names
from lamphouse.project.reshaping import kind_of
from lamphouse.project.tree import Keyed, Path, Tree, plain

SHAPES = {"openings": "shape", "boxes": "inside", "overlays": "outline"}
"""Key of an item's shape, by the group it stands in."""
KINDS = {
    "openings": "opening",
    "boxes": "box",
    "leds": "LED",
    "baffles": "baffle",
    "strands": "strand",
    "overlays": "overlay",
}
MOST_MEMBERS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelItem:
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


def panel_items(tree: Tree, *, sub_assembly: str, panel: str) -> tuple[PanelItem, ...]:
    """List a panel and all that stands on it and behind it, in the order of the file.

    Raises
    ------
    LookupError
        If the file has no such panel.
    """
    path: Path = ("sub_assemblies", sub_assembly, "panels", panel)
    node = tree.find(path)
    if not isinstance(node, Keyed):
        lost = f"there is no panel '{panel}' in '{sub_assembly}'"
        raise LookupError(lost)
    entries = plain(node)
    items = [
        PanelItem(
            kind="panel",
            name=panel,
            path=path,
            shape=kind_of(entries["outline"]) if "outline" in entries else "",
            shape_key="outline",
        )
    ]
    for group in ("openings", "overlays", "boxes", "strands"):
        items += _group(entries, path, group)
    return tuple(items)


def _group(entries: Mapping[str, object], path: Path, group: str) -> Iterator[PanelItem]:
    inside = entries.get(group)
    for key, value in inside.items() if isinstance(inside, dict) else ():
        if not isinstance(value, dict):
            continue
        here: Path = (*path, group, key)
        yield from _members(key, value, here, group)
        if group == "boxes":
            for inner in ("leds", "baffles"):
                yield from _group(value, here, inner)


def _members(key: str, value: Mapping[str, object], path: Path, group: str) -> Iterator[PanelItem]:
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
            is_turned=bool(value.get("turn")) and group == "openings",
            box=str(path[5]) if group in ("leds", "baffles") else "",
        )


def _count(given: object) -> int:
    text = str(given or "1")
    return min(int(text), MOST_MEMBERS) if text.isascii() and text.isdigit() and int(text) else 1
