"""The light one lamp of 1 lm gives at the openings of a box, for any place of the lamp.

A place is solved once and kept. Between the places solved so far a smooth surface tells what a lamp
would give; it is a guide for searches and never a figure.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import live
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.live import Live
from lamphouse.light.scene import Lamp, Spot
from lamphouse.light.step_size import STEP_WEIGHT
from lamphouse.light.views import View
from lamphouse.light.wishes import Aims, Wish, lay_out
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]


class Between:
    """A surface through the luminances of known places: cubes of distances and a sloping plane."""

    def __init__(self, sites: Sequence[Spot], *, values: Floats) -> None:
        """Lay the surface through values (S, M) at the places."""
        self._places = np.array(sites)
        count = len(sites)
        table = np.zeros((count + 3, count + 3))
        table[:count, :count] = self._cubes(self._places)
        table[:count, count:] = self._plane(self._places)
        table[count:, :count] = table[:count, count:].T
        right = np.concatenate([values, np.zeros((3, values.shape[1]))])
        # Places in one line leave the plane's slope open; the least-squares answer takes 0 for it.
        self._weights = np.linalg.lstsq(table, right, rcond=None)[0]

    def _cubes(self, places: Floats) -> Floats:
        offset = places[:, None, :] - self._places[None, :, :]
        return np.asarray(np.sum(offset**2, axis=2) ** 1.5)

    def _plane(self, places: Floats) -> Floats:
        return np.column_stack([np.ones(len(places)), places])

    def over(self, places: Floats) -> Floats:
        """Luminances at places (P, 2), (P, M)."""
        shapes = np.hstack([self._cubes(places), self._plane(places)])
        return np.asarray(shapes @ self._weights, dtype=np.float64)


Answers = Sequence[tuple[Floats, Floats]]
"""Luminances of the spots of each opening by the fine and the coarse mesh. [lm/mm2 sr]."""


class Answering(Record):
    """A box kept solved."""

    views: Sequence[View]
    respond: Callable[[Lamp], Answers]
    """What a lamp of 1 lm gives."""
    ground: Answers | None = None
    """What other boxes give that share openings with it."""


def answering(solved: Live) -> Answering:
    """Let a box that stands alone answer."""
    return Answering(views=solved.views, respond=lambda lamp: live.response(solved, lamp=lamp))


class UnitLight:
    """Luminances over the spots of the wished openings, by the place of one lamp."""

    def __init__(
        self,
        solved: Answering,
        *,
        lamp: Lamp,
        wishes: Sequence[Wish],
        off_mm: Spot = (0.0, 0.0),
    ) -> None:
        """Make ready.

        Parameters
        ----------
        solved
            The box; each wish names one of its openings.
        lamp
            The lamp to be placed; its place and flux play no part.
        wishes
            At least one.
        off_mm
            From a place to the lamp that stands there, which one that leans is beside.
        """
        names = [view.aperture.name for view in solved.views]
        self._numbers = [names.index(wish.opening) for wish in wishes]
        self._solved, self._lamp, self._off = solved, lamp, off_mm
        self._kept: dict[Spot, Floats] = {}
        self.aims: Aims = lay_out(
            wishes,
            areas_mm2=[solved.views[number].area_mm2 for number in self._numbers],
            ground_cd_m2=None if solved.ground is None else self._figures(solved.ground),
        )

    def _figures(self, answers: Answers) -> list[Floats]:
        """Give the figures of the wished openings from both meshes. [cd/m2]."""
        return [
            LX_PER_LM_MM2 * (fine + STEP_WEIGHT * (fine - coarse))
            for fine, coarse in (answers[number] for number in self._numbers)
        ]

    def at(self, site: Spot) -> Floats:
        """Luminance of the spots for a lamp of 1 lm at a place, (M,). [cd/m2]."""
        if site not in self._kept:
            (x, y), (across, up) = site, self._off
            lamp = replace(self._lamp, x_mm=x + across, y_mm=y + up)
            self._kept[site] = self.by(lamp)
        return self._kept[site]

    def by(self, lamp: Lamp) -> Floats:
        """Luminance of the spots for 1 lm of any lamp where it is, (M,). [cd/m2]."""
        return np.concatenate(self._figures(self._solved.respond(lamp)))

    def over(self, sites: Sequence[Spot]) -> Floats:
        """Luminances for a lamp at each place, (S, M). [cd/m2]."""
        return np.stack([self.at(site) for site in sites])

    def surface(self) -> Between:
        """Lay a surface through all places solved so far."""
        return Between(list(self._kept), values=np.stack(list(self._kept.values())))
