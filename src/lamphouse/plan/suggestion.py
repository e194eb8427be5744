"""The records of a suggestion: what is asked for, the choices there are, and what each costs."""

from lamphouse.build.buying import MoreToBuy
from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Look
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.plan.led_rows import LedRow
from lamphouse.plan.variations import Means
from lamphouse.record import Record


class Price(Record):
    """What a choice costs and gives beside the box as drawn."""

    leds: int
    """More LEDs; below 0 fewer."""
    strings: int
    """More strings, each with a resistor."""
    current_A: float
    """More current at the plug for this box."""
    depth_mm: float
    evenness: float
    """More evenness of the least even opening with a wish."""
    parts: tuple[str, ...]
    """LEDs, films and paint that are not in the box as drawn."""


class Choice(Record):
    """One way to light a box, solved at full accuracy."""

    words: str
    """In the maker's words, such as ``2 LEDs, 18 mm deep``."""
    panel: Panel
    box: LightBox
    """With its LEDs."""
    openings: tuple[OpeningGlow, ...]
    reaches: bool
    """Whether every opening has its wanted class, evenness and colour."""
    strings: int
    current_A: float
    """At the plug for this box, as designed."""
    cd_m2_per_mA: float
    """Luminance of the first opening with a wish for each mA at the plug."""
    rows: tuple[LedRow, ...] = ()
    """Its LEDs as they are written into the project file; none for the box as drawn."""
    freed: tuple[str, ...] = ()
    """Strings of the maker's that no longer fit its LEDs; the circuit groups these anew."""
    price: Price | None = None
    """None where there is no box as drawn to compare with."""
    circuit: SubAssemblyCircuit | None = None
    """Of its sub-assembly, as designed for it; not kept for the box as drawn."""
    to_buy: MoreToBuy | None = None
    """Beyond what the model as drawn asks for; None for the box as drawn."""


class Suggestion(Record):
    """What can be done about one box."""

    sub_assembly: str
    panel: str
    box: str
    looks: tuple[str, ...]
    """Names of the looks wanted."""
    drawn: Choice | None
    """The box as drawn; None when it has no LEDs yet."""
    choices: tuple[Choice, ...]
    """Best first: those that reach the look; then the fewest changes to the box, the fewest LEDs,
    the most even; of equals, the cheapest."""
    proof: str
    """What is proved about the number of LEDs of the box as drawn; empty when nothing is."""
    left_out: tuple[str, ...]
    """Choices that would trip a stop or a warning, with its code and title, or lose a wanted
    colour; and colours that nothing gives."""
    note: str = ""
    """What becomes of the tilts of LEDs that do not lean alike; empty where they do."""


class Refusal(Record):
    """Why nothing can be suggested."""

    reason: str
    remedy: str


class Request(Record):
    """What is asked for."""

    sub: SubAssembly
    panel: Panel
    box: LightBox
    look: Look | None
    """For every opening of the box; None: each has the look the project names."""
    led_type: LedType | None
    """None: the type its LEDs have."""
    means: Means
    thorough: bool = False
