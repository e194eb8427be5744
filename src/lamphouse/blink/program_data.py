"""A time table as the whole numbers that a program holds, each track once.

Terminology
-----------
record
    A track in bytes: first step, the piece its loop begins with, the number of pieces, then for
    each piece its ticks and the step it ends at. Numbers of two bytes have the low byte first.
"""

from collections.abc import Iterator
from itertools import pairwise

from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import Track
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record

MOST_TICKS = 0xFFFF
"""Ticks of one piece that a record can hold."""
TRIGGERS = (Trigger.IN_TURN, Trigger.BUTTON, Trigger.TIMER)
"""A trigger is stored as its place here."""


class SceneData(Record):
    """One scene in whole numbers."""

    name: str
    trigger: int
    length: int
    """Ticks; 0: for ever."""
    every: int
    """Ticks; 0: no timer."""
    fade: int
    tracks: tuple[int, ...]
    """For each group the number of its record."""


class ProgramData(Record):
    """Everything a program holds."""

    groups: tuple[str, ...]
    records: tuple[bytes, ...]
    scenes: tuple[SceneData, ...]

    @property
    def record_bytes(self) -> int:
        """Memory for all records."""
        return sum(len(record) for record in self.records)


def program_data(table: TimeTable) -> ProgramData:
    """Store a time table.

    Notes
    -----
    A piece longer than a record can hold is stored as several, and the steps between them are
    rounded; everything else is stored as it is.
    """
    numbers: dict[bytes, int] = {}
    scenes = tuple(
        SceneData(
            name=scene.name,
            trigger=TRIGGERS.index(scene.trigger),
            length=scene.length or 0,
            every=scene.every or 0,
            fade=scene.fade,
            tracks=tuple(
                numbers.setdefault(record_of(track), len(numbers)) for track in scene.tracks
            ),
        )
        for scene in table.scenes
    )
    return ProgramData(groups=table.groups, records=tuple(numbers), scenes=scenes)


def record_of(track: Track) -> bytes:
    """Store one track."""
    steps = (track.first, *track.ends)
    pieces: list[tuple[int, int]] = []
    loop_to = 0
    for number, ((start, end), ticks) in enumerate(zip(pairwise(steps), track.ticks, strict=True)):
        if number == track.loop_to:
            loop_to = len(pieces)
        pieces += _stored(ticks, start=start, end=end)
    head = bytes([track.first]) + _two(loop_to) + _two(len(pieces))
    return head + b"".join(_two(ticks) + bytes([end]) for ticks, end in pieces)


def _stored(ticks: int, *, start: int, end: int) -> Iterator[tuple[int, int]]:
    parts = max(-(-ticks // MOST_TICKS), 1)
    knots = [ticks * part // parts for part in range(parts + 1)]
    for before, knot in pairwise(knots):
        yield knot - before, round(start + (end - start) * knot / ticks) if ticks else end


def _two(number: int) -> bytes:
    return number.to_bytes(2, "little")
