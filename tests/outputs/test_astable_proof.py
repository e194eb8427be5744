"""Astables and rings of timers solved by ngspice, and their times held against the plan."""

import pytest

from lamphouse.blink.astable import Beat, best_astable
from lamphouse.blink.astable_deck import astable_deck
from lamphouse.blink.ring_deck import ring_deck
from lamphouse.blink.timer_ring import RESET_F, best_ring
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.branch import Band
from lamphouse.outputs.astable_proof import prove_astable, prove_ring, solve_astable
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


def ring_of(stages, step_s, *, volts=12.0, chip="timer chip, CMOS"):
    return best_ring(
        step_s,
        stages=stages,
        chip=CHIPS[chip],
        supply_V=Band(low=0.95 * volts, nominal=volts, high=1.05 * volts),
        series="E12",
        resistor_tolerance=0.05,
    )


@pytest.mark.parametrize(
    ("chip", "volts"),
    [("timer chip, CMOS", 5.0), ("timer chip, CMOS", 12.0), ("timer chip, bipolar", 12.0)],
)
@pytest.mark.parametrize(("stages", "step_s"), [(2, 0.5), (4, 0.5), (3, 8.0), (10, 0.06)])
def test_a_ring_lights_one_lamp_after_another_from_empty_capacitors_on(
    stages, step_s, chip, volts, tool
):
    tool("ngspice")
    ring = ring_of(
        stages, min(step_s, 4.0 if "bipolar" in chip else step_s), volts=volts, chip=chip
    )
    proof = prove_ring(ring_deck(ring, title="ring"), ring=ring)
    assert (proof.differences, proof.compared) == (0, 2 * stages + 2)
    assert proof.ran_s == pytest.approx(ring.period_s.nominal, rel=1e-2)


def test_a_slow_supply_starts_the_ring_as_well(tool):
    tool("ngspice")
    ring = ring_of(3, 0.5)
    deck = ring_deck(ring, title="ring")
    slow = deck.replace("PWL(0 0 0.001 12.0)", "PWL(0 0 0.2 12.0)")
    assert slow != deck
    assert prove_ring(slow, ring=ring).differences == 0


def test_all_lit_at_once_are_one_after_a_round(tool):
    """Without the resets every chip begins at the switching on; the diodes alone mend that."""
    tool("ngspice")
    ring = ring_of(4, 0.25)
    ends_s = 2.2 * ring.period_s.nominal
    deck = ring_deck(ring, title="ring").replace(f"{RESET_F!r} IC=0", "1e-12 IC=0")
    assert repr(ends_s) in deck
    deck = deck.replace(repr(ends_s), repr(1.5 * ends_s))
    assert prove_ring(deck, ring=ring).differences > 0
    # Within a round the chips fall dark, the last at last; then the first begins.
    begins_s, lit_s = (share * ring.period_s.nominal for share in (0.7, 0.95))
    for what, since_s in (("RISE=1", begins_s), ("RISE=2", begins_s), ("FALL=1", lit_s)):
        deck = deck.replace(what, f"{what} TD={since_s}")
    deck = deck.replace("MAX V(many)", f"MAX V(many) from={begins_s}")
    assert prove_ring(deck, ring=ring).differences == 0


@pytest.mark.parametrize(
    ("wrong", "by"),
    [
        (lambda deck: deck.replace("Ccouple3 out2", "Ccouple3 out1"), "another order"),
        (lambda deck: deck.replace("D3 out3 trig1 signal\n", ""), "a missing diode"),
    ],
)
def test_the_proof_finds_a_wrong_wire(wrong, by, tool):
    tool("ngspice")
    ring = ring_of(4, 0.25)
    deck = ring_deck(ring, title="ring")
    assert wrong(deck) != deck
    assert prove_ring(wrong(deck), ring=ring).differences > 0, by


def test_the_proof_finds_a_ring_that_stops(tool):
    """Five volts are too few for bipolar chips, as the plan says."""
    tool("ngspice")
    ring = ring_of(3, 0.25, volts=5.0, chip="timer chip, bipolar")
    with pytest.raises(RuntimeError, match="came to no rise2"):
        prove_ring(ring_deck(ring, title="ring"), ring=ring)
    fine = ring_of(3, 0.25)
    slow = replace(fine, capacitor_F=1.5 * fine.capacitor_F)
    assert prove_ring(ring_deck(slow, title="ring"), ring=fine).differences == 4
