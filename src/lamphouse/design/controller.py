"""Controllers: what switches source groups over time, by a program or by a timer chip alone."""

from enum import StrEnum

from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.switches import SwitchType
from lamphouse.catalogue.timer_chips import TimerChip
from lamphouse.findings import Where
from lamphouse.record import Record


class ControllerKind(StrEnum):
    """How a controller keeps time."""

    PROGRAM = "program"
    ASTABLE = "astable"
    """A timer chip with two resistors and a capacitor, and nothing to load."""
    RING = "timer ring"
    """A timer chip for each lamp of a chase, each started by the end of the one before."""


class Controller(Record):
    """One controller, as its maker wants it."""

    name: str
    where: Where
    kind: ControllerKind
    controller_type: ControllerType | None
    """None of timer chips."""
    chip: TimerChip | None
    """None of a program."""
    sub_assembly: str = ""
    """Where it stands; under the floor beside the supply where empty."""
    groups: tuple[str, ...] = ()
    """Source groups it switches; all that blink and that no other names where empty."""
    pins: tuple[tuple[str, str], ...] = ()
    """Groups with the pin wished for each."""
    buttons: tuple[tuple[str, str], ...] = ()
    """Scenes with the pin of the button wished for each."""
    regulated: bool = False
    """Whether a regulator stands between the supply and it."""


class Workshop(Record):
    """What controllers are built from."""

    controllers: tuple[ControllerType, ...] = ()
    """Every type there is, in the order of the catalogue."""
    switches: tuple[SwitchType, ...] = ()
    timer_chips: tuple[TimerChip, ...] = ()
