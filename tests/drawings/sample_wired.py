"""Circuits of the drawings' samples as they are soldered."""

from drawings.sample_pieces import PIGTAIL, WHERE, circuit
from lamphouse.circuit.branch import TrimKnob
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CircuitHabits, Common, Supply, SupplyKind
from lamphouse.drawings.schematic import schematic
from lamphouse.record import replace

SUPPLY = Supply(
    where=WHERE, kind=SupplyKind.PLUG_IN, voltage_V=12.0, tolerance=0.05, max_current_A=1.0
)


def group(name):
    return SourceGroup(
        name=name,
        where=WHERE,
        pattern=Pattern(kind=PatternKind.BEACON),
        sub_assembly="table",
        source=None,
    )


def grouped(drawn, groups):
    """Let the strings of a circuit blink with the group given for each; "" burns steadily."""
    strings = tuple(
        replace(string, leds=tuple(replace(led, group=name) for led in string.leds))
        for string, name in zip(drawn.strings, groups, strict=True)
    )
    return replace(drawn, strings=strings)


KNOB = TrimKnob(
    track_ohm=10000.0,
    set_ohm=4300.0,
    least_A=0.0003,
    open_A=0.0015,
    most_A=0.002,
    track_W=0.04,
    limit_W=0.1,
)


def with_knobs(drawn, trimmed):
    """Set some strings of a circuit by a knob."""
    strings = tuple(
        replace(string, knob=KNOB if has else None)
        for string, has in zip(drawn.strings, trimmed, strict=True)
    )
    return replace(drawn, strings=strings)


def wired(drawn, *, pigtail=PIGTAIL, common=Common.POSITIVE):
    """Solder a circuit; a plug gets pins enough."""
    groups = sorted({led.group for string in drawn.strings for led in string.leds} - {""})
    sub = SubAssembly(
        name=drawn.sub_assembly,
        where=WHERE,
        stand=None,
        panels=(),
        boxes=(),
        strands=(),
        lamps=tuple(led for string in drawn.strings for led in string.leds),
        strings=(),
        board=None,
        pigtail=pigtail,
    )
    return wire_up(
        drawn,
        sub=sub,
        supply=SUPPLY,
        habits=CircuitHabits(where=WHERE, common=common),
        groups=[group(name) for name in groups],
    )


def with_pins(pins):
    return replace(PIGTAIL, plug=replace(PIGTAIL.plug, pins=pins, name=f"{pins}-pin 1.25 mm"))


def sheets(*leds, paper="A4", pigtail=PIGTAIL):
    drawn = circuit(*leds)
    return schematic(wired(drawn, pigtail=pigtail), circuit=drawn, pigtail=pigtail, paper=paper)
