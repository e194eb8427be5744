"""Rules about single patterns: turns taken alone, chance that is alike, rates, levels, beats."""

from collections.abc import Iterable, Sequence
from itertools import count

import numpy as np

from lamphouse.blink.chance import most_mean
from lamphouse.blink.laid_time import seed_of
from lamphouse.blink.track import TICKS_PER_S
from lamphouse.design.pattern import BEATS, GLOWING, SHARED, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.units import Quantity, show

CROSSING_PER_MIN = (45.0, 65.0)
"""Flashes a minute of a grade crossing's lamps [CROSSING-RATE]."""
LEAST_TICKS = 8
"""Ticks of a period below which the eye sees no beat: 30 a second [PRACTICE]."""
LEAST_REPEAT_S = 15.0
"""Chance that comes again sooner is noticed [PRACTICE]."""
_WORDS = {
    PatternKind.CHASE: "lamps one after another",
    PatternKind.CROSSING: "two lamps in turn",
    PatternKind.ALARM: "three lamps one after another",
}


def judge_patterns(groups: Sequence[SourceGroup], *, seed: int) -> tuple[Finding, ...]:
    """Judge every group's pattern by itself and beside the others."""
    return (
        *alone_in_its_set(groups),
        *alike_by_chance(groups, seed=seed),
        *crossing_rate(groups),
        *no_beat_to_see(groups),
        *beyond_its_mean(groups, seed=seed),
        *soon_again(groups),
    )


@rule("BLK002", Severity.NOTE, "A lamp that takes turns has nobody to take them with")
def alone_in_its_set(groups: Sequence[SourceGroup]) -> Iterable[Told]:
    """Look for chases, crossings and rotating alarms of one group.

    What it checks
        At least two source groups share the set of a chase, a crossing or a rotating alarm.

    Why it matters
        Every strand of one group shows the same light at the same time. A chase of one group does
        not run: all its lamps blink together.

    Example
        ::

            groups:
              arrows: {in: desk, pattern: {kind: chase, period: 2 s}}

    Mend
        Split the lamps into groups that share a word under ``set``, or call the pattern a beacon.

    Source
        [PRACTICE]
    """
    for group in groups:
        kind = group.pattern.kind
        beside = [
            other
            for other in groups
            if other.pattern.kind is kind
            and other.pattern.set_name == group.pattern.set_name
            and group.pattern.set_name
        ]
        if kind in SHARED and len(beside) < 2:
            word = group.pattern.set_name or group.name
            yield Told(
                where=group.where,
                message=f"a {kind} shows {_WORDS[kind]}, but '{group.name}' is alone in its set "
                "and all it lights goes on and off together",
                remedy=f"put its lamps into groups of their own, each with set: {word} in its "
                "pattern, or write kind: beacon",
            )


@rule("BLK003", Severity.WARN, "Groups that live by chance blink alike")
def alike_by_chance(groups: Sequence[SourceGroup], *, seed: int) -> Iterable[Told]:
    """Look for groups whose chance is drawn from one seed.

    What it checks
        No two groups that live by chance, of one kind, draw from the same seed. Without a seed each
        draws from the project's seed and its own name.

    Why it matters
        The same seed gives the same flashes at the same moments: two fires that leap together, a
        console whose lamps all blink as one. The eye sees it at once.

    Example
        ::

            groups:
              one: {in: desk, pattern: {kind: random, seed: 11}}
              two: {in: desk, pattern: {kind: random, seed: 11}}

    Mend
        Leave the seed out, or write the free one that the finding names.

    Source
        [PRACTICE]
    """
    first: dict[tuple[PatternKind, int], SourceGroup] = {}
    taken = {group.pattern.seed for group in groups}
    free = (number for number in count(1) if number not in taken)
    for group in groups:
        kind = group.pattern.kind
        if kind is PatternKind.STEADY or (kind in BEATS and kind is not PatternKind.ROOMS):
            continue
        key = (kind, seed_of(group.name, pattern=group.pattern, seed=seed))
        other = first.setdefault(key, group)
        if other is not group:
            yield Told(
                where=group.where,
                message=f"'{group.name}' and '{other.name}' are both {kind} from seed "
                f"{group.pattern.seed}: they blink alike",
                remedy=f"leave the seed out, or write seed: {next(free)}",
                mend=sets("pattern seed", None),
            )


@rule("BLK004", Severity.NOTE, "A grade crossing at a rate that no crossing has")
def crossing_rate(groups: Sequence[SourceGroup]) -> Iterable[Told]:
    """Look at how often the lamps of a grade crossing flash.

    What it checks
        Each lamp of a grade crossing flashes 45 to 65 times a minute.

    Why it matters
        Who knows the railway sees at once that it is wrong.

    Example
        ::

            groups:
              left: {in: desk, pattern: {kind: grade crossing, period: 3 s, set: rails}}
              right: {in: desk, pattern: {kind: grade crossing, period: 3 s, set: rails}}

    Mend
        Write a period of 0.93 to 1.33 s, or accept it for a place with other habits.

    Source
        [CROSSING-RATE]
    """
    least, most = CROSSING_PER_MIN
    for group in groups:
        period_s = group.pattern.period_s
        if group.pattern.kind is not PatternKind.CROSSING or period_s is None:
            continue
        rate = 60.0 / period_s
        if not least <= rate <= most:
            near_s = 60.0 / (least if rate < least else most)
            yield Told(
                where=group.where,
                message=f"'{group.name}' flashes {rate:.3g} times a minute; the lamps of a grade "
                f"crossing do so {least:g} to {most:g} times",
                remedy=f"write period: {near_s:.3g} s",
            )


@rule("BLK007", Severity.WARN, "A beat that nobody can see")
def no_beat_to_see(groups: Sequence[SourceGroup]) -> Iterable[Told]:
    """Look for periods too short for the eye, or for the frames in which light is set.

    What it checks
        A period lasts at least 1/30 s, which is eight frames of 1/240 s.

    Why it matters
        Above some 30 changes a second the eye sees a steady, dimmer light; a camera sees bars. A
        fade in less than eight frames is a stair of a few steps.

    Example
        ::

            groups:
              buzz: {in: desk, pattern: {kind: beacon, period: 0.02 s}}

    Mend
        Write a longer period, or a steady light with a level.

    Source
        [PRACTICE]
    """
    for group in groups:
        period_s = group.pattern.period_s
        if group.pattern.kind in BEATS and period_s is not None:
            ticks = period_s * TICKS_PER_S
            if ticks < LEAST_TICKS:
                yield Told(
                    where=group.where,
                    message=f"a period of {show(period_s, Quantity.DURATION)} is {ticks:.1f} "
                    f"frames of 1/{TICKS_PER_S} s, of at least {LEAST_TICKS}: it looks steady",
                    remedy=f"write period: {LEAST_TICKS / TICKS_PER_S:.3f} s or more, or "
                    "kind: steady with a level",
                )


@rule("BLK006", Severity.WARN, "A flame's mean that its brightest moment cannot reach")
def beyond_its_mean(groups: Sequence[SourceGroup], *, seed: int) -> Iterable[Told]:
    """Look for levels that a flame or a screen cannot have as its mean.

    What it checks
        With the brightest moment at the LED's full light, the mean over time is the level wanted.

    Why it matters
        The mean is what is compared with steady lights beside it. Where the level asks for more the
        flame stays below it, and is dimmer than planned.

    Example
        ::

            groups:
              hearth: {in: desk, pattern: {kind: fire, level: 95 %}}

    Mend
        Write the level that the finding names, or a larger current.

    Source
        [PRACTICE]
    """
    for group in groups:
        pattern = group.pattern
        if pattern.kind not in GLOWING or pattern.level is None:
            continue
        own = seed_of(group.name, pattern=pattern, seed=seed)
        most = most_mean(pattern, draws=np.random.Generator(np.random.PCG64(own)))
        if pattern.level > most + 0.005:
            yield Told(
                where=group.where,
                message=f"a mean of {pattern.level:.0%} is wanted of '{group.name}', but a "
                f"{pattern.kind} whose brightest moment is the LED's full light has {most:.0%}",
                remedy=f"write level: {int(100 * most)} %, or raise its current by "
                f"{pattern.level / most - 1.0:.0%} and keep that",
            )


@rule("BLK009", Severity.NOTE, "Chance that soon comes again")
def soon_again(groups: Sequence[SourceGroup]) -> Iterable[Told]:
    """Look for patterns whose chance repeats so soon that it is noticed.

    What it checks
        Chance runs for at least 15 s before it repeats.

    Why it matters
        The eye finds a rhythm in what comes again every few seconds, and the flame is a machine.

    Example
        ::

            groups:
              hearth: {in: desk, pattern: {kind: fire, repeat: 3 s}}

    Mend
        Write a longer ``repeat``; it costs memory of the program, which is told.

    Source
        [PRACTICE]
    """
    for group in groups:
        pattern = group.pattern
        lives = pattern.kind not in BEATS
        lives = lives and pattern.kind not in {PatternKind.STEADY, PatternKind.STRIKE}
        if lives and pattern.repeat_s < LEAST_REPEAT_S:
            yield Told(
                where=group.where,
                message=f"'{group.name}' repeats after {show(pattern.repeat_s, Quantity.DURATION)}",
                remedy=f"write repeat: {LEAST_REPEAT_S:g} s or more, or leave it out",
            )
