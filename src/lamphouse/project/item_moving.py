"""Items of a panel moved in the maker's file: one alone, a whole row, or one taken out of its row.

A place that the maker wrote stays the key it was; only the lengths in it change, and are in mm
afterwards.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from lamphouse.project.naming import ROW_KEYS, row_names
from lamphouse.project.outlines import written_mm
from lamphouse.project.splice import Value
from lamphouse.project.tree import Keyed, Path, plain
from lamphouse.project.write import ChangeError, add_item, remove_item, set_value, sound_tree
from lamphouse.units import Quantity, UnitError, parse

Spot = tuple[float, float]

PLACES = ("at", "from", "to")
"""Keys of an item that hold its places."""
INSIDE = ("leds", "baffles", "passages", "pillars")
"""What a light box carries along."""
PATTERNS = ("ring", "along", "rows", "row_step", "staggered", "to")
"""Keys of a row whose members do not simply stand one step apart."""


def moved(
    text: str, *, path: Path, by_mm: Spot, scale: float, stands_mm: Spot | None = None
) -> str:
    """Give the text with an item moved; a row moves whole, a light box with all that is in it.

    Parameters
    ----------
    text
        The whole file.
    path
        The item or its row.
    by_mm
        To the right, and up.
    scale
        Full size over model size, for places marked ``real``.
    stands_mm
        Where its middle is now, for one whose place the file leaves to an outline it is like.

    Raises
    ------
    LookupError
        If there is no such item.
    ChangeError
        If it has no place that could be moved, or one that cannot be read.
    """
    item = _entries(text, path)
    places = [key for key in PLACES if key in item]
    if not places and item.get("along"):
        led = f"it stands along '{item['along']}'; move that, or take it out of its row"
        raise ChangeError(led)
    if not places and stands_mm is None:
        nowhere = "the file gives it no place of its own"
        raise ChangeError(nowhere)
    for key in places:
        text = _shifted(text, (*path, key), by_mm=by_mm, scale=scale)
    if not places and stands_mm is not None:
        at = _written((stands_mm[0] + by_mm[0], stands_mm[1] + by_mm[1]))
        text = add_item(text, path, at, key="at")
    for group in INSIDE:
        for name in item.get(group) or ():
            inner = (*path, group, name)
            if any(key in _entries(text, inner) for key in PLACES):
                text = moved(text, path=inner, by_mm=by_mm, scale=scale)
    return text


def taken_out(
    text: str,
    *,
    path: Path,
    member: int,
    places_mm: Sequence[Spot],
    to_mm: Spot | None,
) -> str:
    """Give the text with one member of a row standing by itself, or gone.

    Those before it stay a row where they can; those behind it stand by themselves too, and every
    one keeps its name.

    Parameters
    ----------
    text
        The whole file.
    path
        The row.
    member
        Which one, from 1.
    places_mm
        Where all of them stand now.
    to_mm
        Where it goes; None removes it.

    Raises
    ------
    LookupError
        If there is no such row or member.
    ChangeError
        If the row cannot be taken apart.
    """
    row, count = _entries(text, path), len(places_mm)
    if not 1 <= member <= count or count < 2:
        nobody = f"the row '{path[-1]}' has no member {member}"
        raise LookupError(nobody)
    names = list(row_names(str(path[-1]), count=count))
    siblings = _entries(text, path[:-1])
    lead = 0 if any(key in row for key in PATTERNS) else member - 1
    lead = lead if lead >= 2 else 0
    alone = {key: value for key, value in row.items() if key not in (*ROW_KEYS, "at")}
    if taken := [name for name in names[lead:] if name in siblings]:
        clash = f"'{taken[0]}' is there already"
        raise ChangeError(clash)
    if lead:
        text = set_value(text, (*path, "count"), str(lead))
    for number, name in enumerate(names[lead:], start=lead + 1):
        place = to_mm if number == member else places_mm[number - 1]
        if place is not None:
            text = add_item(text, path[:-1], {**alone, "at": _written(place)}, key=name)
    return text if lead else remove_item(text, path)


def _entries(text: str, path: Path) -> Mapping[str, Any]:
    node = sound_tree(text).find(path)
    entries: Mapping[str, Any] | None = plain(node) if isinstance(node, Keyed) else None
    if entries is None:
        lost = f"there is no '{path[-1]}'"
        raise LookupError(lost)
    return entries


def _shifted(text: str, path: Path, *, by_mm: Spot, scale: float) -> str:
    node = sound_tree(text).find(path)
    given = plain(node) if node else ""
    parts = given if isinstance(given, list) else [part.strip() for part in str(given).split(",")]
    if len(parts) != 2:
        unread = f"'{path[-1]}' is no place"
        raise ChangeError(unread)
    for axis, (part, by) in enumerate(zip(parts, by_mm, strict=True)):
        try:
            length = parse(str(part), Quantity.LENGTH, scale=scale) + by
        except UnitError as fault:
            raise ChangeError(fault.problem) from fault
        if not by:
            continue
        if isinstance(given, list):
            text = set_value(text, (*path, axis), written_mm(length))
        else:
            parts[axis] = written_mm(length)
    return text if isinstance(given, list) else set_value(text, path, ", ".join(parts))


def _written(place: Spot) -> Value:
    return [written_mm(length) for length in place]
