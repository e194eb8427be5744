"""A time table as a MicroPython program for a small controller board, ``main.py``.

Light is set by the board's own pulse-width modulation. Time is counted in ticks of 1/240 s from the
board's microsecond clock: what a late tick misses is caught up, so that nothing drifts. The program
works with whole numbers alone.
"""

from base64 import b64encode
from collections.abc import Sequence

from lamphouse.blink.program_data import ProgramData
from lamphouse.blink.program_text import in_rows, plain_words
from lamphouse.blink.track import FULL, TICKS_PER_S, light_of

FREQUENCY_HZ = 960
"""Of the modulation: four periods in every tick."""
DUTY_FULL = 65535
"""``duty_u16`` of a pin that is always on [MICROPYTHON-PWM]."""
FREE_S = 10
"""How long the program runs without its watchdog."""
DEBOUNCE_TICKS = 6
"""A button counts once it has been down for so long: 25 ms."""

_PLAYER = '''
import time
from binascii import a2b_base64
from machine import PWM, WDT, Pin

FREQUENCY = {frequency}
DEBOUNCE = {debounce}
ON, OFF = {on}, {off}

# Light of each step of lightness, CIE 1976, as a share of 65535.
LIGHT = (
{light}
)
# Tracks: first step, piece the loop begins with, pieces; then ticks and end step of each piece.
RECORDS = tuple(a2b_base64(text) for text in (
{records}
))
# Scenes: trigger (0 in turn, 1 button, 2 timer), ticks, timer's ticks, ticks of fade, its tracks.
SCENES = (
{scenes}
)
GROUPS = (
{pins}
)
BUTTONS = (
{buttons}
)


class Channel:
    """One group: where it is in its track, in 1/256 of a step of lightness."""

    def __init__(self, pin):
        self.pwm = PWM(Pin(pin, Pin.OUT, value={idle}), freq=FREQUENCY, duty_u16=OFF)
        self.told = -1
        self.shown = 0
        self.held = 0
        self.record = RECORDS[0]

    def begin(self, number):
        self.record = RECORDS[number]
        self.piece = 0
        self.passed = 0
        self.start = self.record[0]
        self.find()

    def find(self):
        """Go to the piece that the next tick lies in, past jumps and what has ended."""
        record = self.record
        pieces = record[3] | record[4] << 8
        while True:
            at = 5 + 3 * self.piece
            self.ticks = record[at] | record[at + 1] << 8
            self.end = record[at + 2]
            if self.passed < self.ticks:
                return
            self.passed -= self.ticks
            self.start = self.end
            self.piece += 1
            if self.piece == pieces:
                self.piece = record[1] | record[2] << 8
                if self.piece:
                    self.start = record[5 + 3 * self.piece - 1]
                else:
                    self.start = record[0]

    def step(self):
        """Give the lightness of this tick, and go on to the next."""
        level = self.start << 8
        if self.end != self.start:
            level += ((self.end - self.start) << 8) * self.passed // self.ticks
        self.passed += 1
        if self.passed >= self.ticks:
            self.find()
        return level

    def show(self):
        if self.shown == self.told:
            return
        self.told = self.shown
        step, rest = self.shown >> 8, self.shown & 255
        duty = LIGHT[step]
        if rest:
            duty += (LIGHT[step + 1] - duty) * rest >> 8
        self.pwm.duty_u16(ON + (OFF - ON) * (65535 - duty) // 65535)

    def state(self):
        return self.record, self.piece, self.passed, self.start, self.ticks, self.end

    def back_to(self, state):
        self.record, self.piece, self.passed, self.start, self.ticks, self.end = state


class Player:
    """Scenes in turn, over and over; what breaks in, and the day going on where it was left."""

    def __init__(self, channels):
        self.channels = channels
        self.day = [scene for scene in SCENES if scene[0] == 0]
        self.timers = [[scene[2], scene] for scene in SCENES if scene[0] == 2]
        self.now = 0
        self.turn = 0
        self.at = 0
        self.breaking = None
        self.left = 0
        self.fade = 0
        self.faded = 0
        self.begin(self.day[0], 0)

    def begin(self, scene, fade):
        self.scene = scene
        self.fade_over(fade)
        for channel, number in zip(self.channels, scene[4]):
            channel.begin(number)

    def fade_over(self, ticks):
        self.fade = ticks
        self.faded = 0
        for channel in self.channels:
            channel.held = channel.shown

    def next_break(self, pressed):
        if pressed is not None:
            return SCENES[pressed]
        for timer in self.timers:
            if timer[0] <= self.now:
                return timer[1]
        return None

    def turn_over(self):
        """Begin the next scene in turn where this one has ended."""
        scene = self.day[self.turn]
        if scene[1] and self.at >= scene[1]:
            self.turn = (self.turn + 1) % len(self.day)
            self.at = 0
            self.begin(self.day[self.turn], self.day[self.turn][3])

    def tick(self, pressed):
        """Set every channel's lightness for this tick."""
        if self.breaking is not None and self.left == 0:
            fade = self.breaking[3]
            self.breaking = None
            self.scene = self.day[self.turn]
            for channel, state in zip(self.channels, self.kept):
                channel.back_to(state)
            self.fade_over(fade)
        if self.breaking is None:
            scene = self.next_break(pressed)
            if scene is not None:
                if scene[0] == 2:
                    for timer in self.timers:
                        if timer[1] is scene:
                            timer[0] = (self.now // scene[2] + 1) * scene[2]
                self.kept = [channel.state() for channel in self.channels]
                self.breaking, self.left = scene, scene[1]
                self.begin(scene, scene[3])
            else:
                self.turn_over()
        for channel in self.channels:
            level = channel.step()
            if self.faded < self.fade:
                level = channel.held + (level - channel.held) * self.faded // self.fade
            channel.shown = level
        if self.faded < self.fade:
            self.faded += 1
        if self.breaking is None:
            self.at += 1
        else:
            self.left -= 1
        self.now += 1


class Button:
    """A push button to ground."""

    def __init__(self, pin, scene):
        self.pin = Pin(pin, Pin.IN, Pin.PULL_UP)
        self.scene = scene
        self.down = 0

    def pressed(self):
        self.down = 0 if self.pin.value() else min(self.down + 1, DEBOUNCE + 1)
        return self.down == DEBOUNCE


def play():
    player = Player([Channel(pin) for pin in GROUPS])
    buttons = [Button(pin, scene) for pin, scene in BUTTONS]
    dog = None  # it cannot be switched off again: {free_s} s are left for loading another program
    due = time.ticks_us()
    rest = 0
    while True:
        late = time.ticks_diff(time.ticks_us(), due)
        if late < 0:
            time.sleep_us(-late)
            continue
        while True:  # catch up with what was missed, then show the last of it
            pressed = None
            for button in buttons:
                if button.pressed() and pressed is None:
                    pressed = button.scene
            player.tick(pressed)
            rest += 160  # a tick is 4166 us and 160/240 us
            due = time.ticks_add(due, 4166 + rest // 240)
            rest %= 240
            if time.ticks_diff(time.ticks_us(), due) < 0:
                break
        for channel in player.channels:
            channel.show()
        if dog:
            dog.feed()
        elif player.now >= {free_ticks}:
            dog = WDT(timeout=2000)


play()
'''


def micropython_program(
    data: ProgramData,
    *,
    pins: Sequence[int],
    buttons: Sequence[tuple[int, str]] = (),
    heading: Sequence[str] = (),
    lit_high: bool = True,
) -> str:
    """Write the program.

    Parameters
    ----------
    data
        What it plays.
    pins
        The board's pin of each group.
    buttons
        Pins of push buttons to ground, each with the scene it begins.
    heading
        Lines of comment at the top.
    lit_high
        Whether a group is lit while its pin is high.

    Returns
    -------
    str
        The text of ``main.py``, ASCII.
    """
    names = [scene.name for scene in data.scenes]
    lines = [_comment(line) for line in heading]
    player = _PLAYER.format(
        frequency=FREQUENCY_HZ,
        debounce=DEBOUNCE_TICKS,
        free_s=FREE_S,
        free_ticks=FREE_S * TICKS_PER_S,
        on=DUTY_FULL if lit_high else 0,
        off=0 if lit_high else DUTY_FULL,
        idle=0 if lit_high else 1,
        light=in_rows([str(round(DUTY_FULL * float(light_of(step)))) for step in range(FULL + 1)]),
        records="\n".join(f'    "{b64encode(record).decode()}",' for record in data.records),
        scenes="\n".join(
            f"    ({scene.trigger}, {scene.length}, {scene.every}, {scene.fade}, "
            f"{scene.tracks!r}),  # {plain_words(scene.name) or 'all day'}"
            for scene in data.scenes
        ),
        pins="\n".join(
            f"    {pin},  # {plain_words(group)}"
            for pin, group in zip(pins, data.groups, strict=True)
        ),
        buttons="\n".join(
            f"    ({pin}, {names.index(scene)}),  # {plain_words(scene)}" for pin, scene in buttons
        ),
    )
    return "\n".join(lines) + player


def _comment(line: str) -> str:
    return f"# {plain_words(line)}".rstrip()
