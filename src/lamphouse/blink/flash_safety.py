"""Whether what flashes could bring on a seizure: how fast, how bright, and how large to the eye.

Terminology
-----------
swing
    A change of light between two turning points, large enough to count.
flash
    Two swings, there and back. More than three within one second are too many.
seen
    The solid angle of all that flashes too often within the same second, from where people stand.

Notes
-----
The rules are written for screens [WCAG-FLASH] [BT1702]. A lamp's own full light is taken here for
the screen's brightest white, so that a lamp dim beside its surround counts as if it were bright.
Where the luminance is known, a swing must also be one of BT.1702: 20 cd/m2 or more from a darker
state below 160 cd/m2, or one seventeenth of the sum of both above. The light of pulse-width
modulation, 240 Hz and more, is steady to these rules.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.playing import Press, day_of, steps_played
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record

MOST_FLASHES = 3
"""In any one second [WCAG-FLASH]."""
LEAST_SWING = 0.1
"""Of the brightest white's luminance [WCAG-FLASH]."""
DARKER_BELOW = 0.8
"""Of it: a swing between two states brighter than this does not count [WCAG-FLASH]."""
LEAST_RED_SWING = 20.0 / 320.0
"""Of a saturated red: ``(R - G - B) x 320`` may change by 20 [WCAG-FLASH]."""
RED_FROM_NM = 588.0
"""Peak from which a narrow LED is a saturated red, ``R / (R + G + B)`` of 0.8 or more: by the
spectral colours of the CIE 1931 observer in linear sRGB [WCAG-FLASH]."""
LEAST_SWING_CD_M2 = 20.0
BRIGHT_CD_M2 = 160.0
LEAST_CONTRAST = 1.0 / 17.0
"""Of BT.1702 [BT1702]."""
MOST_SEEN_SR = 0.006
"""A quarter of any ten degrees of the field of view [WCAG-FLASH]."""
LONGEST_S = 1800.0
"""How much of the model's day is looked at."""


class FlashingLight(Record):
    """Something that one source group shows to the eye."""

    group: str
    area_mm2: float
    """Of everything it lights that can be seen at once."""
    what: str = ""
    """In words, what it is; empty for what is the group's own."""
    share: float = 1.0
    """How much of the light on it is the group's; the rest is steady."""
    luminance_cd_m2: float | None = None
    """At the LED's full light; None where it is not known."""
    is_red: bool = False


class GroupFlashes(Record):
    """How something that one group shows flashes."""

    group: str
    what: str
    most_in_a_second: float
    """Flashes within the worst second: half the swings."""
    too_often: bool
    seen_sr: float
    """Solid angle of what it lights."""


class FlashSafety(Record):
    """How the whole model flashes."""

    distance_mm: float
    looked_at_s: float
    """How much of the day was looked at; chance repeats within it, or not."""
    groups: tuple[GroupFlashes, ...]
    seen_sr: float
    """The most that flashes too often within one second."""

    @property
    def is_safe(self) -> bool:
        """Whether the rules are kept."""
        return self.seen_sr < MOST_SEEN_SR


def flash_safety(
    table: TimeTable, *, lights: Sequence[FlashingLight], distance_mm: float
) -> FlashSafety:
    """Look for flashes through the model's day, and through every scene that breaks in.

    Parameters
    ----------
    table
        What is played.
    lights
        What the groups show; groups that are not named show nothing.
    distance_mm
        From the eye to the model. [mm]

    Returns
    -------
    FlashSafety
        In the order of the table's groups.

    Notes
    -----
    Chance that repeats is looked at for its whole loop and a second more where that fits into
    ``LONGEST_S``. Loops of several groups drift against each other: what flashes too often in one
    group is taken to meet in time with another's only where it does in the stretch looked at.
    """
    ticks, presses = _horizon(table)
    seen = np.zeros(-(-ticks // TICKS_PER_S))
    judged = []
    for name in table.groups:
        own = [light for light in lights if light.group == name]
        if not own:
            continue
        alone = table.of_groups([name])
        played = light_of(steps_played(alone, ticks=ticks, presses=presses)[:, 0])
        for light in own:
            mixed = 1.0 - light.share * (1.0 - played)
            swings = np.array(swings_of(mixed, light=light), dtype=np.int64)
            too_often = _too_often(swings)
            angle = light.area_mm2 / distance_mm**2
            seen += angle * _marked(too_often, seconds=len(seen))
            judged.append(
                GroupFlashes(
                    group=name,
                    what=light.what,
                    most_in_a_second=_most(swings) / 2.0,
                    too_often=bool(len(too_often)),
                    seen_sr=angle,
                )
            )
    return FlashSafety(
        distance_mm=distance_mm,
        looked_at_s=ticks / TICKS_PER_S,
        groups=tuple(judged),
        seen_sr=float(seen.max(initial=0.0)),
    )


def swings_of(played: NDArray[np.float64], *, light: FlashingLight) -> list[int]:
    """Give the ticks at which the swings end that are large enough to count.

    A swing ends at the last turning point before the light goes back by as much as counts, so that
    a ripple on a slow rise is none.

    Parameters
    ----------
    played
        Light on what is shown, tick by tick, 0 to 1.
    light
        What it shows.
    """
    swings: list[int] = []
    rises: bool | None = None
    points = _turning_points(played)
    low = high = points[0]
    for point in points[1:]:
        high = point if point[1] > high[1] else high
        low = point if point[1] < low[1] else low
        if rises is not False and _counts(point[1], high[1], light=light):
            swings += [high[0]] if rises else []
            rises, low = False, point
        elif rises is not True and _counts(low[1], point[1], light=light):
            swings += [low[0]] if rises is False else []
            rises, high = True, point
        if rises is True:
            low = point if point[1] >= high[1] else low
        elif rises is False:
            high = point if point[1] <= low[1] else high
    if rises is not None:
        swings.append(high[0] if rises else low[0])
    return swings


def _turning_points(played: NDArray[np.float64]) -> list[tuple[int, float]]:
    """Give beginning, end, and where the light turns between them; a plateau turns at its start."""
    changes = np.flatnonzero(np.diff(played)) + 1
    moved = np.concatenate(([0], changes))
    values = played[moved]
    slope = np.sign(np.diff(values))
    kept = np.concatenate(([True], slope[1:] != slope[:-1], [True])) if len(slope) else [True]
    return [
        (int(tick), float(value)) for tick, value in zip(moved[kept], values[kept], strict=True)
    ]


def _counts(darker: float, brighter: float, *, light: FlashingLight) -> bool:
    """Tell whether a change between two states is a swing of the rules."""
    least = LEAST_RED_SWING if light.is_red else LEAST_SWING
    if brighter - darker < least or (darker >= DARKER_BELOW and not light.is_red):
        return False
    if light.luminance_cd_m2 is None or light.is_red:
        return True
    low, high = darker * light.luminance_cd_m2, brighter * light.luminance_cd_m2
    if low < BRIGHT_CD_M2:
        return high - low >= LEAST_SWING_CD_M2
    return (high - low) / (high + low) > LEAST_CONTRAST


_TOO_MANY = 2 * MOST_FLASHES + 1
"""Swings within a second that make more than three flashes."""


def _too_often(swings: NDArray[np.int64]) -> NDArray[np.int64]:
    """Give first and last swing of each run of too many within a second, shape ``(runs, 2)``."""
    if len(swings) < _TOO_MANY:
        return np.zeros((0, 2), dtype=np.int64)
    runs = np.stack((swings[: 1 - _TOO_MANY], swings[_TOO_MANY - 1 :]), axis=1)
    return runs[runs[:, 1] - runs[:, 0] < TICKS_PER_S]


def _most(swings: NDArray[np.int64]) -> int:
    """Give the most swings within any second."""
    after = np.searchsorted(swings, swings + TICKS_PER_S, side="left")
    return int((after - np.arange(len(swings))).max(initial=0))


def _marked(runs: NDArray[np.int64], *, seconds: int) -> NDArray[np.float64]:
    """Mark every second that a run touches."""
    marks = np.zeros(seconds)
    for first, last in runs:
        marks[first // TICKS_PER_S : last // TICKS_PER_S + 1] = 1.0
    return marks


def _horizon(table: TimeTable) -> tuple[int, list[Press]]:
    """Give how long is looked at: the day or the longest loop, then each button's scene once."""
    loops = [track.lead_in + track.length for scene in table.scenes for track in scene.tracks]
    day = day_of(table)
    ticks = min(max(day or 0, max(loops, default=0)) + TICKS_PER_S, _LONGEST)
    presses = []
    for scene in table.scenes:
        if scene.trigger is Trigger.BUTTON:
            presses.append(Press(tick=ticks, scene=scene.name))
            ticks += (scene.length or 0) + TICKS_PER_S
    return ticks, presses


_LONGEST = round(LONGEST_S * TICKS_PER_S)
