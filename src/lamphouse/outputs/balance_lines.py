"""The answer of ``balance``: every string and every lit opening, before and after."""

from lamphouse.circuit.branch import Band
from lamphouse.outputs.glow_lines import OpeningSummary, lines_of
from lamphouse.plan.balanced_plan import BalancedPlan
from lamphouse.plan.result import Plan
from lamphouse.record import Record


class StringLine(Record):
    """The resistor and the current of one string, before and after."""

    sub_assembly: str
    string: str
    leds: tuple[str, ...]
    before_ohm: float
    after_ohm: float
    before_mA: Band
    after_mA: Band
    """Over supply, LED and resistor spread and temperature."""
    kept: str
    """Why its resistor stays; empty where it was free to change."""


class OpeningLine(Record):
    """One lit opening before and after."""

    before: OpeningSummary
    after: OpeningSummary


class BalanceResult(Record):
    """The result of ``balance``."""

    strings: tuple[StringLine, ...]
    openings: tuple[OpeningLine, ...]
    """Every lit opening that has a figure before and after."""
    values_before_ohm: tuple[float, ...]
    """Different resistor values in use, rising."""
    values_after_ohm: tuple[float, ...]
    drawer_ohm: tuple[float, ...]
    """Those of them that the drawer has."""
    proof: str
    """Why no fewer values do; empty when nothing could change."""
    brings: tuple[str, ...]
    """Stops and warnings that the change would bring."""
    match_ratio: float
    """Largest ratio of luminance that was asked of openings that match."""
    applied: bool
    """Whether it was written into the project file."""


def balance_result(found: BalancedPlan, *, match_ratio: float, applied: bool) -> BalanceResult:
    """Put a balanced model into the shape answers carry."""
    before, after = _currents(found.before), _currents(found.after)
    lit = {(one.sub_assembly, one.box, one.opening): one for one in _openings(found.after)}
    return BalanceResult(
        strings=tuple(
            StringLine(
                sub_assembly=one.sub_assembly,
                string=one.string,
                leds=one.leds,
                before_ohm=one.old_ohm,
                after_ohm=one.new_ohm,
                before_mA=before[one.sub_assembly, one.leds],
                after_mA=after[one.sub_assembly, one.leds],
                kept=one.kept,
            )
            for one in found.balance.strings
        ),
        openings=tuple(
            OpeningLine(before=one, after=lit[key])
            for one in _openings(found.before)
            if (key := (one.sub_assembly, one.box, one.opening)) in lit
        ),
        values_before_ohm=found.balance.values_ohm(before=True),
        values_after_ohm=found.balance.values_ohm(),
        drawer_ohm=found.balance.drawer_ohm,
        proof=found.balance.proof,
        brings=found.brings,
        match_ratio=match_ratio,
        applied=applied,
    )


def _openings(plan: Plan) -> tuple[OpeningSummary, ...]:
    return lines_of(plan.glows, findings=plan.findings)


def _currents(plan: Plan) -> dict[tuple[str, tuple[str, ...]], Band]:
    """Give the currents of strings by their LEDs, which outlast their names. [mA]."""
    return {
        (circuit.sub_assembly, tuple(led.name for led in string.leds)): Band(
            low=string.current_A.low * 1e3,
            nominal=string.current_A.nominal * 1e3,
            high=string.current_A.high * 1e3,
        )
        for circuit in plan.circuits
        for string in circuit.strings
    }
