"""Themes of an evening: work that suits together, as it wants the same things on the table."""

from collections.abc import Iterable

from lamphouse.build.steps import StepKind

THEMES = ("cutting", "soldering", "threading", "gluing", "painting", "placing")
"""In the order in which they suit one evening: dust first, wet paint last [PRACTICE]."""
ANY = ""
"""Goes with every theme: a test is made where the work is."""

THEME_OF = {
    StepKind.CUT: "cutting",
    StepKind.DRILL: "cutting",
    StepKind.BEND: "gluing",
    StepKind.PRIME: "painting",
    StepKind.BLOCK_LIGHT: "painting",
    StepKind.PAINT: "painting",
    StepKind.MASK: "painting",
    StepKind.CLEAR_COAT: "painting",
    StepKind.FILM: "threading",
    StepKind.THREAD: "threading",
    StepKind.DECAL: "threading",
    StepKind.GLUE: "gluing",
    StepKind.CLOSE: "gluing",
    StepKind.SOLDER: "soldering",
    StepKind.PROGRAM: "soldering",
    StepKind.INSTALL: "placing",
    StepKind.TEST: ANY,
    StepKind.BUY: ANY,
    StepKind.OWN: ANY,
}
"""Threading means strands, films and decals: clean hands, good light [PRACTICE]."""

MIND = {
    "cutting": "cover your eyes at blade and drill, cut away from your hand, breathe no dust",
    "soldering": "keep the iron in its stand, draw off or blow away the fumes, wash your hands",
    "gluing": "air the room, no flame near solvent cement, none on your skin",
    "painting": "spray outdoors or into an extracted booth, with a mask for organic vapours, away "
    "from flames",
}
"""What to mind on an evening with work of a theme [PRACTICE]."""
LOCAL = "follow the maker's sheet and your local rules"


def mind_of(kinds: Iterable[StepKind]) -> str:
    """Say what to mind where work of these kinds is done; empty where nothing hurts.

    Examples
    --------
    >>> mind_of([StepKind.TEST])
    ''
    """
    themes = {THEME_OF[kind] for kind in kinds}
    told = [MIND[theme] for theme in THEMES if theme in themes and theme in MIND]
    return "; ".join([*told, LOCAL]) if told else ""
