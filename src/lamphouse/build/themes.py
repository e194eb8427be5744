"""Themes of an evening: work that suits together, as it wants the same things on the table."""

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
