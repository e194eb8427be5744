"""Generated programs run, and their pins held against the plan, tick by tick."""

import os

import pytest

from blink_samples import SCENES, every_kind
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.micropython_program import micropython_program
from lamphouse.blink.playing import Press
from lamphouse.blink.program_data import program_data
from lamphouse.design.pattern import PatternKind
from lamphouse.outputs.program_proof import micropython, run_micropython
from lamphouse.record import replace

needs_micropython = pytest.mark.skipif(
    micropython() is None and os.environ.get("CI") != "true",
    reason="the MicroPython interpreter is not there",
)


@needs_micropython
def test_every_kind_of_pattern_plays_as_planned_for_twenty_seconds():
    table = lay_time(every_kind(), seed=3)
    pins = list(range(2, 2 + len(table.groups)))
    program = micropython_program(program_data(table), pins=pins)
    proof = run_micropython(program, table=table, pins=pins, seconds=20.0)
    assert (proof.differences, proof.compared) == (0, 4800 * len(pins))
    assert proof.frequency_Hz >= 240.0


@needs_micropython
@pytest.mark.parametrize("lit_high", [True, False])
def test_scenes_buttons_and_timers_break_in_and_the_day_goes_on(lit_high):
    table = lay_time(every_kind()[:12], scenes=SCENES, seed=3)
    pins = list(range(12))
    program = micropython_program(
        program_data(table), pins=pins, buttons=[(20, "alarm")], lit_high=lit_high
    )
    presses = [(20, Press(tick=tick, scene="alarm")) for tick in (300, 450, 1500, 3300, 3500)]
    proof = run_micropython(
        program, table=table, pins=pins, seconds=20.0, presses=presses, lit_high=lit_high
    )
    assert proof.differences == 0


@needs_micropython
def test_the_proof_finds_a_program_of_another_seed():
    table, other = (lay_time(every_kind(), seed=seed) for seed in (3, 4))
    pins = list(range(len(table.groups)))
    program = micropython_program(program_data(other), pins=pins)
    proof = run_micropython(program, table=table, pins=pins, seconds=5.0)
    assert proof.differences > 100


@needs_micropython
def test_the_proof_finds_a_track_that_is_one_tick_late():
    table = lay_time([g for g in every_kind() if g.pattern.kind is PatternKind.CHASE], seed=3)
    track = table.scenes[0].tracks[0]
    late = replace(track, ticks=(track.ticks[0] + 1, *track.ticks[1:]))
    wrong = replace(table, scenes=(replace(table.scenes[0], tracks=(late,)),))
    program = micropython_program(program_data(wrong), pins=[5])
    assert run_micropython(program, table=table, pins=[5], seconds=5.0).differences > 0
