"""What a program is said to take, against what the compiler and the interpreter make of it."""

import os

import pytest

from blink_samples import SCENES, every_kind, scene
from lamphouse.blink.avr_program import avr_program
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.micropython_program import micropython_program
from lamphouse.blink.program_data import program_data
from lamphouse.blink.program_size import avr_memory, micropython_memory, ports_of
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.outputs.avr_proof import compile_avr, missing_tools, run_avr
from lamphouse.outputs.program_proof import micropython, run_micropython
from lamphouse.record import replace

AVRS = [kind for kind in built_in().controllers.values() if kind.language == "C"]
ON_CI = os.environ.get("CI") == "true"
needs_compiler = pytest.mark.skipif(
    bool(missing_tools()) and not ON_CI, reason=f"not there: {', '.join(missing_tools())}"
)
needs_micropython = pytest.mark.skipif(
    micropython() is None and not ON_CI, reason="the MicroPython interpreter is not there"
)


def many(count):
    kinds = every_kind()
    return [replace(kinds[number % len(kinds)], name=f"g{number}") for number in range(count)]


@needs_compiler
@pytest.mark.parametrize("kind", AVRS, ids=lambda kind: kind.name)
@pytest.mark.parametrize(("scenes", "pressed"), [((), 0), (SCENES, 1)])
def test_an_avr_program_takes_little_less_than_told(kind, scenes, pressed):
    count = kind.most_groups - pressed
    levels = (("g0", 0.5),)
    told = [replace(each, levels=levels if each.levels else ()) for each in scenes]
    data = program_data(lay_time(many(count), scenes=told, seed=3))
    pins = list(kind.pins[:count])
    buttons = [(kind.pins[-1], "alarm")] if pressed else []
    program = avr_program(data, pins=pins, clock_Hz=round(kind.clock_Hz), buttons=buttons)
    compiled = compile_avr(program, mcu=kind.chip, clock_Hz=round(kind.clock_Hz))
    memory = avr_memory(data, ports=ports_of(pins), buttons=len(buttons))
    assert compiled.flash_bytes <= memory.flash_bytes <= 1.15 * compiled.flash_bytes
    # the stack comes on top of what the compiler counts
    assert compiled.ram_bytes + 90 <= memory.ram_bytes <= compiled.ram_bytes + 120
    assert memory.ram_bytes <= kind.ram_bytes


@needs_compiler
@pytest.mark.slow
@pytest.mark.parametrize("kind", AVRS, ids=lambda kind: kind.name)
def test_an_avr_keeps_up_with_as_many_groups_as_its_row_says_all_fading(kind):
    pins = list(kind.pins[: kind.most_groups])
    groups = [
        replace(
            group,
            pattern=Pattern(kind=PatternKind.FADE, period_s=1.1 + 0.03 * number),
        )
        for number, group in enumerate(many(kind.most_groups))
    ]
    scenes = [scene("day", 0.9, fade_s=0.8), scene("night", 1.0, fade_s=0.9)]
    table = lay_time(groups, scenes=scenes, seed=3)
    clock_Hz = round(kind.clock_Hz)
    program = avr_program(program_data(table), pins=pins, clock_Hz=clock_Hz)
    proof = run_avr(program, table=table, pins=pins, mcu=kind.chip, clock_Hz=clock_Hz, seconds=2.5)
    assert proof.differences == 0


@needs_micropython
@pytest.mark.parametrize("repeat_s", [7.0, 60.0])
def test_a_micropython_program_runs_in_the_memory_it_is_said_to_take(repeat_s):
    """Words of this interpreter are twice as long as those of a small board."""
    groups = [
        replace(group, pattern=replace(group.pattern, repeat_s=repeat_s)) for group in every_kind()
    ]
    table = lay_time(groups, seed=3)
    data = program_data(table)
    memory = micropython_memory(data)
    pins = list(range(len(groups)))
    program = micropython_program(data, pins=pins)
    assert len(program) <= memory.flash_bytes <= 1.2 * len(program)
    proof = run_micropython(
        program, table=table, pins=pins, seconds=1.0, heap_bytes=memory.ram_bytes
    )
    assert proof.differences == 0
    with pytest.raises(RuntimeError, match="program failed"):
        run_micropython(
            program, table=table, pins=pins, seconds=1.0, heap_bytes=memory.ram_bytes // 2
        )
