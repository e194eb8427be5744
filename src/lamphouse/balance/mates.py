"""Strings that must stay near one another: those of one box, and those behind matching openings."""

from collections.abc import Iterator, Sequence

from lamphouse.balance.alike import Alike
from lamphouse.balance.fewest_values import Mates, Member
from lamphouse.design.whole import Match
from lamphouse.findings import Where
from lamphouse.light.mate_mends import limits_of
from lamphouse.record import Record

ONE_BOX = 1.25
"""Strings of one box may change by factors that differ by this ratio, so that its evenness stays
near what it was; neighbours in E12 lie 1.2 apart [PRACTICE]."""


class Group(Record):
    """Mates with what makes them so."""

    where: Where
    words: str
    """Such as ``openings that match as 'screens'``."""
    mates: Mates


def groups_of(
    alike: Sequence[Alike], *, match_ratio: float | None, matches: Sequence[Match] = ()
) -> tuple[Group, ...]:
    """List the mates among strings, each by its number.

    Openings that match stay within ``match_ratio``, or within the limit of their own word without.
    Where all members keep their resistor there is nothing to choose, and no group.
    """
    groups = (*_boxes(alike), *_matches(alike, ratio=match_ratio, matches=matches))
    return tuple(
        group
        for group in groups
        if any(not alike[member.pick].kept for member in group.mates.members)
    )


def _boxes(alike: Sequence[Alike]) -> Iterator[Group]:
    for box in dict.fromkeys(box for one in alike for box in one.boxes):
        members = tuple(
            Member(pick=number, least=1.0, most=1.0)
            for number, one in enumerate(alike)
            if box in one.boxes
        )
        if len(members) > 1:
            yield Group(
                where=box.where,
                words=f"the strings of box '{box.box}'",
                mates=Mates(members=members, ratio=ONE_BOX),
            )


def _matches(
    alike: Sequence[Alike], *, ratio: float | None, matches: Sequence[Match]
) -> Iterator[Group]:
    words = dict.fromkeys(
        opening.match for one in alike for opening in one.openings() if opening.match
    )
    for word in words:
        members, where = [], None
        most = ratio or limits_of(word, matches=matches).luminance_ratio
        for number, one in enumerate(alike):
            seen = [opening for opening in one.openings() if opening.match == word]
            means = [opening.mean_cd_m2 for opening in seen if opening.mean_cd_m2 > 0.0]
            if means:
                members.append(Member(pick=number, least=min(means), most=max(means)))
                where = where or seen[0].where
        if where:
            yield Group(
                where=where,
                words=f"openings that match as '{word}'",
                mates=Mates(members=tuple(members), ratio=most),
            )
