"""Programs for an AVR compiled, run in a simulator, and their pins held against the plan."""

import os

import pytest

from blink_samples import SCENES, every_kind
from lamphouse.blink.avr_program import SLOTS, avr_program, slot_lengths
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.playing import Press
from lamphouse.blink.program_data import program_data
from lamphouse.outputs.avr_proof import compile_avr, missing_tools, run_avr

CLOCK_HZ = 16_000_000
MCU = "atmega328p"
PINS = [f"PB{bit}" for bit in range(6)] + [f"PD{bit}" for bit in range(2, 8)]
needs_simulator = pytest.mark.skipif(
    bool(missing_tools()) and os.environ.get("CI") != "true",
    reason=f"not there: {', '.join(missing_tools())}",
)


@pytest.mark.parametrize("clock_Hz", [8_000_000, 12_000_000, 16_000_000, 20_000_000])
def test_the_slots_of_a_frame_make_240_frames_a_second(clock_Hz):
    # Data sheets of 8-bit AVRs: a timer at the clock counts f_clk cycles in a second.
    lengths = slot_lengths(clock_Hz)
    assert len(lengths) == SLOTS
    assert 240 * sum(lengths) + clock_Hz % 240 == clock_Hz
    shares = [length * 255 / sum(lengths) for length in lengths]
    assert shares == pytest.approx([1 << slot for slot in range(SLOTS)], rel=5e-3)


@needs_simulator
@pytest.mark.slow
def test_twelve_channels_play_as_planned_for_twenty_seconds():
    table = lay_time(every_kind()[:12], seed=3)
    program = avr_program(program_data(table), pins=PINS, clock_Hz=CLOCK_HZ)
    proof = run_avr(program, table=table, pins=PINS, mcu=MCU, clock_Hz=CLOCK_HZ, seconds=20.0)
    assert (proof.differences, proof.compared) == (0, 12 * 4800)
    assert proof.frequency_Hz >= 240.0


@needs_simulator
@pytest.mark.parametrize("lit_high", [True, False])
def test_scenes_buttons_and_timers_break_in(lit_high):
    table = lay_time(every_kind()[3:7], scenes=SCENES, seed=3)
    pins = ["PB0", "PC5", "PD2", "PD7"]
    program = avr_program(
        program_data(table),
        pins=pins,
        clock_Hz=8_000_000,
        buttons=[("PD3", "alarm")],
        lit_high=lit_high,
    )
    presses = [("PD3", Press(tick=tick, scene="alarm")) for tick in (300, 450, 1100)]
    proof = run_avr(
        program,
        table=table,
        pins=pins,
        mcu=MCU,
        clock_Hz=8_000_000,
        seconds=6.0,
        presses=presses,
        lit_high=lit_high,
    )
    assert proof.differences == 0


@needs_simulator
def test_the_proof_finds_a_program_of_another_seed():
    table, other = (lay_time(every_kind()[8:10], seed=seed) for seed in (3, 4))
    program = avr_program(program_data(other), pins=["PB0", "PB1"], clock_Hz=CLOCK_HZ)
    proof = run_avr(
        program, table=table, pins=["PB0", "PB1"], mcu=MCU, clock_Hz=CLOCK_HZ, seconds=2.0
    )
    assert proof.differences > 20


@needs_simulator
def test_the_compiler_tells_what_the_program_takes():
    table = lay_time(every_kind()[:12], seed=3)
    data = program_data(table)
    program = avr_program(data, pins=PINS, clock_Hz=CLOCK_HZ)
    compiled = compile_avr(program, mcu=MCU, clock_Hz=CLOCK_HZ)
    assert data.record_bytes < compiled.flash_bytes < data.record_bytes + 4000
    assert compiled.ram_bytes < 600
