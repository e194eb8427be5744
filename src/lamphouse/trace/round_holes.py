"""Which edges are round holes, and the drill each was made with."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.drills import Drill
from lamphouse.record import Record
from lamphouse.trace.edge_pieces import Points
from lamphouse.trace.edges import signed_area, true_radius
from lamphouse.trace.fit import fit_circle

_SAME_MM = 0.02
"""Drills that differ by less are the same in the hand: a drill of 3 mm may be so much under its
size; common practice, no source."""
_ROUND_PIXELS = 0.4
_TINY_PIXELS = 8.0
_TINY_ROUND_PIXELS = 0.5
"""A hole of fewer pixels across shows no shape: it is taken as round unless it is far from it."""
_LEAST_FULL = 0.6
"""What the edge of a round hole encloses, over the circle fitted to it."""
_ROUND_SHARE = 0.02
"""A hole is round when its edge leaves the circle by no more than the larger of these, rms; the
share is that of the radius. A regular hexagon is off by 4.5 percent and a square by 10: they are
told from circles above 18 and 8 pixels across."""


class RoundHole(Record):
    """A round hole."""

    x_mm: float
    y_mm: float
    measured_mm: float
    """Diameter as measured."""
    uncertain_mm: float
    """Of the diameter; two standard deviations."""
    drill: str
    """The one drill within the uncertainty; empty when there is none, or more than one."""
    diameter_mm: float
    """That of the drill, else as measured."""
    off_mm: NDArray[np.float64]
    """(n,) distance of every edge point from the measured circle."""
    near: tuple[str, ...] = ()
    """The two nearest drills within the uncertainty, when there is more than one."""


def round_hole(
    points: Points,
    *,
    tolerance_mm: float,
    pixel_mm: float,
    blur_mm: float,
    share: float,
    drills: Sequence[Drill],
) -> RoundHole | None:
    """Take an edge for a round hole when it is one.

    Blur moves the half level of a small hole towards its centre; that is taken off.

    Parameters
    ----------
    points
        The edge of the hole.
    tolerance_mm
        How far from round a hole may be.
    pixel_mm
        Size of a pixel on the part.
    blur_mm
        Standard deviation of the picture's blur.
    share
        Relative uncertainty of a length.
    drills
        What a hole may have been made with.

    Returns
    -------
    RoundHole or None
        None when the edge is not round.
    """
    circle, off = fit_circle(points)
    most = max(_ROUND_PIXELS * pixel_mm, min(_ROUND_SHARE * circle.radius_mm, tolerance_mm))
    if 2.0 * circle.radius_mm < _TINY_PIXELS * pixel_mm:
        most = _TINY_ROUND_PIXELS * pixel_mm
    if len(points) < 6 or float(np.sqrt(np.mean(off**2))) > most:
        return None
    covered = abs(signed_area(points)) / (np.pi * circle.radius_mm**2)
    if not _LEAST_FULL < covered < 1.0 / _LEAST_FULL:
        return None  # a sliver along an arc
    measured = 2.0 * true_radius(circle.radius_mm, blur_mm)
    uncertain = float(np.hypot(share * measured, 0.35 * pixel_mm))
    fits = sorted(
        (drill for drill in drills if abs(drill.diameter_mm - measured) <= uncertain),
        key=lambda drill: abs(drill.diameter_mm - measured),
    )
    others = [one for one in fits[1:] if abs(one.diameter_mm - fits[0].diameter_mm) > _SAME_MM]
    sure = bool(fits) and not others
    return RoundHole(
        x_mm=circle.x_mm,
        y_mm=circle.y_mm,
        measured_mm=measured,
        uncertain_mm=uncertain,
        drill=fits[0].name if sure else "",
        diameter_mm=fits[0].diameter_mm if sure else measured,
        near=(fits[0].name, others[0].name) if others else (),
        off_mm=off,
    )
