"""The boxes of a suite made ready for any lamps, and kept for the next ones."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.chambers import Chamber, make_chamber
from lamphouse.light.scene import Suite
from lamphouse.light.through import EYE_RAYS, LINES, Links, make_links, rows_beyond
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

KEPT = 2
"""Suites kept: one for figures and one for searches."""


class Care(Record):
    """How finely a suite is solved."""

    step: float | None = None
    """Fine step of all meshes. [mm]. None: chosen for each box."""
    coarser: float = 1.0
    """What the chosen steps are multiplied by."""
    lines: int = LINES
    """Straight lines through one open passage."""
    eye_rays: int = EYE_RAYS
    """Rays from each spot to one."""


class Ready(Record):
    """The boxes of a suite and how light goes between them; none of it depends on the lamps."""

    suite: Suite
    care: Care
    chambers: tuple[Chamber, ...]
    links: Links

    def rows_beyond(self, number: int) -> tuple[dict[int, Floats], ...]:
        """Give what the openings of a box see of other boxes: for each, rows (S, N) by box."""
        return _rows_beyond(self.suite, care=self.care, number=number)


def ready(suite: Suite, *, care: Care) -> Ready:
    """Make the boxes of a suite ready; their lamps play no part."""
    return _ready(
        replace(suite, boxes=tuple(replace(box, lamps=()) for box in suite.boxes)), care=care
    )


@lru_cache(maxsize=KEPT)
def _ready(suite: Suite, *, care: Care) -> Ready:
    chambers = tuple(
        make_chamber(suite, number=number, step=care.step, coarser=care.coarser)
        for number in range(len(suite.boxes))
    )
    links = make_links(suite, chambers=chambers, lines=care.lines)
    return Ready(suite=suite, care=care, chambers=chambers, links=links)


@lru_cache(maxsize=4)
def _rows_beyond(suite: Suite, *, care: Care, number: int) -> tuple[dict[int, Floats], ...]:
    chambers = _ready(suite, care=care).chambers
    return tuple(
        rows_beyond(suite, chambers=chambers, box=number, view=view, rays=care.eye_rays)
        for view in chambers[number].views
    )
