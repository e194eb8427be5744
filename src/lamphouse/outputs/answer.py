"""The JSON answers of every command, in one versioned shape shared by all faces.

A command pays for what it answers: the results of the others are imported for the schema alone.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import lamphouse
from lamphouse.catalogue.shelf import Shelf
from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.design.place import SubAssembly
from lamphouse.findings import Finding, Severity
from lamphouse.light.box_glow import BoxGlow
from lamphouse.outputs.answer_records import (
    CheckResult,
    DoctorResult,
    GlowResult,
    NewResult,
    PackResult,
    ProveResult,
    Reported,
    StockResult,
    SubAssemblySummary,
    Symptom,
    TableSummary,
    UpgradeResult,
)
from lamphouse.outputs.feed_lines import feed_of
from lamphouse.outputs.glow_lines import lines_of
from lamphouse.outputs.loom_lines import loom_of
from lamphouse.outputs.records import plain, schema_of
from lamphouse.plan.result import Plan
from lamphouse.record import Record

if TYPE_CHECKING:
    from lamphouse.outputs.artwork_lines import ArtworkResult
    from lamphouse.outputs.balance_lines import BalanceResult
    from lamphouse.outputs.colour_lines import ColourResult
    from lamphouse.outputs.fault_lines import FaultResult
    from lamphouse.outputs.log_lines import LogResult
    from lamphouse.outputs.parts_lines import DrawerResult, PartsResult
    from lamphouse.outputs.photo_lines import PhotoResult
    from lamphouse.outputs.program_record import RunRecord
    from lamphouse.outputs.program_runs import NotRun
    from lamphouse.outputs.step_lines import StepsResult
    from lamphouse.outputs.suggest_lines import SuggestResult
    from lamphouse.outputs.trace_lines import TraceResult
    from lamphouse.plan.second_opinion import SecondOpinion

VERSION = 1
"""Version of this shape; it grows when a key changes its meaning or goes away."""


class Answer(Record):
    """The answer of any command to ``--json``."""

    answer: str
    """The command."""
    schema: int
    """Version of this shape."""
    lamphouse: str
    """Version of the program."""
    exit: int
    """0 fine, 1 stops found, 2 unreadable input or unwritable output, 3 wrong use."""
    findings: tuple[Reported, ...]
    result: (
        "CheckResult | PhotoResult | LogResult | DrawerResult | PartsResult"
        " | ArtworkResult | BalanceResult | ColourResult | FaultResult | GlowResult"
        " | PackResult | NewResult | ProveResult | StockResult | DoctorResult | StepsResult"
        " | SuggestResult | TraceResult"
        " | UpgradeResult | None"
    )
    """What was computed or done; null when nothing could be."""
    error: str | None
    """Why the call was refused; null when it was not."""


def check(plan: Plan | None, *, findings: Sequence[Finding]) -> dict[str, Any]:
    """Answer ``check``; ``plan`` is None when the project could not be understood."""
    return _answer(
        "check",
        exit_code=_exit_code(findings, understood=plan is not None),
        findings=findings,
        result=_check_result(plan) if plan else None,
    )


def pack(
    files: Sequence[str], *, findings: Sequence[Finding], folder: str | None
) -> dict[str, Any]:
    """Answer ``pack``; ``folder`` is None when no pack was written."""
    return _answer(
        "pack",
        exit_code=_exit_code(findings, understood=folder is not None),
        findings=findings,
        result=None if folder is None else PackResult(folder=folder, files=tuple(sorted(files))),
    )


def glow(
    plan: Plan | None,
    *,
    glows: Sequence[BoxGlow] = (),
    findings: Sequence[Finding],
    second_opinions: "Sequence[SecondOpinion]" = (),
    folder: str = "",
    files: Sequence[str] = (),
) -> dict[str, Any]:
    """Answer ``glow``.

    Parameters
    ----------
    plan
        None when the project could not be understood.
    glows
        The boxes of the plan that were asked for.
    findings
        Those about them.
    second_opinions
        One for each box, or none.
    folder, files
        Where the pictures are, and their names.
    """
    result = plan and GlowResult(
        room_lx=plan.design.room.room_light_lx if plan.design.room else None,
        glows=lines_of(glows, findings=plan.findings),
        second_opinions=tuple(second_opinions),
        folder=folder,
        files=tuple(sorted(files)),
    )
    return _answer(
        "glow",
        exit_code=_exit_code(findings, understood=plan is not None),
        findings=findings,
        result=result,
    )


def suggest(result: "SuggestResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``suggest``; ``result`` is None when the project could not be understood."""
    return _answer(
        "suggest",
        exit_code=0 if result else 2,
        findings=findings,
        result=result,
    )


def artwork(result: "ArtworkResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``artwork``; ``result`` is None when the project could not be understood."""
    return _answer("artwork", exit_code=0 if result else 2, findings=findings, result=result)


def colour(result: "ColourResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``colour``; ``result`` is None when the project could not be understood."""
    return _answer("colour", exit_code=0 if result else 2, findings=findings, result=result)


def balance(result: "BalanceResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``balance``; ``result`` is None when the project could not be understood."""
    return _answer(
        "balance",
        exit_code=_exit_code(findings, understood=result is not None),
        findings=findings,
        result=result,
    )


def fault(result: "FaultResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``fault``; ``result`` is None when the project could not be understood."""
    return _answer("fault", exit_code=0 if result else 2, findings=findings, result=result)


def log(result: "LogResult", *, is_right: bool = True) -> dict[str, Any]:
    """Answer a ``log`` command; its exit code is 1 where a reading is not as it should be."""
    return _answer("log", exit_code=0 if is_right else 1, result=result)


def steps(result: "StepsResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``steps``; its exit code is 1 while a wish for the order cannot be kept."""
    code = _exit_code(findings, understood=result is not None)
    return _answer("steps", exit_code=code, findings=findings, result=result)


def parts(result: "PartsResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``parts``; ``result`` is None when the project could not be understood."""
    return _answer("parts", exit_code=0 if result else 2, findings=findings, result=result)


def drawer(result: "DrawerResult") -> dict[str, Any]:
    """Answer a ``drawer`` command; its exit code is 1 where the file is not sound."""
    return _answer("drawer", exit_code=1 if result.faults else 0, result=result)


def trace(result: "TraceResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``trace``; ``result`` is None when a picture could not be traced."""
    return _answer("trace", exit_code=0 if result else 2, findings=findings, result=result)


def photo(result: "PhotoResult | None", *, findings: Sequence[Finding] = ()) -> dict[str, Any]:
    """Answer ``photo``; ``result`` is None when the pictures could not be compared."""
    return _answer("photo", exit_code=0 if result else 2, findings=findings, result=result)


def prove(
    plan: Plan | None,
    *,
    findings: Sequence[Finding],
    runs: "Sequence[RunRecord]" = (),
    not_run: "Sequence[NotRun]" = (),
    file: str = "",
) -> dict[str, Any]:
    """Answer ``prove``; ``plan`` is None when the project could not be understood.

    Returns
    -------
    dict
        Its exit code is 1 where a program differs from the plan, 2 where one could not be run.
    """
    if plan is None:
        return _answer("prove", exit_code=2, findings=findings)
    code = 1 if any(run.differences for run in runs) else 2 if not_run else 0
    result = ProveResult(file=file, runs=tuple(runs), not_run=tuple(not_run))
    return _answer("prove", exit_code=code, findings=findings, result=result)


def new(written: Sequence[object]) -> dict[str, Any]:
    """Answer ``new`` with the files it wrote."""
    return _answer("new", exit_code=0, result=NewResult(files=tuple(str(path) for path in written)))


def stock(
    shelf: Shelf, *, table: str | None, find: str, findings: Sequence[Finding]
) -> dict[str, Any]:
    """Answer ``stock``.

    Raises
    ------
    LookupError
        If there is no such table; the message names the tables there are.
    """
    tables = {name: getattr(shelf, name) for name in shelf.__struct_fields__}
    if table is not None and table not in tables:
        unknown = f"no table '{table}'; there are: {', '.join(tables)}"
        raise LookupError(unknown)
    wanted = find.casefold()
    kept = {
        name: tuple(row for row in map(plain, rows.values()) if wanted in _said(row))
        for name, rows in tables.items()
        if table in (name, None)
    }
    counted = tables if table else kept
    result = StockResult(
        tables=tuple(TableSummary(name=name, rows=len(t)) for name, t in counted.items()),
        table=table or "",
        rows=kept[table] if table else (),
    )
    return _answer(
        "stock",
        exit_code=_exit_code(findings, understood=True),
        findings=findings,
        result=result,
    )


def _said(row: Mapping[str, Any]) -> str:
    """Give everything a row says, for looking something up in it."""
    return " ".join(map(str, row.values())).casefold()


def doctor(symptoms: Sequence[Symptom]) -> dict[str, Any]:
    """Answer ``doctor``."""
    whole = all(symptom.found for symptom in symptoms if symptom.needed)
    return _answer(
        "doctor",
        exit_code=0 if whole else 1,
        result=DoctorResult(whole=whole, symptoms=tuple(symptoms)),
    )


def upgrade(*, file: str, old_file: str, version: int, steps: Sequence[str]) -> dict[str, Any]:
    """Answer ``upgrade``; see :class:`UpgradeResult`."""
    done = UpgradeResult(file=file, old_file=old_file, version=version, steps=tuple(steps))
    return _answer("upgrade", exit_code=0, result=done)


def refused(name: str, *, code: int, message: str) -> dict[str, Any]:
    """Answer a call that could not be carried out."""
    return _answer(name, exit_code=code, error=message)


def schema() -> dict[str, Any]:
    """Make the JSON Schema of every answer from the records themselves."""
    from lamphouse.outputs.artwork_lines import ArtworkResult
    from lamphouse.outputs.balance_lines import BalanceResult
    from lamphouse.outputs.colour_lines import ColourResult
    from lamphouse.outputs.fault_lines import FaultResult
    from lamphouse.outputs.log_lines import LogResult
    from lamphouse.outputs.parts_lines import DrawerResult, PartsResult
    from lamphouse.outputs.photo_lines import PhotoResult
    from lamphouse.outputs.program_record import RunRecord
    from lamphouse.outputs.program_runs import NotRun
    from lamphouse.outputs.step_lines import StepsResult
    from lamphouse.outputs.suggest_lines import SuggestResult
    from lamphouse.outputs.trace_lines import TraceResult
    from lamphouse.plan.second_opinion import SecondOpinion

    return schema_of(
        Answer,
        others=(
            *(
                DrawerResult,
                PartsResult,
                ArtworkResult,
                BalanceResult,
                ColourResult,
                FaultResult,
                LogResult,
                PhotoResult,
                NotRun,
                RunRecord,
            ),
            *(StepsResult, SuggestResult, TraceResult, SecondOpinion),
        ),
        title="Lamphouse answer",
        description="The answer of any command to --json. Units stand in the keys.",
    )


def report(finding: Finding) -> Reported:
    """Give a finding in the shape answers carry."""
    return Reported(
        code=finding.code,
        severity=str(finding.severity),
        item=finding.where.item,
        file=finding.where.file,
        line=finding.where.line,
        column=finding.where.column,
        message=finding.message,
        remedy=finding.remedy,
        accepted=finding.accepted,
    )


def _answer(
    name: str,
    *,
    exit_code: int,
    findings: Sequence[Finding] = (),
    result: Any = None,
    error: str | None = None,
) -> dict[str, Any]:
    whole: dict[str, Any] = plain(
        Answer(
            answer=name,
            schema=VERSION,
            lamphouse=lamphouse.__version__,
            exit=exit_code,
            findings=tuple(report(finding) for finding in findings),
            result=result,
            error=error,
        )
    )
    return whole


def _exit_code(findings: Sequence[Finding], *, understood: bool) -> int:
    if not understood:
        return 2
    return int(any(f.severity is Severity.STOP and f.stands for f in findings))


def _check_result(plan: Plan) -> CheckResult:
    circuits = {circuit.sub_assembly: circuit for circuit in plan.circuits}
    pieces = [piece.sub_assembly for piece in plan.pieces()]
    load = plan.load
    return CheckResult(
        name=plan.design.name,
        revision=plan.design.revision,
        scale=plan.design.scale,
        sub_assemblies=tuple(
            _summary(sub, circuits.get(sub.name), pieces=pieces.count(sub.name))
            for sub in plan.design.sub_assemblies
        ),
        glows=lines_of(plan.glows, findings=plan.findings),
        supply_mA=_milli(load.total_A) if load else None,
        supply_share=load.share if load else None,
        run_time_h=load.run_time_h if load else None,
        loom=loom_of(plan),
        feed=feed_of(plan),
    )


def _summary(
    sub: SubAssembly, circuit: SubAssemblyCircuit | None, *, pieces: int
) -> SubAssemblySummary:
    return SubAssemblySummary(
        name=sub.name,
        panels=len(sub.panels),
        boxes=len(sub.boxes),
        leds=len(sub.leds()),
        strands=len(sub.strands),
        strings=len(circuit.strings) if circuit else 0,
        pieces=pieces,
        plug_mA=_milli(circuit.total_A) if circuit else None,
    )


def _milli(band: Band) -> Band:
    return Band(low=band.low * 1e3, nominal=band.nominal * 1e3, high=band.high * 1e3)
