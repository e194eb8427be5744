"""A time table as a C program for an 8-bit AVR, ``main.c``: the player with its tables."""

from collections.abc import Sequence
from itertools import accumulate

from lamphouse.blink.avr_player import BUTTON_CODE, PLAYER, TIMER_CODE
from lamphouse.blink.micropython_program import DEBOUNCE_TICKS
from lamphouse.blink.program_data import ProgramData
from lamphouse.blink.program_text import in_rows, plain_words
from lamphouse.blink.track import FULL, TICKS_PER_S, light_of

SLOTS = 8
LEAST_CLOCK_HZ = 8_000_000
"""A slot of the lowest bit must be longer than the interrupt that ends it."""
DUTY_FULL = 255 * 256
"""A duty in 1/256 of the lowest bit that is always on."""
PORT_ORDER = "BCDA"


def slot_lengths(clock_Hz: int) -> tuple[int, ...]:
    """Give the cycles of each slot of a frame; their sum is the whole cycles of a frame.

    Each is the nearest to its bit's share of the frame, the longest takes what is left over.
    """
    frame = clock_Hz // TICKS_PER_S
    lengths = [round(frame * (1 << slot) / FULL) for slot in range(SLOTS - 1)]
    return (*lengths, frame - sum(lengths))


def avr_program(
    data: ProgramData,
    *,
    pins: Sequence[str],
    clock_Hz: int,
    buttons: Sequence[tuple[str, str]] = (),
    heading: Sequence[str] = (),
    lit_high: bool = True,
) -> str:
    """Write the program.

    Parameters
    ----------
    data
        What it plays.
    pins
        Pin of each group, such as ``PB0``.
    clock_Hz
        Of the controller, ``LEAST_CLOCK_HZ`` or more. [Hz]
    buttons
        Pins of push buttons to ground, each with the scene it begins.
    heading
        Lines of comment at the top.
    lit_high
        Whether a group is lit while its pin is high.

    Returns
    -------
    str
        The text of ``main.c``, ASCII.

    Notes
    -----
    Timer 1 runs freely at the clock; a compare interrupt begins each slot [AVR-TIMER].
    """
    top = "\n".join(f" * {plain_words(line)}".rstrip() for line in heading)
    comment = f"/*\n{top}\n */" if heading else "/* Made by Lamphouse. */"
    return comment + PLAYER.substitute(
        _timing(clock_Hz)
        | _tables(data)
        | _pin_code(pins, buttons=buttons, lit_high=lit_high)
        | _button_code(buttons, names=[scene.name for scene in data.scenes])
    )


Fields = dict[str, object]


def _timing(clock_Hz: int) -> Fields:
    """Give the slots of a frame, and what they show."""
    lightness = [str(round(DUTY_FULL * float(light_of(step)))) for step in range(FULL + 1)]
    return {
        "extra": clock_Hz % TICKS_PER_S,
        "lengths": ", ".join(map(str, slot_lengths(clock_Hz))),
        "light": in_rows(lightness),
    }


def _tables(data: ProgramData) -> Fields:
    """Give the tracks, the scenes, and when they begin."""
    timers = [number for number, scene in enumerate(data.scenes) if scene.trigger == 2]
    day = [number for number, scene in enumerate(data.scenes) if scene.trigger == 0]
    offsets = [0, *accumulate(len(record) for record in data.records)][:-1]
    numbers = ", ".join(map(str, timers))
    return {
        "scene_count": len(data.scenes),
        "day_count": len(day),
        "timer_count": len(timers),
        "records": in_rows([str(byte) for record in data.records for byte in record], each=20),
        "offsets": in_rows([str(offset) for offset in offsets]),
        "scenes": "\n".join(
            f"    {{{scene.trigger}, {scene.length}, {scene.every}, {scene.fade}, "
            f"{{{', '.join(map(str, scene.tracks))}}}}}, /* {plain_words(scene.name)} */"
            for scene in data.scenes
        ),
        "day": ", ".join(map(str, day)),
        "timer_table": f"static const uint8_t TIMER_SCENES[] PROGMEM = {{{numbers}}};\n"
        if timers
        else "",
        "timer_of": "pgm_read_byte(TIMER_SCENES + t)" if timers else "0",
        "timer_code": TIMER_CODE if timers else "",
    }


def _pin_code(pins: Sequence[str], *, buttons: Sequence[tuple[str, str]], lit_high: bool) -> Fields:
    """Give where each group hangs, and what is written to the ports."""
    ports = [port for port in PORT_ORDER if any(pin[1] == port for pin in pins)]
    idle = [_idle(port, pins=pins, buttons=buttons, lit_high=lit_high) for port in ports]
    return {
        "channels": len(pins),
        "port_count": len(ports),
        "ports": ", ".join(str(ports.index(pin[1])) for pin in pins),
        "bits": ", ".join(f"1 << {pin[2]}" for pin in pins),
        "port_writes": "\n".join(
            f"    PORT{port} = mask[{number}];" for number, port in enumerate(ports)
        ),
        "idle_masks": "\n".join(
            f"        masks[back][s][{number}] = {mask};" for number, mask in enumerate(idle)
        ),
        "setup": _setup(pins, buttons=buttons, lit_high=lit_high),
    }


def _idle(
    port: str, *, pins: Sequence[str], buttons: Sequence[tuple[str, str]], lit_high: bool
) -> str:
    """Give what a port shows while all is dark: pull-ups of buttons, and pins that are lit low."""
    high = [pin for pin, _ in buttons if pin[1] == port]
    high += [] if lit_high else [pin for pin in pins if pin[1] == port]
    return " | ".join(f"1 << {pin[2]}" for pin in high) or "0"


def _setup(pins: Sequence[str], *, buttons: Sequence[tuple[str, str]], lit_high: bool) -> str:
    """Set every port dark before its pins become outputs."""
    used = [pin for pin, _ in buttons]
    ports = [port for port in PORT_ORDER if any(pin[1] == port for pin in (*pins, *used))]
    lines = [
        f"    PORT{port} = {_idle(port, pins=pins, buttons=buttons, lit_high=lit_high)};"
        for port in ports
    ]
    for port in ports:
        outputs = " | ".join(f"1 << {pin[2]}" for pin in pins if pin[1] == port)
        if outputs:
            lines.append(f"    DDR{port} = {outputs};")
    return "\n".join(lines)


def _button_code(buttons: Sequence[tuple[str, str]], *, names: Sequence[str]) -> Fields:
    """Give what reads the buttons."""
    reads = "\n".join(
        f"    if (count(PIN{pin[1]} & 1 << {pin[2]}, {number}) && !first)\n"
        f"        first = {names.index(scene) + 1}; /* {plain_words(scene)} */"
        for number, (pin, scene) in enumerate(buttons)
    )
    return {
        "button_count": len(buttons),
        "debounce": DEBOUNCE_TICKS,
        "button_code": BUTTON_CODE.substitute(reads=reads) if buttons else "",
        "pressed": "pressed()" if buttons else "0",
    }
