"""What the maker wants of the loom: the wiring under the floor that every pigtail plugs into.

Places are on the floor plan, from the room's corner: to the right, back.
"""

from lamphouse.catalogue.electric_parts import WireType
from lamphouse.catalogue.protection import FuseType
from lamphouse.findings import Where
from lamphouse.record import Record


class FeedWish(Record):
    """One fused way from the supply, with the sub-assemblies that hang on it."""

    name: str
    where: Where
    sub_assemblies: tuple[str, ...]
    fuse_A: float | None = None
    """Of the fuse at its beginning; None when only the supply is fused."""
    fuse_type: FuseType | None = None
    """The fuse of which ``fuse_A`` is the rating, when the maker names one."""
    switched: bool = False
    """Whether it has a switch of its own, so that it is a zone."""
    wire: WireType | None = None
    """From the supply to its splitter board; None takes the trunk's."""
    splitter_mm: tuple[float, float] | None = None
    """Middle of its splitter board; None leaves it to the tool."""


class FloorHole(Record):
    """A hole in the floor through which pigtails come."""

    name: str
    where: Where
    x_mm: float
    y_mm: float
    sub_assemblies: tuple[str, ...]
    diameter_mm: float | None = None
    """None leaves it to the tool."""


class LoomWishes(Record):
    """What the maker wants of the loom."""

    where: Where
    trunk: WireType
    """From the supply to the splitter boards."""
    supply_mm: tuple[float, float] | None = None
    """Where the supply's lead comes in; None is the middle of the room's back edge."""
    depth_mm: float | None = None
    """Clear height below the floor; None when it does not matter."""
    floor_mm: float = 3.0
    """Thickness of the floor."""
    slack: float = 0.15
    """Share by which a wire is longer than its way."""
    service_mm: float = 50.0
    """How far a sub-assembly is lifted with its plug still in."""
    feeds: tuple[FeedWish, ...] = ()
    holes: tuple[FloorHole, ...] = ()
