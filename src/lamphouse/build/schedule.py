"""The records of a schedule: evenings with their steps, and what decides when it all ends."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """What is done on one evening."""

    day: date
    starts_h: float
    """Hour of the day."""
    steps: tuple[str, ...]
    """Ids, in the order of the evening; one that goes on next time stands in both."""
    minutes: float
    """Hands on."""
    theme: str
    """What most of its time goes to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Steps spread over evenings."""

    sessions: tuple[Session, ...]
    unplaced: tuple[str, ...]
    """Steps for which there is no evening, or whose part has no day."""
    critical: tuple[str, ...]
    """The chain of steps that decides how soon the model can be done."""
    ends: date | None
    """Day of the last step; None while steps are unplaced."""
    next: tuple[str, ...]
    """Best for the next evening."""
