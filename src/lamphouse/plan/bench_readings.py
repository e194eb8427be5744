"""What a meter should read on every sub-assembly of a plan, and on the whole model."""

from lamphouse.circuit.expected import ModelReadings
from lamphouse.circuit.good_parts import GoodParts
from lamphouse.circuit.loom_netlist import netlist_of
from lamphouse.circuit.plug_pins import COMMON
from lamphouse.circuit.readings import readings_of, whole_readings
from lamphouse.circuit.terminals import terminals_of
from lamphouse.circuit.wiring_up import whole_netlist
from lamphouse.plan.result import Plan
from lamphouse.plan.wirings import wirings
from lamphouse.record import replace


def with_readings(plan: Plan) -> Plan:
    """Foretell every reading of a plan, for its pack; a plan without circuits stays as it is."""
    design, wired = plan.design, wirings(plan)
    pairs = [(w, c) for w, c in zip(wired, plan.circuits, strict=True) if c.strings]
    if not pairs:
        return plan
    subs = {sub.name: sub for sub in design.sub_assemblies}
    benches = tuple(
        readings_of(
            one,
            circuit=circuit,
            sub=subs[one.sub_assembly],
            supply=design.supply,
            habits=design.habits,
            beside=[sub for sub in design.sub_assemblies if sub.name != one.sub_assembly],
        )
        for one, circuit in pairs
    )
    lit = [one for one, _ in pairs]
    loom = plan.loom
    good = GoodParts(
        leds={
            f"{circuit.sub_assembly} / {led.name}": led
            for _, circuit in pairs
            for string in circuit.strings
            for led in string.leds
        },
        ends=terminals_of(design.supply, subs=design.sub_assemblies),
        habits=design.habits,
    )
    runs = {
        feed.name: f"run {run.number}"
        for feed in (loom.feeds if loom else ())
        for run in (loom.runs_of(feed.name) if loom else ())
        if run.means == COMMON
    }
    groups = [
        [
            f"{one.sub_assembly} / {part.name}"
            for one in lit
            for part in one.parts
            if one.sub_assembly in feed.sub_assemblies
        ]
        for feed in (loom.feeds if loom else ())
    ]
    netlist = netlist_of(loom, wired=lit) if loom else whole_netlist(lit)
    own_A = plan.load.own_A if plan.load else 0.0
    whole = whole_readings(netlist, good=good, feeds=runs, groups=groups, own_A=own_A)
    return replace(plan, readings=ModelReadings(sub_assemblies=benches, whole=whole))
