"""The first sheets of the pack as data for the typesetter: cover, findings, cautions."""

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Context
from pathlib import PurePath
from typing import Any

from lamphouse import units
from lamphouse.circuit.branch import Band
from lamphouse.findings import Finding, Severity
from lamphouse.outputs.cautions import Caution
from lamphouse.outputs.feed_lines import time_band
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

PRINTING = """\
Print at 100 %, on one side. Never let the printer fit, shrink or centre the page.
On the first sheet with lengths, measure both rulers with a steel rule: 100 mm along and 100 mm \
up. If either is off, do not cut: mend the printer's scaling and print again.
Glue a template to its sheet with the datum corner on a true edge. The back view is mirrored: it \
is for marking the rear face.
Where a part runs over several sheets, lay the crosses of neighbouring sheets on each other."""
"""What to mind before cutting; common practice, no source."""
_THREE_DIGITS = Context(prec=3, rounding=ROUND_HALF_UP)
_ORDER = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


def cover(plan: Plan, *, contents: Mapping[str, Any], notices: Sequence[str]) -> dict[str, Any]:
    """Say what the model is, whether it may be built, and what is on which page."""
    stops = standing_stops(plan.findings)
    warnings = sum(f.stands and f.severity is Severity.WARN for f in plan.findings)
    return {
        "facts": _facts(plan),
        "alarm": f"{counted(stops, 'stop')} to mend before anything is cut: see Findings."
        if stops
        else "",
        "calm": f"No stops. {counted(warnings, 'warning')} to read under Findings."
        if warnings
        else "No stops and no warnings.",
        "notices": list(notices),
        "contents": contents,
        "printing": PRINTING.splitlines(),
    }


def findings(found: Sequence[Finding]) -> dict[str, Any]:
    """List what stands, stops first, then what the maker has accepted with the reason."""
    ordered = sorted(found, key=lambda f: (not f.stands, _ORDER[f.severity]))
    stands = sum(finding.stands for finding in found)
    accepted = len(found) - stands
    return {
        "summary": f"{counted(stands, 'finding')} to act on, {accepted} accepted."
        if found
        else "Nothing was found.",
        "findings": [_finding(finding) for finding in ordered],
    }


def cautions(found: Sequence[Caution]) -> dict[str, Any]:
    """List the cautions that apply."""
    return {
        "summary": "These apply to this model. Your local code and licensed practice come first.",
        "cautions": [
            {"title": caution.title, "words": caution.words, "source": caution.citation}
            for caution in found
        ],
    }


def standing_stops(found: Sequence[Finding], *, within: str = "") -> int:
    """Count the stops nobody has accepted, in one sub-assembly or in all."""
    return sum(
        finding.stands
        and finding.severity is Severity.STOP
        and (not within or finding.where.item.split(" / ")[0] == within)
        for finding in found
    )


def counted(number: int, noun: str, plural: str = "") -> str:
    """Give a number with its noun."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def milliamps(band: Band) -> tuple[str, str]:
    """Give a current as designed, and its band, as a meter on its mA range shows them."""
    return f"{_digits(band.nominal)} mA", f"{_digits(band.low)} to {_digits(band.high)} mA"


def _digits(current_A: float) -> str:
    """Give a current in mA to three digits, halves rounded up as everywhere on the sheets."""
    rounded = _THREE_DIGITS.create_decimal(repr(current_A * 1e3))
    return f"{rounded:.{max(0, 2 - rounded.adjusted())}f}"


def _facts(plan: Plan) -> list[tuple[str, str]]:
    design = plan.design
    subs = design.sub_assemblies
    facts = [
        ("model scale", f"1:{design.scale:g}"),
        ("revision", design.revision),
        ("date", design.day.isoformat() if design.day else "none given"),
        ("supply", units.show(design.supply.voltage_V, Quantity.VOLTAGE)),
        ("sub-assemblies", str(len(subs))),
        ("LEDs", str(sum(len(sub.leds()) for sub in subs))),
        ("strands", str(sum(len(sub.strands) for sub in subs))),
    ]
    if plan.load:
        nominal, _ = milliamps(plan.load.total_A)
        facts.append(("all plugs together", nominal))
    if plan.run:
        facts.append(("bright for", time_band(plan.run.bright_h)))
    return facts


def _finding(finding: Finding) -> dict[str, str]:
    where = finding.where
    return {
        "severity": str(finding.severity),
        "code": finding.code,
        "item": where.item,
        "place": f"{PurePath(where.file).name}, line {where.line}" if where.line else "",
        "message": _sentence(finding.message),
        "remedy": _sentence(finding.remedy),
        "accepted": finding.accepted,
    }


def _sentence(words: str) -> str:
    """Begin with a capital and end with a full stop, as print wants it."""
    start = words[:1].upper() + words[1:]
    return start if start.endswith((".", "!", "?")) else f"{start}."
