"""Rules on the fuses of feeds: between what a feed draws and what its trunk carries."""

from collections.abc import Iterable, Sequence

from lamphouse.circuit.feed_rules import NamedFuse, named_fuse_findings
from lamphouse.circuit.loom_runs import LaidFeed, Loom, LoomLoad, Member
from lamphouse.circuit.phrases import amps
from lamphouse.circuit.pigtail_rules import weakest_part
from lamphouse.circuit.supply_rules import EASY_SHARE
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.findings import Finding, Severity, Told, rule

_SAME = 1e-9


@rule("CIR058", Severity.STOP, "A feed's fuse smaller than its load")
def small_feed_fuse(loom: Loom, *, load: LoomLoad) -> Iterable[Told]:
    """Find fuses at the beginning of a feed that its own sub-assemblies would blow.

    What it checks
        The largest current of all sub-assemblies of a feed is at most the rating of its fuse.

    Why it matters
        The fuse ages with every evening and fails in the middle of one.

    Example
        ::

            loom:
              feeds:
                day: {sub_assemblies: [desk], fuse: 10 mA}
            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 9, step: [5 mm, 0 mm], current: 5 mA}

    Mend
        Take the fuse that the finding names, if the trunk carries it.

    Source
        A fuse carries its rated current; it rests at 80 % of it [PRACTICE].
    """  # noqa: E501 - one line of the example is one line of a project file
    for feed, total in zip(loom.feeds, load.feeds_A, strict=True):
        if feed.fuse_A is not None and total.high > feed.fuse_A:
            yield Told(
                where=feed.where,
                message=f"feed '{feed.name}' may take {amps(total.high)}; its fuse carries "
                f"{amps(feed.fuse_A)}",
                remedy=f"take a fuse of {amps(total.high / EASY_SHARE)} or more",
            )


@rule("CIR059", Severity.STOP, "A fuse larger than a trunk carries")
def large_feed_fuse(loom: Loom, *, load: LoomLoad, supply: Supply) -> Iterable[Told]:
    """Find trunks that would burn before the fuse before them does.

    What it checks
        The smaller of the supply's and the feed's fuse is at most what the wire of the feed
        carries.

    Why it matters
        The trunk lies under the floor; a short on its splitter board passes whatever the fuse
        lets through.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, fuse: 500 mA}
            loom: {wire: 36 AWG enamelled}

    Mend
        Put the fuse that the finding names at the beginning of the feed, or take a thicker wire.

    Source
        [PRACTICE]; a fuse protects the wire behind it. The row of the wire in the catalogue.
    """
    for feed, total in zip(loom.feeds, load.feeds_A, strict=True):
        fuse_A, carries = fuse_before(supply, feed=feed), feed.wire.max_current_A
        if fuse_A is not None and fuse_A > carries * (1.0 + _SAME):
            yield Told(
                where=feed.where,
                message=f"the fuse before feed '{feed.name}' lets {amps(fuse_A)} through; its wire "
                f"'{feed.wire.name}' carries {amps(carries)}",
                remedy=f"fuse the feed with {amps(carries)} or less (it takes up to "
                f"{amps(total.high)}), or take a wire for {amps(fuse_A)}",
            )


@rule("CIR067", Severity.WARN, "No fuse before a thin trunk")
def no_feed_fuse(loom: Loom, *, load: LoomLoad, supply: Supply) -> Iterable[Told]:
    """Find trunks that a short circuit could heat without end.

    What it checks
        Where neither the supply nor the feed has a fuse, the supply itself gives no more than the
        wire of the feed carries.

    Why it matters
        A short under the floor then passes all the supply gives.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
            loom: {wire: 36 AWG enamelled}

    Mend
        Put the fuse that the finding names at the beginning of the feed.

    Source
        [PRACTICE]; the row of the wire in the catalogue.
    """
    for feed, total in zip(loom.feeds, load.feeds_A, strict=True):
        carries = feed.wire.max_current_A
        unfused = fuse_before(supply, feed=feed) is None
        if unfused and supply.max_current_A > carries * (1.0 + _SAME):
            yield Told(
                where=feed.where,
                message=f"no fuse is before feed '{feed.name}' and the supply gives "
                f"{amps(supply.max_current_A)}; its wire '{feed.wire.name}' carries "
                f"{amps(carries)}",
                remedy=f"fuse it with {amps(carries)} or less (it takes up to {amps(total.high)})",
            )


def fuse_before(supply: Supply, *, feed: LaidFeed) -> float | None:
    """Give the rating of the fuse that opens first before a feed, None without any. [A]."""
    ratings = [rating for rating in (supply.fuse_A, feed.fuse_A) if rating is not None]
    return min(ratings, default=None)


def fuse_findings(
    loom: Loom,
    *,
    load: LoomLoad,
    members: Sequence[Member],
    supply: Supply,
    habits: CircuitHabits,
) -> tuple[Finding, ...]:
    """Run every rule on the fuses of feeds."""
    named = tuple(_named_fuses(loom, load=load, members=members))
    return (
        *named_fuse_findings(named, supply=supply, habits=habits),
        *small_feed_fuse(loom, load=load),
        *large_feed_fuse(loom, load=load, supply=supply),
        *no_feed_fuse(loom, load=load, supply=supply),
    )


def _named_fuses(loom: Loom, *, load: LoomLoad, members: Sequence[Member]) -> Iterable[NamedFuse]:
    """Give the feeds' fuses of the catalogue, each with its trunk and the pigtails behind it."""
    for feed, total in zip(loom.feeds, load.feeds_A, strict=True):
        if feed.fuse_type is None:
            continue
        pigtails = [member.pigtail for member in members if member.name in feed.sub_assemblies]
        trunk = (feed.where, feed.wire.max_current_A, f"its trunk '{feed.wire.name}'")
        yield NamedFuse(
            fuse=feed.fuse_type,
            where=feed.where,
            behind=f"of feed '{feed.name}'",
            rated_A=feed.fuse_A,
            most_A=total.high,
            wires=(trunk, *((pigtail.where, *weakest_part(pigtail)) for pigtail in pigtails)),
        )
