"""What a lamp lights directly in one cavity, laid out as one: spots of openings, and the faces."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.landing import landing
from lamphouse.light.pieces import Targets, join, targets
from lamphouse.light.scene import Lamp
from lamphouse.light.viewers import Screens
from lamphouse.light.views import View
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]


class Beam(Record):
    """All that a lamp in one cavity lights directly, laid out as one."""

    cavity: int
    onto: Targets | None
    """The faces of the cavity, where they are wanted, then spots; None where there is neither."""
    spots: Mapping[tuple[int, int], slice]
    """Where the spots stand, by view and glimpse; those that need a light of their own are left
    out."""


def beam_of(views: Sequence[View], *, cavity: int, faces: Targets | None = None) -> Beam:
    """Lay out the spots that openings see in a cavity, after its faces if these are given."""
    parts, spots, count = [], {}, 0
    if faces is not None:
        parts, count = [faces.pieces], faces.count
    for number, view in enumerate(views):
        for part, glimpse in enumerate(view.glimpses):
            onto = glimpse.onto
            if glimpse.cavity != cavity or onto.lobe is not None:
                continue
            parts.append(replace(onto.pieces, face=onto.pieces.face + count))
            spots[number, part] = slice(count, count + onto.count)
            count += onto.count
    together = targets(join(parts), count=count) if parts else None
    return Beam(cavity=cavity, onto=together, spots=spots)


def add_direct(
    totals: Sequence[Floats],
    *,
    views: Sequence[View],
    beam: Beam,
    flux: Floats,
    lamp: Lamp,
    screens: Screens,
) -> None:
    """Add to the luminance of the spots of each opening what a lamp lights directly, in place.

    Parameters
    ----------
    totals
        (S,) for each view. [1/mm2 sr].
    views, beam
        The openings, and the lamp's cavity laid out with them.
    flux
        Of a lamp of 1 lm on all that ``beam`` lists. [lm/lm].
    lamp, screens
        For the lobes of hazy sheets, which need a light of their own.
    """
    for number, (view, total) in enumerate(zip(views, totals, strict=True)):
        for part, glimpse in enumerate(view.glimpses):
            if glimpse.cavity == beam.cavity:
                where = beam.spots.get((number, part))
                own = (
                    landing(lamp, onto=glimpse.onto, screens=screens).flux
                    if where is None
                    else flux[where]
                )
                total[:] += glimpse.share * own / view.area_mm2
