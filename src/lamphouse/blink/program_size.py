"""How much flash and RAM a program takes, told before anything compiles it.

The figures lie above what the compiler and the interpreter make of the same program, by little; the
tests hold them against both.
"""

from collections.abc import Sequence

from lamphouse.blink.avr_program import SLOTS
from lamphouse.blink.program_data import TRIGGERS, ProgramData
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record

AVR_CODE_BYTES = 2860
"""Player and table of lightness, as avr-gcc 5.4 compiles them at -Os."""
AVR_SCENES_BYTES, AVR_BUTTONS_BYTES = 270, 150
AVR_STACK_BYTES = 96
"""Calls, and an interrupt on top of them."""
PYTHON_BYTES = 56_000
"""Player and table of lightness, read, compiled and running."""
PYTHON_SHARE = 4.0
"""Bytes of RAM for each byte of a track: its text is read, compiled and decoded."""
PYTHON_SCENE_BYTES = 600
PYTHON_GROUP_BYTES = 300
_PLAYER_TEXT_BYTES = 9000
"""Of ``main.py`` without its tables."""


class Memory(Record):
    """What a program takes."""

    flash_bytes: int
    ram_bytes: int


def avr_memory(data: ProgramData, *, ports: int, buttons: int) -> Memory:
    """Tell what a C program takes on an AVR, its stack included.

    Parameters
    ----------
    ports
        Ports with a group's pin on them.
    buttons
        How many there are.
    """
    groups, scenes = len(data.groups), len(data.scenes)
    timers = sum(TRIGGERS[scene.trigger] is Trigger.TIMER for scene in data.scenes)
    flash = AVR_CODE_BYTES + data.record_bytes + 2 * len(data.records)
    flash += groups * (2 + 2 * scenes) + 13 * scenes
    flash += AVR_SCENES_BYTES * (scenes > 1) + AVR_BUTTONS_BYTES * (buttons > 0)
    ram = 29 * groups + 2 * SLOTS * ports + 45 + 4 * (scenes > 1) + 4 * timers + buttons
    return Memory(flash_bytes=flash, ram_bytes=ram + AVR_STACK_BYTES)


def micropython_memory(data: ProgramData) -> Memory:
    """Tell what a MicroPython program takes: its file, and the heap it runs in."""
    groups, scenes = len(data.groups), len(data.scenes)
    records = data.record_bytes
    text = _PLAYER_TEXT_BYTES + 4 * (records + 2) // 3 + 12 * len(data.records)
    text += scenes * (60 + 6 * groups) + 90 * groups
    ram = PYTHON_BYTES + PYTHON_SHARE * records + PYTHON_GROUP_BYTES * groups
    return Memory(flash_bytes=text, ram_bytes=round(ram + PYTHON_SCENE_BYTES * scenes))


def ports_of(pins: Sequence[str]) -> int:
    """Count the ports of some pins of an AVR."""
    return len({pin[1] for pin in pins})
