"""The spots of openings in one cavity, laid out once to find those near the faces beside a lamp."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.interior import Interior
from lamphouse.light.pieces import Targets, squared
from lamphouse.light.polygons import Polygons
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.light.viewers import Screens
from lamphouse.light.views import Glimpse, View
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SPOT_NEAR = 3.0
"""A spot is near a face that is closer than the face's diagonal times this."""

CHORDS = 8
"""Sides of a small hole."""

_SQUARE = np.array([0, 1, 2, 4, 3])
"""The square of a distance is the product of one ``squared`` place and another in this order, its
first three times -2."""


class NearSpots(Record):
    """Spots that the eye sees in one cavity, of all openings one after the other."""

    glimpses: tuple[tuple[int, Glimpse], ...]
    """Those they are seen in, each with the number of its view."""
    of: Ints
    """(S,) which of these."""
    spot: Ints
    """(S,) number in the view."""
    area_mm2: Floats
    """(S,)."""
    corners: Ints
    """(S,) how many corners each has."""
    polygons: Polygons
    """(S,)."""

    def take(self, which: Ints | Bools) -> "NearSpots":
        """Keep some of them."""
        corners = self.corners[which]
        own, most = self.polygons.take(which), int(corners.max(initial=3))
        return replace(
            self,
            of=self.of[which],
            spot=self.spot[which],
            area_mm2=self.area_mm2[which],
            corners=corners,
            polygons=replace(own, corner_mm=own.corner_mm[:, :most]),
        )

    def by_glimpse(self) -> Iterator[tuple[int, Glimpse, Ints]]:
        """Give the glimpses in which there are any: number of the view, and which they are."""
        for one in np.unique(self.of).tolist():
            number, glimpse = self.glimpses[one]
            yield number, glimpse, (self.of == one).nonzero()[0]


def laid_spots(views: Sequence[View], *, interior: Interior) -> tuple[NearSpots, ...]:
    """Lay out the spots that the eye sees in each cavity, but for the lobes of hazy sheets.

    One that a baffle passes under is left out: its middle does not tell what is hidden of it.
    """
    return tuple(
        _laid(
            [
                (number, glimpse)
                for number, view in enumerate(views)
                for glimpse in view.glimpses
                if glimpse.cavity == cavity and glimpse.onto.lobe is None
            ],
            views=views,
            interior=interior,
            cavity=cavity,
        )
        for cavity in range(len(interior.cavities))
    )


def _laid(
    glimpses: Sequence[tuple[int, Glimpse]],
    *,
    views: Sequence[View],
    interior: Interior,
    cavity: int,
) -> NearSpots:
    heights = interior.cavities[cavity].mesh.height_mm
    most = max((views[number].ring_mm.shape[1] for number, _ in glimpses), default=3)
    corner, middle, plane = [np.zeros((3, most, 0))], [np.zeros((3, 0))], [np.zeros((4, 0))]
    of, spot, areas, corners = [], [], [np.zeros(0)], []
    for place, (number, glimpse) in enumerate(glimpses):
        view, height = views[number], float(heights[0 if glimpse.faces_up else -1])
        (free,) = (~_crossed(view.ring_mm, screens=interior.screens)).nonzero()
        ring, centre = view.ring_mm[free], view.centre_mm[free]
        if len(view.ring_mm) == 1 and ring.shape[1] > CHORDS:
            ring = _fewer_chords(ring, middle=centre)
        size = ring.shape[1]
        ring = ring[:, np.minimum(np.arange(most), size - 1)]
        corner.append(np.concatenate([ring, np.full((*ring.shape[:2], 1), height)], axis=2).T)
        middle.append(np.stack([*centre.T, np.full(len(free), height)]))
        way = 1.0 if glimpse.faces_up else -1.0
        plane.append(np.tile([[0.0], [0.0], [way], [-way * height]], len(free)))
        of += [place] * len(free)
        spot += free.tolist()
        areas.append(view.area_mm2[free])
        corners += [size] * len(free)
    return NearSpots(
        glimpses=tuple(glimpses),
        of=np.array(of, dtype=np.int64),
        spot=np.array(spot, dtype=np.int64),
        area_mm2=np.concatenate(areas),
        corners=np.array(corners, dtype=np.int64),
        polygons=Polygons(
            corner_mm=np.concatenate(corner, axis=2),
            middle=squared(np.concatenate(middle, axis=1)),
            plane=np.concatenate(plane, axis=1),
        ),
    )


def near_places(
    place: Floats,
    *,
    onto: Targets,
    piece: Ints,
    reach: float,
    area_mm2: Floats | None = None,
) -> Ints:
    """Which places (5, T) are closer to some pieces than their diagonal times a reach.

    Of places with an area only those count that are smaller than a square with that diagonal.
    """
    size2 = onto.size2_mm2[piece]
    far = onto.middle[_SQUARE].take(piece, axis=1)
    far[:3] *= -2.0
    near = far.T @ place < (reach**2 * size2)[:, None]
    if area_mm2 is not None:
        near &= area_mm2 < (0.5 * size2)[:, None]
    return np.asarray(near.any(axis=0).nonzero()[0])


def spots_near(spots: NearSpots, *, interior: Interior, cavity: int, piece: Ints) -> NearSpots:
    """Keep the spots near some pieces of a cavity that lie before them.

    Over a spot no smaller than the face itself the light evens out as in the mesh.
    """
    onto, cells = interior.onto[cavity], interior.cavities[cavity].cell_count
    plane, up = onto.pieces.face[piece] // cells, spots.polygons.plane[2] > 0.0
    found = []
    for side, mine in ((0, up), (1, ~up)):
        (own,) = mine.nonzero()
        others = piece[plane != side]
        if len(own) and len(others):
            near = near_places(
                spots.polygons.middle.take(own, axis=1),
                onto=onto,
                piece=others,
                reach=SPOT_NEAR,
                area_mm2=spots.area_mm2[own],
            )
            found.append(own[near])
    return spots.take(np.sort(np.concatenate([np.zeros(0, dtype=np.int64), *found])))


def _crossed(ring: Floats, *, screens: Screens) -> Bools:
    """Tell which polygons (S, v, 2) the foot line of a screen passes through."""
    crossed = np.zeros(len(ring), dtype=np.bool_)
    for start, end in zip(screens.start_mm, screens.end_mm, strict=True):
        way = (end - start) / np.hypot(*(end - start))
        along, aside = (ring - start) @ way, (ring - start) @ (-way[1], way[0])
        through = (aside.min(axis=1) < -TOUCH_MM) & (aside.max(axis=1) > TOUCH_MM)
        beside = (along.max(axis=1) < TOUCH_MM) | (along.min(axis=1) > (end - start) @ way)
        crossed |= through & ~beside
    return crossed


def _fewer_chords(ring: Floats, *, middle: Floats) -> Floats:
    """Draw small holes with few chords and the same area."""
    few = ring[:, :: ring.shape[1] // CHORDS]
    scale = np.sqrt(ring_area_centre(ring)[0] / ring_area_centre(few)[0])
    return np.asarray(middle[:, None] + scale[:, None, None] * (few - middle[:, None]))
