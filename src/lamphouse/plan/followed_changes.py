"""What a figure as built changes: currents before and after, and findings that are new."""

from collections.abc import Iterator, Sequence

from lamphouse.circuit.phrases import amps, percent
from lamphouse.design.as_built import AsBuilt
from lamphouse.design.whole import Design
from lamphouse.findings import Severity
from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.plan.result import Plan
from lamphouse.record import replace

MOST_TOLD = 8
_NOTICED = 0.005
"""Changes of a current that are not worth telling, relative."""
_SEEN = 0.01
"""Changes of evenness and, relative, of luminance that are worth telling."""
_REFUSED = frozenset({"ASB001", "ASB002"})


class Unfollowed(ValueError):
    """Figures that no plan can follow; the message says why and what would do."""


def changes(design: Design, *, built: Sequence[AsBuilt]) -> Iterator[str]:
    """Tell what figures as built change in the plan.

    Parameters
    ----------
    design
        With what was built so far.
    built
        The new figures; they stand before those of the design that they replace.

    Raises
    ------
    Unfollowed
        If one belongs to nothing in the model, or cannot be.
    """
    kept = Kept()
    before = make.plan(design, kept=kept)
    rest = tuple(one for one in design.as_built if not any(_same(one, new) for new in built))
    after = make.plan(replace(design, as_built=(*built, *rest)), kept=kept)
    known = {(one.code, one.where.item, one.message) for one in before.findings}
    new = [one for one in after.findings if (one.code, one.where.item, one.message) not in known]
    for one in new:
        if one.code in _REFUSED:
            told = f"{one.message}; {one.remedy}"
            raise Unfollowed(told)
    return iter(
        [
            *_some(_currents(before, after=after), noun="strings"),
            *_some(_looks(before, after=after), noun="openings"),
            *(
                f"{one.severity}: {one.where.item}: {one.message}; {one.remedy} [{one.code}]"
                for one in new
                if one.severity is not Severity.NOTE
            ),
        ]
    )


def _same(one: AsBuilt, new: AsBuilt) -> bool:
    """Tell whether a new figure replaces an older one."""
    names = ("voltage_V", "resistor_ohm", "current_A", "at_mm")
    return one.item == new.item and any(
        getattr(one, name) is not None and getattr(new, name) is not None for name in names
    )


def _currents(before: Plan, *, after: Plan) -> list[str]:
    """Tell the current of every string that changes."""
    was = {
        (circuit.sub_assembly, string.name): string.current_A.nominal
        for circuit in before.circuits
        for string in circuit.strings
    }
    moved = [
        (f"{circuit.sub_assembly} / {string.name}", old, string.current_A.nominal)
        for circuit in after.circuits
        for string in circuit.strings
        if (old := was.get((circuit.sub_assembly, string.name)))
        and abs(string.current_A.nominal / old - 1.0) > _NOTICED
    ]
    return [f"{name}: {amps(old)} becomes {amps(now)}" for name, old, now in moved]


def _looks(before: Plan, *, after: Plan) -> list[str]:
    """Tell how openings look before and after."""
    was = {
        (glow.sub_assembly, glow.panel, one.opening): one
        for glow in before.glows
        for one in glow.openings
    }
    told = []
    for glow in after.glows:
        for one in glow.openings:
            old = was.get((glow.sub_assembly, glow.panel, one.opening))
            if old is None or not old.mean_cd_m2:
                continue
            name = f"{glow.sub_assembly} / {one.opening}"
            if abs(one.evenness - old.evenness) > _SEEN:
                told.append(
                    f"{name}: evenness {percent(old.evenness)} becomes {percent(one.evenness)}"
                )
            if abs(one.mean_cd_m2 / old.mean_cd_m2 - 1.0) > _SEEN:
                told.append(
                    f"{name}: {old.mean_cd_m2:.3g} cd/m2 becomes {one.mean_cd_m2:.3g} cd/m2"
                )
    return told


def _some(told: Sequence[str], *, noun: str) -> Iterator[str]:
    """Give the first of many."""
    yield from told[:MOST_TOLD]
    if len(told) > MOST_TOLD:
        yield f"and {len(told) - MOST_TOLD} more {noun}"
