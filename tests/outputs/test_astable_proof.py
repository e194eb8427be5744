"""Astables of every sort solved by ngspice, and their period and share held against the plan."""

import pytest

from lamphouse.blink.astable import Beat, best_astable
from lamphouse.blink.astable_deck import astable_deck
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band
from lamphouse.outputs.astable_proof import prove_astable, solve_astable
from lamphouse.record import replace

CHIPS = built_in().timer_chips


def made(period_s, share, *, volts=12.0, chip="timer chip, CMOS"):
    return best_astable(
        Beat(period_s=period_s, high_share=share),
        chip=CHIPS[chip],
        supply_V=Band(low=0.95 * volts, nominal=volts, high=1.05 * volts),
        series="E12",
        resistor_tolerance=0.05,
    )


@pytest.mark.parametrize("chip", CHIPS)
@pytest.mark.parametrize("volts", [5.0, 12.0])
@pytest.mark.parametrize(("period_s", "share"), [(0.25, 0.5), (1.0, 0.75), (2.0, 0.1)])
def test_period_and_share_are_those_of_another_solver(period_s, share, volts, chip, tool):
    tool("ngspice")
    astable = made(period_s, share, volts=volts, chip=chip)
    solved_s, high_s = solve_astable(astable_deck(astable, title="timer"))
    assert solved_s == pytest.approx(astable.period_s.nominal, rel=5e-3)
    assert high_s == pytest.approx(astable.high_s, rel=1e-2)
    proof = prove_astable(astable_deck(astable, title="timer"), astable=astable)
    assert (proof.differences, proof.compared) == (0, 2)


def test_the_proof_finds_a_wrong_capacitor_and_a_missing_diode(tool):
    tool("ngspice")
    astable = made(1.0, 0.25)
    wrong = replace(astable, capacitor_F=astable.capacitor_F * 1.5)
    assert prove_astable(astable_deck(wrong, title="timer"), astable=astable).differences == 1
    other = replace(astable, first_ohm=2.0 * astable.first_ohm)
    assert prove_astable(astable_deck(other, title="timer"), astable=astable).differences == 2
    deck = astable_deck(astable, title="timer").replace("D1 dis cap signal\n", "")
    with pytest.raises(RuntimeError, match="came to no period"):
        prove_astable(deck, astable=astable)
