"""Places of the maker's own for pieces on stock sheets, written into the file and taken out."""

from collections.abc import Sequence
from typing import Any

from lamphouse.project import write
from lamphouse.project.tree import grow, plain
from lamphouse.record import Record

_AT = ("cutting", "locked")


class Place(Record):
    """Where a piece lies."""

    piece: str
    stock: int
    """Entry of the stock list, from 1."""
    x_mm: float
    y_mm: float
    """Lower left corner of the box around it, as turned, from the sheet's lower left corner."""
    turn_deg: float


def locked(text: str, places: Sequence[Place]) -> str:
    """Give the text with places for some pieces; one that has a place gets the new one.

    Raises
    ------
    lamphouse.project.write.ChangeError
        If the text is no sound project file.
    """
    for place in places:
        entries, entry = _entries(text), _written(place)
        number = _number(entries, place.piece)
        if number is not None:
            text = write.set_value(text, (*_AT, number), entry)
        elif entries is not None:
            text = write.add_item(text, _AT, entry)
        elif isinstance(_inner(text, ("cutting",)), dict):
            text = write.add_item(text, ("cutting",), [entry], key="locked")
        elif _inner(text, ("cutting",)) is None:
            text = write.add_item(text, (), {"locked": [entry]}, key="cutting")
        else:
            text = write.set_value(text, ("cutting",), {"locked": [entry]})
    return text


def unlocked(text: str, pieces: Sequence[str]) -> str:
    """Give the text without places for some pieces; one that has none stays as it is.

    Raises
    ------
    lamphouse.project.write.ChangeError
        If the text is no sound project file.
    """
    for piece in pieces:
        entries = _entries(text)
        number = _number(entries, piece)
        if number is None:
            continue
        only = entries is not None and len(entries) == 1
        text = write.remove_item(text, _AT if only else (*_AT, number))
    return text


def _written(place: Place) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "piece": place.piece,
        "stock": str(place.stock),
        "at": [f"{round(place.x_mm, 3):g} mm", f"{round(place.y_mm, 3):g} mm"],
    }
    turn_deg = round(place.turn_deg % 360.0, 3) % 360.0
    if turn_deg:
        entry["turn"] = f"{turn_deg:g} deg"
    return entry


def _entries(text: str) -> list[Any] | None:
    held = _inner(text, _AT)
    return held if isinstance(held, list) else None


def _inner(text: str, path: tuple[str, ...]) -> Any:
    tree, _ = grow(text, file="")
    at: Any = plain(tree.root) if tree else None
    for step in path:
        at = at.get(step) if isinstance(at, dict) else None
    return at


def _number(entries: list[Any] | None, piece: str) -> int | None:
    names = [one.get("piece") if isinstance(one, dict) else None for one in entries or ()]
    return names.index(piece) if piece in names else None
