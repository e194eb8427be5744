"""Scenes: parts of the model's time line, and what begins them.

The scenes that come in turn make the model's day, in the order of the file, over and over. A scene
with a trigger breaks in, and the day goes on where it was left.
"""

from enum import StrEnum

from lamphouse.design.pattern import Pattern
from lamphouse.findings import Where
from lamphouse.record import Record


class Trigger(StrEnum):
    """What begins a scene."""

    IN_TURN = "in turn"
    BUTTON = "button"
    """A press, by a visitor or the builder."""
    TIMER = "timer"
    """Every so often."""


class Scene(Record):
    """A part of the time line with its own levels and patterns."""

    name: str
    where: Where
    lasts_s: float
    trigger: Trigger = Trigger.IN_TURN
    every_s: float | None = None
    """From one beginning to the next of a scene begun by a timer."""
    fade_s: float = 0.0
    """Time in which the levels of the scene before go over into its own."""
    levels: tuple[tuple[str, float], ...] = ()
    """Source groups with a share of their pattern's light, 0 to 1; the others keep all of it."""
    patterns: tuple[tuple[str, Pattern], ...] = ()
    """Source groups that do something else in this scene."""
