"""The answer of ``colour``: ways to a wanted colour with their figures, as records."""

from lamphouse.outputs.artwork_lines import layer_words
from lamphouse.plan import suggestion_words
from lamphouse.plan.colour_choices import ColourChoice, ColourChoices
from lamphouse.record import Record


class ColourWayLine(Record):
    """One way to the colour, solved at full accuracy."""

    number: int
    """Rank, from 1."""
    words: str
    """What is changed."""
    is_met: bool
    """Whether the opening then has the wanted colour."""
    leds: str
    """Name of the kind of LED."""
    layers: tuple[str, ...]
    """Of the opening, from lamp to eye."""
    colour: str
    """What it is then called."""
    difference: float
    """CIEDE2000 from what is wanted, as seen in the room; of words and kelvin at its own
    lightness."""
    mean_cd_m2: float
    bar_cd_m2: float
    """Half the width of the solver's own band for the mean."""
    current_mA: float
    """Wanted through each LED."""
    plug_mA: float
    """At the plug for the box."""
    to_buy: tuple[str, ...]
    """What the drawer has not."""
    brings: str
    """Stops and warnings that it would trip; empty for none."""


class ColourResult(Record):
    """The result of ``colour``."""

    opening: str
    wanted: str
    luminance_cd_m2: float
    """Wanted."""
    is_reachable: bool
    """Whether anything of the tables gives the colour at that luminance."""
    tried: int
    """Ways that were bright enough to be judged."""
    ways: tuple[ColourWayLine, ...]
    """The fewest changes first; none that another beats in everything."""
    applied: int | None
    """Number of the way that was written into the project file."""


def result_of(found: ColourChoices, *, applied: int | None) -> ColourResult:
    """Put ways to a colour into the shape answers carry."""
    return ColourResult(
        opening=found.place.name,
        wanted=found.wanted,
        luminance_cd_m2=found.luminance_cd_m2,
        is_reachable=found.is_reachable,
        tried=found.tried,
        ways=tuple(
            _line(one, number=number, opening=found.place.opening.name)
            for number, one in enumerate(found.choices, start=1)
        ),
        applied=applied,
    )


def _line(one: ColourChoice, *, number: int, opening: str) -> ColourWayLine:
    layers = next(each.layers for each in one.choice.panel.openings if each.name == opening)
    return ColourWayLine(
        number=number,
        words=one.words,
        is_met=one.is_met,
        leds=one.choice.box.leds[0].led_type.name,
        layers=tuple(map(layer_words, layers)),
        colour=one.shown.colour.name if one.shown.colour else "",
        difference=one.difference,
        mean_cd_m2=one.shown.mean_cd_m2,
        bar_cd_m2=one.shown.bar_cd_m2,
        current_mA=one.current_A * 1e3,
        plug_mA=one.choice.current_A * 1e3,
        to_buy=one.to_buy,
        brings=one.brings,
    )


def reason(one: ColourChoice, *, wanted: str) -> str:
    """Say why a way was taken, in one line for the project file."""
    return f"for {wanted}, {suggestion_words.reason(one.choice)}"
