"""LEDs by package and colour, with the points of their forward curve."""

from bisect import bisect_left
from collections.abc import Iterable
from math import log

from lamphouse.catalogue.cells import (
    OutOfRange,
    Span,
    amount,
    forward_curve,
    one_of,
    pair,
    several,
    words,
)
from lamphouse.catalogue.light_spread import beam_points, half_width_deg
from lamphouse.catalogue.measured_spectra import MeasuredSpectrum
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, package_size, show

LUMENS_PER_WATT = 683.0
"""Luminous efficacy of 540 THz light: what no source can pass [SI-LUMEN]."""

PHOSPHORS = ("blue", "blue and red", "red green blue", "violet")
"""How white LEDs make their light: a blue LED with phosphor, the same with a red LED beside, three
coloured LEDs, a violet LED with phosphor: the classes of [CIE-15]."""

_SIZE_TOLERANCE_MM = 0.4
"""How far a chip LED's body may differ from the nominal size of its code."""

_BEAM_TOLERANCE = 0.15
"""How far the width of a beam may lie from that of its points, as a share."""


class LedType(Record):
    """One kind of LED."""

    name: str
    """Such as ``white 0603``."""
    package: str
    """Imperial chip code (``0603``) or dome size (``3 mm``)."""
    package_mm: tuple[float, float, float]
    """Length, width and height; a dome's over its collar."""
    colour: str
    peak_nm: float | None
    """Peak wavelength of a coloured LED; None for white."""
    cct_K: float | None
    """Correlated colour temperature of a white LED; None for coloured."""
    curve: tuple[tuple[float, float], ...]
    """Forward curve as ``(current_A, voltage_V)``, rising, two points or more, at 25 degC."""
    spread_V: float
    """Largest difference of forward voltage from the curve, either way, within the type."""
    drift_V_per_K: float
    """Change of forward voltage with temperature; negative."""
    max_current_A: float
    """Rated continuous current."""
    flux_lm: float
    """Luminous flux at ``flux_current_A``."""
    flux_current_A: float
    beam_deg: float
    """Full width at half maximum."""
    origin: Origin
    half_width_nm: float | None = None
    """Width of a coloured LED's spectrum at half its height; None: typical of its chemistry."""
    phosphor: str | None = None
    """How a white LED makes its light, one of ``PHOSPHORS``; None: ``blue``."""
    measured: MeasuredSpectrum | None = None
    """Its own spectrum, which stands in for peak and white point."""
    beam_points: tuple[tuple[float, float], ...] | None = None
    """Intensity by angle from the axis, ``(angle_deg, share)``, joined by straight lines; None: a
    power of the cosine that halves at ``beam_deg``."""


def _faults(led: LedType) -> Iterable[OutOfRange]:
    if (led.peak_nm is None) == (led.cct_K is None):
        problem = "an LED has either a peak or a white point"
        remedy = "fill 'peak' for a coloured LED, 'white point' for a white one, and not both"
        yield OutOfRange(problem, remedy=remedy)
    lowest_V, highest_V = led.curve[0][1], led.curve[-1][1]
    if led.spread_V >= lowest_V:
        given, limit = (show(volts, Quantity.VOLTAGE) for volts in (led.spread_V, lowest_V))
        problem = f"a spread of {given} would take the forward voltage of {limit} to nothing"
        yield OutOfRange(problem, remedy="write half the range of the data sheet, such as 0.2 V")
    most_lm = LUMENS_PER_WATT * led.flux_current_A * highest_V
    if led.flux_lm > most_lm:
        given, limit = (show(flux, Quantity.FLUX) for flux in (led.flux_lm, most_lm))
        current = show(led.flux_current_A, Quantity.CURRENT)
        problem = f"{given} at {current} is more light than the power can give, {limit}"
        remedy = "read the flux and its current again; mcd on a packet are not lumens"
        yield OutOfRange(problem, remedy=remedy)
    yield from _size_faults(led)
    yield from _beam_faults(led)


def _beam_faults(led: LedType) -> Iterable[OutOfRange]:
    """Tell a beam by points that halves elsewhere than the row says."""
    if led.beam_points is None:
        return
    found = half_width_deg(led.beam_points)
    if abs(found - led.beam_deg) > _BEAM_TOLERANCE * led.beam_deg:
        given, read = (show(angle, Quantity.ANGLE, digits=3) for angle in (led.beam_deg, found))
        problem = f"a beam of {given} whose points halve within {read}"
        yield OutOfRange(problem, remedy=f"write {read} as its beam, or read its points again")


def _size_faults(led: LedType) -> Iterable[OutOfRange]:
    """Tell a chip whose body is not of the size its code says."""
    try:
        chip = package_size(led.package)
    except UnitError:
        return
    nominal = (chip.length_mm, chip.width_mm)
    off_mm = max(abs(a - b) for a, b in zip(led.package_mm, nominal, strict=False))
    if off_mm > _SIZE_TOLERANCE_MM:
        size = " x ".join(f"{side:g}" for side in led.package_mm[:2])
        problem = f"a body of {size} mm is not package {chip.words}"
        yield OutOfRange(problem, remedy="write the imperial code; metric 0603 is imperial 0201")


def farthest_point(own: LedType, *, known: LedType) -> tuple[float, float, float] | None:
    """Give the point of one LED's curve that lies farthest from another LED's curve.

    Returns
    -------
    tuple or None
        Current, voltage, and the voltage on the other curve at that current, between its points
        along the logarithm of the current. [A, V, V] None where no point lies within its range.

    Notes
    -----
    An LED's series resistance bends the true curve some millivolt off that line.
    """
    first_A, last_A = known.curve[0][0], known.curve[-1][0]
    compared = [
        (current_A, volts, _between(known.curve, current_A))
        for current_A, volts in own.curve
        if first_A <= current_A <= last_A
    ]
    return max(compared, key=lambda point: abs(point[1] - point[2]), default=None)


def _between(curve: tuple[tuple[float, float], ...], current_A: float) -> float:
    place = max(bisect_left([point_A for point_A, _ in curve], current_A), 1)
    (less_A, lower_V), (more_A, higher_V) = curve[place - 1 : place + 1]
    share = log(current_A / less_A) / log(more_A / less_A)
    return lower_V + share * (higher_V - lower_V)


LED_TYPES = Table(
    name="led_types",
    row=LedType,
    columns=(
        Column(name="package", fields=("package",), read=words),
        Column(
            name="size",
            fields=("package_mm",),
            read=several(
                Quantity.LENGTH,
                count=3,
                span=Span(above=0, most=50, why="an LED has length, width and height"),
            ),
        ),
        Column(name="colour", fields=("colour",), read=words),
        Column(
            name="peak",
            fields=("peak_nm",),
            read=amount(
                Quantity.WAVELENGTH, span=Span(least=380, most=780, why="light the eye can see")
            ),
            may_be_empty=True,
        ),
        Column(
            name="white point",
            fields=("cct_K",),
            read=amount(
                Quantity.COLOUR_TEMPERATURE,
                span=Span(least=1000, most=25000, why="whites have a colour temperature"),
            ),
            may_be_empty=True,
        ),
        Column(name="forward curve", fields=("curve",), read=forward_curve),
        Column(
            name="spread",
            fields=("spread_V",),
            read=amount(
                Quantity.VOLTAGE, span=Span(least=0, most=10, why="a spread is counted either way")
            ),
        ),
        Column(
            name="drift",
            fields=("drift_V_per_K",),
            read=amount(
                Quantity.FORWARD_DRIFT,
                span=Span(least=-0.05, most=0, why="an LED needs less voltage when it gets warm"),
            ),
        ),
        Column(
            name="max current",
            fields=("max_current_A",),
            read=amount(
                Quantity.CURRENT, span=Span(above=0, most=10, why="an LED has a rated current")
            ),
        ),
        Column(
            name="flux",
            fields=("flux_lm", "flux_current_A"),
            read=pair(
                Quantity.FLUX,
                Quantity.CURRENT,
                spans=(
                    Span(above=0, most=5000, why="an LED gives light"),
                    Span(above=0, most=10, why="light needs a current"),
                ),
            ),
        ),
        Column(
            name="beam",
            fields=("beam_deg",),
            read=amount(
                Quantity.ANGLE,
                span=Span(above=0, most=180, why="a beam is measured between its half-power rays"),
            ),
        ),
        Column(
            name="half width",
            fields=("half_width_nm",),
            read=amount(
                Quantity.WAVELENGTH,
                span=Span(least=5, most=150, why="no coloured LED is purer or broader"),
            ),
            may_be_missing=True,
        ),
        Column(name="phosphor", fields=("phosphor",), read=one_of(*PHOSPHORS), may_be_missing=True),
        Column(name="beam points", fields=("beam_points",), read=beam_points, may_be_missing=True),
    ),
    faults=_faults,
)
"""Voltages at 25 degC. Typical rows stand for a class of parts: measure yours."""
