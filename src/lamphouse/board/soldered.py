"""The records of a board as it is soldered: parts, wires, and what joins them.

Terminology
-----------
bridge
    Solder that joins two neighbouring pads.
tail
    A part's lead, bent flat on the solder side and soldered to every pad it passes.
bare run
    The same of a piece of bare wire.
link
    A wire from one hole to another; what it passes on its way it does not touch.
cut
    A strip of copper parted at a hole.
"""

from enum import StrEnum

from lamphouse.board.holes import Hole
from lamphouse.board.legs import PartBody, Posture
from lamphouse.circuit.wired import Pin, WiredKind
from lamphouse.design.supply import BoardKind
from lamphouse.findings import Where
from lamphouse.record import Record


class Face(StrEnum):
    """A side of a board."""

    PARTS = "parts side"
    SOLDER = "solder side"


class PlacedPart(Record):
    """A part on its board."""

    name: str
    kind: WiredKind
    value: str
    bands: tuple[str, ...]
    """Colour bands of a resistor, body end first; empty where it has none."""
    code: str
    """Printed on a chip; empty where there is none."""
    body: PartBody
    posture: Posture
    holes: tuple[Hole, ...]
    """Of its pins in order."""
    upright_over: int = 0
    """Index of the pin whose hole a standing body stands over."""


class WirePad(Record):
    """A wire that leaves the board."""

    number: int
    """From 1: first those to the plug, then those to the LEDs."""
    pin: Pin
    """Where it goes."""
    flag: str
    """For the flag at both its ends, such as ``W1 +`` or ``J1 pin 2``."""
    colour: str
    """Letters of IEC 60757."""
    net: str
    hole: Hole


class SolderBridge(Record):
    """Solder between two neighbouring pads."""

    first: Hole
    second: Hole


class LeadTail(Record):
    """A part's lead laid straight along the solder side."""

    part: str
    pin: int
    start: Hole
    end: Hole


class BareRun(Record):
    """Bare wire laid straight along the solder side, soldered to every pad on its way."""

    start: Hole
    end: Hole


class WireLink(Record):
    """A straight wire from hole to hole."""

    start: Hole
    end: Hole
    face: Face
    insulated: bool


class TrackCut(Record):
    """A strip cut through at a hole."""

    hole: Hole


class ProbePad(Record):
    """Where a test point lies."""

    name: str
    hole: Hole
    words: str


class BoardLayout(Record):
    """A whole board."""

    sub_assembly: str
    where: Where
    kind: BoardKind
    columns: int
    rows: int
    size_mm: tuple[float, float]
    """Width and height of the piece to cut."""
    wire_mm: float
    """Thickest wire over its insulation."""
    parts: tuple[PlacedPart, ...]
    wires: tuple[WirePad, ...]
    bridges: tuple[SolderBridge, ...] = ()
    tails: tuple[LeadTail, ...] = ()
    bare_runs: tuple[BareRun, ...] = ()
    links: tuple[WireLink, ...] = ()
    cuts: tuple[TrackCut, ...] = ()
    probes: tuple[ProbePad, ...] = ()
    least_holes: int = 0
    """No board for these parts and wires has fewer holes, laid as they are here."""
