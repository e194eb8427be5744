"""Second opinions on how boxes glow: their luminances found again by random walks."""

from collections.abc import Callable, Sequence

from lamphouse.light.box_glow import BoxGlow, colour_factor
from lamphouse.light.equal_boxes import at_datum
from lamphouse.light.scene import Box
from lamphouse.light.verify import Effort, OnRound, Opinion, Seen, verify
from lamphouse.light.verify_suite import verify_suite
from lamphouse.light.walkable import Refusal
from lamphouse.record import Record, replace

RELATIVE_ERROR = 0.002
"""Standard error at which an opening is settled: below the solver's own bar."""
MOST_WALKS = 4_000_000
"""For one opening; about ten seconds on a small machine."""

Tell = Callable[[int, int, str], None]
"""Told the boxes done, the boxes in all, and how far the next one is; may raise to stop."""


class Found(Record):
    """What the walks found at one opening."""

    opening: str
    mean_cd_m2: float
    error_cd_m2: float
    """Standard error."""
    walks: int


class SecondOpinion(Record):
    """What the walks found at the openings of a box, or why there were none."""

    sub_assembly: str
    box: str
    found: tuple[Found, ...]
    seed: int
    reached: bool
    """Whether every opening came as close as was wanted."""
    refused: str
    """Why there is no second opinion and what would give one; empty when there is."""


def second_opinions(
    glows: Sequence[BoxGlow],
    *,
    seed: int,
    tell: Tell,
    relative_error: float = RELATIVE_ERROR,
    most_walks: int = MOST_WALKS,
) -> tuple[SecondOpinion, ...]:
    """Find the luminances of boxes' openings again, in a way that shares nothing with the solver.

    Parameters
    ----------
    glows
        The boxes as they were judged.
    seed
        Where the walks start from; the same seed gives the same figures.
    tell
        Progress; whatever it raises stops the walks.
    relative_error
        Standard error of an opening's mean at which it is left alone.
    most_walks
        For one opening, however wide its scatter still is.

    Returns
    -------
    tuple of SecondOpinion
        One for each box.
    """
    effort = Effort(relative_error=relative_error, most_walks=most_walks)
    opinions: list[SecondOpinion] = []
    walked: dict[Box, Opinion] = {}
    for done, glow in enumerate(glows):

        def told(seen: tuple[Seen, ...], done: int = done, name: str = glow.box) -> bool:
            error = max((one.relative_error for one in seen), default=0.0)
            tell(done, len(glows), f"random walks in '{name}', so far within {error:.2%}")
            return True

        answer = _asked(glow, seed=seed, effort=effort, on_round=told, walked=walked)
        opinions.append(_opinion(glow, answer, seed=seed))
    return tuple(opinions)


def _asked(
    glow: BoxGlow, *, seed: int, effort: Effort, on_round: OnRound, walked: dict[Box, Opinion]
) -> Opinion | Refusal:
    """Walk in a box, or in those it shares openings with, of which only its own are asked about.

    ``walked`` keeps the answers of boxes that stand alone: walks of one seed through a box that is
    alike, wherever it stands, would only find the same again.
    """
    if glow.suite is not None:
        shared = verify_suite(
            glow.suite, seed=seed, effort=effort, on_round=on_round, only=glow.number
        )
        return shared if isinstance(shared, Refusal) else shared[0]
    alike = at_datum(glow.scene)
    if alike not in walked:
        answer = verify(alike, seed=seed, effort=effort, on_round=on_round)
        if isinstance(answer, Refusal):  # in the names and places of this box
            return verify(glow.scene, seed=seed, effort=effort, on_round=on_round)
        walked[alike] = answer
    seen = zip(walked[alike].openings, glow.scene.apertures, strict=True)
    return replace(
        walked[alike], openings=tuple(replace(one, name=there.name) for one, there in seen)
    )


def _opinion(glow: BoxGlow, answer: Opinion | Refusal, *, seed: int) -> SecondOpinion:
    refused = f"{answer.reason}; {answer.remedy}" if isinstance(answer, Refusal) else ""
    openings = () if isinstance(answer, Refusal) else answer.openings
    return SecondOpinion(
        sub_assembly=glow.sub_assembly,
        box=glow.box,
        found=tuple(
            Found(
                opening=one.name,
                mean_cd_m2=one.mean_cd_m2 * colour_factor(glow, opening=one.name),
                error_cd_m2=one.mean_error_cd_m2 * colour_factor(glow, opening=one.name),
                walks=one.walks,
            )
            for one in openings
        ),
        seed=seed,
        reached=not isinstance(answer, Refusal) and answer.reached,
        refused=refused,
    )
