"""The records of a loom: runs, sockets, splitter boards, feeds and holes in the floor.

Terminology
-----------
loom, run, feed
    The wiring under the floor; one wire of it; one fused way from the supply.
trunk
    The runs of a feed between the supply and its splitter board.
splitter board
    A small board under the floor on which a feed's wires meet, one row of pads for each net.
socket
    Where a pigtail's plug goes in, under its hole in the floor, on wires from the splitter board.
way
    The line along the underside of the floor that a run follows: straight, and round what stands
    there.
"""

from lamphouse.catalogue.electric_parts import PlugType, WireType
from lamphouse.catalogue.protection import FuseType
from lamphouse.circuit.branch import Band
from lamphouse.circuit.plug_pins import PinUse
from lamphouse.design.place import Stand
from lamphouse.design.supply import Pigtail
from lamphouse.findings import Where
from lamphouse.record import Record


class Member(Record):
    """A sub-assembly as the loom sees it."""

    name: str
    where: Where
    stand: Stand | None
    pigtail: Pigtail
    pins: tuple[PinUse, ...]
    wanted_A: float
    """Sum of the currents wanted in its strings."""


class Run(Record):
    """One wire of the loom."""

    number: int
    """On both its flags; unique in the model."""
    feed: str
    sub_assembly: str
    """Whose socket it leads to; empty in the trunk."""
    pin: int
    """Of that socket; 0 in the trunk."""
    means: str
    """``common``, ``return``, or the source group switched there."""
    sign: str
    """The same on a label: a plus, a minus sign, or the group's name."""
    positive: bool
    """Whether it is joined to the supply's plus."""
    start: str
    end: str
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    way_mm: tuple[tuple[float, float], ...]
    """Corners of its way, both ends included."""
    colour: str
    """Letters of IEC 60757."""
    wire: WireType
    length_mm: float
    """To cut: way, slack and ends, rounded up."""
    ohm: float
    """One way."""

    @property
    def flag(self) -> str:
        """What the flags on both its ends say."""
        return f"{self.number} {self.sub_assembly or 'trunk'} {self.sign} | {self.feed}"


class SocketPin(Record):
    """One pin of a socket, and of the plug that goes into it."""

    pin: int
    run: int
    colour: str
    means: str
    sign: str
    positive: bool


class Socket(Record):
    """Where a pigtail joins the loom."""

    sub_assembly: str
    where: Where
    feed: str
    hole: str
    x_mm: float
    y_mm: float
    plug: PlugType
    wire: WireType
    """Of the pigtail, and of the runs to its socket."""
    pigtail_mm: float
    """Length of the pigtail as wished."""
    reach_mm: float
    """Length that brings its plug under the floor, slack included."""
    drawn_mm: float
    """How much of the runs to the socket is drawn up when the sub-assembly is lifted out."""
    pins: tuple[SocketPin, ...]
    """Pins that the plug lacks are not among them."""
    wanted_pins: int


class SplitterRow(Record):
    """The pads of one net on a splitter board."""

    sign: str
    runs: tuple[int, ...]
    """The trunk's first."""


class Splitter(Record):
    """A splitter board."""

    name: str
    x_mm: float
    """Of its middle."""
    y_mm: float
    size_mm: tuple[float, float]
    rows: tuple[SplitterRow, ...]


class LaidFeed(Record):
    """A feed with what hangs on it."""

    name: str
    where: Where
    sub_assemblies: tuple[str, ...]
    fuse_A: float | None
    fuse_type: FuseType | None
    switched: bool
    wire: WireType
    splitter: Splitter

    @property
    def fuse_ohm(self) -> float:
        """Of its own fuse, nothing where none is named."""
        return self.fuse_type.series_ohm if self.fuse_type else 0.0


class LaidHole(Record):
    """A hole in the floor with what comes through."""

    name: str
    where: Where
    x_mm: float
    y_mm: float
    sub_assemblies: tuple[str, ...]
    given_mm: float | None
    """Diameter the maker has drilled."""
    needed_mm: float
    """Least diameter that lets every plug and all wires through, rounded up."""

    @property
    def diameter_mm(self) -> float:
        """As drilled, or as needed where it is not."""
        return self.needed_mm if self.given_mm is None else self.given_mm


class Loom(Record):
    """Everything under the floor."""

    where: Where
    supply_mm: tuple[float, float]
    feeds: tuple[LaidFeed, ...]
    sockets: tuple[Socket, ...]
    holes: tuple[LaidHole, ...]
    runs: tuple[Run, ...]
    """By their numbers."""
    depth_mm: float | None
    """Clear height below the floor, as given."""
    needed_depth_mm: float
    service_mm: float
    without_stand: tuple[str, ...]
    """Sub-assemblies with a pigtail and no place on the floor plan."""

    def socket(self, sub_assembly: str) -> Socket | None:
        """Find the socket of a sub-assembly."""
        return next((s for s in self.sockets if s.sub_assembly == sub_assembly), None)

    def runs_of(self, feed: str, *, sub_assembly: str = "") -> tuple[Run, ...]:
        """List the trunk of a feed, or the runs from its splitter board to a socket."""
        return tuple(r for r in self.runs if r.feed == feed and r.sub_assembly == sub_assembly)


class RunLoad(Record):
    """What a run carries."""

    number: int
    current_A: Band
    drop_V: float
    """At its largest current."""


class SocketLoad(Record):
    """What a plug carries."""

    sub_assembly: str
    pins_A: tuple[Band, ...]
    """By pin, as in :attr:`Socket.pins`."""
    loom_drop_V: float
    """Largest drop from the supply to the plug and back, over its returns, with the feed's fuse."""
    drop_V: float
    """The same up to the board: plug and pigtail included."""


class LoomLoad(Record):
    """What a loom carries."""

    runs: tuple[RunLoad, ...]
    """As in :attr:`Loom.runs`."""
    sockets: tuple[SocketLoad, ...]
    feeds_A: tuple[Band, ...]
    """As in :attr:`Loom.feeds`."""
