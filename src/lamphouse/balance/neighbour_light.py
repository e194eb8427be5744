"""What strings give to openings of boxes beside their own, and what that leaves of the looks.

Light adds up: with a factor on the current of each box, an opening shows the sum of what the boxes
give it, each times its own factor. A linear programme finds the factors that meet all looks with
the greatest play, the same ratio either way for every box. As long as each box keeps within its
play, so does every sum.
"""

from collections.abc import Mapping, Sequence
from math import sqrt

from lamphouse.balance.alike import NO_LOOK, Alike
from lamphouse.light.box_glow import BoxGlow, OpeningGlow, colour_factor
from lamphouse.light.scene import Suite
from lamphouse.light.sound_suite import solved_together
from lamphouse.record import Record, replace

MOST_PLAY = 10.0
"""A greater ratio either way is not looked for."""

HALVINGS = 24
"""By which the greatest play is found, on a logarithmic scale."""

Key = tuple[str, str]
"""An opening: its box and its name."""


class Gift(Record):
    """What the lamps of one box give to an opening, at their present currents."""

    box: BoxGlow
    mean_cd_m2: float


def _alone(suite: Suite, *, number: int) -> Suite:
    """Put out the lamps of all boxes but one."""
    return replace(
        suite,
        boxes=tuple(
            box if at == number else replace(box, lamps=()) for at, box in enumerate(suite.boxes)
        ),
    )


def gifts(together: Sequence[BoxGlow]) -> Mapping[Key, tuple[Gift, ...]]:
    """Find what each box gives to the openings of boxes that share light, by box and opening.

    Parameters
    ----------
    together
        Boxes of one suite; each that has lamps is solved alone once.
    """
    found: dict[Key, list[Gift]] = {}
    for source in together:
        if source.suite is None or not source.scene.lamps:
            continue
        solved = solved_together(_alone(source.suite, number=source.number))
        for box in together:
            looks = zip(box.scene.apertures, solved[box.number].looks, strict=True)
            for aperture, look in looks:
                factor = colour_factor(box, opening=aperture.name)
                gift = Gift(box=source, mean_cd_m2=factor * look.mean_cd_m2)
                found.setdefault((box.box, aperture.name), []).append(gift)
    return {key: tuple(given) for key, given in found.items()}


class Play(Record):
    """Factors on the light of boxes that meet all looks, and how far each may leave its own."""

    factors: Mapping[BoxGlow, float]
    ratio: float
    """1 or more: from ``factor / ratio`` to ``factor * ratio`` every look is met."""


def _factors(
    looked: Sequence[OpeningGlow],
    *,
    lights: Sequence[Mapping[BoxGlow, float]],
    free: Sequence[BoxGlow],
    ratio: float,
) -> list[float] | None:
    """Find factors that keep every sum within its look by a ratio; None where there are none."""
    from scipy.optimize import linprog

    rows, limits = [], []
    for opening, light in zip(looked, lights, strict=True):
        if opening.look is None:
            continue
        fixed = sum(given for box, given in light.items() if box not in free)
        row = [light.get(box, 0.0) for box in free]
        rows += [row, [-given for given in row]]
        limits += [
            (opening.look.most_cd_m2 - fixed) / ratio,
            -(opening.look.least_cd_m2 - fixed) * ratio,
        ]
    found = linprog([1.0] * len(free), A_ub=rows, b_ub=limits, bounds=(0.0, None))
    return [float(factor) for factor in found.x] if found.success else None


def best_play(
    looked: Sequence[OpeningGlow],
    *,
    lights: Sequence[Mapping[BoxGlow, float]],
    free: Sequence[BoxGlow],
) -> Play | None:
    """Find the factors with the greatest play.

    Parameters
    ----------
    looked
        Openings with a look.
    lights
        What each box gives to each of them. [cd/m2].
    free
        Boxes whose strings may change; the light of the others stays.

    Returns
    -------
    Play or None
        None where no factors meet all looks.
    """
    if _factors(looked, lights=lights, free=free, ratio=1.0) is None:
        return None
    low, high = 1.0, MOST_PLAY
    for _ in range(HALVINGS):
        middle = sqrt(low * high)
        can = _factors(looked, lights=lights, free=free, ratio=middle)
        low, high = (low, middle) if can is None else (middle, high)
    factors = _factors(looked, lights=lights, free=free, ratio=low) or []
    return Play(factors=dict(zip(free, factors, strict=True)), ratio=low)


def _share_of(play: Play, *, box: BoxGlow, opening: OpeningGlow) -> OpeningGlow:
    """Give an opening with the look that, by itself, keeps a box within its play."""
    if opening.look is None:
        return opening
    middle = opening.mean_cd_m2 * play.factors[box]
    look = replace(opening.look, least_cd_m2=middle / play.ratio, most_cd_m2=middle * play.ratio)
    return replace(opening, look=look)


def _held(
    together: Sequence[BoxGlow], *, kept: frozenset[BoxGlow]
) -> Mapping[BoxGlow, tuple[OpeningGlow, ...]]:
    """Give each box of a suite the openings its strings must answer for."""
    given = gifts(together)
    looked, lights, free = [], [], []
    answered: dict[BoxGlow, list[OpeningGlow]] = {box: [] for box in together}
    for home in together:
        for opening in home.openings:
            light = {
                gift.box: gift.mean_cd_m2 for gift in given.get((home.box, opening.opening), ())
            }
            most = max(light, key=lambda box: light[box], default=home)
            answered[most].append(opening)
            if opening.look is not None and light.get(most, 0.0) > 0.0:
                looked.append(opening)
                lights.append(light)
    free = [
        box
        for box in together
        if box not in kept and any(opening.look for opening in answered[box])
    ]
    play = best_play(looked, lights=lights, free=free) if free and looked else None
    return {
        box: tuple(
            _share_of(play, box=box, opening=opening) if play and box in free else opening
            for opening in openings
        )
        for box, openings in answered.items()
    }


def with_neighbours(glows: Sequence[BoxGlow], *, alike: Sequence[Alike]) -> tuple[BoxGlow, ...]:
    """Put each opening to the box that gives it most light, with what its strings must keep to.

    Parameters
    ----------
    glows
        As solved.
    alike
        The strings, gathered by these glows.

    Returns
    -------
    tuple of BoxGlow
        Boxes that stand alone as they are. Of boxes that share light each holds the openings that
        it gives the most, their looks narrowed to the play of the box; as they are where no
        currents meet all of them.
    """
    suites: dict[tuple[str, str, Suite], list[BoxGlow]] = {}
    for glow in glows:
        if glow.suite is not None:
            suites.setdefault((glow.sub_assembly, glow.panel, glow.suite), []).append(glow)
    kept = frozenset(box for one in alike if one.kept and one.kept != NO_LOOK for box in one.boxes)
    held = {
        box: openings
        for together in suites.values()
        for box, openings in _held(together, kept=kept).items()
    }
    return tuple(replace(glow, openings=held[glow]) if glow in held else glow for glow in glows)
