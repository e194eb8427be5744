"""Names of items: how findings call what stands at a path, and the names of a row."""

from collections.abc import Iterator

from lamphouse.project.tree import Keyed, Path, Text

GROUPED = frozenset(
    {
        "sub_assemblies",
        "panels",
        "overlays",
        "areas",
        "openings",
        "boxes",
        "leds",
        "baffles",
        "passages",
        "pillars",
        "strands",
        "strings",
        "lamps",
        "feeds",
        "holes",
        "walls",
        "hull",
        "under_floor",
        "hatches",
        "cuts",
    }
)
"""Keys that hold items by name and are not spoken in the name of an item."""

SPOKEN = frozenset(
    {
        *("looks", "matches", "charts", "groups", "scenes", "controllers"),
        *("stock", "drawer", "evenings", "as_built", "accepted"),
        *("steps", "order", "waiting", "prices"),
    }
)
"""Keys that hold items and are spoken."""

ALONE = frozenset(
    {"room", "supply", "circuit", "cutting", "loom", "stands", "pigtail", "board", "care"}
)
"""Sections that are items by themselves."""


ROW_KEYS = frozenset(
    {
        *("count", "step", "to", "ring", "start", "along", "inset"),
        *("rows", "row_step", "staggered"),
    }
)
"""Keys that make a row or a pattern of an item."""


def item_and_key(path: Path) -> tuple[str, str]:
    """Give the item a path lies in, and the words for the rest of the path, if there is more.

    Examples
    --------
    >>> item_and_key(("sub_assemblies", "desk", "panels", "top", "openings", "hole", "shape"))
    ('desk / top / hole', 'shape')
    >>> item_and_key(("stock", 1, "size"))
    ('stock / 2', 'size')
    >>> item_and_key(("scale",))
    ('project', 'scale')
    """
    words: list[str] = []
    at = 0
    while at < len(path):
        step, below = path[at], path[at + 1] if at + 1 < len(path) else None
        if step in GROUPED and isinstance(below, str):
            words.append(below)
            at += 2
        elif at == 0 and step in SPOKEN and below is not None:
            words += [str(step), str(below) if isinstance(below, str) else str(below + 1)]
            at += 2
        elif step in ALONE and at in (0, 2):
            words.append(str(step))
            at += 1
        elif step == "masks" and at == 4:
            words.append("masks")
            at += 1
        elif step == "curve" and path[at + 1 : at + 2] == ("layers",) and len(path) > at + 2:
            words.append(f"layer {int(path[at + 2]) + 1}")
            at += 3
        else:
            break
    rest = [str(step) if isinstance(step, str) else str(step + 1) for step in path[at:]]
    return " / ".join(words) or "project", " ".join(rest)


def is_row(node: object) -> bool:
    """Tell whether an item stands for several, whose names are counted."""
    if not isinstance(node, Keyed):
        return False
    counts = [node.entries.get(key) for key in ("count", "rows")]
    return any(
        count and isinstance(count.value, Text) and count.value.text != "1" for count in counts
    )


def row_names(name: str, *, count: int) -> Iterator[str]:
    """Give the names of a row: one keeps its name, several are counted from 1.

    Examples
    --------
    >>> list(row_names("lamp", count=1)), list(row_names("W", count=3))
    (['lamp'], ['W1', 'W2', 'W3'])
    """
    if count == 1:
        yield name
    else:
        yield from (f"{name}{number}" for number in range(1, count + 1))
