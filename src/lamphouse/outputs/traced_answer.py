"""A traced part, and one laid over its panel, as records of the answer of ``trace``."""

from collections.abc import Sequence
from typing import Protocol

from lamphouse.outputs.trace_lines import (
    AgainstLine,
    CornerLine,
    HoleLine,
    HoleOffLine,
    OffLine,
    TraceResult,
)

Spots = Sequence[tuple[float, float, float]]
"""Corners: right, up [mm], bulge."""


class Off(Protocol):
    """How far points lie from an outline, as tracing states it."""

    @property
    def rms_mm(self) -> float: ...  # noqa: D102
    @property
    def p95_mm(self) -> float: ...  # noqa: D102
    @property
    def max_mm(self) -> float: ...  # noqa: D102
    @property
    def points(self) -> int: ...  # noqa: D102


class Round(Protocol):
    """A round hole, as tracing states it."""

    @property
    def diameter_mm(self) -> float: ...  # noqa: D102
    @property
    def measured_mm(self) -> float: ...  # noqa: D102
    @property
    def uncertain_mm(self) -> float: ...  # noqa: D102
    @property
    def drill(self) -> str: ...  # noqa: D102
    @property
    def near(self) -> tuple[str, ...]: ...  # noqa: D102


class Hole(Protocol):
    """A hole of any shape."""

    @property
    def corners(self) -> Spots: ...  # noqa: D102
    @property
    def round(self) -> Round | None: ...  # noqa: D102
    @property
    def middle_mm(self) -> tuple[float, float]: ...  # noqa: D102


class Told(Protocol):
    """What a finding says."""

    @property
    def message(self) -> str: ...  # noqa: D102


class Part(Protocol):
    """A part as traced."""

    @property
    def corners(self) -> Spots: ...  # noqa: D102
    @property
    def holes(self) -> Sequence[Hole]: ...  # noqa: D102
    @property
    def deviation(self) -> Off: ...  # noqa: D102
    @property
    def uncertain_mm(self) -> float: ...  # noqa: D102
    @property
    def pixel_mm(self) -> float: ...  # noqa: D102
    @property
    def side(self) -> object: ...  # noqa: D102
    @property
    def contrast(self) -> float: ...  # noqa: D102
    @property
    def scale_words(self) -> str: ...  # noqa: D102
    @property
    def turned_deg(self) -> float: ...  # noqa: D102
    @property
    def size_mm(self) -> tuple[float, float]: ...  # noqa: D102
    @property
    def findings(self) -> Sequence[Told]: ...  # noqa: D102


class HoleGap(Protocol):
    """A hole against the opening it should be."""

    @property
    def x_mm(self) -> float: ...  # noqa: D102
    @property
    def y_mm(self) -> float: ...  # noqa: D102
    @property
    def right_mm(self) -> float: ...  # noqa: D102
    @property
    def up_mm(self) -> float: ...  # noqa: D102
    @property
    def larger_mm(self) -> float | None: ...  # noqa: D102


class Laid(Protocol):
    """A part laid over its panel."""

    @property
    def deviation(self) -> Off: ...  # noqa: D102
    @property
    def worst_mm(self) -> tuple[float, float]: ...  # noqa: D102
    @property
    def holes(self) -> Sequence[HoleGap]: ...  # noqa: D102
    @property
    def missing(self) -> int: ...  # noqa: D102
    @property
    def extra(self) -> int: ...  # noqa: D102


def result_of(
    found: Part,
    *,
    pictures: Sequence[str],
    edge_rule: str,
    overlay: str,
    written: str = "",
    against: AgainstLine | None = None,
) -> TraceResult:
    """Tell what was traced.

    Parameters
    ----------
    found
        The part.
    pictures
        Names of the pictures it was traced from, the first one first.
    edge_rule
        What its edge is.
    overlay
        The picture to judge it by.
    written
        The panel it was written into; empty when none.
    against
        When it was laid over a panel.
    """
    width, height = found.size_mm
    return TraceResult(
        picture=pictures[0],
        pictures=tuple(pictures),
        scale=found.scale_words,
        pixel_mm=found.pixel_mm,
        edge_rule=edge_rule,
        part_is=str(found.side),
        contrast_levels=found.contrast,
        width_mm=width,
        height_mm=height,
        turned_deg=found.turned_deg,
        uncertain_mm=found.uncertain_mm,
        fit=_off_line(found.deviation),
        outline=_corner_lines(found.corners),
        holes=tuple(_hole_line(hole) for hole in found.holes),
        notes=tuple(one.message for one in found.findings),
        overlay=overlay,
        against=against,
        written_into=written,
    )


def against_of(laid: Laid, *, panel: str, picture: str) -> AgainstLine:
    """Tell how far a part is from its panel; ``picture`` is the map of it."""
    return AgainstLine(
        panel=panel,
        edge=_off_line(laid.deviation),
        worst_x_mm=laid.worst_mm[0],
        worst_y_mm=laid.worst_mm[1],
        holes=tuple(
            HoleOffLine(
                x_mm=hole.x_mm,
                y_mm=hole.y_mm,
                right_mm=hole.right_mm,
                up_mm=hole.up_mm,
                larger_mm=hole.larger_mm,
            )
            for hole in laid.holes
        ),
        missing=laid.missing,
        extra=laid.extra,
        map=picture,
    )


def _hole_line(hole: Hole) -> HoleLine:
    ring, (x, y) = hole.round, hole.middle_mm
    return HoleLine(
        is_round=ring is not None,
        x_mm=x,
        y_mm=y,
        diameter_mm=ring.diameter_mm if ring else None,
        measured_mm=ring.measured_mm if ring else None,
        uncertain_mm=ring.uncertain_mm if ring else None,
        drill=ring.drill if ring else "",
        near=ring.near if ring else (),
        corners=_corner_lines(hole.corners),
    )


def _corner_lines(outline: Spots) -> tuple[CornerLine, ...]:
    return tuple(CornerLine(x_mm=x, y_mm=y, bulge=bulge) for x, y, bulge in outline)


def _off_line(off: Off) -> OffLine:
    return OffLine(rms_mm=off.rms_mm, p95_mm=off.p95_mm, max_mm=off.max_mm, points=off.points)
