r"""What most builds of a sub-assembly come to: many builds drawn by lot, beside the corners.

Each build draws the supply's voltage and the ambient once, and each resistor, LED and flux on its
own. Of each only its bounds are known, so that every value between them is as likely as any other
[GUM]. LEDs of one batch lie nearer to each other than that.

Solving
-------
Far above its saturation current a string of any LEDs is ``s ln(I) + R I = U``, with ``s`` the sum
of their slopes and ``U`` the node's voltage plus the sum of ``slope * ln(I_sat)``. With
``w = R I / s`` that is ``w + ln(w) = U / s + ln(R / s)``, the Wright omega function: one function
of one number for every string of every build.
"""

from collections.abc import Mapping, Sequence
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.corners import types_of
from lamphouse.circuit.curve import CURVE_DEGC, fit
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record

Array = NDArray[np.float64]

FLUX_SPREAD = 0.15
"""How far the flux of an LED may be off within one bin, either way: bins are some 1.35 wide from
end to end [MEMORY]. No row of the catalogue has its own."""
_MOST_BUILDS, _LEAST_BUILDS = 2000, 200
_MOST_DRAWN = 200_000
"""LEDs drawn in all builds together."""
_ENDS = (5.0, 50.0, 95.0)
_LEAST_OHM = 1e-6
_MOST_STEPS = 200
_SMALL_STEP_V = 1e-6
"""Against slopes of some millivolt and more its square is below what matters here."""


class Likely(Record):
    """Where nine builds of ten lie."""

    low: float
    """One build of twenty lies below."""
    middle: float
    high: float
    """One build of twenty lies above."""


class StringSpread(Record):
    """What most builds of a string come to."""

    string: str
    current_A: Likely
    light: Likely
    """Of one of its LEDs, as a share of that of a middling LED at the wanted current."""
    least_light: float
    """With everything at its worst at once."""
    most_light: float


class Neighbours(Record):
    """Strings that are seen side by side."""

    seen: str
    """The light box they shine in, or the word by which openings should match."""
    boxes: tuple[str, ...]
    strings: tuple[str, ...]
    ratio: float
    """Of the brightest to the darkest, each against its wanted current; one build of twenty lies
    above. The flux of LEDs of one batch is left out: no circuit mends it."""


class SubAssemblySpread(Record):
    """What most builds of a sub-assembly come to."""

    sub_assembly: str
    builds: int
    """How many were drawn."""
    strings: tuple[StringSpread, ...]
    neighbours: tuple[Neighbours, ...]


def spread_of(
    circuit: SubAssemblyCircuit,
    *,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    seed: int,
    mates: Mapping[str, tuple[str, ...]] | None = None,
) -> SubAssemblySpread:
    """Draw many builds of a sub-assembly and tell where most of them lie.

    Parameters
    ----------
    circuit
        As designed.
    sub
        For its light boxes.
    supply
        As strings see it, behind fuse and protection.
    habits
        For the ambient and the tolerance of resistors.
    seed
        The project's; each sub-assembly draws from a stream of its own.
    mates
        Light boxes whose openings should match, by word.

    Notes
    -----
    Light goes with the current, as everywhere in this program. How flux falls with warmth is not
    in the model. Every string is lit.

    References
    ----------
    [SHOCKLEY], [GUM]
    """
    current = currents_of(circuit, supply=supply, habits=habits, seed=seed)
    builds = len(current)
    flux = _stream(seed, sub.name, what="flux")
    wanted = np.array([string.wanted_A for string in circuit.strings])
    share = current / wanted
    told: dict[object, tuple[Likely, Likely]] = {}
    alike: dict[object, list[int]] = {}
    for index, string in enumerate(circuit.strings):
        alike.setdefault(_kind(string), []).append(index)
    for key, rows in alike.items():
        leds = len(circuit.strings[rows[0]].leds)
        bins = 1.0 + FLUX_SPREAD * flux.uniform(-1.0, 1.0, size=(builds, len(rows), leds))
        light = share[:, rows, None] * bins
        told[key] = _likely(current[:, rows]), _likely(light)
    strings = tuple(_string_spread(string, *told[_kind(string)]) for string in circuit.strings)
    return SubAssemblySpread(
        sub_assembly=circuit.sub_assembly,
        builds=builds,
        strings=strings,
        neighbours=_neighbours(circuit, sub=sub, share=share, mates=mates or {}),
    )


def currents_of(
    circuit: SubAssemblyCircuit, *, supply: Supply, habits: CircuitHabits, seed: int
) -> Array:
    """Give the current of every string in every build drawn, shape ``(builds, strings)``. [A]."""
    strings = circuit.strings
    leds = [led for string in strings for led in string.leds]
    builds = min(max(_MOST_DRAWN // max(len(leds), 1), _LEAST_BUILDS), _MOST_BUILDS)
    if not strings:
        return np.zeros((builds, 0))
    lot = _stream(seed, circuit.sub_assembly, what="current")
    off = supply.tolerance
    low_V = max(supply.voltage_V * (1.0 - off) - supply.sag_V, 0.0)
    source = lot.uniform(low_V, supply.voltage_V * (1.0 + off), size=builds)
    degC = lot.uniform(habits.coldest_degC, habits.warmest_degC, size=builds)
    curves = {led.led_type: fit(led.led_type) for led in leds}
    drift = np.array([led.led_type.drift_V_per_K for led in leds])
    bound = np.array([led.led_type.spread_V for led in leds])
    shift = bound * lot.uniform(-1.0, 1.0, size=(builds, len(leds)))
    shift += drift * (degC - CURVE_DEGC)[:, None]
    starts = np.cumsum([0, *(len(string.leds) for string in strings[:-1])])
    offset = np.add.reduceat(
        np.array([curves[led.led_type].offset_V for led in leds]) + shift, starts, axis=1
    )
    slope = np.add.reduceat([curves[led.led_type].slope_V for led in leds], starts)
    leds_ohm = np.add.reduceat([curves[led.led_type].series_ohm for led in leds], starts)
    resistor = np.array([string.ohm for string in strings])
    tolerance = habits.resistor_tolerance * lot.uniform(-1.0, 1.0, size=(builds, len(strings)))
    ohm = np.maximum(resistor * (1.0 + tolerance) + leds_ohm, _LEAST_OHM)
    return _behind_lead(source, lead_ohm=circuit.lead_ohm, ohm=ohm, slope=slope, offset=offset)


def wright_omega(z: Array) -> Array:
    """Solve ``w + ln(w) = z`` for positive ``w``, to a relative error near rounding.

    Below ``z = -700`` the answer is that there, which is nothing.

    References
    ----------
    [FRITSCH]
    """
    z = np.maximum(z, -700.0)
    w: Array = np.where(z > 1.0, z - np.log(np.maximum(z, 1.0)), np.exp(np.minimum(z, 1.0)))
    for _ in range(3):
        residue = z - w - np.log(w)
        rise = 1.0 + w
        square = 2.0 * rise * (rise + 2.0 / 3.0 * residue)
        w *= 1.0 + residue / rise * (square - residue) / (square - 2.0 * residue)
    return w


def _behind_lead(
    source: Array, *, lead_ohm: float, ohm: Array, slope: Array, offset: Array
) -> Array:
    """Solve strings behind one lead: Newton's method on the voltage at its far end."""
    start = np.log(ohm / slope)
    node = source.copy()
    for _ in range(_MOST_STEPS):
        current: Array = slope / ohm * wright_omega((node[:, None] - offset) / slope + start)
        if lead_ohm == 0.0:
            return current
        rise = 1.0 / (ohm + slope / np.maximum(current, np.finfo(float).tiny))
        excess = node + lead_ohm * current.sum(axis=1) - source
        step = excess / (1.0 + lead_ohm * rise.sum(axis=1))
        node = np.clip(node - step, 0.0, source)
        if np.abs(step).max() <= _SMALL_STEP_V:
            settled: Array = np.maximum(current - rise * step[:, None], 0.0)
            return settled
    unsettled = "the voltage behind the common lead did not settle"
    raise ArithmeticError(unsettled)


def _kind(string: StringDesign) -> object:
    """Give what strings have in common that are drawn together."""
    return types_of(string.leds), string.ohm, string.wanted_A


def _stream(seed: int, name: str, *, what: str) -> np.random.Generator:
    return np.random.default_rng([seed, crc32(name.encode()), crc32(what.encode())])


def _likely(values: Array) -> Likely:
    low, middle, high = (float(end) for end in _percentiles(values, _ENDS))
    return Likely(low=low, middle=middle, high=high)


def _string_spread(string: StringDesign, current_A: Likely, light: Likely) -> StringSpread:
    band, wanted = string.current_A, string.wanted_A
    return StringSpread(
        string=string.name,
        current_A=current_A,
        light=light,
        least_light=band.low / wanted * (1.0 - FLUX_SPREAD),
        most_light=band.high / wanted * (1.0 + FLUX_SPREAD),
    )


def _neighbours(
    circuit: SubAssemblyCircuit,
    *,
    sub: SubAssembly,
    share: Array,
    mates: Mapping[str, tuple[str, ...]],
) -> tuple[Neighbours, ...]:
    """Compare the strings of each light box, and of boxes that should match; trimmed ones aside."""
    home = {led.name: box.name for _, box in sub.boxes for led in box.leds}
    inside: dict[str, list[int]] = {}
    for index, string in enumerate(circuit.strings):
        if string.knob:
            continue
        for box in dict.fromkeys(home[led.name] for led in string.leds if led.name in home):
            inside.setdefault(box, []).append(index)
    views: list[tuple[str, Sequence[str]]] = [(box, (box,)) for box in inside]
    views += [(word, boxes) for word, boxes in mates.items() if len(boxes) > 1]
    found = []
    for seen, boxes in views:
        rows = list(dict.fromkeys(row for box in boxes for row in inside.get(box, ())))
        if len(rows) > 1:
            least = np.maximum(share[:, rows].min(axis=1), np.finfo(float).tiny)
            (ratio,) = _percentiles(share[:, rows].max(axis=1) / least, _ENDS[-1:])
            found.append(
                Neighbours(
                    seen=seen,
                    boxes=tuple(boxes),
                    strings=tuple(circuit.strings[row].name for row in rows),
                    ratio=float(ratio),
                )
            )
    return tuple(found)


def _percentiles(values: Array, shares: Sequence[float]) -> Array:
    """Give percentiles with straight lines between, as numpy's own does after a long import."""
    places = np.array(shares) / 100.0 * (values.size - 1)
    found: Array = np.interp(places, np.arange(values.size), np.sort(values, axis=None))
    return found
