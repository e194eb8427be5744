"""What is wrong with an outline, in plain words, and where.

An outline is sound when it has an inside: enough corners, every number finite and within reach of
a bench, no corner twice, no spike, no crossing, and some area.
"""

from enum import StrEnum
from functools import lru_cache
from math import hypot, isfinite

from lamphouse.record import Record
from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners, circle_of, pieces

FARTHEST_MM = 10_000.0
"""No point of an outline may lie farther than this (10 m) from the origin in x or y."""

SAME_MM = 1e-4
"""Two corners nearer than this are one corner."""

MOST_CORNERS = 100_000
"""More corners than this are refused: no template of that many can be cut."""

MOST_BULGE = 1e4
"""An arc this near a full turn has no safe radius; write it as two arcs."""

SPIKE_RAD = 1e-6
"""A straight piece that turns back within this angle encloses nothing."""

CHECK_ERROR_MM = 1e-3
"""Error of the chords on which crossings are looked for."""


class FlawKind(StrEnum):
    """What is wrong with an outline."""

    TOO_FEW = "too few corners"
    TOO_MANY = "too many corners"
    NOT_A_NUMBER = "not a number"
    TOO_FAR = "out of reach"
    REPEATED = "repeated corner"
    ARC = "arc of a full turn"
    SPIKE = "spike"
    CROSSING = "crosses itself"
    NO_AREA = "no area"


class Flaw(Record):
    """The first thing wrong with an outline."""

    kind: FlawKind
    words: str
    """A clause that follows the outline's name, with the place: ``crosses itself at (3, 4) mm``."""
    x_mm: float | None = None
    y_mm: float | None = None


def _spot_words(x_mm: float, y_mm: float) -> str:
    """Write a point for a sentence."""
    return f"({x_mm:.6g}, {y_mm:.6g}) mm"


def _at(kind: FlawKind, *, words: str, x_mm: float, y_mm: float) -> Flaw:
    """Make a flaw that has a place."""
    return Flaw(kind=kind, words=f"{words} {_spot_words(x_mm, y_mm)}", x_mm=x_mm, y_mm=y_mm)


def _count_flaw(corners: Corners) -> Flaw | None:
    """Look at the number of corners."""
    if len(corners) > MOST_CORNERS:
        words = f"has {len(corners)} corners; at most {MOST_CORNERS} can be drawn and cut"
        return Flaw(kind=FlawKind.TOO_MANY, words=words)
    has_arc = any(bulge for _, _, bulge in corners)
    least = 2 if has_arc else 3
    if len(corners) < least:
        words = f"has {len(corners)} corners and needs {least} to enclose anything"
        return Flaw(kind=FlawKind.TOO_FEW, words=words)
    return None


def _number_flaw(corners: Corners) -> Flaw | None:
    """Look at each number, then at each arc's reach."""
    for index, corner in enumerate(corners, start=1):
        x, y, bulge = corner
        if not all(isfinite(value) for value in corner):
            return Flaw(kind=FlawKind.NOT_A_NUMBER, words=f"has no number at corner {index}")
        if max(abs(x), abs(y)) > FARTHEST_MM:
            words = f"reaches {FARTHEST_MM / 1000.0:g} m and more from its datum at"
            return _at(FlawKind.TOO_FAR, words=words, x_mm=x, y_mm=y)
        if abs(bulge) > MOST_BULGE:
            words = "has an arc of almost a full turn, best written as two arcs, at"
            return _at(FlawKind.ARC, words=words, x_mm=x, y_mm=y)
    return None


def _repeat_flaw(corners: Corners) -> Flaw | None:
    """Look for neighbouring corners in one place."""
    for piece in pieces(corners):
        if piece.chord_mm < SAME_MM:
            return _at(
                FlawKind.REPEATED,
                words="has two corners in one place at",
                x_mm=piece.end[0],
                y_mm=piece.end[1],
            )
    return None


def _reach_flaw(corners: Corners) -> Flaw | None:
    """Look at how far the arcs bulge out."""
    left, bottom, right, top = bounds_mm(corners)
    if max(-left, -bottom, right, top) > FARTHEST_MM:
        words = f"has an arc that reaches {FARTHEST_MM / 1000.0:g} m and more from its datum"
        return Flaw(kind=FlawKind.TOO_FAR, words=words)
    return None


def _spike_flaw(corners: Corners) -> Flaw | None:
    """Look for a straight piece that doubles back on the one before it."""
    line = list(pieces(corners))
    for before, after in zip(line, line[1:] + line[:1], strict=True):
        if not (before.is_straight and after.is_straight):
            continue
        in_x, in_y = before.end[0] - before.start[0], before.end[1] - before.start[1]
        out_x, out_y = after.end[0] - after.start[0], after.end[1] - after.start[1]
        cross = in_x * out_y - in_y * out_x
        scale = hypot(in_x, in_y) * hypot(out_x, out_y)
        if in_x * out_x + in_y * out_y < 0.0 and abs(cross) < SPIKE_RAD * scale:
            return _at(
                FlawKind.SPIKE,
                words="doubles back on itself in a spike at",
                x_mm=after.start[0],
                y_mm=after.start[1],
            )
    return None


def _crossing_flaw(corners: Corners) -> Flaw | None:
    """Look for a place where the outline crosses or touches itself."""
    if circle_of(corners) or _is_convex(corners):
        return None
    import shapely

    flat = solid_of(corners, error_mm=CHECK_ERROR_MM)
    reason = str(shapely.is_valid_reason(flat))
    if "[" not in reason:
        return None
    x, y = (float(part) for part in reason[reason.index("[") + 1 : -1].split()[:2])
    touches = reason.startswith("Ring")
    words = "touches itself at" if touches else "crosses itself at"
    return _at(FlawKind.CROSSING, words=words, x_mm=x, y_mm=y)


def _is_convex(corners: Corners) -> bool:
    """Recognise three or four straight pieces that all turn one way, clearly: they cannot cross.

    Each turns by less than half a turn, so all together turn by no more than a whole one.
    """
    if len(corners) > 4 or any(bulge for _, _, bulge in corners):
        return False
    crosses = [
        (corners[at - 1][0] - corners[at - 2][0]) * (y - corners[at - 1][1])
        - (corners[at - 1][1] - corners[at - 2][1]) * (x - corners[at - 1][0])
        for at, (x, y, _) in enumerate(corners)
    ]
    return min(crosses) > SAME_MM or max(crosses) < -SAME_MM


@lru_cache(maxsize=256)  # many rules ask about the same outlines
def flaw_of(corners: Corners) -> Flaw | None:
    """Find the first thing wrong with an outline.

    Crossings are looked for on chords within 0.001 mm of the arcs, so two arcs that pass nearer
    than that may be called crossing.

    Parameters
    ----------
    corners
        Any tuple of corners, however wrong.

    Returns
    -------
    Flaw or None
        None when the outline is sound.
    """
    checks = (_count_flaw, _number_flaw, _repeat_flaw, _reach_flaw)
    for check in checks:
        flaw = check(corners)
        if flaw is not None:
            return flaw
    if _is_thin(corners):
        return Flaw(kind=FlawKind.NO_AREA, words="encloses no area: its corners lie on one line")
    return _spike_flaw(corners) or _crossing_flaw(corners)


def _is_thin(corners: Corners) -> bool:
    """Tell whether all corners lie on one line; a crossing may cancel area, so area is no sign."""
    if any(bulge for _, _, bulge in corners):
        return area_mm2(corners) < SAME_MM**2
    x, y, _ = corners[0]
    far_x, far_y = max(
        ((cx - x, cy - y) for cx, cy, _ in corners), key=lambda way: hypot(way[0], way[1])
    )
    reach = hypot(far_x, far_y)
    return all(abs(far_x * (cy - y) - far_y * (cx - x)) <= SAME_MM * reach for cx, cy, _ in corners)
