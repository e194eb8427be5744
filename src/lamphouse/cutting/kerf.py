"""Pieces as a tool with a kerf must follow them, so that they come out as drawn.

The middle of the tool runs half a kerf beside every line, on the side of what falls away: outlines
grow and cut-outs shrink. Corners stay corners and arcs stay arcs. What the tool is too wide for is
left out, and said by the rules. Drilled holes stay as they are: the drill is their tool.
"""

from collections.abc import Iterator

from lamphouse.cutting.piece import Piece
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.panel import Outline
from lamphouse.record import replace
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import circle_of
from lamphouse.units import Quantity, show


def followed(piece: Piece, *, kerf_mm: float) -> Piece:
    """Give a piece whose lines are the way of the tool's middle.

    Parameters
    ----------
    piece
        With sound outlines.
    kerf_mm
        Width of what the tool takes away.

    Returns
    -------
    Piece
        Under its own name. Cut-outs narrower than the kerf are missing; a notch narrower than it is
        closed. Drilled holes, marks and folds stay as they are.
    """
    if not kerf_mm:
        return piece
    outside = offset(anticlockwise(piece.outline.corners), by_mm=kerf_mm / 2.0)
    gaps = [hole for region in outside for hole in region.holes]
    cutouts = [
        (shrunk, name)
        for cutout, name in zip(piece.cutouts, _names(piece), strict=True)
        for shrunk in _shrunk(cutout, kerf_mm)
    ]
    cutouts += [(Outline(corners=gap, words="closed notch"), "") for gap in gaps]
    return replace(
        piece,
        outline=_like(piece.outline, outside[0].outside),
        cutouts=tuple(cutout for cutout, _ in cutouts),
        cutout_names=tuple(name for _, name in cutouts),
    )


def laying(habits: CuttingHabits) -> CuttingHabits:
    """Give the habits by which pieces are laid: with compensated lines the kerf comes on top.

    Between the ways of the tool along two pieces stays the whole gap, so that a strip as wide as
    the gap less a kerf is left of the sheet, as without a kerf; along the edge likewise.
    """
    if not habits.compensate:
        return habits
    return replace(
        habits,
        gap_mm=habits.gap_mm + habits.kerf_mm,
        edge_mm=habits.edge_mm + habits.kerf_mm / 2.0,
    )


def kerf_words(habits: CuttingHabits) -> str:
    """Say in a name that lines are compensated; empty when they are as drawn."""
    if not habits.compensate or not habits.kerf_mm:
        return ""
    return f"kerf {show(habits.kerf_mm, Quantity.LENGTH)}"


def _names(piece: Piece) -> tuple[str, ...]:
    lacking = len(piece.cutouts) - len(piece.cutout_names)
    return piece.cutout_names + ("",) * lacking


def _shrunk(cutout: Outline, kerf_mm: float) -> Iterator[Outline]:
    for region in offset(anticlockwise(cutout.corners), by_mm=-kerf_mm / 2.0):
        yield _like(cutout, region.outside)


def _like(outline: Outline, corners: tuple[tuple[float, float, float], ...]) -> Outline:
    ring = circle_of(corners)
    return replace(outline, corners=corners, diameter_mm=ring.diameter_mm if ring else None)
