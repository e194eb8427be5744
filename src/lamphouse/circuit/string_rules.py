"""Rules on designed strings: their worst case against what was wanted and what parts bear."""

from collections.abc import Iterable

import numpy as np

from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.corners import HIGH, MIDDLE, level_arrays, types_of
from lamphouse.circuit.curve import fit
from lamphouse.circuit.mend import is_overdriven, is_weak, mends_of_weak, rated_A
from lamphouse.circuit.phrases import amps, counted, ohms, percent, volts, watts
from lamphouse.circuit.resistors import dissipation_limit_W, is_sold, nearest_preferred_ohm
from lamphouse.circuit.strings import bunches_of, design_bunches
from lamphouse.circuit.trial import Feed
from lamphouse.design.place import SubAssembly
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.record import replace


@rule("CIR020", Severity.STOP, "A string that may stay dark or pale")
def weak_string(circuit: SubAssemblyCircuit, *, sub: SubAssembly, feed: Feed) -> Iterable[Told]:
    """Find strings whose worst case falls far below the wanted current.

    What it checks
        With the supply at its lowest, all LEDs of the string at their highest forward voltage
        in the coldest room, its resistor at its highest and its neighbours drawing their most
        through the pigtail, the string still gets ``circuit: least_share`` of the wanted
        current (60 % unless set otherwise).

    Why it matters
        When LEDs in series take nearly all of the supply's voltage, a few hundredths of a volt
        decide the current. The string works on the bench and is pale in the model, or the
        second one built is darker than the first.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 4, step: [9 mm, 0 mm], current: 1.5 mA}
                strings:
                  S1: {leds: [L1, L2, L3, L4]}

    Mend
        Make shorter strings, as the finding names them, or take a supply of more volts.

    Source
        [SHOCKLEY]; corners of a monotone circuit. The share of 60 % is this project's choice.
    """  # noqa: E501 - one line of the example is one line of a project file
    supply, habits = feed.supply, feed.habits
    mends = mends_of_weak(sub, circuit=circuit, feed=feed)
    for string in circuit.strings:
        if string.name not in mends:
            continue
        usual_V, most_V = _leds_V(string, feed, MIDDLE), _leds_V(string, feed, HIGH)
        left_V = supply.voltage_V - usual_V
        lowest_V = supply.voltage_V * (1.0 - supply.tolerance) - supply.sag_V
        rest_V = lowest_V - most_V
        series = f"{counted(len(string.leds), 'LED')}{' in series' * (len(string.leds) > 1)}"
        takes = "take" if len(string.leds) > 1 else "takes"
        left = f"leaves {volts(left_V)}" if left_V > 0 else "leaves nothing"
        rest = f"only {volts(rest_V)}" if rest_V > 0 else "nothing"
        yield Told(
            where=string.where,
            message=f"{series} {takes} {volts(usual_V)} at {amps(string.wanted_A)}, which {left} "
            f"of {volts(supply.voltage_V)} for the resistor of {ohms(string.fitted_ohm)}; at "
            f"{volts(lowest_V)} and with LEDs that ask for {volts(most_V)}, {rest} is left "
            f"at that current and {_floored(string)} of it flows; at least "
            f"{percent(habits.least_share)} is asked for",
            remedy=mends[string.name].words,
            mend=sets("", None) if mends[string.name].left_to_the_tool else (),
        )


@rule("CIR021", Severity.STOP, "An LED above its rated current in the worst case")
def overdriven(circuit: SubAssemblyCircuit, *, sub: SubAssembly, feed: Feed) -> Iterable[Told]:
    """Find strings whose resistor lets too much current through in the worst case.

    What it checks
        With the supply at its highest, all LEDs of the string at their lowest forward voltage
        in the warmest room and its resistor at its lowest, the current stays within the rated
        continuous current of every LED. A resistor that the tool chooses always keeps this.

    Why it matters
        An LED run above its rating fades within months, behind a panel that is glued shut.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 3, step: [9 mm, 0 mm], current: 15 mA}
                strings:
                  S1: {leds: [L1, L2, L3], resistor: 100R}

    Mend
        Take the resistor that the finding names.

    Source
        [SHOCKLEY]; the rated current of the type's row in the catalogue.
    """  # noqa: E501 - one line of the example is one line of a project file
    over = {string.name for string in circuit.strings if is_overdriven(string)}
    if not over:
        return
    bunches = [
        replace(bunch, fixed_ohm=None) if bunch.name in over else bunch
        for bunch in bunches_of(sub, supply=feed.supply)
    ]
    redone, _ = design_bunches(bunches, sub=sub, feed=feed)
    better = {string.name: string for strings in redone for string in strings}
    for string in circuit.strings:
        if string.name in over:
            rated, mended = rated_A(string), better.get(string.name, string)
            yield Told(
                where=string.where,
                message=f"{ohms(string.fitted_ohm)} lets up to "
                f"{amps(string.current_A.high)} through LEDs rated {amps(rated)}: the supply "
                f"may be {percent(feed.supply.tolerance)} high and the LEDs' forward voltage low",
                remedy=f"take {ohms(mended.resistor_ohm)}: "
                f"{amps(mended.current_A.nominal)}, at most {amps(mended.current_A.high)}",
                mend=sets("resistor", ohms(mended.resistor_ohm)),
            )


@rule("CIR022", Severity.STOP, "A resistor hotter than it may be")
def overheated_resistor(circuit: SubAssemblyCircuit, *, feed: Feed) -> Iterable[Told]:
    """Find resistors whose power is above what their package bears in the warmest room.

    What it checks
        The largest power in the resistor over all cases is at most the rated dissipation of its
        package, less the derating at the warmest ambient.

    Why it matters
        The resistor drifts and browns its board, and polystyrene softens at 80 to 100 degC.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 24 V, tolerance: 5 %, max_current: 500 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                board: {kind: perforated, resistors: axial 1/4 W}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 14 mA}
                strings:
                  S1: {leds: [L]}

    Mend
        Take a larger package, or put more LEDs in series so that less voltage is burnt.

    Source
        [IEC60115-8]. The softening of polystyrene is from memory.
    """
    share = (
        dissipation_limit_W(feed.package, ambient_degC=feed.habits.warmest_degC)
        / feed.package.power_W
    )
    for string in circuit.strings:
        if string.resistor_W > string.resistor_limit_W:
            larger = (
                f"take a package rated {watts(string.resistor_W / share)} or more, or put more "
                "LEDs in series"
                if share > 0.0
                else f"keep the ambient below {feed.package.zero_power_degC:g} degC"
            )
            yield Told(
                where=string.where,
                message=f"{ohms(string.fitted_ohm)} may turn {watts(string.resistor_W)} into "
                f"heat; '{feed.package.name}' bears {watts(string.resistor_limit_W)} at "
                f"{feed.habits.warmest_degC:g} degC",
                remedy=larger,
            )


@rule("CIR023", Severity.NOTE, "A worst case beyond the LED's curve")
def beyond_curve(circuit: SubAssemblyCircuit, *, feed: Feed) -> Iterable[Told]:
    """Find strings that hold, but whose worst-case currents leave the LED's known curve.

    What it checks
        The whole band of current of a string lies where the forward curve of each of its types
        answers.

    Why it matters
        Outside its points the curve is carried on as a diode with series resistance. The ends
        of the band are then less sure than its middle.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 3, step: [9 mm, 0 mm], current: 80 uA}

    Mend
        Measure the forward voltage at the current that the finding names, and add the point to
        your own row of the type.

    Source
        The points of the type's row in the catalogue.
    """  # noqa: E501 - one line of the example is one line of a project file
    for string in circuit.strings:
        if is_weak(string, least_share=feed.habits.least_share):
            continue
        for led_type, _ in types_of(string.leds):
            curve, band = fit(led_type), string.current_A
            if band.high > led_type.max_current_A * (1.0 + 1e-9):
                continue
            outside = [end for end in (band.low, band.high) if not curve.answers(end)]
            if outside:
                yield Told(
                    where=string.where,
                    message=f"{amps(band.low)} to {amps(band.high)} may flow, but the curve of "
                    f"'{led_type.name}' is known from {amps(curve.least_A)} to "
                    f"{amps(curve.most_A)} only; beyond it is carried on as a diode",
                    remedy=f"measure its forward voltage at {amps(outside[0])} and add the point "
                    "to its curve",
                )


@rule("CIR024", Severity.WARN, "A resistor value that is not sold")
def unsold_resistor(circuit: SubAssemblyCircuit, *, feed: Feed) -> Iterable[Told]:
    """Find resistors fixed by the maker to a value of no preferred series.

    What it checks
        A resistor's value is a number of E6, E12, E24 or E96.

    Why it matters
        It cannot be bought, and has no colour bands to find it by in the drawer.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 2 mA}
                strings:
                  S1: {leds: [L], resistor: 4800 ohm}

    Mend
        Take the nearest value of the series, as the finding names it.

    Source
        [IEC60063]
    """
    for string in circuit.strings:
        if not is_sold(string.resistor_ohm):
            series = feed.habits.series
            nearest = nearest_preferred_ohm(string.resistor_ohm, series=series)
            yield Told(
                where=string.where,
                message=f"a resistor of {ohms(string.resistor_ohm)} is in no preferred series "
                "and cannot be bought",
                remedy=f"take {ohms(nearest)} of {series}",
            )


def string_findings(
    circuit: SubAssemblyCircuit, *, sub: SubAssembly, feed: Feed
) -> tuple[Finding, ...]:
    """Run every rule on the strings of a designed circuit."""
    return (
        *weak_string(circuit, sub=sub, feed=feed),
        *overdriven(circuit, sub=sub, feed=feed),
        *overheated_resistor(circuit, feed=feed),
        *beyond_curve(circuit, feed=feed),
        *unsold_resistor(circuit, feed=feed),
    )


def _leds_V(string: StringDesign, feed: Feed, level: int) -> float:
    """Forward voltage of a string at its wanted current, in V."""
    levels = level_arrays([types_of(string.leds)], habits=feed.habits)
    return float(levels.voltage(np.array([string.wanted_A]), level=level)[0])


def _floored(string: StringDesign) -> str:
    """Share of the wanted current in the worst case, or that it is below what the curve knows."""
    least = max(fit(led_type).least_A for led_type, _ in types_of(string.leds))
    if string.current_A.low < least < string.wanted_A:
        return f"less than {percent(least / string.wanted_A)}"
    return f"{percent(string.current_A.low / string.wanted_A)}"
