"""The chart of the work: a bar for every step, evening by evening, with gates and drying.

A column is an evening, as wide as it is long. Time between evenings has no width; what dries shows
as a dashed line up to the edge of the first evening on which it is dry. Steps of the chain that
decides when all is done are filled, the others are outlines; gates are diamonds.
"""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from lamphouse.build.schedule import Placed, Schedule, Session
from lamphouse.build.steps import Step, WorkOrder
from lamphouse.drawings.drawing import Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of
from lamphouse.drawings.page import NO_SCALE, Labelled
from lamphouse.drawings.paper import lying
from lamphouse.record import Record

_NAME_MM = 46.0
"""Kept free for the names of the rows."""
_ROW_MM, _BAR_MM = 4.6, 2.6
_HEAD_MM, _FOOT_MM = 21.0, 8.0
_MINUTE_MM = 0.07
_NARROWEST_MM = 6.5
_LINE_MM = 3.2
"""From line to line in the heads, which are written upwards."""
_SPARE_MM = 2.0
_LETTER_MM = 2.0
KEY = (
    "Filled: of the chain that decides the end. Outlined: all other steps. Diamond: a gate. "
    "Dashed: it dries until then. Every column is an evening."
)


class _Column(Record):
    """One evening on the paper."""

    session: Session
    begins_h: float
    """Since the midnight of the first day."""
    left_mm: float
    width_mm: float

    def x(self, hours: float) -> float:
        """Give the place of a time, within the column."""
        at = self.left_mm + (hours - self.begins_h) * 60.0 * _MINUTE_MM
        return min(max(at, self.left_mm), self.left_mm + self.width_mm)


def work_chart(order: WorkOrder, planned: Schedule, *, paper: str) -> tuple[Labelled, ...]:
    """Draw the evenings of a schedule, on as many pages as it takes.

    Parameters
    ----------
    order, planned
        The steps and their evenings; without any evening there is nothing to draw.
    paper
        A key of ``paper.SIZES_MM``.
    """
    wide, high = lying(paper).room_mm
    most_rows = int((high - _HEAD_MM - _FOOT_MM) / _ROW_MM)
    placed = {one.step: one for one in planned.placed}
    rows = _rows([step for step in order.steps if step.id in placed])
    charts: list[Labelled] = []
    for columns in _columns(planned, room_mm=wide - _NAME_MM - _SPARE_MM):
        seen = {name for column in columns for name in column.session.steps}
        own = [(name, steps) for name, steps in rows if any(step.id in seen for step in steps)]
        for start in range(0, len(own), most_rows):
            items = _page(
                own[start : start + most_rows],
                columns=columns,
                placed=placed,
                chain=frozenset(planned.critical),
                room_mm=wide - _SPARE_MM,
            )
            number = len(charts) + 1
            drawing = drawing_of(tuple(items), name=f"work chart {number}")
            charts.append(
                Labelled(drawing=drawing, part="evenings", piece=str(number), drawn=NO_SCALE)
            )
    return tuple(charts)


def _rows(steps: Sequence[Step]) -> list[tuple[str, list[Step]]]:
    """Put the steps of one panel, box or sub-assembly into one row."""
    rows: dict[str, list[Step]] = {}
    for step in steps:
        rows.setdefault(step.id.rpartition("/")[0].replace("/", ", "), []).append(step)
    return list(rows.items())


def _columns(planned: Schedule, *, room_mm: float) -> Iterator[list[_Column]]:
    """Give the evenings that fit side by side on each page."""
    columns: list[_Column] = []
    at = 0.0
    for session in planned.sessions:
        width = max(session.minutes * _MINUTE_MM, _NARROWEST_MM)
        if columns and at + width > room_mm:
            yield columns
            columns, at = [], 0.0
        days = (session.day - planned.first_day).days if planned.first_day else 0
        columns.append(
            _Column(
                session=session,
                begins_h=24.0 * days + session.starts_h,
                left_mm=_NAME_MM + at,
                width_mm=width,
            )
        )
        at += width
    if columns:
        yield columns


def _page(
    rows: Sequence[tuple[str, list[Step]]],
    *,
    columns: Sequence[_Column],
    placed: dict[str, Placed],
    chain: frozenset[str],
    room_mm: float,
) -> Iterator[Item]:
    top = _FOOT_MM + len(rows) * _ROW_MM
    right = columns[-1].left_mm + columns[-1].width_mm
    yield from _heads(columns, top=top)
    for number, (name, steps) in enumerate(rows):
        middle = top - (number + 0.5) * _ROW_MM
        if number % 2 == 0:
            for level in (middle - _ROW_MM / 2, middle + _ROW_MM / 2):
                yield segment(Pen.SIZE, start=(0.0, level), end=(right, level))
        words = shortened(name, room_mm=_NAME_MM - 2.0, height_mm=_LETTER_MM)
        yield Text(x_mm=0.5, y_mm=middle - _LETTER_MM / 2, words=words, height_mm=_LETTER_MM)
        for step in steps:
            yield from _drying(placed[step.id], columns=columns, middle=middle)
        for step in steps:
            yield from _bar(
                step, placed[step.id], columns=columns, middle=middle, critical=step.id in chain
            )
    words = shortened(KEY, room_mm=room_mm, height_mm=LEAST_MM)
    yield Text(x_mm=0.5, y_mm=1.5, words=words, height_mm=LEAST_MM)


def _heads(columns: Sequence[_Column], *, top: float) -> Iterator[Item]:
    """Write day, hour and theme over each evening."""
    for column in columns:
        left, right = column.left_mm, column.left_mm + column.width_mm
        for x in (left, right):
            yield segment(Pen.SIZE, start=(x, _FOOT_MM), end=(x, top + _HEAD_MM))
        day, hour = column.session.day, timedelta(hours=column.session.starts_h)
        clock = f"{hour.seconds // 3600:02d}:{hour.seconds // 60 % 60:02d}"
        for words, beside, bold in (
            (f"{day.day} {day:%b} {clock}", -_LINE_MM, True),
            (column.session.theme, _LINE_MM, False),
        ):
            yield Text(
                x_mm=(left + right + LEAST_MM + beside) / 2,
                y_mm=top + 1.2,
                words=words,
                height_mm=LEAST_MM,
                turn_deg=90.0,
                bold=bold,
            )


def _bar(
    step: Step, at: Placed, *, columns: Sequence[_Column], middle: float, critical: bool
) -> Iterator[Item]:
    for column in columns:
        if step.id not in column.session.steps:
            continue
        ends_h = column.begins_h + column.session.minutes / 60.0
        left, right = column.x(at.starts), column.x(min(at.ends, ends_h))
        if at.starts < column.begins_h:  # it goes on from an evening before
            left = column.left_mm
        if step.is_gate:
            x, half = (left + right) / 2, _BAR_MM / 2
            corners = (
                (x - half, middle),
                (x, middle - half),
                (x + half, middle),
                (x, middle + half),
            )
            yield Path(
                pen=Pen.CUT if critical else Pen.FRAME,
                corners=tuple((*spot, 0.0) for spot in corners),
                closed=True,
                filled=critical,
            )
            continue
        yield rectangle(
            Pen.CUT if critical else Pen.FRAME,
            left=left,
            bottom=middle - _BAR_MM / 2,
            right=right,
            top=middle + _BAR_MM / 2,
            filled=critical,
        )


def _drying(at: Placed, *, columns: Sequence[_Column], middle: float) -> Iterator[Item]:
    """Draw how long it dries: up to the evening on which it is dry."""
    if at.rests_until <= at.ends:
        return
    start = next((c for c in columns if c.begins_h <= at.ends <= _end_h(c) + 1e-6), None)
    if start is None:
        return
    end = start.x(at.rests_until)
    for column in columns:
        if column.begins_h > at.ends:
            end = column.x(at.rests_until) if column.begins_h < at.rests_until else column.left_mm
            if column.begins_h >= at.rests_until:
                break
    begin = start.x(at.ends)
    if end - begin > 0.2:
        yield segment(Pen.HIDDEN, start=(begin, middle), end=(end, middle))


def _end_h(column: _Column) -> float:
    return column.begins_h + column.session.minutes / 60.0
