"""What would help where no resistor brings about a look, each way computed."""

from collections.abc import Mapping, Sequence
from math import ceil, floor, log, sqrt

from lamphouse.balance.alike import Alike, factors_of
from lamphouse.balance.settings import (
    Feeding,
    Setting,
    curve_span_A,
    settings_of,
    wanted_span_A,
)
from lamphouse.circuit.mend import USUAL_SUPPLIES_V
from lamphouse.circuit.phrases import amps, counted, listed, ohms, volts
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.design.whole import Look
from lamphouse.light.box_glow import BoxGlow, LedCurrent, OpeningGlow
from lamphouse.light.box_scene import draw_box
from lamphouse.light.dimming import denser
from lamphouse.light.glow_words import either, in_cd_m2, in_share
from lamphouse.light.solved_box import Sight, SolvedBox, solve_box
from lamphouse.record import Record, replace

FINER = ("E12", "E24", "E96")


class Stuck(Record):
    """Strings that keep their resistor because no other brings about their looks."""

    alike: Alike
    feeding: Feeding
    looks: tuple[Look, ...]
    currents: Mapping[str, LedCurrent]
    """Of the LEDs of the sub-assembly, by name."""


def _solved(stuck: Stuck, *, box: BoxGlow) -> SolvedBox:
    sub = stuck.alike.sub
    panel = next(one for one in sub.panels if one.name == box.panel)
    drawn_box = next(one for name, one in sub.boxes if (name, one.name) == (box.panel, box.box))
    beside = tuple(one for name, one in sub.boxes if name == box.panel and one.name != box.box)
    own = {led.name for one in (drawn_box, *beside) for led in one.leds}
    return solve_box(
        draw_box(panel, box=drawn_box, currents=stuck.currents, beside=beside),
        currents=[current for name, current in stuck.currents.items() if name in own],
        looks=stuck.looks,
        room=None,
        without=frozenset(),
    )


def _sight(solved: SolvedBox, *, opening: OpeningGlow) -> Sight | None:
    """Find an opening in its box; None when it lies over a box beside it."""
    return next((one for one in solved.sights if one.glow.opening == opening.opening), None)


def extremes(box: BoxGlow) -> tuple[OpeningGlow, OpeningGlow]:
    """Find the openings of a box that ask for the most and for the least current."""
    looked = [one for one in box.openings if one.look and one.mean_cd_m2 > 0.0]
    return (
        max(looked, key=lambda one: factors_of([one])[0]),
        min(looked, key=lambda one: factors_of([one])[1]),
    )


def apart(stuck: Stuck) -> str:
    """Say how openings that want different currents can have them."""
    alike = stuck.alike
    for box in alike.boxes:
        low, high = factors_of(box.openings)
        if low > high:
            return _covered(stuck, box=box)
    parts = []
    for box in alike.boxes:
        low, high = factors_of(box.openings)
        if low > 0.0:
            parts.append(f"{amps(sqrt(low * high) * alike.current_A)} for '{box.box}'")
    return f"give each box strings of its own, with {listed(parts)}"


def _covered(stuck: Stuck, *, box: BoxGlow) -> str:
    dark, bright = extremes(box)
    solved = _solved(stuck, box=box)
    sight = _sight(solved, opening=bright)
    rest = factors_of([one for one in box.openings if one.opening != bright.opening])
    ways = [denser(solved, sight=sight, factor=sqrt(rest[0] * rest[1]))] if sight else []
    share = factors_of([bright])[1] / factors_of([dark])[0]
    ways.append(
        f"give '{bright.opening}' a box of its own, or a film that passes {in_share(share)} or "
        "less of what it now lets through"
    )
    return either([way for way in ways if way])


def beyond_curve(stuck: Stuck) -> str:
    """Say what brings openings to their looks within the curve of the LEDs.

    The number of LEDs goes by the light that is too much or lacking, as if each gave the same.
    """
    alike = stuck.alike
    least, most = curve_span_A(alike.leds)
    low, high = wanted_span_A(alike)
    box = next(one for one in alike.boxes if factors_of(one.openings)[0] > 0.0)
    dark, bright = extremes(box)
    count = len(box.scene.lamps)
    if low > most:
        shown = in_cd_m2(dark.mean_cd_m2 * most / alike.current_A)
        return (
            f"at {amps(most)} '{dark.opening}' shows {shown}: use about "
            f"{ceil(count * low / most)} LEDs of the kind in place of {count}, or layers that pass "
            f"{low / most:.2g} times the light"
        )
    solved = _solved(stuck, box=box)
    sight = _sight(solved, opening=bright)
    share = high / least
    ways = [f"use {counted(floor(count * share), 'LED')}"] if count * share >= 1.0 else []
    gel = denser(solved, sight=sight, factor=least / alike.current_A) if sight else ""
    ways.append(gel or f"use a film that passes {in_share(share)} or less of what now comes out")
    shown = in_cd_m2(bright.mean_cd_m2 * least / alike.current_A)
    return f"at {amps(least)} '{bright.opening}' still shows {shown}: {either(ways)}"


def nearest_setting(settings: Sequence[Setting], *, middle_A: float) -> Setting:
    """Find the setting whose current is nearest in ratio to the middle."""
    return min(settings, key=lambda one: abs(log(sqrt(one.least_A * one.most_A) / middle_A)))


def rewired(stuck: Stuck) -> str:
    """Say which finer series, shorter string or higher supply has a resistor that does it."""
    feeding, alike = stuck.feeding, stuck.alike
    series = feeding.habits.series
    ways = []
    for finer in FINER[FINER.index(series) + 1 :] if series in FINER else FINER:
        values = tuple(preferred_ohm(finer).tolist())
        found = _tried(stuck, alike=alike, feeding=replace(feeding, values_ohm=values))
        if found:
            ways.append(f"take a value of {finer}: {_words(found)}")
            break
    for strings in range(2, len(alike.leds) + 1):
        found = _tried(stuck, alike=_split(alike, strings=strings), feeding=feeding)
        if found:
            ways.append(f"wire its LEDs as {strings} strings: {_words(found)}")
            break
    for voltage_V in USUAL_SUPPLIES_V:
        if voltage_V <= feeding.supply.voltage_V:
            continue
        supply = replace(feeding.supply, voltage_V=voltage_V)
        found = _tried(stuck, alike=alike, feeding=replace(feeding, supply=supply))
        if found:
            ways.append(f"feed it from {volts(voltage_V)}: {_words(found)}")
            break
    return either(ways) or (
        f"no series, shorter string or supply up to {volts(USUAL_SUPPLIES_V[-1])} does it: take "
        f"resistors closer than {100.0 * feeding.habits.resistor_tolerance:g} % or a supply closer "
        f"than {100.0 * feeding.supply.tolerance:g} %"
    )


def _split(alike: Alike, *, strings: int) -> Alike:
    """Split each string as evenly as can be; the longest stands for all."""
    longest = ceil(len(alike.leds) / strings)
    short = replace(alike.strings[0], leds=alike.leds[:longest])
    return replace(alike, strings=(short,) * (strings * len(alike.strings)))


def _tried(stuck: Stuck, *, alike: Alike, feeding: Feeding) -> Setting | None:
    """Find the best setting of the strings, with nothing else on the pigtail."""
    settings = settings_of([alike], feeding=feeding)[alike]
    middle_A = stuck.alike.middle() * stuck.alike.current_A
    return nearest_setting(settings, middle_A=middle_A) if settings else None


def _words(setting: Setting) -> str:
    return f"{ohms(setting.ohm)} gives {amps(setting.least_A)}"
