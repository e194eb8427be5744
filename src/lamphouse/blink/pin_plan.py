"""Which source group hangs on which pin of a controller, and through which driver.

Wishes come first; every other group gets the next free pin, in the order of the project's groups,
so that the same project always gives the same pins.
"""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.blink.drivers import STRAIGHTS, Driver, PinSide, StringSide, drivers_for
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.switches import SwitchType
from lamphouse.record import Record


class PlugPin(Record):
    """A pin of a pigtail's plug at which a group is switched."""

    sub_assembly: str
    pin: int


class GroupLoad(Record):
    """What hangs on a group."""

    group: str
    strings: StringSide
    count: int
    """How many strings."""
    plugs: tuple[PlugPin, ...]


class Channel(Record):
    """One group on its pin."""

    group: str
    pin: str
    driver: Driver
    current_A: float
    """Of all its strings at their highest."""
    strings: int
    plugs: tuple[PlugPin, ...]


class Button(Record):
    """A push button between a pin and ground."""

    scene: str
    pin: str


class BadWish(Record):
    """A wish for a pin that cannot be granted."""

    name: str
    """The group or scene."""
    pin: str
    why: str
    free: str
    """A pin that would do; empty where none is left."""


class PinPlan(Record):
    """All pins of a controller."""

    channels: tuple[Channel, ...]
    buttons: tuple[Button, ...]
    free: tuple[str, ...]
    left_out: tuple[str, ...] = ()
    """Groups for which no pin is left."""
    undriven: tuple[GroupLoad, ...] = ()
    """Groups that no switch can carry."""
    bad_wishes: tuple[BadWish, ...] = ()
    pins_A: float = 0.0
    """What all pins carry together, every group lit."""

    @property
    def lit_high(self) -> bool:
        """Whether groups are lit while their pins are high; all of them are alike."""
        return all(channel.driver.lit_high for channel in self.channels)


class Parts(Record):
    """What drivers are built from."""

    switches: tuple[SwitchType, ...]
    series: str
    tolerance: float


def plan_pins(
    kind: ControllerType,
    *,
    loads: Sequence[GroupLoad],
    side: PinSide,
    parts: Parts,
    wishes: Mapping[str, str],
    buttons: Mapping[str, str],
) -> PinPlan:
    """Give every group its pin and its driver.

    Parameters
    ----------
    kind
        The controller.
    loads
        The groups in the order of the file.
    side
        Its pins as drivers see them.
    parts
        What drivers are built from.
    wishes
        Pins by group.
    buttons
        Pins by scene.

    Notes
    -----
    Either every group hangs straight on its pin, or none does: one program lights all of them by
    the same level. Where the pins together would carry too much, groups get MOSFETs, the largest
    current first.
    """
    granted, bad = _granted(kind, wishes=wishes, buttons=buttons)
    left_out = _given_out(granted, kind=kind, groups=[load.group for load in loads])
    placed = [load for load in loads if load.group in granted]
    driven, undriven = _driven(placed, kind=kind, side=side, parts=parts)
    channels = tuple(
        Channel(
            group=load.group,
            pin=granted[load.group],
            driver=driven[load.group],
            current_A=load.strings.current_A,
            strings=load.count,
            plugs=load.plugs,
        )
        for load in placed
        if load.group in driven
    )
    used = set(granted.values())
    return PinPlan(
        channels=channels,
        buttons=tuple(
            Button(scene=scene, pin=granted[_of_scene(scene)])
            for scene in buttons
            if _of_scene(scene) in granted
        ),
        free=tuple(pin for pin in kind.all_pins if pin not in used),
        left_out=tuple(left_out),
        undriven=tuple(undriven),
        bad_wishes=tuple(bad),
        pins_A=sum(channel.driver.pin_A for channel in channels),
    )


def _given_out(
    granted: dict[str, str], *, kind: ControllerType, groups: Sequence[str]
) -> list[str]:
    """Give free pins to the groups that have none yet, and list those for which none is left."""
    taken = set(granted.values())
    free = [pin for pin in kind.pins if pin not in taken]
    room = kind.most_groups - sum(name in granted for name in groups)
    wanting = [name for name in groups if name not in granted]
    for name, pin in zip(wanting[: max(room, 0)], free, strict=False):
        granted[name] = pin
    return [name for name in wanting if name not in granted]


def _granted(
    kind: ControllerType, *, wishes: Mapping[str, str], buttons: Mapping[str, str]
) -> tuple[dict[str, str], list[BadWish]]:
    """Grant what can be granted, to groups and to the buttons of scenes."""
    granted: dict[str, str] = {}
    bad: list[BadWish] = []
    asked = [(name, name, pin, kind.pins) for name, pin in wishes.items()]
    asked += [(_of_scene(name), name, pin, kind.all_pins) for name, pin in buttons.items()]
    wanted = {pin for _, _, pin, _ in asked}
    for key, name, pin, fit in asked:
        holder = next((other for other, held in granted.items() if held == pin), "")
        if pin in fit and not holder:
            granted[key] = pin
            continue
        why = (
            f"'{holder.lstrip(_SCENE)}' has it"
            if holder
            else f"there is no such pin for it on '{kind.name}'"
        )
        best = reversed(fit) if key != name else iter(fit)
        free = next((one for one in best if one not in wanted), "")
        wanted.add(free)
        bad.append(BadWish(name=name, pin=pin, why=why, free=free))
    return granted, bad


def _of_scene(name: str) -> str:
    """Give the key of a scene's button, which no group is called."""
    return f"{_SCENE}{name}"


_SCENE = "\0"


def _driven(
    loads: Sequence[GroupLoad], *, kind: ControllerType, side: PinSide, parts: Parts
) -> tuple[dict[str, Driver], list[GroupLoad]]:
    """Choose every group's driver, and list the groups that none can carry."""
    choices = {load.group: tuple(_choices(load, side=side, parts=parts)) for load in loads}
    undriven = [load for load in loads if not choices[load.group]]
    straight = {
        group: found[0] for group, found in choices.items() if found and found[0].kind in STRAIGHTS
    }
    if len(straight) == len(choices) and _together(straight) <= kind.pins_A:
        return straight, []
    switched = {
        group: tuple(one for one in found if one.kind not in STRAIGHTS)
        for group, found in choices.items()
    }
    undriven = [load for load in loads if not switched[load.group]]
    driven = {group: found[0] for group, found in switched.items() if found}
    by_current = sorted(loads, key=lambda load: -load.strings.current_A)
    for load in by_current:
        if _together(driven) <= kind.pins_A:
            break
        if found := switched[load.group]:
            driven[load.group] = min(found, key=lambda one: one.pin_A)
    return driven, undriven


def _together(driven: Mapping[str, Driver]) -> float:
    return sum(driver.pin_A for driver in driven.values())


def _choices(load: GroupLoad, *, side: PinSide, parts: Parts) -> Iterator[Driver]:
    return drivers_for(
        load.strings,
        pin=side,
        switches=parts.switches,
        series=parts.series,
        tolerance=parts.tolerance,
    )


def shared_out(
    names: Sequence[str], *, sets: Mapping[str, str], first: int, each: int
) -> tuple[tuple[str, ...], ...]:
    """Share groups out to as few controllers as needed, groups of one set on the same.

    Parameters
    ----------
    names
        Groups, in the order of the file.
    sets
        Words of sets by group; groups without one stand alone.
    first, each
        Groups that the first controller can switch, and every further one.

    Returns
    -------
    tuple
        The groups of each controller; a set larger than one controller is cut.
    """
    bundles: dict[str, list[str]] = {}
    for name in names:
        bundles.setdefault(sets.get(name) or f"\0{name}", []).append(name)
    shares: list[list[str]] = [[]]
    for bundle in bundles.values():
        pieces = [bundle[at : at + each] for at in range(0, len(bundle), each)]
        for piece in pieces:
            fitting = (
                share
                for at, share in enumerate(shares)
                if len(share) + len(piece) <= (first if at == 0 else each)
            )
            share = next(fitting, None)
            if share is None:
                share = []
                shares.append(share)
            share += piece
    return tuple(tuple(share) for share in shares)
