"""Balances a model: its plan, the fewest resistor values for its looks, its plan with them.

Every figure after the change comes from the chain run again on the changed design, so that what is
promised is what ``check`` will say.
"""

from collections.abc import Mapping, Sequence

from lamphouse.balance.levelling import Balance, StringValue, balance_model
from lamphouse.circuit.branch import StringDesign
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import StringWish
from lamphouse.design.whole import Design, Match
from lamphouse.findings import RULES, Finding, Severity, settle
from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.plan.result import Plan
from lamphouse.record import Record, replace

MATCH_RATIO = Match().luminance_ratio
"""How far openings that match may differ where the project says nothing."""
MATE_COLOURS = frozenset({"COL003", "COL007"})
"""Findings of unlike colours, which no resistor mends."""

Key = tuple[str, str]
"""A sub-assembly with one of its strings."""


class BalancedPlan(Record):
    """A model before and after its resistors were balanced."""

    before: Plan
    after: Plan
    balance: Balance
    findings: tuple[Finding, ...]
    """What stands in the way of balance, and colours that should match and do not."""
    brings: tuple[str, ...]
    """Stops and warnings of the plan after that were not there before, each with its code."""


def balanced(
    design: Design,
    *,
    match_ratio: float | None = None,
    found: Sequence[Finding] = (),
    kept: Kept | None = None,
) -> BalancedPlan:
    """Balance a model.

    Parameters
    ----------
    design
        What the maker decided.
    match_ratio
        Largest ratio of luminance between openings of one match word, above 1; None: that of the
        word.
    found
        Findings of the reading.
    kept
        Results of earlier runs.
    """
    kept = kept or Kept()
    before = make.plan(design, found=found, kept=kept)
    balance, told = balance_model(
        design, circuits=before.circuits, glows=before.glows, match_ratio=match_ratio
    )
    changed = with_values(before, balance=balance)
    after = before if changed == design else make.plan(changed, found=found, kept=kept)
    old = {(one.code, one.where.item) for one in before.findings}
    brings = tuple(
        f"{one.where.item}: {RULES[one.code].title} [{one.code}]"
        for one in after.findings
        if one.severity is not Severity.NOTE
        and one.stands
        and (one.code, one.where.item) not in old
    )
    unlike = [one for one in after.findings if one.code in MATE_COLOURS and one.stands]
    return BalancedPlan(
        before=before,
        after=after,
        balance=balance,
        findings=(*settle(told), *unlike),
        brings=brings,
    )


def with_values(plan: Plan, *, balance: Balance) -> Design:
    """Give the design with the new resistors and the currents that they set.

    In a sub-assembly where a resistor changes, every string is fixed as it stands, so that the tool
    does not group the LEDs anew for their new currents; one that a knob sets keeps it unless its
    resistor changes. LEDs of one box that are of one type and wanted at one current keep sharing
    one, the least that any of their strings gives.
    """
    values = {(one.sub_assembly, one.string): one for one in balance.strings}
    touched = {one.sub_assembly for one in balance.strings if one.changes}
    strings = {circuit.sub_assembly: circuit.strings for circuit in plan.circuits}
    subs = tuple(
        _changed(sub, strings=strings[sub.name], values=values, design=plan.design)
        if sub.name in touched
        else sub
        for sub in plan.design.sub_assemblies
    )
    return replace(plan.design, sub_assemblies=subs)


def _changed(
    sub: SubAssembly,
    *,
    strings: Sequence[StringDesign],
    values: Mapping[Key, StringValue],
    design: Design,
) -> SubAssembly:
    sources = {group.source.name for group in design.groups if group.source}
    wishes = {wish.name: wish for wish in sub.strings}
    for string in strings:
        names = tuple(led.name for led in string.leds)
        value = values[sub.name, string.name]
        by_eye = string.knob is not None and not value.changes
        if not sources & set(names):
            wishes[string.name] = StringWish(
                name=string.name,
                where=string.where,
                leds=names,
                resistor_ohm=None if by_eye else value.new_ohm,
                trim=by_eye,
            )
    value_of = {
        led.name: values[sub.name, string.name] for string in strings for led in string.leds
    }
    boxes = tuple(
        (panel, replace(box, leds=_driven(box.leds, value_of=value_of))) for panel, box in sub.boxes
    )
    return replace(sub, boxes=boxes, strings=tuple(wishes.values()))


def _driven(leds: Sequence[Led], *, value_of: Mapping[str, StringValue]) -> tuple[Led, ...]:
    alike: dict[tuple[object, ...], list[StringValue]] = {}
    for led in leds:
        if led.name in value_of:
            alike.setdefault((led.led_type, led.current_A), []).append(value_of[led.name])
    currents = {
        key: min(one.current_A for one in found)
        for key, found in alike.items()
        if any(one.changes for one in found)
    }
    return tuple(
        replace(led, current_A=currents.get((led.led_type, led.current_A), led.current_A))
        for led in leds
    )
