"""What a pack is for, and which pages and files such a pack holds."""

from enum import StrEnum


class Purpose(StrEnum):
    """What a pack is for."""

    CUTTING = "cutting"
    """Templates, sheets, drilling, forming and painting."""
    WIRING = "wiring"
    """Circuits, boards, the loom, programs."""
    BENCH = "bench"
    """Steps, gates, readings and looks."""
    CARE = "care"
    """What the next owner needs."""
    ALL = "all"


TITLES = {
    Purpose.CUTTING: "Cutting pack",
    Purpose.WIRING: "Wiring pack",
    Purpose.BENCH: "Bench pack",
    Purpose.CARE: "Papers for later",
    Purpose.ALL: "Build pack",
}
"""Over the project's name on the cover."""
_CUT, _WIRE, _BENCH, _CARE = Purpose.CUTTING, Purpose.WIRING, Purpose.BENCH, Purpose.CARE

PAGES: dict[str, frozenset[Purpose]] = {
    mark: frozenset(purposes)
    for mark, purposes in {
        "findings": (_CUT, _WIRE, _BENCH),
        "cautions": (_CUT, _WIRE, _BENCH, _CARE),
        "supply": (_WIRE, _CARE),
        "room": (_BENCH, _CARE),
        "room plan": (_CUT, _BENCH, _CARE),
        "loom": (_WIRE, _CARE),
        "loom plan": (_WIRE, _CARE),
        "wire flags": (_WIRE,),
        "time line": (_WIRE, _BENCH),
        "program": (_WIRE, _CARE),
        "steps": (_BENCH,),
        "evenings": (_BENCH,),
        "work chart": (_BENCH,),
        "strands": (_CUT, _BENCH),
        "strand flags": (_BENCH,),
        "parts": (_CUT, _WIRE, _BENCH),
        "sheets": (_CUT,),
        "card": (_CUT,),
        "label": (_CARE,),
        "care": (_CARE,),
        "plugs": (_WIRE, _CARE),
        "spares": (_CARE,),
        "museum": (_CARE,),
        "listing": (_CARE,),
        # of every sub-assembly
        "gates": (_WIRE, _BENCH),
        "bench": (_WIRE, _BENCH),
        "schematic": (_WIRE, _CARE),
        "readings": (_WIRE, _BENCH, _CARE),
        "board": (_WIRE, _CARE),
        "templates": (_CUT,),
        "bending": (_CUT,),
        "former": (_CUT,),
        "drilling": (_CUT,),
        "light boxes": (_CUT,),
        "assembly": (_CUT, _BENCH),
        "painting": (_CUT, _BENCH),
        "masks": (_CUT,),
        "glow": (_BENCH,),
        "prints": (_CUT,),
        "dark room": (_BENCH,),
        "fibres": (_WIRE, _BENCH),
        "mix-ups": (_BENCH,),
        "faults": (_WIRE, _BENCH, _CARE),
    }.items()
}
"""Purposes of every page but the cover, by its mark without a sub-assembly's number."""

FILES: dict[str, frozenset[Purpose]] = {
    name: frozenset((Purpose.ALL, *purposes))
    for name, purposes in {
        "pieces": (_CUT,),
        "shells": (_CUT,),
        "lists": (_CUT, _WIRE, _BENCH),
        "decks": (_WIRE,),
        "prints": (_CUT,),
        "glows": (_BENCH,),
        "programs": (_WIRE, _CARE),
        "calendar": (_BENCH,),
        "plan": (),
    }.items()
}
"""Purposes of the other files of a pack, by the word for their kind."""


def kind_of(mark: str) -> str:
    """Give a mark without the number of its sub-assembly, and of its place among several.

    Examples
    --------
    >>> kind_of("3 light boxes"), kind_of("2 prints 4"), kind_of("parts")
    ('light boxes', 'prints', 'parts')
    """
    words = mark.split(" ")
    if words[0].isdigit():
        words = words[1:]
        if len(words) > 1 and words[-1].isdigit():
            words = words[:-1]
    return " ".join(words)


def belongs(mark: str, *, purpose: Purpose) -> bool:
    """Tell whether a page is in a pack for a purpose."""
    return purpose is Purpose.ALL or purpose in PAGES.get(kind_of(mark), ())
