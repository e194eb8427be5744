"""Rings of timers against the data books' formula, superposition, and builds drawn by lot."""

from itertools import product
from math import exp, log

import numpy as np
import pytest
from scipy.optimize import brentq

from lamphouse.blink.astable_plan import Unfit, unfit
from lamphouse.blink.timer_ring import (
    COUPLING_F,
    COUPLING_OHM,
    RESET_F,
    RESET_OHM,
    REST_OHM,
    SHORTEST_S,
    best_ring,
    least_supply_V,
    lit_s,
    longest_step_s,
    triggers,
)
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where

CHIPS = built_in().timer_chips
CMOS, BIPOLAR = CHIPS["timer chip, CMOS"], CHIPS["timer chip, bipolar"]
LOOSE = (0.95, 1.05)


def made(step_s, *, stages=4, volts=12.0, series="E12"):
    supply = Band(low=0.95 * volts, nominal=volts, high=1.05 * volts)
    return best_ring(
        step_s,
        stages=stages,
        chip=CMOS,
        supply_V=supply,
        series=series,
        resistor_tolerance=0.05,
    )


def test_a_lamp_is_lit_for_the_time_of_the_data_books():
    # Data books of 555-type timers, as a monostable: t = 1.1 R C.
    ring = made(0.5)
    assert ring.high_s.nominal == pytest.approx(1.1 * ring.ohm * ring.capacitor_F, rel=2e-3)


@pytest.mark.parametrize("switch_ohm", [0.0, 30.0])
def test_the_time_solves_the_charging_curve(switch_ohm):
    """A capacitor that begins at the divider of R and the pin, charged through R to 1."""
    ohm, farad = 10_000.0, 1e-6
    begins = switch_ohm / (ohm + switch_ohm)

    def missing(seconds):
        return 1.0 - (1.0 - begins) * exp(-seconds / (ohm * farad)) - 2.0 / 3.0

    wanted = brentq(missing, 0.0, 0.1, xtol=1e-15)
    # The switch lets go at `begins`; R sees the capacitor alone from then on.
    assert lit_s(ohm, farad, switch_ohm=switch_ohm) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("step_s", [SHORTEST_S, 0.13, 0.5, 2.0, 7.7, 15.0])
def test_the_parts_are_sold_and_come_near(step_s):
    ring = made(step_s)
    assert ring.ohm in preferred_ohm("E24")
    assert ring.ohm <= CMOS.most_ohm
    assert ring.high_s.nominal == pytest.approx(step_s, rel=0.05)
    assert ring.high_s.low < step_s < ring.high_s.high


def test_builds_by_lot_lie_in_the_worst_case():
    """2000 rings of four, every part of every chip anywhere within its tolerance."""
    ring = made(0.25)
    draws = np.random.Generator(np.random.PCG64(5))
    off = 1.0 + np.array([0.05, 0.10, CMOS.timing_error]) * draws.uniform(-1.0, 1.0, (2000, 4, 3))
    lit = ring.high_s.nominal * off.prod(axis=2)
    assert ring.high_s.low <= lit.min()
    assert lit.max() <= ring.high_s.high
    periods = lit.sum(axis=1) + ring.dark_s.nominal
    assert ring.period_s.low <= periods.min()
    assert periods.max() <= ring.period_s.high
    inside = np.mean((ring.likely_s.low <= periods) & (periods <= ring.likely_s.high))
    assert inside > 0.9


def test_a_trigger_never_leaves_the_ends_of_the_supply():
    """The output before it moves by the whole supply, once its capacitor has settled."""
    for up, down, series in product(LOOSE, repeat=3):
        above, below, before = REST_OHM * up, REST_OHM * down, COUPLING_OHM * series
        rest = below / (above + below)
        beside = above * below / (above + below)
        moved = beside / (beside + before)
        assert rest - moved > 0.0
        assert rest + moved < 1.0


@pytest.mark.parametrize("chip", [CMOS, BIPOLAR])
def test_resets_stay_down_until_the_triggers_are_up(chip):
    """Nine chips at 15 V; a reset pin gives up to 0.4 mA and lets go at 0.4 V at the earliest.

    Both figures from memory of bipolar timers' data books; CMOS ones give next to nothing.
    """
    volts, third = 15.0, (1.0 + chip.timing_error) / 3.0
    slowest = 1.1 * COUPLING_F * 1.05 * (COUPLING_OHM + REST_OHM / 2.0)
    rest = 0.95 / 2.0
    side = REST_OHM * COUPLING_OHM / (REST_OHM + COUPLING_OHM)
    begins = side / (side + REST_OHM) * 0.95
    up_s = slowest * log((rest - begins) / (rest - third))
    charged_A = volts / (0.95 * RESET_OHM) + 9 * 0.4e-3
    let_go_s = 0.4 * 0.8 * RESET_F / charged_A
    assert up_s < let_go_s < SHORTEST_S


def test_a_bipolar_chip_wants_more_than_five_volts():
    assert triggers(CMOS, supply_V=4.75, tolerance=0.05)
    assert not triggers(BIPOLAR, supply_V=4.75, tolerance=0.05)
    least = least_supply_V(BIPOLAR, tolerance=0.05)
    assert triggers(BIPOLAR, supply_V=least, tolerance=0.05)
    assert not triggers(BIPOLAR, supply_V=least - 0.1, tolerance=0.05)


def chase(count, **pattern):
    given = {"kind": PatternKind.CHASE, "period_s": 2.0, "set_name": "run"} | pattern
    return [
        SourceGroup(
            name=name,
            where=Where(item=name),
            pattern=Pattern(**given),
            sub_assembly="w",
            source=None,
        )
        for name in "abcdefghijklm"[:count]
    ]


@pytest.mark.parametrize(
    ("groups", "says"),
    [
        (chase(1), "a chase of 1 lamps"),
        (chase(11), "a chase of 11 lamps"),
        (chase(2, kind=PatternKind.CROSSING), "is no grade crossing"),
        (chase(4, duty=0.5), "a ring lights each of 4 lamps for 25%"),
        (chase(10, period_s=0.3), "each lamp would be lit for 30 ms"),
        (chase(2, period_s=60.0), "each lamp would be lit for 30 s"),
    ],
)
def test_what_a_ring_cannot_play_is_told_with_what_would(groups, says):
    found = unfit(groups, chip=CMOS, is_ring=True)
    assert isinstance(found, Unfit)
    assert says in found.why
    assert found.mend


@pytest.mark.parametrize("period_s", [0.3, 100.0])
def test_a_mended_period_can_be_played(period_s):
    found = unfit(chase(4, period_s=period_s / 2), chip=CMOS, is_ring=True) or unfit(
        chase(4, period_s=period_s), chip=CMOS, is_ring=True
    )
    mended = float(found.mend.split(":")[1].split()[0])
    assert unfit(chase(4, period_s=mended), chip=CMOS, is_ring=True) is None
    assert made(mended / 4) is not None
    assert SHORTEST_S <= mended / 4 <= longest_step_s(CMOS)
