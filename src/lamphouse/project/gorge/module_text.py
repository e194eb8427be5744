"""What a module of the model is made of, and how its text is filled in."""

from string import Template

from lamphouse.record import Record

MODULE_MM = 400
"""Width of a module; modules stand side by side."""
BOX = (
    "sheet: styrene 1.0 mm, finish: matt white paint, coats: [{coat: black paint, count: 3}], "
    "seams: taped, fixing: {magnet: 4 x 2 mm}"
)
"""What all light boxes share; the magnets let the back come off from the rear."""


class Levels(Record):
    """How a group burns in the scenes: shares of its light, in %."""

    day: int
    evening: int
    night: int
    storm: int


BY_DAY = Levels(day=100, evening=80, night=20, storm=90)
"""Lamps of rooms in which people work."""
BY_NIGHT = Levels(day=0, evening=50, night=100, storm=100)
"""Lamps that come on at dusk."""


class GroupText(Record):
    """A source group of a module."""

    name: str
    sub_assembly: str
    pattern: str = "kind: steady"
    """Between the braces of its pattern."""
    source: str = ""
    """Between the braces of its source; empty where it lights no strands."""
    levels: Levels | None = None
    """None: the same in every scene."""
    note: str = ""

    @property
    def is_switched(self) -> bool:
        """Whether it does not always burn the same."""
        return self.levels is not None or self.pattern != "kind: steady"


class ModuleText(Record):
    """One module of the model."""

    title: str
    sub_assemblies: tuple[str, ...]
    """Their names, in the order of the text."""
    groups: tuple[GroupText, ...]
    text: str
    """Under the key ``sub_assemblies``."""
    hatch: str = ""
    """A line under the key ``hatches`` of the room; empty where nothing goes through the floor."""


class Place(Record):
    """Which module it is, and whether its mistakes are planted."""

    number: int
    planted: bool

    @property
    def mark(self) -> str:
        """What its names and flags begin with."""
        return f"M{self.number}"

    @property
    def by_chance(self) -> str:
        """Write the pattern of its indicators that live by chance."""
        return "kind: random, seed: 11" if self.planted else "kind: random"

    def fill(self, text: str, **words: str | int) -> str:
        """Fill in a module's text: ``$m`` is its mark, ``$x0`` and so on places to the right."""
        left_mm = (self.number - 1) * MODULE_MM
        places = {f"x{right_mm}": left_mm + right_mm for right_mm in range(0, MODULE_MM + 1, 10)}
        return Template(text).substitute(places, m=self.mark, box=BOX, **words)

    def names(self, *subs: str) -> tuple[str, ...]:
        """Give sub-assemblies the module's mark."""
        return tuple(f"{self.mark} {sub}" for sub in subs)

    def console(self, name: str, sub: str, pattern: str, *, led: str, note: str = "") -> GroupText:
        """Give a group of indicators: strands lit by one LED."""
        source = f"led: {led}, current: 5 mA"
        return GroupText(
            name=f"{self.mark} {name}",
            sub_assembly=f"{self.mark} {sub}",
            pattern=pattern,
            source=source,
            note=note,
        )

    def lamps(
        self, name: str, sub: str, *, levels: Levels | None = None, pattern: str = "kind: steady"
    ) -> GroupText:
        """Give a group of lamps or of LEDs in boxes, without strands."""
        return GroupText(
            name=f"{self.mark} {name}",
            sub_assembly=f"{self.mark} {sub}",
            pattern=pattern,
            levels=levels,
        )
