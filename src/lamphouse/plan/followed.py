"""A design that follows the model as it was built: measured parts, currents, supply, moved LEDs.

What was measured is soldered: every string of a sub-assembly of which one was measured stays as it
was designed, and so do all strings once the supply was; nothing is chosen anew. A measured current
shifts the forward voltage of the string's LEDs by what explains it, each by the same; their spread
is then what the meter leaves.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from lamphouse.build.as_built_rules import (
    of_no_use,
    of_nothing,
    other_current,
    other_resistor,
    other_supply,
    two_figures,
)
from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.corners import MEASURED_SHARE
from lamphouse.circuit.curve import fit, shift_band
from lamphouse.circuit.phrases import amps, volts
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.wired import WiredKind
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.as_built import AsBuilt
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, StringWish
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.record import replace

SUPPLY = "supply"
_FIGURES = {
    "voltage": "voltage_V",
    "resistor": "resistor_ohm",
    "current": "current_A",
    "at": "at_mm",
}
_WORDS = {"at": "place"}
_OWN = "give each figure to what it was measured on"
Key = tuple[str, str]
"""A sub-assembly, and a string or an LED of it."""


@dataclass(slots=True, kw_only=True)
class _Measured:
    """Figures by what they are of, and what was found on the way."""

    supply_V: float | None = None
    ohms: dict[Key, float] = field(default_factory=dict)
    amps: dict[Key, float] = field(default_factory=dict)
    places: dict[Key, tuple[float, float]] = field(default_factory=dict)
    found: list[Finding] = field(default_factory=list)


def follow(
    design: Design, *, circuits: Sequence[SubAssemblyCircuit]
) -> tuple[Design, tuple[Finding, ...]]:
    """Put what was built into the place of what was designed.

    Parameters
    ----------
    design
        With its figures as built.
    circuits
        Of the design as if nothing had been measured.

    Returns
    -------
    tuple
        The design as built, with no figures left to follow; and findings.

    Notes
    -----
    A measured voltage or resistance is taken to be within 1 % [MEMORY]. A current is taken to have
    been measured in the middle of the ambient, every other string at its own nominal current.
    """
    measured = _sorted_out(design, circuits=circuits)
    supply = design.supply
    if measured.supply_V is not None:
        measured.found += other_supply(supply, measured_V=measured.supply_V)
        supply = replace(
            supply,
            voltage_V=measured.supply_V,
            tolerance=min(supply.tolerance, MEASURED_SHARE),
        )
    design = replace(design, supply=supply, as_built=())
    by_name = {circuit.sub_assembly: circuit for circuit in circuits}
    subs = tuple(
        _followed(sub, circuit=by_name.get(sub.name), design=design, measured=measured)
        for sub in design.sub_assemblies
    )
    return replace(design, sub_assemblies=subs), tuple(measured.found)


def names_of(circuits: Sequence[SubAssemblyCircuit], *, design: Design) -> Mapping[str, Key]:
    """List strings and LEDs by the names a figure as built may call them."""
    names = {
        f"{circuit.sub_assembly} / {string.name}": (circuit.sub_assembly, string.name)
        for circuit in circuits
        for string in circuit.strings
    }
    for sub in design.sub_assemblies:
        for led in sub.leds():
            names.setdefault(led.where.item, (sub.name, led.name))
            names.setdefault(f"{sub.name} / {led.name}", (sub.name, led.name))
    return names


def _resistors(circuits: Sequence[SubAssemblyCircuit], *, design: Design) -> dict[str, Key]:
    """List resistors and knobs by their names on the board, each with its string."""
    subs = {sub.name: sub for sub in design.sub_assemblies}
    return {
        f"{circuit.sub_assembly} / {part.name}": (circuit.sub_assembly, part.string)
        for circuit in circuits
        for part in wire_up(
            circuit,
            sub=subs[circuit.sub_assembly],
            supply=design.supply,
            habits=design.habits,
            groups=design.groups,
        ).parts
        if part.kind in (WiredKind.RESISTOR, WiredKind.TRIM)
    }


def _sorted_out(design: Design, *, circuits: Sequence[SubAssemblyCircuit]) -> _Measured:
    """Give each figure to what it is of; a figure that stands first holds."""
    measured = _Measured()
    names = names_of(circuits, design=design)
    resistors = _resistors(circuits, design=design)
    strings = {
        (circuit.sub_assembly, name): (circuit.sub_assembly, string.name)
        for circuit in circuits
        for string in circuit.strings
        for name in (string.name, *(led.name for led in string.leds))
    }
    leds = {(sub.name, led.name) for sub in design.sub_assemblies for led in sub.leds()}
    first: dict[tuple[Key, str], AsBuilt] = {}
    for entry in design.as_built:
        key = (SUPPLY, "") if entry.item == SUPPLY else None
        key = key or names.get(entry.item) or resistors.get(entry.item)
        if key is None:
            measured.found += of_nothing(entry, names=[*names, *resistors])
            continue
        for name in _given(entry):
            at = strings.get(key, key) if name in ("resistor", "current") else key
            earlier = first.setdefault((at, name), entry)
            if earlier is entry:
                measured.found += _put(
                    measured, entry, name=name, key=at, strings=strings, leds=leds, design=design
                )
            elif getattr(earlier, _FIGURES[name]) != getattr(entry, _FIGURES[name]):
                measured.found += two_figures(
                    earlier.where, item=entry.item, name=_WORDS.get(name, name), at=str(entry.where)
                )
    return measured


def _given(entry: AsBuilt) -> Iterator[str]:
    return (name for name, figure in _FIGURES.items() if getattr(entry, figure) is not None)


def _put(
    measured: _Measured,
    entry: AsBuilt,
    *,
    name: str,
    key: Key,
    strings: Mapping[Key, Key],
    leds: set[Key],
    design: Design,
) -> tuple[Finding, ...]:
    """Note a figure, or tell why it cannot be used."""
    why = ""
    if name == "voltage" and key[0] == SUPPLY and not key[1]:
        if design.supply.cells:
            why = "cells lose voltage as they empty, and the plan follows them down"
        else:
            measured.supply_V = entry.voltage_V
    elif name == "resistor" and key in strings and entry.resistor_ohm is not None:
        measured.ohms[key] = entry.resistor_ohm
    elif name == "current" and key in strings and entry.current_A is not None:
        measured.amps[key] = entry.current_A
    elif name == "at" and key in leds and entry.at_mm is not None:
        measured.places[key] = entry.at_mm
    else:
        why = f"it has no {_WORDS.get(name, name)} of its own"
    if not why:
        return ()
    return of_no_use(
        entry.where, given=f"the {_WORDS.get(name, name)} of '{entry.item}'", why=why, remedy=_OWN
    )


def _followed(
    sub: SubAssembly,
    *,
    circuit: SubAssemblyCircuit | None,
    design: Design,
    measured: _Measured,
) -> SubAssembly:
    touched = {name for of, name in (*measured.ohms, *measured.amps) if of == sub.name}
    if circuit and (touched or measured.supply_V is not None):
        sub = _soldered(sub, circuit=circuit, design=design, measured=measured)
    moved = {name: at for (of, name), at in measured.places.items() if of == sub.name}
    if moved:
        sub = with_leds(
            sub,
            {
                led.name: replace(led, x_mm=moved[led.name][0], y_mm=moved[led.name][1])
                for led in sub.leds()
                if led.name in moved
            },
        )
    return sub


def _soldered(
    sub: SubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    design: Design,
    measured: _Measured,
) -> SubAssembly:
    """Fix every string as it was designed, with what was measured of it."""
    supply_V = at_terminals(design.supply, subs=design.sub_assemblies).voltage_V
    currents = {
        string.name: measured.amps.get((sub.name, string.name), string.current_A.nominal)
        for string in circuit.strings
    }
    node_V = supply_V - circuit.lead_ohm * sum(currents.values())
    wishes: list[StringWish] = []
    leds: dict[str, Led] = {}
    for string in circuit.strings:
        ohm = measured.ohms.get((sub.name, string.name))
        current = measured.amps.get((sub.name, string.name))
        if ohm is not None:
            measured.found += other_resistor(string, measured_ohm=ohm, habits=design.habits)
        if current is not None:
            measured.found += other_current(string, measured_A=current)
        if current is not None and string.knob and ohm is None:
            ohm = (node_V - _leds_V(string, current, habits=design.habits)) / current
            current = None
        if current is not None:
            series = string.ohm if ohm is None else ohm
            left_V = node_V - current * series
            if left_V <= 0.0:
                measured.found += of_no_use(
                    string.where,
                    given=f"{amps(current)} through {sub.name} / {string.name}",
                    why=f"of {volts(node_V)} its resistor alone would take "
                    f"{volts(current * series)}",
                    remedy="measure current, resistor and supply again",
                )
            else:
                leds |= _shifted(string, current, left_V=left_V, ohm=series, habits=design.habits)
        wishes.append(_wish(string, measured_ohm=ohm))
    designed = {wish.name for wish in wishes}
    unsound = (wish for wish in sub.strings if wish.name not in designed)
    return with_leds(replace(sub, strings=(*wishes, *unsound)), leds)


def _wish(string: StringDesign, *, measured_ohm: float | None) -> StringWish:
    return StringWish(
        name=string.name,
        where=string.where,
        leds=tuple(led.name for led in string.leds),
        resistor_ohm=None if string.knob and measured_ohm is None else string.resistor_ohm,
        measured_ohm=measured_ohm,
        trim=string.knob is not None and measured_ohm is None,
    )


def _leds_V(string: StringDesign, current_A: float, *, habits: CircuitHabits) -> float:
    """Give the forward voltage of a string of typical LEDs in the middle of the ambient."""
    return sum(_led_V(led.led_type, current_A, habits=habits) for led in string.leds)


def _led_V(led_type: LedType, current_A: float, *, habits: CircuitHabits) -> float:
    _, middle, _ = shift_band(
        led_type, coldest_degC=habits.coldest_degC, warmest_degC=habits.warmest_degC
    )
    return float(fit(led_type).shifted(middle).voltage(current_A))


def _shifted(
    string: StringDesign, current_A: float, *, left_V: float, ohm: float, habits: CircuitHabits
) -> dict[str, Led]:
    """Shift the LEDs of a string so that they take the voltage that the resistor leaves."""
    off_V = (left_V - _leds_V(string, current_A, habits=habits)) / len(string.leds)
    spread_V = MEASURED_SHARE * current_A * ohm / len(string.leds)
    return {
        led.name: replace(led, led_type=_as_measured(led, off_V=off_V, spread_V=spread_V))
        for led in string.leds
    }


def _as_measured(led: Led, *, off_V: float, spread_V: float) -> LedType:
    """Shift a type's curve; its own spread stays where a current is wanted that it needs."""
    curve = tuple((current, volts + off_V) for current, volts in led.led_type.curve)
    moved = replace(led.led_type, curve=curve)
    closer = replace(moved, spread_V=min(spread_V, moved.spread_V))
    return closer if fit(closer).answers(led.current_A) else moved


def with_leds(sub: SubAssembly, leds: Mapping[str, Led]) -> SubAssembly:
    """Put LEDs into the places of those of the same name."""
    boxes = tuple(
        (panel, replace(box, leds=tuple(leds.get(led.name, led) for led in box.leds)))
        for panel, box in sub.boxes
    )
    lamps = tuple(leds.get(led.name, led) for led in sub.lamps)
    return replace(sub, boxes=boxes, lamps=lamps)
