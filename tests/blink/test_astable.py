"""Astables against the data books' formula, numerical integration, and builds drawn by lot."""

from math import log

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from lamphouse.blink.astable import (
    DIODE_SATURATION_A,
    DIODE_SLOPE_V,
    Beat,
    best_astable,
    charged_s,
    discharged_s,
)
from lamphouse.blink.astable_plan import Unfit, unfit
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where
from tolerances import PHYSICS

CHIP = built_in().timer_chips["timer chip, CMOS"]


def made(period_s, share, *, volts=12.0, series="E12"):
    supply = Band(low=0.95 * volts, nominal=volts, high=1.05 * volts)
    return best_astable(
        Beat(period_s=period_s, high_share=share),
        chip=CHIP,
        supply_V=supply,
        series=series,
        resistor_tolerance=0.05,
    )


def test_without_a_diode_it_is_the_formula_of_the_data_books():
    # Data books of 555-type timers: T = 0.693 (RA + 2 RB) C, f = 1.44 / ((RA + 2 RB) C),
    # high share (RA + RB) / (RA + 2 RB).
    found = made(1.0, 0.7)
    first, second, farad = found.first_ohm, found.second_ohm, found.capacitor_F
    assert not found.has_diode
    assert found.period_s.nominal == pytest.approx(0.693 * (first + 2 * second) * farad, rel=1e-3)
    assert 1 / found.period_s.nominal == pytest.approx(
        1.44 / (first + 2 * second) / farad, rel=2e-3
    )
    share = (first + second) / (first + 2 * second)
    assert found.high_share.nominal == pytest.approx(share, rel=PHYSICS)


@pytest.mark.parametrize(("ohm", "volts"), [(1e4, 5.0), (1e5, 12.0), (1e6, 4.5), (2.2e6, 15.0)])
def test_charging_through_a_diode_is_the_integral(ohm, volts):
    def current(capacitor_V):
        def missing(amps):
            drop = DIODE_SLOPE_V * np.log1p(amps / DIODE_SATURATION_A)
            return amps * ohm + drop - (volts - capacitor_V)

        return brentq(missing, 0.0, volts / ohm, xtol=1e-18)

    farad = 1e-6
    wanted, _ = quad(lambda v: farad / current(v), volts / 3, 2 * volts / 3, epsrel=1e-9)
    assert charged_s(ohm, farad, volts=volts) == pytest.approx(wanted, rel=1e-6)
    # the books' formula, which leaves the diode out, is some 5 to 40 % short
    assert charged_s(ohm, farad, volts=volts) > 1.04 * log(2.0) * ohm * farad


def test_discharging_comes_to_the_formula_where_the_switch_is_good():
    ideal = log(2.0) * 1e5 * 1e-6
    assert discharged_s(1e5, 1e-6, first_ohm=1e6, switch_ohm=0.0) == pytest.approx(ideal)
    assert discharged_s(1e5, 1e-6, first_ohm=1e5, switch_ohm=30.0) > ideal


@pytest.mark.parametrize("volts", [5.0, 12.0])
@pytest.mark.parametrize(
    ("period_s", "share"), [(0.1, 0.5), (0.5, 0.25), (1.0, 0.5), (2.0, 0.8), (6.0, 0.1)]
)
def test_the_parts_are_sold_and_come_near(period_s, share, volts):
    found = made(period_s, share, volts=volts)
    assert found.first_ohm in preferred_ohm("E24")
    assert found.second_ohm in preferred_ohm("E24")
    assert found.first_ohm + found.second_ohm <= CHIP.most_ohm
    assert found.period_s.nominal == pytest.approx(period_s, rel=0.03)
    assert found.high_share.nominal == pytest.approx(share, rel=0.06)
    assert found.period_s.low < period_s < found.period_s.high


@pytest.mark.parametrize("share", [0.2, 0.75])
def test_builds_by_lot_lie_in_the_worst_case_and_nine_of_ten_in_the_likely_band(share):
    """2000 builds, every part anywhere within its tolerance."""
    found = made(1.0, share)
    draws = np.random.Generator(np.random.PCG64(1))
    builds = []
    for _ in range(2000):
        first, second, farad, chip, volts = 1.0 + np.array(
            [0.05, 0.05, 0.10, CHIP.timing_error, 0.05]
        ) * draws.uniform(-1.0, 1.0, 5)
        ohms, farad = found.first_ohm * first, found.capacitor_F * farad
        other = found.second_ohm * second
        high = (
            charged_s(ohms, farad, volts=12.0 * volts)
            if found.has_diode
            else log(2.0) * (ohms + other) * farad
        )
        low = discharged_s(other, farad, first_ohm=ohms, switch_ohm=CHIP.discharge_ohm)
        builds.append(chip * (high + low))
    assert found.period_s.low <= min(builds)
    assert max(builds) <= found.period_s.high
    inside = np.mean([found.likely_s.low <= each <= found.likely_s.high for each in builds])
    assert 0.87 < inside < 0.95


def group(name, **pattern):
    given = {"kind": PatternKind.BEACON, "period_s": 2.0} | pattern
    return SourceGroup(
        name=name, where=Where(item=name), pattern=Pattern(**given), sub_assembly="w", source=None
    )


@pytest.mark.parametrize(
    ("pattern", "says"),
    [
        ({"kind": PatternKind.FIRE}, "is no fire"),
        ({"fade_s": 0.2}, "it fades"),
        ({"lag_s": 0.2}, "it fades"),
        ({"level": 0.4}, "dimmed"),
        ({"duty": 0.999}, "lit for 100%"),
        ({"period_s": 60.0}, "keeps time"),
        ({"kind": PatternKind.CHASE}, "a chase of 1 lamps"),
        ({"kind": PatternKind.CROSSING, "duty": 0.3}, "half of the period"),
    ],
)
def test_what_a_timer_cannot_play_is_told_with_what_would(pattern, says):
    found = unfit([group("a", **pattern)], chip=CHIP)
    assert isinstance(found, Unfit)
    assert says in found.why
    assert found.mend


def test_a_mended_period_can_be_played():
    found = unfit([group("a", period_s=60.0)], chip=CHIP)
    period_s = float(found.mend.split(":")[1].split()[0])
    assert unfit([group("a", period_s=period_s)], chip=CHIP) is None
    assert made(period_s, 0.1) is not None


def test_two_beats_want_two_chips():
    assert unfit([group("a"), group("b")], chip=CHIP).mend == (
        "give each beat a controller of its own"
    )
    pair = [group(name, kind=PatternKind.CROSSING, set_name="rails") for name in "ab"]
    assert unfit(pair, chip=CHIP) is None
