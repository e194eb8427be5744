"""Rules on what the maker asks of LEDs and strings, before anything is designed."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import nearest
from lamphouse.circuit.curve import fit
from lamphouse.circuit.phrases import amps, listed, volts
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Finding, Severity, Told, Where, rule, sets

LARGEST_MISFIT_V = 0.02
EASY_SHARE = 0.75
"""Share of the rated current at which LEDs last [PRACTICE]."""


@rule("CIR030", Severity.STOP, "An LED is asked for more than its rated current")
def over_rated(sub: SubAssembly) -> Iterable[Told]:
    """Find LEDs whose wanted current is above what their type may carry.

    What it checks
        The current wanted through an LED is at most the rated continuous current of its type.

    Why it matters
        Above it the LED runs hot in a closed box, loses its light within months and changes
        colour, behind a panel that is glued shut.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 25 mA}

    Mend
        Ask for three quarters of the rated current or less, and use more LEDs for more light.

    Source
        The type's row in the catalogue; the three quarters are common practice, no source.
    """
    for led in sub.leds():
        rated = led.led_type.max_current_A
        if led.current_A > rated:
            yield Told(
                where=led.where,
                message=f"{amps(led.current_A)} is wanted through '{led.led_type.name}', which "
                f"is rated {amps(rated)}",
                remedy=f"ask for {amps(EASY_SHARE * rated)} or less, and use more LEDs for more "
                "light",
                mend=sets("current", amps(EASY_SHARE * rated)),
            )


@rule("CIR031", Severity.STOP, "A current outside the LED's curve")
def outside_curve(sub: SubAssembly) -> Iterable[Told]:
    """Find LEDs whose wanted current their forward curve does not know.

    What it checks
        The current wanted through an LED lies between the lowest and the highest point of its
        type's forward curve, or beyond them by no more than the curve moves by half of the
        type's spread.

    Why it matters
        Outside its points the forward voltage is a guess, and so would be the resistor. The LED
        is in no string and no total until this is mended.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 20 uA}

    Mend
        Ask for a current inside the curve, or measure the forward voltage at the wanted current
        and add the point to your own row of the type.

    Source
        The points of the type's row in the catalogue; that good parts differ by the spread.
    """
    for led in sub.leds():
        curve = fit(led.led_type)
        if led.current_A <= led.led_type.max_current_A and not curve.answers(led.current_A):
            closest = min(max(led.current_A, curve.least_A), curve.most_A)
            yield Told(
                where=led.where,
                message=f"{amps(led.current_A)} is wanted through '{led.led_type.name}', whose "
                f"curve is known from {amps(curve.least_A)} to {amps(curve.most_A)} only",
                remedy=f"ask for {amps(closest)}, or measure its forward voltage at "
                f"{amps(led.current_A)} and add the point to its curve",
            )


@rule("CIR032", Severity.WARN, "The curve's points are not those of a diode")
def crooked_curve(sub: SubAssembly) -> Iterable[Told]:
    """Find LED types whose forward curve no diode with series resistance could have.

    What it checks
        The fitted curve passes each point of the type within 20 mV.

    Why it matters
        A point misread or mistyped by a tenth of a volt shifts the current of a string with
        little voltage to spare by a third.

    Example
        ::

            parts/led_types.csv: |
              name,package,size,colour,peak,white point,forward curve,spread,drift,max current,flux,beam,source,kind,date
              odd white,0603,1.6 x 0.8 x 0.6 mm,white,,6500 K,2.6 V at 1 mA; 3.4 V at 2 mA; 3.5 V at 20 mA,0.2 V,-3 mV/K,20 mA,1 lm at 5 mA,120 deg,my meter,measured,2026-11-25
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: odd white, at: [10 mm, 10 mm], current: 2 mA}

    Mend
        Measure the point that is farthest off again.

    Source
        [SHOCKLEY]; the 20 mV are common practice, no source.
    """  # noqa: E501  a row of a table cannot be broken
    seen: set[LedType] = set()
    for led in sub.leds():
        if led.led_type in seen:
            continue
        seen.add(led.led_type)
        curve = fit(led.led_type)
        if curve.misfit_V > LARGEST_MISFIT_V:
            off = [abs(float(curve.voltage(amp)) - volt) for amp, volt in led.led_type.curve]
            worst_A, worst_V = led.led_type.curve[off.index(max(off))]
            yield Told(
                where=led.where,
                message=f"the points of '{led.led_type.name}' lie up to {1000 * max(off):.0f} mV "
                "off any diode with a resistance in series; "
                f"{1000 * LARGEST_MISFIT_V:.0f} mV are allowed",
                remedy=f"measure {volts(worst_V)} at {amps(worst_A)} again: the other points ask "
                f"for about {volts(float(curve.voltage(worst_A)))}",
            )


@rule("CIR033", Severity.STOP, "A string names an LED that is not there")
def unknown_led(sub: SubAssembly) -> Iterable[Told]:
    """Find names in strings that no LED of the sub-assembly has, and strings without any.

    What it checks
        Every name under ``leds`` of a string is an LED of the same sub-assembly, and there is
        one at least.

    Why it matters
        A string cannot be designed around a gap, and a string that reached into another
        sub-assembly would not unplug with it.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 2, step: [9 mm, 0 mm], current: 2 mA}
                strings:
                  S1: {leds: [L1, L3]}

    Mend
        Write the name as it stands under ``leds`` or ``lamps``; a row of LEDs counts from 1.

    Source
        Design rule of this project.
    """  # noqa: E501 - one line of the example is one line of a project file
    known = [led.name for led in sub.leds()]
    for wish in sub.strings:
        if not wish.leds:
            yield Told(
                where=wish.where,
                message="the string names no LED",
                remedy="remove it, or name LEDs of this sub-assembly: " + ", ".join(known[:4]),
            )
        for name in wish.leds:
            if name not in known:
                near = nearest(name, known)
                there = f"it has {listed(known)}" if 0 < len(known) <= 6 else "see its LEDs"
                yield Told(
                    where=wish.where,
                    message=f"'{name}' is no LED of '{sub.name}'",
                    remedy=f"did you mean '{near}'?" if near else f"name one of its LEDs; {there}",
                )


@rule("CIR034", Severity.STOP, "An LED stands in two strings")
def led_twice(sub: SubAssembly) -> Iterable[Told]:
    """Find LEDs that more than one string names, or one string twice.

    What it checks
        Every LED is named once at most in all strings of its sub-assembly.

    Why it matters
        An LED has two leads. In two strings it would join them, and neither would get its
        current.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 3, step: [9 mm, 0 mm], current: 2 mA}
                strings:
                  S1: {leds: [L1, L2]}
                  S2: {leds: [L2, L3]}

    Mend
        Leave the LED in one of the strings.

    Source
        Kirchhoff's current law.
    """  # noqa: E501 - one line of the example is one line of a project file
    first: dict[str, str] = {}
    for wish in sub.strings:
        for name in wish.leds:
            if name in first:
                both = "twice" if first[name] == wish.name else f"and in string '{first[name]}'"
                yield Told(
                    where=wish.where,
                    message=f"LED '{name}' stands in string '{wish.name}' {both}; an LED has two "
                    "leads and belongs in one place of one string",
                    remedy=f"take '{name}' out of '{wish.name}'",
                )
            first.setdefault(name, wish.name)


@rule("CIR035", Severity.WARN, "One string, two wanted currents")
def mixed_currents(sub: SubAssembly) -> Iterable[Told]:
    """Find strings whose LEDs want different currents.

    What it checks
        All LEDs of a string want the same current.

    Why it matters
        One current flows through all of them. The string is designed for the least wanted, so
        that none is brighter than wished; the others stay darker.

    Example
        ::

            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L1: {type: white 0603, at: [10 mm, 10 mm], current: 1 mA}
                  L2: {type: white 0603, at: [20 mm, 10 mm], current: 3 mA}
                strings:
                  S1: {leds: [L1, L2]}

    Mend
        Give them the same current, or put those that want more into a string of their own.

    Source
        Kirchhoff's current law.
    """
    for wish, leds in _wished(sub):
        least = min(led.current_A for led in leds)
        more = [led for led in leds if led.current_A > least * (1.0 + 1e-9)]
        if more:
            names = listed([f"'{led.name}' ({amps(led.current_A)})" for led in more])
            yield Told(
                where=wish,
                message=f"one current flows through the string; it gets {amps(least)}, and "
                f"{names} would stay darker than wished",
                remedy=f"give all of them {amps(least)}, or take {names} into a string apart",
            )


@rule("CIR036", Severity.STOP, "One string, two source groups")
def mixed_groups(sub: SubAssembly, *, groups: Sequence[SourceGroup]) -> Iterable[Told]:
    """Find strings whose LEDs should blink apart.

    What it checks
        All LEDs of a string belong to the same source group, or all burn steadily.

    Why it matters
        One current flows through all of them: they light and go dark together.

    Example
        ::

            groups:
              alarm:
                in: wall
                source: {led: red 3 mm, current: 5 mA}
                pattern: {kind: beacon, period: 2 s}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L1: {type: red 0603, at: [10 mm, 10 mm], current: 2 mA, group: alarm}
                  L2: {type: red 0603, at: [20 mm, 10 mm], current: 2 mA}
                strings:
                  S1: {leds: [L1, L2]}

    Mend
        Make a string for each group.

    Source
        Kirchhoff's current law.
    """
    steady = {group.name for group in groups if not group.is_switched}
    for wish, leds in _wished(sub):
        together: dict[str, list[str]] = {}
        for led in leds:
            blinks_with = "" if led.group in steady else led.group
            together.setdefault(blinks_with, []).append(led.name)
        if len(together) > 1:
            parts = listed(
                [
                    f"{', '.join(names)} ({f'group {group!r}' if group else 'steady'})"
                    for group, names in together.items()
                ]
            )
            yield Told(
                where=wish,
                message="one current flows through the string, so its LEDs light and go dark "
                f"together; wanted apart are {parts}",
                remedy=f"make a string of each: {parts}",
            )


def wish_findings(sub: SubAssembly, *, groups: Sequence[SourceGroup]) -> tuple[Finding, ...]:
    """Run every rule on what the maker asks of a sub-assembly's LEDs and strings."""
    return (
        *over_rated(sub),
        *outside_curve(sub),
        *crooked_curve(sub),
        *unknown_led(sub),
        *led_twice(sub),
        *mixed_currents(sub),
        *mixed_groups(sub, groups=groups),
    )


def _wished(sub: SubAssembly) -> Iterable[tuple[Where, list[Led]]]:
    """Give each wish's place with those of its LEDs that exist, where there are any."""
    known = {led.name: led for led in sub.leds()}
    for wish in sub.strings:
        leds = [known[name] for name in wish.leds if name in known]
        if leds:
            yield wish.where, leds
