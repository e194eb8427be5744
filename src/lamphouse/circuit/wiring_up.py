"""From designed strings to the circuit that is soldered: every part, wire, joint and pin by name.

The common runs from the plug's pin 1 to every resistor, through the string's trim knob where it
has one; behind each resistor come the string's LEDs and the way back. Steady strings return on one
pin; the strings of each source group that is not steady return on a pin of their own, switched
under the floor, as long as the plug has pins enough. Else all return together, and a rule on the
loom tells.

Names of nodes
--------------
``plus``, ``minus``
    The board's rails: the common, and the return of the strings that burn steadily.
``minus / random``
    The return of group ``random``; ``plus / random`` where minus is the common. No name that the
    maker gives holds a slash.
``R1.2``, ``W1.1``
    A pin of a part. Two pins that a wire joins are two nodes with the wire between them.
``J1.1``
    A pin of the plug on the sub-assembly's side; its contact lies towards the supply.
``supply``
    The supply's plus; ``GROUND`` is its minus.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import count, pairwise

from lamphouse.catalogue.electric_parts import copper_ohm_per_m
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.curve import fit, shift_band
from lamphouse.circuit.netlist import GROUND, Junction, Netlist, Resistance, Role, Source
from lamphouse.circuit.phrases import ohms
from lamphouse.circuit.plug_pins import COMMON, RETURN, PinUse, pins_of, uses_of
from lamphouse.circuit.strings import lead_resistance_ohm
from lamphouse.circuit.terminals import terminals_of
from lamphouse.circuit.wired import (
    Net,
    Pin,
    PlugPin,
    TestPoint,
    WiredKind,
    WiredPart,
    WiredSubAssembly,
)
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CircuitHabits, Common, Supply
from lamphouse.findings import Where
from lamphouse.record import Record, replace

SUPPLY = "supply"
"""The node at the supply's plus."""
SOURCE = "supply / source"
"""The element between it and ground."""
LED_WIRE_MM = 150.0
"""Taken for every wire from board to LED and from LED to LED: in 30 AWG it has 0.05 ohm."""
_THIN_MM = 0.2546
"""Copper of 30 AWG [ASTM-B258]: the wire taken where there is no pigtail."""


def wire_up(
    circuit: SubAssemblyCircuit,
    *,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    groups: Sequence[SourceGroup] = (),
) -> WiredSubAssembly:
    """Lay out every part, wire and test point of a sub-assembly, from the supply on.

    Parameters
    ----------
    circuit
        As designed.
    sub
        For its pigtail; without one its rails are the supply's terminals.
    supply
        At its nominal voltage, or that of fresh cells behind their resistance; less what its
        protection takes.
    habits
        For the ambient, the LEDs being as warm as its middle; and for the common.
    groups
        Which of them are not steady.

    Notes
    -----
    Wires are copper at 20 degC. Those to and between LEDs are taken as ``LED_WIRE_MM`` of the
    pigtail's kind. What the circuit's lead has beyond the pigtail is the loom's: half of it lies
    on the common's side, half on that of each return. A switch under the floor is closed and has
    no resistance.
    """
    rails = _Rails(positive=habits.common is Common.POSITIVE)
    uses = _uses(sub, groups=groups, common_positive=rails.positive)
    switched = {use.means for use in uses} - {COMMON, RETURN}
    lamps = {led.name for string in circuit.strings for led in string.leds}
    plug = next(_free("J", lamps)) if sub.pigtail else ""
    resistors, knobs = _free("R", lamps), _free("RV", lamps)
    strings = [
        _Strung(
            design=string,
            resistor=next(resistors),
            knob=next(knobs) if string.knob else "",
            back=rails.back(string.leds[0].group if string.leds[0].group in switched else ""),
            positive=rails.positive,
        )
        for string in circuit.strings
    ]
    ohm_per_m = sub.pigtail.wire.ohm_per_m if sub.pigtail else copper_ohm_per_m(_THIN_MM)
    wire_ohm = LED_WIRE_MM / 1000.0 * ohm_per_m
    run_ohm = 0.5 * (circuit.lead_ohm - lead_resistance_ohm(sub.pigtail))
    return WiredSubAssembly(
        sub_assembly=circuit.sub_assembly,
        where=circuit.where,
        netlist=Netlist(
            resistances=(
                *_feed(sub, uses=uses, rails=rails, plug=plug, run_ohm=run_ohm),
                *(part for strung in strings for part in strung.resistances(rails, wire_ohm)),
            ),
            junctions=tuple(
                _junction(led, habits=habits) for strung in strings for led in strung.design.leds
            ),
            sources=(_source(supply, sub=sub),),
        ),
        parts=(
            *(part for strung in strings for part in strung.parts()),
            *_plug_part(sub, plug=plug),
        ),
        nets=_nets(strings, uses=uses, rails=rails, plug=plug),
        test_points=tuple(_test_points(strings, uses=uses, rails=rails, plug=plug)),
        plug_pins=tuple(_plug_pin(use, plug=plug) for use in uses if plug),
        common_positive=rails.positive,
    )


def whole_netlist(wired: Iterable[WiredSubAssembly]) -> Netlist:
    """Join all sub-assemblies at one supply.

    Their elements and nodes get the sub-assembly's name in front, ``wall / R1``; the supply and
    its two nodes stay as they are.
    """
    resistances: list[Resistance] = []
    junctions: list[Junction] = []
    sources: dict[str, Source] = {}
    for one in wired:
        front = f"{one.sub_assembly} / "
        for resistance in one.netlist.resistances:
            first, second = (
                node if node in (SUPPLY, GROUND) else front + node
                for node in (resistance.first, resistance.second)
            )
            resistances.append(
                replace(resistance, name=front + resistance.name, first=first, second=second)
            )
        junctions += [
            replace(
                junction,
                name=front + junction.name,
                anode=front + junction.anode,
                cathode=front + junction.cathode,
            )
            for junction in one.netlist.junctions
        ]
        sources |= {source.name: source for source in one.netlist.sources}
    return Netlist(
        resistances=tuple(resistances),
        junctions=tuple(junctions),
        sources=tuple(sources.values()),
    )


class _Rails(Record):
    """The board's rails, and which of them is the common."""

    positive: bool

    @property
    def common(self) -> str:
        return "plus" if self.positive else "minus"

    def back(self, group: str = "") -> str:
        """Name the return of a group; of the steady strings without one."""
        rail = "minus" if self.positive else "plus"
        return f"{rail} / {group}" if group else rail

    def of(self, use: PinUse) -> str:
        """Name the rail that a pin of the plug feeds."""
        if use.means == COMMON:
            return self.common
        return self.back("" if use.means == RETURN else use.means)


class _Strung(Record):
    """A string with the name of its resistor and the rail it returns to."""

    design: StringDesign
    resistor: str
    knob: str
    """Empty where it has none."""
    back: str
    positive: bool

    def stations(self) -> tuple[tuple[str, int, int], ...]:
        """List its parts from the common on, each with its pin nearer the common and the other."""
        leds = self.design.leds if self.positive else self.design.leds[::-1]
        near, far = (1, 2) if self.positive else (2, 1)
        return ((self.resistor, 1, 2), *((led.name, near, far) for led in leds))

    def resistances(self, rails: _Rails, wire_ohm: float) -> Iterator[Resistance]:
        """Give its resistor, soldered to the common or to its knob there, and its wires."""
        where, knob = self.design.where, self.design.knob
        if knob:
            yield Resistance(
                name=self.knob,
                first=rails.common,
                second=f"{self.knob}.2",
                ohm=knob.set_ohm,
                where=where,
            )
        yield Resistance(
            name=self.resistor,
            first=f"{self.knob}.2" if knob else rails.common,
            second=f"{self.resistor}.2",
            ohm=self.design.fitted_ohm,
            where=where,
        )
        stations = self.stations()
        for (part, _, pin), (after, near, _) in pairwise(stations):
            yield _wire(f"{part} / {after}", f"{part}.{pin}", f"{after}.{near}", wire_ohm, where)
        last, _, pin = stations[-1]
        yield _wire(f"{last} / {self.back}", f"{last}.{pin}", self.back, wire_ohm, where)

    def parts(self) -> Iterator[WiredPart]:
        design = self.design
        yield WiredPart(
            name=self.resistor,
            kind=WiredKind.RESISTOR,
            value=ohms(design.resistor_ohm),
            pins=2,
            on_board=True,
            package=design.resistor_package.name,
            string=design.name,
            where=design.where,
        )
        if design.knob:
            yield WiredPart(
                name=self.knob,
                kind=WiredKind.TRIM,
                value=ohms(design.knob.track_ohm),
                pins=3,
                on_board=True,
                string=design.name,
                where=design.where,
            )
        for led in design.leds:
            yield WiredPart(
                name=led.name,
                kind=WiredKind.LED,
                value=led.led_type.name,
                pins=2,
                on_board=False,
                package=led.led_type.name,
                string=design.name,
                where=led.where,
            )


def _uses(
    sub: SubAssembly, *, groups: Sequence[SourceGroup], common_positive: bool
) -> tuple[PinUse, ...]:
    """List the pins in use, all returns on one where the plug has too few."""
    wanted = pins_of(sub, groups=groups, common_positive=common_positive)
    if sub.pigtail and len(wanted) <= sub.pigtail.plug.pins:
        return wanted
    return uses_of((COMMON, RETURN), common_positive=common_positive)


def _free(letter: str, taken: Collection[str]) -> Iterator[str]:
    """Give names numbered from 1, past those that an LED bears."""
    return (name for number in count(1) if (name := f"{letter}{number}") not in taken)


def _wire(name: str, first: str, second: str, ohm: float, where: Where) -> Resistance:
    return Resistance(name=name, first=first, second=second, ohm=ohm, role=Role.WIRE, where=where)


def _junction(led: Led, *, habits: CircuitHabits) -> Junction:
    _, middle_V, _ = shift_band(
        led.led_type, coldest_degC=habits.coldest_degC, warmest_degC=habits.warmest_degC
    )
    curve = fit(led.led_type).shifted(middle_V)
    return Junction(
        name=led.name,
        anode=f"{led.name}.1",
        cathode=f"{led.name}.2",
        slope_V=curve.slope_V,
        log_saturation=curve.log_saturation,
        series_ohm=curve.series_ohm,
        where=led.where,
    )


def _feed(
    sub: SubAssembly, *, uses: Sequence[PinUse], rails: _Rails, plug: str, run_ohm: float
) -> Iterator[Resistance]:
    """Give for each pin its switch, run, contact and wire of the pigtail, from the supply on."""
    pigtail = sub.pigtail
    where = pigtail.where if pigtail else sub.where
    for use in uses:
        rail = rails.of(use)
        node = SUPPLY if rail.startswith("plus") else GROUND
        if pigtail is None:
            yield _wire(f"lead / {rail}", node, rail, 0.0, where)
            continue
        pin = f"{plug}.{use.pin}"
        if use.means not in (COMMON, RETURN):
            beyond = f"switch / {use.means}"
            yield Resistance(
                name=beyond, first=node, second=beyond, ohm=0.0, role=Role.SWITCH, where=where
            )
            node = beyond
        if run_ohm > 0.0:
            yield _wire(f"run / {pin}", node, f"run / {pin}", run_ohm, where)
            node = f"run / {pin}"
        yield Resistance(
            name=f"contact / {pin}",
            first=node,
            second=pin,
            ohm=pigtail.plug.contact_ohm,
            role=Role.CONTACT,
            where=where,
        )
        ohm = pigtail.length_mm / 1000.0 * pigtail.wire.ohm_per_m
        yield _wire(f"{pin} / {rail}", pin, rail, ohm, where)


def _source(supply: Supply, *, sub: SubAssembly) -> Source:
    ends = terminals_of(supply, subs=(sub,))
    return Source(
        name=SOURCE,
        plus=SUPPLY,
        minus=GROUND,
        voltage_V=ends.open_V,
        ohm=ends.ohm + ends.cells_ohm,
        where=supply.where,
    )


def _plug_pin(use: PinUse, *, plug: str) -> PlugPin:
    return PlugPin(pin=use.pin, node=f"{plug}.{use.pin}", means=use.means, positive=use.positive)


def _plug_part(sub: SubAssembly, *, plug: str) -> Iterator[WiredPart]:
    if sub.pigtail is not None:
        yield WiredPart(
            name=plug,
            kind=WiredKind.PLUG,
            value=sub.pigtail.plug.name,
            pins=sub.pigtail.plug.pins,
            on_board=False,
            package=sub.pigtail.plug.name,
            where=sub.pigtail.where,
        )


def _nets(
    strings: Sequence[_Strung], *, uses: Sequence[PinUse], rails: _Rails, plug: str
) -> tuple[Net, ...]:
    """List the nets: the rails in the order of the plug's pins, then string by string."""
    on_rail: dict[str, list[Pin]] = {
        rails.of(use): [Pin(part=plug, pin=use.pin)] if plug else [] for use in uses
    }
    between = []
    for strung in strings:
        stations = strung.stations()
        on_rail[rails.common].append(Pin(part=strung.knob or strung.resistor, pin=1))
        if strung.knob:
            # Its wiper is joined to the far end: one that lifts leaves the whole track in series.
            ends = (Pin(part=strung.knob, pin=2), Pin(part=strung.knob, pin=3))
            between.append(
                Net(name=f"{strung.knob}.2", pins=(*ends, Pin(part=strung.resistor, pin=1)))
            )
        on_rail[strung.back].append(Pin(part=stations[-1][0], pin=stations[-1][2]))
        between += [
            Net(name=f"{part}.{pin}", pins=(Pin(part=part, pin=pin), Pin(part=after, pin=near)))
            for (part, _, pin), (after, near, _) in pairwise(stations)
        ]
    return (*(Net(name=rail, pins=tuple(pins)) for rail, pins in on_rail.items()), *between)


def _test_points(
    strings: Sequence[_Strung], *, uses: Sequence[PinUse], rails: _Rails, plug: str
) -> Iterator[TestPoint]:
    """Give the places between parts string by string, then the board's rails, then the plug."""
    number = count(1)
    for strung in strings:
        if strung.knob:
            yield TestPoint(
                name=f"TP{next(number)}",
                node=f"{strung.knob}.2",
                words=f"between {strung.knob} and {strung.resistor}",
                on_board=True,
            )
        for (part, _, pin), (after, _, _) in pairwise(strung.stations()):
            yield TestPoint(
                name=f"TP{next(number)}",
                node=f"{part}.{pin}",
                words=f"between {part} and {after}",
                on_board=part == strung.resistor,
            )
    for use in uses:
        rail = rails.of(use)
        yield TestPoint(
            name=f"TP{next(number)}",
            node=rail,
            words=f"board, {rail.replace(' / ', ' ')}",
            on_board=True,
        )
    for use in uses:
        if plug:
            yield TestPoint(
                name=f"{plug}.{use.pin}",
                node=f"{plug}.{use.pin}",
                words=f"pin {use.pin} of the plug, {use.means}",
                on_board=False,
            )
