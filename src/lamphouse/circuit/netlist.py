"""A circuit as the solver sees it: resistances, junctions and sources between named nodes.

Everything with two ends that only resists is a :class:`Resistance`: resistors, wires, the contacts
of plugs, joints, closed switches. LEDs and protecting diodes are a :class:`Junction`. Supplies,
and cells with their internal resistance, are a :class:`Source`.

A :class:`Variation` says in what a second circuit differs from the first: a fault, another case of
the spread, another state of the switches. Many variations of one netlist are solved together.
"""

from collections.abc import Mapping
from enum import StrEnum
from math import inf

from lamphouse.findings import Where
from lamphouse.record import Record, field

GROUND = "0"
"""The node all voltages are told against."""
OPEN_OHM = inf
"""The resistance of what is broken, missing, or switched off."""


class Role(StrEnum):
    """What a resistance is at the bench."""

    RESISTOR = "resistor"
    WIRE = "wire"
    CONTACT = "contact"
    JOINT = "joint"
    SWITCH = "switch"
    LOAD = "load"


class Resistance(Record):
    """A resistance between two nodes."""

    name: str
    """Unique among all elements of its netlist."""
    first: str
    second: str
    ohm: float
    """Zero joins its nodes; ``OPEN_OHM`` parts them."""
    role: Role = Role.RESISTOR
    where: Where | None = None


class Junction(Record):
    """A diode with series resistance: ``V = slope ln(1 + I / I_sat) + R I`` [SHOCKLEY].

    In reverse it passes its saturation current and no more: breakdown is not in the model.
    """

    name: str
    anode: str
    cathode: str
    slope_V: float
    log_saturation: float
    """Natural logarithm of the saturation current in ampere."""
    series_ohm: float
    where: Where | None = None


class Source(Record):
    """A voltage between two nodes, behind its internal resistance."""

    name: str
    plus: str
    minus: str
    voltage_V: float
    ohm: float = 0.0
    where: Where | None = None


class Netlist(Record):
    """Elements between named nodes; one of the nodes is ``GROUND``."""

    resistances: tuple[Resistance, ...]
    junctions: tuple[Junction, ...]
    sources: tuple[Source, ...]

    def names(self) -> tuple[str, ...]:
        """List the elements: resistances, junctions, sources."""
        return (
            *(element.name for element in self.resistances),
            *(element.name for element in self.junctions),
            *(element.name for element in self.sources),
        )


class JunctionState(StrEnum):
    """What has become of a junction."""

    OPEN = "open"
    SHORT = "short"
    REVERSED = "reversed"


class Bridge(Record):
    """A resistance that the netlist does not have, such as a short."""

    first: str
    second: str
    ohm: float


class Variation(Record):
    """In what a circuit differs from its netlist; nothing given is as in the netlist."""

    name: str = ""
    ohm: Mapping[str, float] = field(default_factory=dict)
    """Of resistances, by name."""
    voltage_V: Mapping[str, float] = field(default_factory=dict)
    """Of sources, by name."""
    source_ohm: Mapping[str, float] = field(default_factory=dict)
    junction: Mapping[str, JunctionState] = field(default_factory=dict)
    shift_V: Mapping[str, float] = field(default_factory=dict)
    """By how much the forward voltage of a junction lies higher at any current."""
    bridges: tuple[Bridge, ...] = ()
    moved: Mapping[tuple[str, int], str] = field(default_factory=dict)
    """The node at which an end of an element is soldered instead; end 0 is ``first``, ``anode`` or
    ``plus``, end 1 the other."""
