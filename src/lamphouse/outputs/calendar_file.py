"""Evenings as a calendar file [RFC5545]: an event for each, its steps in the description.

Times are those of the clock on the wall, without a zone, so that a builder who travels still begins
at half past seven. The same evenings give the same bytes: an event's stamp is its own day.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from hashlib import sha256

from lamphouse.build.schedule import Schedule, Session
from lamphouse.build.steps import Step, WorkOrder

FOLD = 75
"""Octets of a line at most, its break not counted [RFC5545] 3.1."""
ENDS = "\r\n"


def calendar(order: WorkOrder, planned: Schedule, *, project: str) -> bytes:
    """Write the evenings of a schedule as a calendar."""
    steps = {step.id: step for step in order.steps}
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Lamphouse//Order of work//EN",
        "CALSCALE:GREGORIAN",
        f"X-WR-CALNAME:{_text(project)}",
        *(line for one in planned.sessions for line in _event(one, steps=steps, project=project)),
        "END:VCALENDAR",
    ]
    return "".join(f"{folded}{ENDS}" for line in lines for folded in _folded(line)).encode()


def _event(session: Session, *, steps: dict[str, Step], project: str) -> Iterator[str]:
    midnight = datetime.combine(session.day, datetime.min.time())
    starts = midnight + timedelta(minutes=round(session.starts_h * 60.0))
    ends = starts + timedelta(minutes=session.minutes)
    name = sha256(f"{project}\n{starts.isoformat()}".encode()).hexdigest()[:32]
    yield "BEGIN:VEVENT"
    yield f"UID:{name}@lamphouse.invalid"
    yield f"DTSTAMP:{session.day:%Y%m%d}T000000Z"
    yield f"DTSTART:{starts:%Y%m%dT%H%M%S}"
    yield f"DTEND:{ends:%Y%m%dT%H%M%S}"
    told = "\n".join(_told(steps[name]) for name in session.steps)
    yield f"SUMMARY:{_text(f'{project}: {session.theme}' if session.theme else project)}"
    yield f"DESCRIPTION:{_text(told)}"
    if session.theme:
        yield f"CATEGORIES:{_text(session.theme)}"
    yield "END:VEVENT"


def _told(step: Step) -> str:
    """Say a step in one line, and what a gate should show below it."""
    told = f"[ ] {step.title} ({step.minutes:g} min)"
    if step.rest_hours:
        told += f", then {step.rest_hours:g} h to dry"
    return "\n".join([told, *(f"    {line}" for line in step.expected)])


def _text(words: str) -> str:
    """Escape a text [RFC5545] 3.3.11; other control characters are left out."""
    kept = "".join(sign for sign in words if sign == "\n" or (sign >= " " and sign != "\x7f"))
    for sign, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        kept = kept.replace(sign, written)
    return kept


def _folded(line: str) -> Iterator[str]:
    """Fold a line between characters, so that no piece is longer than the standard allows."""
    piece, room = "", FOLD
    for sign in line:
        octets = len(sign.encode())
        if octets > room:
            yield piece
            piece, room = " ", FOLD - 1
        piece += sign
        room -= octets
    yield piece
