"""A second opinion on how a box glows: its luminances found again by random walks."""

from collections.abc import Callable
from dataclasses import dataclass

from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.verify import Effort, Seen, verify
from lamphouse.light.walkable import Refusal

RELATIVE_ERROR = 0.002
"""Standard error at which an opening is settled: below the solver's own bar."""
MOST_WALKS = 4_000_000
"""For one opening; about ten seconds on a small machine."""

OnRound = Callable[[float], bool]
"""Told the largest relative error so far after each round; stops the work by returning False."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the walks found at one opening."""

    opening: str
    mean_cd_m2: float
    error_cd_m2: float
    """Standard error."""
    walks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondOpinion:
    """What the walks found at the openings of a box, or why there were none."""

    box: str
    found: tuple[Found, ...]
    seed: int
    reached: bool
    """Whether every opening came as close as was wanted."""
    refused: str
    """Why there is no second opinion and what would give one; empty when there is."""


def _keep_on(_largest: float) -> bool:
    """Let the walks go on."""
    return True


def second_opinion(
    glow: BoxGlow,
    *,
    seed: int,
    relative_error: float = RELATIVE_ERROR,
    most_walks: int = MOST_WALKS,
    on_round: OnRound = _keep_on,
) -> SecondOpinion:
    """Find the luminances of a box's openings again, in a way that shares nothing with the solver.

    Parameters
    ----------
    glow
        The box as it was judged.
    seed
        Where the walks start from; the same seed gives the same figures.
    relative_error
        Standard error of an opening's mean at which it is left alone.
    most_walks
        For one opening, however wide its scatter still is.
    on_round
        Told how far the walks are; may stop them.
    """

    def told(seen: tuple[Seen, ...]) -> bool:
        return on_round(max((one.relative_error for one in seen), default=0.0))

    answer = verify(
        glow.scene,
        seed=seed,
        effort=Effort(relative_error=relative_error, most_walks=most_walks),
        on_round=told,
    )
    if isinstance(answer, Refusal):
        why = f"{answer.reason}; {answer.remedy}"
        return SecondOpinion(box=glow.box, found=(), seed=seed, reached=False, refused=why)
    found = tuple(
        Found(
            opening=one.name,
            mean_cd_m2=one.mean_cd_m2,
            error_cd_m2=one.mean_error_cd_m2,
            walks=one.walks,
        )
        for one in answer.openings
    )
    return SecondOpinion(box=glow.box, found=found, seed=seed, reached=answer.reached, refused="")
