"""Patterns that live by chance: indicators, data panels, flames, arcs, screens and tubes.

Chance is drawn from the group's seed, and repeats. Shares and means come out as set: what rounding
and luck leave over is taken up by the pieces themselves.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import log, pi, sin

import numpy as np

from lamphouse.blink.beats import Shape, ticks_of
from lamphouse.blink.track import FULL, TICKS_PER_S, Track, joined, light_of, mean_light, steps_of
from lamphouse.design.pattern import Pattern, PatternKind

INDICATOR_S = 3.0
"""Mean time from one lighting of an indicator to the next (common practice, no source)."""
FIRE_HZ = (1.0, 4.7)
"""Two clocks that never line up (common practice, no source)."""
ARC_HZ = (97.0, 61.0, 37.0)
"""Three clocks below 100 Hz (common practice, no source)."""
_STRIKE_S = (0.5, 2.0)
"""How long a tube blinks before it burns (common practice, no source)."""
_KNOT = 12
"""Ticks between the knots of a flame: 20 a second."""

Draws = np.random.Generator


def by_chance(pattern: Pattern, *, draws: Draws) -> Track:
    """Lay a pattern without a beat as a track.

    Raises
    ------
    ValueError
        If the kind has a beat.
    """
    match pattern.kind:
        case PatternKind.STEADY:
            return _steady(pattern)
        case PatternKind.STRIKE:
            return _strike(pattern, draws=draws)
        case PatternKind.RANDOM:
            mean_s = pattern.period_s or INDICATOR_S
            return _switched(pattern, draws=draws, mean_s=mean_s, duty=0.5)
        case PatternKind.DATA:
            return _clusters(pattern, draws=draws)
        case PatternKind.WELDING:
            return _arc(pattern, draws=draws)
        case PatternKind.FIRE | PatternKind.FLICKER | PatternKind.SCREEN:
            curves: dict[PatternKind, Callable[[int, Draws], Sequence[tuple[int, float]]]] = {
                PatternKind.FIRE: _fire,
                PatternKind.FLICKER: _small_flame,
                PatternKind.SCREEN: _screen,
            }
            lights = curves[pattern.kind](_loop(pattern), draws)
            return _of_mean(lights, mean=0.5 if pattern.level is None else pattern.level)
        case _:
            message = f"a {pattern.kind} has a beat"
            raise ValueError(message)


def most_mean(pattern: Pattern, *, draws: Draws) -> float:
    """Give the most a flame's or a screen's mean can be: its brightest moment at full light."""
    track = by_chance(pattern, draws=draws)
    peak = float(light_of(max(track.ends)))
    return mean_light(track) / peak if peak else 0.0


def _loop(pattern: Pattern) -> int:
    return max(ticks_of(pattern.repeat_s), TICKS_PER_S)


def _full(pattern: Pattern) -> int:
    return round(float(steps_of(1.0 if pattern.level is None else pattern.level)))


def _steady(pattern: Pattern) -> Track:
    full, fade = _full(pattern), ticks_of(pattern.fade_s)
    lead = [(fade, full)] if fade else []
    return joined([(TICKS_PER_S, full)], first=0 if fade else full, lead=lead)


def _strike(pattern: Pattern, *, draws: Draws) -> Track:
    """Blink dimly two to five times within the time a tube takes, then burn."""
    full = _full(pattern)
    blinks = 2 + int(4 * draws.random())
    least_s, most_s = _STRIKE_S
    last = ticks_of(least_s + (most_s - least_s) * draws.random())
    shares = [0.3 + draws.random() for _ in range(2 * blinks)]
    times = _parted(last, shares)
    lead: Shape = []
    for number, (lit, dark) in enumerate(zip(times[::2], times[1::2], strict=True)):
        dim = round(full * (0.35 + 0.3 * number / blinks + 0.1 * draws.random()))
        lead += [(0, dim), (lit, dim), (0, 0), (dark, 0)]
    lead += [(0, round(0.8 * full)), (TICKS_PER_S, full)]
    return joined([(TICKS_PER_S, full)], first=0, lead=lead)


def _switched(pattern: Pattern, *, draws: Draws, mean_s: float, duty: float) -> Track:
    """Switch on and off by chance, lit for exactly the share that is set."""
    loop, full = _loop(pattern), _full(pattern)
    duty = duty if pattern.duty is None else pattern.duty
    lit = round(loop * duty)
    if lit in {0, loop}:
        level = full if lit else 0
        return joined([(loop, level)], first=level)
    times = max(round(loop / max(mean_s * TICKS_PER_S, 2.0)), 1)
    on = _parted(lit, [_wait(draws) for _ in range(times)])
    off = _parted(loop - lit, [_wait(draws) for _ in range(times)])
    return _lit_and_dark(on, off, full=full, fade=ticks_of(pattern.fade_s))


def _clusters(pattern: Pattern, *, draws: Draws) -> Track:
    """Flash shortly in clusters, with pauses between them that make the share lit come out."""
    loop, full = _loop(pattern), _full(pattern)
    lit = round(loop * (0.25 if pattern.duty is None else pattern.duty))
    if lit in {0, loop}:
        level = full if lit else 0
        return joined([(loop, level)], first=level)
    flashes = max(round(lit / (0.08 * TICKS_PER_S)), 1)
    waits: list[float] = []
    while len(waits) < flashes:
        size = 3 + int(10 * draws.random())
        waits += [0.1 + 0.1 * draws.random() for _ in range(size - 1)]
        waits.append(0.4 + 2.6 * draws.random())
    on = _parted(lit, [0.5 + draws.random() for _ in range(flashes)])
    off = _parted(loop - lit, waits[:flashes])
    return _lit_and_dark(on, off, full=full, fade=0)


def _arc(pattern: Pattern, *, draws: Draws) -> Track:
    """Burn in bursts with pauses; within a burst three clocks and chance make the glare."""
    loop, full = _loop(pattern), _full(pattern)
    duty = 0.45 if pattern.duty is None else pattern.duty
    lit = round(loop * duty)
    if lit == 0:
        return joined([(loop, 0)], first=0)
    bursts = max(round(loop / (5.0 * TICKS_PER_S)), 1)
    on = _parted(lit, [_wait(draws) for _ in range(bursts)])
    off = _parted(loop - lit, [_wait(draws) for _ in range(bursts)])
    phases = [draws.random() for _ in ARC_HZ]
    pieces: Shape = []
    at = 0
    for burning, dark in zip(on, off, strict=True):
        left = burning
        while left > 0:
            ticks = min(2 + int(3 * draws.random()), left)
            up = sum(
                (at / TICKS_PER_S * clock + phase) % 1.0 < 0.5
                for clock, phase in zip(ARC_HZ, phases, strict=True)
            )
            level = round(full * (0.55 + 0.45 * up / len(ARC_HZ)))
            pieces += [(0, level), (ticks, level)]
            at, left = at + ticks, left - ticks
        pieces += [(0, 0), (dark, 0)]
        at += dark
    return joined(pieces, first=0)


def _fire(loop: int, draws: Draws) -> list[tuple[int, float]]:
    """Mix two clocks with chance in four levels."""
    turns = [max(round(clock * loop / TICKS_PER_S), 1) for clock in FIRE_HZ]
    phases = [draws.random() for _ in FIRE_HZ]
    knots: list[tuple[int, float]] = []
    for ticks, at in _steps(loop):
        slow, quick = (
            sin(2.0 * pi * (turn * at / loop + phase))
            for turn, phase in zip(turns, phases, strict=True)
        )
        leap = int(4 * draws.random()) / 3.0 - 0.5
        knots.append((ticks, max(0.55 + 0.14 * slow + 0.10 * quick + 0.26 * leap, 0.1)))
    return knots


def _small_flame(loop: int, draws: Draws) -> list[tuple[int, float]]:
    """Waver a little about one level, as chance smoothed over three knots."""
    steps = list(_steps(loop))
    raw = [draws.random() for _ in steps]
    return [
        (ticks, 0.82 + 0.3 * ((raw[index - 2] + raw[index - 1] + raw[index]) / 3.0 - 0.5))
        for index, (ticks, _) in enumerate(steps)
    ]


def _screen(loop: int, draws: Draws) -> list[tuple[int, float]]:
    """Cut from shot to shot, with a slow drift within each."""
    shots = _parted(loop, [0.3 + _wait(draws) for _ in range(max(loop // (3 * TICKS_PER_S), 1))])
    knots: list[tuple[int, float]] = []
    for shot in shots:
        level = 0.15 + 0.75 * draws.random()
        knots += [(0, level), (shot, min(max(level * (0.8 + 0.4 * draws.random()), 0.1), 0.95))]
    return knots


def _steps(loop: int) -> list[tuple[int, int]]:
    """Part a loop into knots: their ticks, and where each ends."""
    times = [*range(_KNOT, loop, _KNOT), loop]
    return [(time - before, time) for before, time in pairwise([0, *times])]


def _wait(draws: Draws) -> float:
    """Draw a waiting time of mean about 1, never very short nor very long."""
    return min(max(-log(1.0 - draws.random()), 0.25), 3.0)


def _parted(total: int, shares: Sequence[float]) -> list[int]:
    """Part ticks by shares, each at least one while there are enough, exactly to the total."""
    scale = total / sum(shares)
    ends = np.rint(np.cumsum(shares) * scale).astype(int)
    ends[-1] = total
    least = np.minimum(np.arange(1, len(shares) + 1), total)
    ends = np.maximum(ends, least)
    return [int(part) for part in np.diff(np.minimum(ends, total), prepend=0)]


def _lit_and_dark(on: Sequence[int], off: Sequence[int], *, full: int, fade: int) -> Track:
    """Switch on and off in turn, with fades that take half from either side."""
    pieces: Shape = []
    for lit, dark in zip(on, off, strict=True):
        both = max(min(fade, lit, dark), 0)
        pieces += [(both, full), (lit - both, full), (both, 0), (dark - both, 0)]
    return joined(pieces, first=0)


def _of_mean(lights: Sequence[tuple[int, float]], *, mean: float) -> Track:
    """Scale lights so that their mean over the loop is the one set, as near as steps allow.

    The brightest moment stops at full light: a mean that would ask for more stays below.
    """
    low, high = 0.0, 1.0 / max(light for _, light in lights)
    best = _scaled(lights, share=high)
    if mean_light(best) <= mean:
        return best
    for _ in range(24):
        middle = (low + high) / 2.0
        track = _scaled(lights, share=middle)
        if abs(mean_light(track) - mean) < abs(mean_light(best) - mean):
            best = track
        low, high = (middle, high) if mean_light(track) < mean else (low, middle)
    return best


def _scaled(lights: Sequence[tuple[int, float]], *, share: float) -> Track:
    steps = np.rint(steps_of(np.array([light for _, light in lights]) * share)).astype(int)
    pieces = [(ticks, min(int(step), FULL)) for (ticks, _), step in zip(lights, steps, strict=True)]
    return joined(pieces, first=pieces[-1][1])
