"""Patterns: what a source group does over time.

Terminology
-----------
chance
    Patterns that follow no beat draw from a seed. They repeat after ``repeat_s``.
set
    Groups that share one clock: the lamps of a chase, the two of a crossing, the three of a
    rotating alarm. They take their turns in the order of the file.
"""

from enum import StrEnum

from lamphouse.record import Record


class PatternKind(StrEnum):
    """What a source group does over time."""

    STEADY = "steady"
    RANDOM = "random"
    """Indicators of a console: on and off by chance."""
    CHASE = "chase"
    BEACON = "beacon"
    """One flash in each period."""
    LIGHTHOUSE = "lighthouse"
    """A turning beam: a swell, a short glare, a swell away."""
    CROSSING = "grade crossing"
    """Two lamps in turn, each lit for half of the period."""
    FADE = "fade"
    """Up and down without rest."""
    FLICKER = "flicker"
    """A small flame or a tired lamp, never quite steady."""
    FIRE = "fire"
    """Two clocks that never line up, and chance."""
    STRIKE = "tube strike"
    """A tube that blinks a few times before it burns."""
    WELDING = "welding arc"
    """Bursts of glare with pauses."""
    SCREEN = "screen flicker"
    """A moving picture seen from the street."""
    ROOMS = "room lights"
    """Windows of an evening: on one by one, off one by one."""
    ALARM = "rotating alarm"
    """One of three phases of a turning reflector."""
    DATA = "data panel"
    """Quick short flashes in clusters, as of a machine at work."""


BEATS = (
    PatternKind.CHASE,
    PatternKind.BEACON,
    PatternKind.LIGHTHOUSE,
    PatternKind.CROSSING,
    PatternKind.FADE,
    PatternKind.ROOMS,
    PatternKind.ALARM,
)
"""Kinds with a period; the others but ``steady`` live by chance."""
GLOWING = (PatternKind.FLICKER, PatternKind.FIRE, PatternKind.SCREEN)
"""Kinds that are never quite off: flames and screens."""
SHARED = (PatternKind.CHASE, PatternKind.CROSSING, PatternKind.ALARM)
"""Kinds of which several groups make one set."""


class Pattern(Record):
    """A source group's behaviour over time."""

    kind: PatternKind
    period_s: float | None = None
    fade_s: float = 0.0
    duty: float | None = None
    """Share of the period spent lit, 0 to 1."""
    seed: int | None = None
    level: float | None = None
    """Share of the LED's full light, 0 to 1: the mean over time of flames and screens, half of it
    where None; the light while lit of the others, all of it where None."""
    phase: float | None = None
    """Share of the period by which it begins later; None: by its place in its set."""
    set_name: str = ""
    """Groups with the same word share one clock; empty for one that goes alone."""
    lag_s: float = 0.0
    """Time constant with which an old lamp's filament follows."""
    repeat_s: float = 60.0
    """How long chance runs before it repeats."""
