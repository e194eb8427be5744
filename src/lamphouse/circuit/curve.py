"""The forward curve of an LED: a diode with series resistance, fitted to the points of its type."""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.solve import branch_current
from lamphouse.record import Record, replace

CURVE_DEGC = 25.0
"""Temperature at which a type's points were taken."""
_LEAST_SLOPE_V = 1e-3
"""Keeps the junction's voltage rising with the current where the points leave it nothing."""


class LedCurve(Record):
    """``V = slope ln(1 + I / I_sat) + R_s I``, with ``I_sat = exp(-offset / slope)`` ampere.

    The parameters carry the curve between its points and say nothing about the diode's physics:
    the points alone cannot split the junction from its resistance.

    Limits of the model: the junction is taken to be as warm as the air around it, which leaves
    out some 10 mV at 5 mA in a small package; breakdown and leakage in reverse are not in it.

    References
    ----------
    [SHOCKLEY]
    """

    offset_V: float
    slope_V: float
    series_ohm: float
    least_A: float
    """Below this current the curve does not answer."""
    most_A: float
    """Nor above this."""
    misfit_V: float
    """Largest distance between the curve and the points it was fitted to."""

    @property
    def log_saturation(self) -> float:
        """Natural logarithm of the saturation current in ampere."""
        return -self.offset_V / self.slope_V

    def voltage(self, current_A: ArrayLike) -> NDArray[np.float64]:
        """Give the forward voltage at positive currents, of any shape, in V."""
        current = np.asarray(current_A, dtype=float)
        junction = np.logaddexp(0.0, np.log(current) - self.log_saturation)
        result: NDArray[np.float64] = self.slope_V * junction + self.series_ohm * current
        return result

    def current(self, voltage_V: ArrayLike) -> NDArray[np.float64]:
        """Give the current at a voltage of any shape; negative in reverse, in A."""
        return branch_current(
            voltage_V,
            ohm=self.series_ohm,
            slope_V=[self.slope_V],
            log_saturation=[self.log_saturation],
        )

    def shifted(self, volts: float) -> "LedCurve":
        """Give the curve of a part whose forward voltage lies higher by this much at any current.

        The shift goes into the saturation current, so that no voltage still means no current.
        """
        return replace(self, offset_V=self.offset_V + volts)

    def answers(self, current_A: float) -> bool:
        """Tell whether the curve knows the voltage at this current."""
        return self.least_A <= current_A <= self.most_A


@lru_cache(maxsize=1024)
def fit(led_type: LedType) -> LedCurve:
    """Fit the curve to the points of a type.

    Two points are met with a series resistance of half the line between them: the resistance
    may lie anywhere from nothing to that line, the voltage between the points is linear in it,
    and so the middle halves the largest error. Three points are met exactly and more by least
    squares, unless that would make the resistance or the slope negative; then the nearest curve
    without is taken, and ``misfit_V`` tells how far it passes from the points.

    The curve answers from the lowest to the highest point, and as far beyond as it moves by half
    of the type's own spread: there, two good parts differ by more than the model can be wrong.

    Parameters
    ----------
    led_type
        With two points or more, rising in current.

    References
    ----------
    [SHOCKLEY]
    """
    points = np.array(led_type.curve, dtype=float)
    current, voltage = points[:, 0], points[:, 1]
    log_current = np.log(current)
    if len(points) == 2:
        half_chord_ohm = 0.5 * float(np.diff(voltage)[0] / np.diff(current)[0])
        series, slope = (
            half_chord_ohm,
            float(
                (np.diff(voltage)[0] - half_chord_ohm * np.diff(current)[0])
                / np.diff(log_current)[0]
            ),
        )
    else:
        slope, series = _slope_and_series(log_current, current, voltage)
    offset = float(np.mean(voltage - slope * log_current - series * current))
    exact = LedCurve(
        offset_V=offset,
        slope_V=slope,
        series_ohm=series,
        least_A=float(current[0]),
        most_A=float(current[-1]),
        misfit_V=0.0,
    )
    slack_V = 0.5 * led_type.spread_V
    ends = exact.voltage(current[[0, -1]]) + np.array([-slack_V, slack_V])
    least, most = exact.current(ends)
    return replace(
        exact,
        least_A=float(np.clip(least, 0.0, current[0])),
        most_A=float(max(most, current[-1])),
        misfit_V=float(np.abs(exact.voltage(current) - voltage).max()),
    )


def _slope_and_series(
    log_current: NDArray[np.float64], current: NDArray[np.float64], voltage: NDArray[np.float64]
) -> tuple[float, float]:
    """Least squares for slope and series resistance, neither negative."""
    x, y, v = (column - column.mean() for column in (log_current, current, voltage))
    scale = float(np.abs(y).max())
    (slope, scaled), *_ = np.linalg.lstsq(np.column_stack([x, y / scale]), v, rcond=None)
    if scaled < 0.0:
        return max(float(x @ v / (x @ x)), _LEAST_SLOPE_V), 0.0
    if slope < _LEAST_SLOPE_V:
        rest = v - _LEAST_SLOPE_V * x
        return _LEAST_SLOPE_V, max(float(y @ rest / (y @ y)), 0.0)
    return float(slope), float(scaled) / scale


def shift_band(
    led_type: LedType, *, coldest_degC: float, warmest_degC: float
) -> tuple[float, float, float]:
    """Give the least, middle and largest shift of the forward voltage, in V.

    The least and the largest hold the type's spread and the drift to the ambient's ends; the
    middle is a part on the curve in the middle of the ambient.
    """
    cold, warm = (
        led_type.drift_V_per_K * (degC - CURVE_DEGC) for degC in (coldest_degC, warmest_degC)
    )
    low, high = min(cold, warm), max(cold, warm)
    return low - led_type.spread_V, math.fsum((low, high)) / 2, high + led_type.spread_V
