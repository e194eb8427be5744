"""The pack's drawings one by one, for the page: as SVG to look at, as a PDF to print.

Every drawing is the one that the pack sets on its pages, and every PDF holds pages of the pack.
"""

from collections.abc import Callable, Mapping
from functools import partial

from lamphouse.design.place import SubAssembly
from lamphouse.drawings.named_floor import named_floor
from lamphouse.drawings.page import Labelled
from lamphouse.outputs import (
    board_sheets,
    drawn_labels,
    loom_sheets,
    parts_sheet,
    pdf,
    reading_sheets,
    time_sheets,
)
from lamphouse.outputs.contents import document_of
from lamphouse.outputs.page_entries import Drawn, Entry, Sheet
from lamphouse.outputs.svg import path_data, render
from lamphouse.plan.result import Plan
from lamphouse.record import Record


class Shown(Record):
    """One drawing."""

    name: str
    face: str
    """What one sees, such as ``front`` or ``back, mirrored``; may be empty."""
    drawn: str
    """Its scale in words."""
    count: int
    """How many to make."""
    svg: str
    width_mm: float
    height_mm: float


class ShownFloor(Record):
    """The floor plan, with the footprint of every sub-assembly as the ``d`` of an SVG path."""

    drawing: Shown
    feet: Mapping[str, str]


OF_SUB_ASSEMBLY: Mapping[str, Callable[[Plan, SubAssembly], tuple[Labelled, ...]]] = {
    "circuit": drawn_labels.schematics,
    "templates": drawn_labels.templates,
    "formers": drawn_labels.formers,
    "boxes": drawn_labels.box_pieces,
    "assembly": drawn_labels.box_assemblies,
    "masks": drawn_labels.masks,
}
"""Drawings of one sub-assembly, by what they show."""
OF_MODEL: Mapping[str, Callable[[Plan], tuple[Labelled, ...]]] = {
    "loom": drawn_labels.loom,
    "sheets": drawn_labels.stock_sheets,
}
"""Drawings of the whole model, by what they show."""
_TEXTS_OF_SUB = {
    "board": ("board", board_sheets.board),
    "readings": ("readings", reading_sheets.readings),
}
_TEXTS_OF_MODEL: Mapping[str, tuple[str, str, Callable[[Plan], object]]] = {
    "time line": ("timeline", "Time line", time_sheets.time_line),
    "loom list": ("loom", "Loom", loom_sheets.loom),
    "parts": ("parts", "Parts list", parts_sheet.parts),
}


def drawings(plan: Plan, what: str, *, sub: SubAssembly | None = None) -> tuple[Shown, ...]:
    """Give the drawings of one kind.

    Parameters
    ----------
    plan
        With all that the drawings show: boards and sheets are laid by ``pack.completed``.
    what
        A key of :data:`OF_SUB_ASSEMBLY`, with ``sub``, or of :data:`OF_MODEL`.

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    return tuple(shown(label) for label in _labels(plan, what, sub=sub))


def shown(label: Labelled) -> Shown:
    """Give one drawing of the pack."""
    return Shown(
        name=label.name,
        face=label.face,
        drawn=label.drawn,
        count=label.count,
        svg=render(label.drawing),
        width_mm=label.drawing.width_mm,
        height_mm=label.drawing.height_mm,
    )


def floor(plan: Plan) -> ShownFloor | None:
    """Draw the floor plan with names; None where nothing has a place."""
    design = plan.design
    made = named_floor(design.sub_assemblies, room=design.room, paper=design.paper)
    if made is None:
        return None
    drawing = made.label.drawing
    top_mm = drawing.bottom_mm + drawing.height_mm
    feet = {
        name: path_data(foot, left_mm=drawing.left_mm, top_mm=top_mm) for name, foot in made.feet
    }
    return ShownFloor(drawing=shown(made.label), feet=feet)


def pdf_of(
    plan: Plan, what: str, *, sub: SubAssembly | None = None, only: str = ""
) -> bytes | None:
    """Set pages of the pack as a PDF of their own; None where the plan has nothing to show.

    Parameters
    ----------
    what
        As for :func:`drawings`; also ``board`` and ``readings`` of a sub-assembly, and
        ``time line``, ``loom list`` and ``parts`` of the model.
    only
        The name of one drawing; empty for all.

    Raises
    ------
    KeyError
        If there is no such kind, or no drawing of this name.
    """
    entry = _entry(plan, what, sub=sub, only=only)
    if entry is None:
        return None
    return pdf.set_pages(document_of(plan, [entry]), day=plan.design.day)


def _entry(plan: Plan, what: str, *, sub: SubAssembly | None, only: str) -> Entry | None:
    if sub and what in _TEXTS_OF_SUB:
        kind, make = _TEXTS_OF_SUB[what]
        return _sheet(kind, f"{sub.name}: {what}", partial(make, plan, sub)())
    if not sub and what in _TEXTS_OF_MODEL:
        kind, heading, of_model = _TEXTS_OF_MODEL[what]
        return _sheet(kind, heading, of_model(plan))
    labels = _labels(plan, what, sub=sub)
    if only:
        labels = tuple(label for label in labels if label.name == only)
        if not labels:
            raise KeyError(only)
    return Drawn(mark=what, labels=labels) if labels else None


def _sheet(kind: str, heading: str, data: object) -> Sheet | None:
    return (
        Sheet(mark=kind, kind=kind, heading=heading, data=data) if isinstance(data, dict) else None
    )


def _labels(plan: Plan, what: str, *, sub: SubAssembly | None) -> tuple[Labelled, ...]:
    return OF_SUB_ASSEMBLY[what](plan, sub) if sub else OF_MODEL[what](plan)
