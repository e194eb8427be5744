"""Patterns with a beat: chases, beacons, crossings, fades, turning lamps, evenings of room lights.

Terminology
-----------
turn
    A group's place in its set, from 0, and how many the set has.
shape
    A list of pieces over one period, each its ticks and the step of lightness it ends at.
"""

from itertools import pairwise
from math import cos, exp, log, pi

import numpy as np

from lamphouse.blink.track import FULL, TICKS_PER_S, Track, joined, steps_of
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.record import Record

BEACON_LIT = 0.1
"""Share of its period for which a beacon is fully lit (common practice, no source)."""
GLARE_WIDTH = 0.06
"""Share of a turn for which a lighthouse's beam is at half its glare (common practice, no
source)."""
REFLECTOR_WIDTH = 0.25
"""The same of a rotating alarm's reflector (common practice, no source)."""
RESIDUE = 0.04
"""Light of a lighthouse's lantern seen from the side (common practice, no source)."""
_SAMPLES = 32
"""Straight pieces in which one turn of a reflector is played."""

Shape = list[tuple[int, int]]


class Turn(Record):
    """A group's place in its set."""

    place: int = 0
    of: int = 1


def beat(pattern: Pattern, *, turn: Turn, draws: np.random.Generator) -> Track:
    """Lay a pattern with a period as a track.

    Parameters
    ----------
    pattern
        Of a kind with a period.
    turn
        Its place in its set.
    draws
        Chance, for the evenings of room lights alone.

    Raises
    ------
    ValueError
        If the kind has no beat.
    """
    period = max(ticks_of(pattern.period_s or 1.0), 2)
    full = _step(1.0 if pattern.level is None else pattern.level)
    match pattern.kind:
        case PatternKind.CHASE:
            share = pattern.duty if pattern.duty is not None else 1.0 / max(turn.of, 2)
            shape = _flash(period, lit=share * period, fade=ticks_of(pattern.fade_s), full=full)
        case PatternKind.BEACON:
            share = pattern.duty if pattern.duty is not None else BEACON_LIT
            shape = _flash(period, lit=share * period, fade=ticks_of(pattern.fade_s), full=full)
        case PatternKind.CROSSING:
            share = pattern.duty if pattern.duty is not None else 0.5
            shape = _flash(period, lit=share * period, fade=ticks_of(pattern.fade_s), full=full)
        case PatternKind.FADE:
            rise = round(period * (pattern.duty if pattern.duty is not None else 0.5))
            shape = [(rise, full), (period - rise, 0)]
        case PatternKind.LIGHTHOUSE:
            width = pattern.duty if pattern.duty is not None else GLARE_WIDTH
            shape = _turning(period, width=width, floor=RESIDUE, full=full)
        case PatternKind.ALARM:
            width = pattern.duty if pattern.duty is not None else REFLECTOR_WIDTH
            shape = _turning(period, width=width, floor=0.0, full=full)
        case PatternKind.ROOMS:
            shape = _evening(period, fade=ticks_of(pattern.fade_s), full=full, draws=draws)
        case _:
            message = f"a {pattern.kind} has no beat"
            raise ValueError(message)
    shared = turn.place / turn.of if turn.of > 1 else 0.0
    phase = pattern.phase if pattern.phase is not None else shared
    return _begun_later(shape, by=round(phase * period) % period)


def ticks_of(seconds: float) -> int:
    """Give the nearest whole number of ticks."""
    return round(seconds * TICKS_PER_S)


def _step(light: float) -> int:
    return round(float(steps_of(light)))


def _flash(period: int, *, lit: float, fade: int, full: int) -> Shape:
    """Come on, stay, go off, stay dark; the light while lit and half of both fades count as lit."""
    fade = min(fade, period // 2)
    on = min(max(round(lit), 1 if lit > 0.0 else 0), period)
    if on == period:
        return [(period, full)]
    stay = max(on - fade, 0)
    return [(fade, full), (stay, full), (fade, 0), (max(period - stay - 2 * fade, 0), 0)]


def _turning(period: int, *, width: float, floor: float, full: int) -> Shape:
    """Swell and fade as a turning reflector does, its glare in the middle of the period.

    The beam is a Gauss curve over the angle of the turn, ``width`` wide at half its height; the
    knots stand closer where it glares.
    """
    spread = max(width, 0.005) / (2.0 * (2.0 * log(2.0)) ** 0.5)
    knots = sorted({_gathered(index, period=period) for index in range(_SAMPLES + 1)})
    peak = float(full)
    shape: Shape = []
    for before, knot in pairwise(knots):
        away = (knot / period - 0.5) / spread
        light = floor + (1.0 - floor) * exp(-0.5 * away**2)
        shape.append((knot - before, round(float(steps_of(light)) * peak / FULL)))
    return shape


def _gathered(index: int, *, period: int) -> int:
    """Give a knot's tick, knots gathered round the middle of the period."""
    place = index / _SAMPLES
    return round(period * (place + 0.9 * cos(pi * (2.0 * place - 0.5)) * 0.5 / pi))


def _evening(period: int, *, fade: int, full: int, draws: np.random.Generator) -> Shape:
    """Come on within the first third of the evening, go off within its last third.

    One window in three is dark for a while between.
    """
    on = int(period * (0.02 + 0.3 * draws.random()))
    off = int(period * (0.65 + 0.3 * draws.random()))
    leaves, back = (int(on + (off - on) * share) for share in (0.35, 0.5))
    has_break = draws.random() < 1.0 / 3.0
    times = [on, leaves, back, off] if has_break else [on, off]
    fade = min(fade, min(b - a for a, b in pairwise(times)), period - off)
    shape: Shape = []
    at, level = 0, 0
    for time in times:
        level_to = 0 if level else full
        shape += [(time - at, level), (fade, level_to)]
        at, level = time + fade, level_to
    return [*shape, (period - at, 0)]


def _begun_later(shape: Shape, *, by: int) -> Track:
    """Turn a loop so that what began at once begins ``by`` ticks later.

    The shape starts where it ends. A straight piece that the new beginning cuts keeps its line to a
    whole step.
    """
    period = sum(ticks for ticks, _ in shape)
    cut = (period - by) % period
    before: Shape = []
    after: Shape = []
    at, level = 0, shape[-1][1]
    first = level
    for ticks, end in shape:
        if at + ticks <= cut:
            before.append((ticks, end))
            if at + ticks == cut:
                first = end
        elif at >= cut:
            after.append((ticks, end))
        else:
            first = round(level + (end - level) * (cut - at) / ticks)
            before.append((cut - at, first))
            after.append((at + ticks - cut, end))
        at, level = at + ticks, end
    return joined([*after, *before], first=first)
