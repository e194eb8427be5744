"""Shares strands that may belong to several groups out among them, neighbours in different ones."""

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, dist, hypot, inf

import numpy as np

from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup, Strand
from lamphouse.fibres.dealing import Dealt, deal
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import Spot

NEAR = 1.5
"""Holes up to this many times as far apart as the nearer of their nearest holes are neighbours."""

MOST_LISTED = 60
"""Strands named in one finding; more are left to the table of the pack."""


class SharedOut(Record):
    """The open strands of a sub-assembly, dealt."""

    strands: tuple[Strand, ...]
    """Open ones, each with its group now."""
    names: tuple[str, ...]
    """Of the groups among which they were dealt."""
    counts: tuple[int, ...]
    """Strands of each group, those named by the maker counted."""
    dealt: Dealt
    clashing: tuple[tuple[str, str], ...]
    """Neighbours in one group."""
    with_one_more: int | None
    """Clashes if there were one more group; None where there are none to mend."""


def share_out(sub: SubAssembly, *, groups: Sequence[SourceGroup]) -> SharedOut | None:
    """Deal the open strands of a sub-assembly to their groups.

    Every group takes an even share of the strands that hang on the groups in question; where the
    source of a group has a place, of two equal dealings the one with the shorter ways is taken.

    Returns
    -------
    SharedOut or None
        None where no strand is open, or the named groups are not there.
    """
    known = {group.name: group for group in groups}
    places = {panel.name: panel.at_mm for panel in sub.panels}
    strands = [strand for _, strand in sub.strands]
    names = tuple(
        dict.fromkeys(name for strand in strands for name in strand.any_of if name in known)
    )
    if not names:
        return None
    spots = [
        (places[panel][0] + strand.x_mm, places[panel][1] + strand.y_mm)
        for panel, strand in sub.strands
    ]
    held = [at for at, strand in enumerate(strands) if strand.any_of or strand.group in names]
    edges = _neighbours([(sub.strands[at][0], spots[at]) for at in held])
    seats = [known[name].seat.at_mm for name in names]
    ways = [
        [
            _way(spots[at], seat) if _may(strands[at], name) else inf
            for name, seat in zip(names, seats, strict=True)
        ]
        for at in held
    ]
    fixed = [names.index(strands[at].group) if strands[at].group in names else None for at in held]
    dealt = _even(ways, edges=edges, fixed=fixed)
    if dealt is None:
        return None
    grouped = [names[group] for group in dealt.groups]
    more = None
    if dealt.clashes:
        wider = [
            [*row, inf if given is not None else 0.0]
            for row, given in zip(ways, fixed, strict=True)
        ]
        one_more = _even(wider, edges=edges, fixed=fixed)
        more = one_more.clashes if one_more else None
    return SharedOut(
        strands=tuple(
            replace(strands[at], group=group)
            for at, group in zip(held, grouped, strict=True)
            if strands[at].any_of
        ),
        names=names,
        counts=tuple(grouped.count(name) for name in names),
        dealt=dealt,
        clashing=tuple(
            (strands[held[one]].name, strands[held[other]].name)
            for one, other in edges
            if grouped[one] == grouped[other]
        ),
        with_one_more=more,
    )


def _may(strand: Strand, name: str) -> bool:
    return name in strand.any_of or name == strand.group


def _way(spot: Spot, seat: Spot | None) -> float:
    return 0.0 if seat is None else hypot(spot[0] - seat[0], spot[1] - seat[1])


def _even(
    ways: Sequence[Sequence[float]],
    *,
    edges: Sequence[tuple[int, int]],
    fixed: Sequence[int | None],
) -> Dealt | None:
    """Deal with the smallest even share that the groups can take."""
    groups, count = len(ways[0]), len(ways)
    given = [sum(group == number for group in fixed) for number in range(groups)]
    for share in range(max(ceil(count / groups), 1), count + 1):
        most = [max(share, own) for own in given]
        if sum(most) >= count:
            dealt = deal(ways, neighbours=edges, most=most, fixed=fixed)
            if dealt is not None:
                return dealt
    return None


def _neighbours(placed: Sequence[tuple[str, Spot]]) -> tuple[tuple[int, int], ...]:
    """List pairs of holes in one panel that the eye takes for neighbours."""
    panels: dict[str, list[int]] = {}
    for at, (panel, _) in enumerate(placed):
        panels.setdefault(panel, []).append(at)
    found: list[tuple[int, int]] = []
    for own in panels.values():
        if len(own) < 2:
            continue
        spots = np.array([placed[at][1] for at in own])
        from scipy.spatial import cKDTree

        tree = cKDTree(spots)
        nearest = tree.query(spots, k=2)[0][:, 1]
        # A hair wider, so that rounding does not part a row of equal steps.
        reach = NEAR * nearest * (1.0 + 1e-9)
        for number, beside in enumerate(tree.query_ball_point(spots, reach)):
            found += [
                (own[number], own[other])
                for other in beside
                if other > number and dist(spots[number], spots[other]) <= reach[other]
            ]
    return tuple(sorted(found))


def with_groups(sub: SubAssembly, *, shared: SharedOut | None) -> SubAssembly:
    """Give a sub-assembly with the groups its open strands were dealt to."""
    if shared is None:
        return sub
    dealt = {strand.name: strand for strand in shared.strands}
    return replace(
        sub, strands=tuple((panel, dealt.get(one.name, one)) for panel, one in sub.strands)
    )


@rule("FIB009", Severity.NOTE, "Strands were shared out among groups")
def shared_out(shared: SharedOut) -> Iterable[Told]:
    """Tell which groups the open strands of a sub-assembly were dealt to.

    What it checks
        Strands with several groups under ``any_of`` are dealt so that neighbours differ, every
        group takes an even share, and ways to sources with a place are short.

    Why it matters
        The same file always gives the same groups, but a moved hole may deal them anew: once the
        fibres are threaded, the groups must not change.

    Example
        ::

            groups:
              dots: {in: sample, source: {led: green 3 mm, current: 5 mA}}
              lamps: {in: sample, source: {led: red 3 mm, current: 5 mA}}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      S:
                        fibre: fibre 0.5 mm
                        at: [10 mm, 34 mm]
                        count: 6
                        step: [8 mm, 0 mm]
                        any_of: [dots, lamps]

    Mend
        Nothing needs mending. Before threading, write each strand's group into the project.

    Source
        Graph colouring with even shares: solved to the proven best up to 400 choices, searched with
        a bound above.
    """
    shares = ", ".join(
        f"{count} to '{name}'" for name, count in zip(shared.names, shared.counts, strict=True)
    )
    proof = "proven the best" if shared.dealt.is_best else f"at best {shared.dealt.least_clashes}"
    yield Told(
        where=shared.strands[0].where,
        message=f"{len(shared.strands)} strands shared out; with those named already {shares}; "
        f"{shared.dealt.clashes} neighbours in one group ({proof})",
        remedy="before threading write them down: "
        + (
            "; ".join(_listed(shared))
            if len(shared.strands) <= MOST_LISTED
            else "they stand in tables/strands.csv of the pack"
        ),
    )


def _listed(shared: SharedOut) -> Iterator[str]:
    for name in shared.names:
        own = [strand.name for strand in shared.strands if strand.group == name]
        if own:
            yield f"{name}: {' '.join(own)}"


@rule("FIB010", Severity.WARN, "Neighbouring points blink together")
def clashing(shared: SharedOut) -> Iterable[Told]:
    """Look for shared-out strands whose neighbour belongs to the same group.

    What it checks
        No two neighbouring holes of a panel went to the same group, where the program had the
        choice.

    Why it matters
        Two lamps side by side that blink as one give the trick away.

    Example
        ::

            groups:
              dots: {in: sample, source: {led: green 3 mm, current: 5 mA}}
              lamps: {in: sample, source: {led: red 3 mm, current: 5 mA}}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      S1: {fibre: fibre 0.5 mm, at: [10 mm, 10 mm], any_of: [dots, lamps]}
                      S2: {fibre: fibre 0.5 mm, at: [14 mm, 10 mm], any_of: [dots, lamps]}
                      S3: {fibre: fibre 0.5 mm, at: [12 mm, 13 mm], any_of: [dots, lamps]}

    Mend
        Let one more group have them, or space the holes unevenly.

    Source
        Common practice, no source.
    """
    if not shared.clashing:
        return
    one, other = shared.clashing[0]
    more = len(shared.clashing) - 1
    also = f", and {more} pairs more" if more else ""
    remedy = "space the holes farther apart, or give some a group of their own"
    if shared.with_one_more is not None and shared.with_one_more < shared.dealt.clashes:
        left = shared.with_one_more or "none"
        remedy = f"name one more group under any_of: {left} would be left"
    yield Told(
        where=shared.strands[0].where,
        message=f"'{one}' and '{other}' are neighbours in one group{also}; "
        f"{len(shared.names)} groups cannot keep all neighbours apart"
        if shared.dealt.is_best
        else f"'{one}' and '{other}' are neighbours in one group{also}",
        remedy=remedy,
    )


def judge_sharing(shared: SharedOut | None) -> tuple[Finding, ...]:
    """Run every rule of sharing out."""
    if shared is None or not shared.strands:
        return ()
    return (*shared_out(shared), *clashing(shared))
