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
    grey sums leave open about layers of colour.
"""

from dataclasses import dataclass

from lamphouse.design.panel import Outline
from lamphouse.design.whole import Look
from lamphouse.findings import Where
from lamphouse.light.scene import Box, Suite


@dataclass(frozen=True, slots=True, kw_only=True)
class LedCurrent:
    """The current through one LED, as the circuit gives it."""

    led: str
    """Name of the LED, unique in its sub-assembly."""
    low_A: float
    nominal_A: float
    high_A: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningGlow:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxGlow:
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
