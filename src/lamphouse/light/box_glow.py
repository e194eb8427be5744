"""Records of how the openings of one light box will look, as predicted and judged.

Terminology
-----------
cells
    Mean luminances over equal parts of an opening: 6 rows of 8 over a rectangle, the lowest row
    first; over a round or odd shape one row with the solver's own equal parts.
evenness, hot spot
    Smallest and largest cell over the mean.
bar
    Half the width of the band in which the solver expects the true figure of the box as drawn.
band
    What the finished box may show: the circuit's worst cases, the spread of LED bins, and what
    is open about the colours of its layers.
"""

from lamphouse.design.panel import Outline
from lamphouse.design.whole import Look
from lamphouse.findings import Where
from lamphouse.light.scene import Box, Suite
from lamphouse.record import Record


class LedCurrent(Record):
    """The current through one LED, as the circuit gives it."""

    led: str
    """Name of the LED, unique in its sub-assembly."""
    low_A: float
    nominal_A: float
    high_A: float


class OpeningColour(Record):
    """The colour of one opening, as an eye adapted to the room sees it."""

    xy: tuple[float, float]
    """Chromaticity of its own light."""
    name: str
    """In the trade's words, such as ``warm white`` or ``amber``."""
    cct_K: float | None
    """Correlated colour temperature; None for a light too far from white to have one."""
    duv: float | None
    """Distance from the black body's line, positive towards green; None likewise."""
    lab: tuple[float, float, float]
    """L*, a*, b* when lit in the room, against what the eye takes for white."""
    lightness: float
    """``J`` of CIECAM16, when lit in the room."""
    colourfulness: float
    """``M`` of CIECAM16, when lit in the room."""
    hue_deg: float
    unlit_name: str
    """Of its face in the room's light, the lamps off; empty in a dark room."""
    unlit_lab: tuple[float, float, float] | None
    """None in a dark room."""
    doubt: float
    """CIEDE2000 difference that the guesses about its films leave open, either way."""
    factor: float
    """What colour makes of the luminance that grey sums give."""
    film_is_guessed: bool
    """Whether a layer's colour rests on a generic dye."""
    uv: tuple[float, float]
    """Chromaticity of its own light in u', v'."""
    lamps: tuple[tuple[str, int], ...]
    """Names of the kinds of LED behind it, with how many there are."""
    films: tuple[str, ...]
    """Names of its layers from lamp to eye, each coat for itself."""


class OpeningGlow(Record):
    """How one opening will look from straight in front, its lamps lit."""

    opening: str
    where: Where
    shape: Outline
    """In the panel plane."""
    mean_cd_m2: float
    """Mean over the opening's area at the nominal currents, without the room's light."""
    bar_cd_m2: float
    low_cd_m2: float
    high_cd_m2: float
    """Ends of the band, the bar taken in."""
    evenness: float
    """Smallest cell over the mean."""
    evenness_bar: float
    """Half the width of the solver's band for the evenness."""
    hot_spot: float
    """Largest cell over the mean."""
    hot_spot_bar: float
    """The same for the hot spot."""
    cells_cd_m2: tuple[tuple[float, ...], ...]
    """6 rows of 8 cells of a rectangle, row 0 lowest; any other shape: one row of its cells."""
    room_cd_m2: float
    """What the room's light adds: reflectance of the opening's face times lx over pi; 0 when the
    project names no room."""
    look: Look | None
    """The wanted look; None when the maker named none."""
    match: str = ""
    """Openings with the same word should match; empty when this one need not."""
    colour: OpeningColour | None = None
    """None where no light comes out, or nothing says which colours a layer passes."""


class BoxGlow(Record):
    """How one light box glows."""

    box: str
    panel: str
    sub_assembly: str
    where: Where
    scene: Box
    """What was solved, in the panel plane; its lamps at their nominal currents."""
    openings: tuple[OpeningGlow, ...]
    """In the order of the maker's file. An opening of ``scene`` that is not here was solved but has
    no figure; a finding says why."""
    emitted_lm: float
    absorbed_lm: float
    """By paint, films and diffusers."""
    escaped_lm: float
    """Through the openings."""
    suite: Suite | None = None
    """The boxes it shares openings with, solved with it; None when it stands alone."""
    number: int = 0
    """Its own number in the suite."""


def colour_factor(glow: BoxGlow, *, opening: str) -> float:
    """Give what colour makes of the luminance of grey sums at an opening; 1 where it is unknown."""
    found = (one.colour for one in glow.openings if one.opening == opening)
    colour = next(found, None)
    return 1.0 if colour is None else colour.factor
