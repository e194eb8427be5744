"""What must stand on a board: its parts, a pad for every wire, and which of them are joined."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from lamphouse.board.legs import DIODE, FUSE, TRIM_KNOB, PartBody, fewest_holes, resistor_body
from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.circuit.wired import Net, Pin, WiredKind, WiredPart, WiredSubAssembly
from lamphouse.design.supply import Board, BoardKind
from lamphouse.findings import Where
from lamphouse.record import Record

LED_LEAD_MM = 0.56
"""Over the insulation of the thin wire to an LED, 30 AWG, where no pigtail names another."""
_SIGNS = {1: "+", 2: "\N{MINUS SIGN}"}
_POLES = {1: "RD", 2: "BK"}
"""Colours of the wires to an LED's anode and cathode [PRACTICE]."""
_BODIES = {WiredKind.TRIM: TRIM_KNOB, WiredKind.DIODE: DIODE, WiredKind.FUSE: FUSE}


class BoardPart(Record):
    """A part to be placed."""

    name: str
    kind: WiredKind
    value: str
    bands: tuple[str, ...]
    """Colour bands of a resistor, body end first; empty where it has none."""
    code: str
    """Printed on a chip; empty where there is none."""
    body: PartBody
    nets: tuple[str, ...]
    """What each of its pins is joined to."""


class BoardWire(Record):
    """A wire to be given a hole."""

    number: int
    pin: Pin
    flag: str
    colour: str
    net: str


class BoardDemand(Record):
    """Everything that a layout must hold."""

    sub_assembly: str
    where: Where
    kind: BoardKind
    space_mm: tuple[float, float] | None
    parts: tuple[BoardPart, ...]
    wires: tuple[BoardWire, ...]
    wire_mm: float

    def nets(self) -> tuple[str, ...]:
        """List the nets on the board, in the order of its parts and wires."""
        named = [net for part in self.parts for net in part.nets]
        named += [wire.net for wire in self.wires]
        return tuple(dict.fromkeys(named))

    def least_holes(self, *, standing: bool) -> int:
        """Give the holes that any layout takes: leads, holes under bodies, one for each wire."""
        bodies = sum(fewest_holes(part.body, standing=standing) for part in self.parts)
        return bodies + len(self.wires)


def demand_of(
    wired: WiredSubAssembly,
    *,
    board: Board,
    bands: Mapping[str, Sequence[str]] = MappingProxyType({}),
    codes: Mapping[str, str] = MappingProxyType({}),
    pin_colours: Mapping[int, str] = MappingProxyType({}),
    wire_mm: float = LED_LEAD_MM,
) -> BoardDemand:
    """Read off a wired sub-assembly what stands on its board.

    A net lies on the board when a part of the board or a pin of the plug belongs to it. From
    there a wire goes to every pin of it that is elsewhere.

    Parameters
    ----------
    wired
        The circuit.
    board
        What the maker wants it soldered to.
    bands
        Colour bands of resistors by name, body end first.
    codes
        What is printed on chips, by name.
    pin_colours
        Colours of the pigtail's wires by pin of the plug, in letters of IEC 60757; a wire to an LED
        has the colour of the pin it is joined to, else that of its pole.
    wire_mm
        The thickest wire over its insulation.
    """
    parts = {part.name: part for part in wired.parts}
    nets = [net for net in wired.nets if _is_on_board(net, parts)]
    net_of = {pin: net.name for net in nets for pin in net.pins}
    mounted = tuple(
        BoardPart(
            name=part.name,
            kind=part.kind,
            value=part.value,
            bands=tuple(bands.get(part.name, ())),
            code=codes.get(part.name, ""),
            body=_body(part, board.resistor_package),
            nets=tuple(net_of[Pin(part=part.name, pin=pin + 1)] for pin in range(part.pins)),
        )
        for part in wired.parts
        if part.on_board
    )
    away = [pin for pin in net_of if not parts[pin.part].on_board]
    order = {part.name: place for place, part in enumerate(wired.parts)}
    away.sort(
        key=lambda pin: (parts[pin.part].kind is not WiredKind.PLUG, order[pin.part], pin.pin)
    )
    colours = _colours(wired, net_of, pin_colours)
    wires = tuple(
        BoardWire(
            number=number,
            pin=pin,
            flag=_flag(parts[pin.part], pin.pin),
            colour=colours.get(net_of[pin]) or _POLES.get(pin.pin, "WH"),
            net=net_of[pin],
        )
        for number, pin in enumerate(away, start=1)
    )
    return BoardDemand(
        sub_assembly=wired.sub_assembly,
        where=board.where,
        kind=board.kind,
        space_mm=board.space_mm,
        parts=mounted,
        wires=wires,
        wire_mm=wire_mm,
    )


def _is_on_board(net: Net, parts: Mapping[str, WiredPart]) -> bool:
    return any(
        parts[pin.part].on_board or parts[pin.part].kind is WiredKind.PLUG for pin in net.pins
    )


def _body(part: WiredPart, package: ResistorPackage) -> PartBody:
    return resistor_body(package) if part.kind is WiredKind.RESISTOR else _BODIES[part.kind]


def _flag(part: WiredPart, pin: int) -> str:
    if part.kind is WiredKind.LED:
        return f"{part.name} {_SIGNS[pin]}"
    return f"{part.name} pin {pin}"


def _colours(
    wired: WiredSubAssembly, net_of: Mapping[Pin, str], pin_colours: Mapping[int, str]
) -> dict[str, str]:
    """Give the nets at the plug the colours of its wires; without any, red and black."""
    plug = next((part.name for part in wired.parts if part.kind is WiredKind.PLUG), "")
    at_pin = {pin.pin: net for pin, net in net_of.items() if pin.part == plug}
    return {
        at_pin[carried.pin]: pin_colours.get(carried.pin, "RD" if carried.positive else "BK")
        for carried in wired.plug_pins
        if carried.pin in at_pin
    }
