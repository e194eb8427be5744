"""Moves lamps about on the gluing grid until the wishes are met as well as they can be.

Each round tries every move of one step size at once and takes the best: all lamps spread or drawn
in along one direction, a lamp together with its mirror images, all lamps shifted, or a single lamp.
The last two must earn their move: rows that lie even are easier to mark out and to glue.
"""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.gluing_grid import SNAP_MM, Floor, snapped
from lamphouse.light.scene import Spot
from lamphouse.light.wishes import Aims, stand

Floats = NDArray[np.float64]
Sites = tuple[Spot, ...]
Light = Callable[[Floats], Floats]
"""Luminances over the spots (P, M) for a lamp of 1 lm at places (P, 2)."""

STEPS_MM = (4.0, 1.5, SNAP_MM)

LEAST_GAIN, LEAST_UNEVEN_GAIN = 1e-4, 3e-2
"""Relative gain of fit that pays for a move that keeps the layout's symmetry, and for another."""

MOST_ROUNDS = 40
"""Moves of one step size at most."""

ASIDE = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))


def _spread(sites: Sites, *, step: float) -> Iterator[Sites]:
    """Spread all lamps or draw them in about their middle, along one direction."""
    places = np.array(sites)
    middle = (places.min(axis=0) + places.max(axis=0)) / 2.0
    reach = np.maximum((places.max(axis=0) - places.min(axis=0)) / 2.0, 1e-9)
    for aside in ASIDE:
        moved = places + (places - middle) / reach * np.array(aside) * step
        yield tuple((snapped(float(x)), snapped(float(y))) for x, y in moved)


def _shifted(sites: Sites, *, step: float) -> Iterator[Sites]:
    """Shift all lamps along one direction."""
    for across, up in ASIDE:
        yield tuple((x + across * step, y + up * step) for x, y in sites)


def _mirrored(sites: Sites, *, base: Floor, step: float) -> Iterator[Sites]:
    """Move a lamp together with those of its mirror images about the middle that are there."""
    x, y = base.middle()
    order = {site: number for number, site in enumerate(sites)}
    for first, (px, py) in enumerate(sites):
        turned = {
            order[x + turn_x * (px - x), y + turn_y * (py - y)]: (turn_x, turn_y)
            for turn_x, turn_y in ((-1, -1), (-1, 1), (1, -1), (1, 1))
            if (x + turn_x * (px - x), y + turn_y * (py - y)) in order
        }
        if len(turned) == 1 or first != min(turned):
            continue
        for across, up in ASIDE:
            moved = list(sites)
            for number, (turn_x, turn_y) in turned.items():
                at_x, at_y = sites[number]
                moved[number] = (at_x + turn_x * across * step, at_y + turn_y * up * step)
            yield tuple(moved)


def _alone(sites: Sites, *, step: float) -> Iterator[Sites]:
    for number, (x, y) in enumerate(sites):
        for across, up in ASIDE:
            place = (x + across * step, y + up * step)
            yield (*sites[:number], place, *sites[number + 1 :])


def fits(aims: Aims, *, light: Light, layouts: Sequence[Sites]) -> Floats:
    """Give how well each of several layouts of equally many lamps fits, (C,)."""
    places = np.array(layouts)
    spots = light(places.reshape(-1, 2)).reshape(*places.shape[:2], -1).sum(axis=1)
    return stand(aims, spots_cd_m2=np.maximum(spots, 1e-12)).fit


def move_about(start: Sites, *, aims: Aims, light: Light, base: Floor) -> Sites:
    """Move the lamps of a layout until no move helps.

    Parameters
    ----------
    start
        Places on the grid that the floor holds.
    aims
        The wishes.
    light
        What a lamp gives from a place.
    base
        The floor.

    """
    sites, best = start, float(fits(aims, light=light, layouts=[start])[0])
    for step in STEPS_MM:
        for _ in range(MOST_ROUNDS):
            even = [*_spread(sites, step=step), *_mirrored(sites, base=base, step=step)]
            uneven = [*_shifted(sites, step=step), *_alone(sites, step=step)]
            moves = [(moved, LEAST_GAIN) for moved in even]
            moves += [(moved, LEAST_UNEVEN_GAIN) for moved in uneven]
            moves = [(moved, gain) for moved, gain in moves if base.holds(moved)]
            if not moves:
                break
            found = fits(aims, light=light, layouts=[moved for moved, _ in moves])
            worth = found / np.array([1.0 + gain for _, gain in moves])
            pick = int(np.argmax(worth))
            if worth[pick] <= best:
                break
            sites, best = moves[pick][0], float(found[pick])
    return sites
