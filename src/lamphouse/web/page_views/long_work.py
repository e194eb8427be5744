"""Long work from the page: packs, second opinions, proofs of programs, values tried in turn."""

import asyncio
import io
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse.outputs.purposes import TITLES, Purpose
from lamphouse.record import Record
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.refusal import StorageError
from lamphouse.web.jobs import BusyError, Tell, Work
from lamphouse.web.page_views.view import Address
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import told
from lamphouse.web.sweeping import LEAST, MOST, Swept, sweep
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.outputs.program_record import RunRecord
    from lamphouse.outputs.program_runs import NotRun
    from lamphouse.plan.result import Plan
    from lamphouse.plan.second_opinion import SecondOpinion

PACK_FOLDER = "pack"
"""Beside the project, as the command line names it."""
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
"""The earliest a ZIP knows: the same pack gives the same bytes."""
_MOST_SECONDS = 600.0
_KEPT_PACKS = 1


@dataclass(slots=True, kw_only=True)
class PackMade:
    """A pack in memory."""

    plan: "Plan"
    files: Mapping[str, bytes]
    purpose: Purpose = Purpose.ALL
    folder: str = ""
    """Where it was written; empty while it was not."""
    kind: str = "pack"


class OpinionsFound(Record):
    """Second opinions beside what they are about."""

    plan: "Plan"
    opinions: "tuple[SecondOpinion, ...]"
    lines: tuple[dict[str, Any], ...]
    kind: str = "verify"


class ProofMade(Record):
    """What came of programs that were run."""

    plan: "Plan"
    runs: "tuple[RunRecord, ...]"
    not_run: "tuple[NotRun, ...]"
    file: str
    kind: str = "prove"


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class SweepAsked(_Asked):
    """A value to be tried over a range."""

    path: Annotated[list[str | int], Field(min_length=1, max_length=24)]
    low: Annotated[str, Field(max_length=40)]
    high: Annotated[str, Field(max_length=40)]
    steps: Annotated[int, Field(ge=LEAST, le=MOST)]


class PackAsked(_Asked):
    """What a pack is for."""

    purpose: Annotated[Purpose, Field(strict=False)] = Purpose.ALL


class ProofAsked(_Asked):
    """For how long programs are run."""

    seconds: Annotated[float, Field(ge=1.0, le=_MOST_SECONDS)] = 20.0


async def start_pack(request: Request, bench: Workbench) -> Response:
    """Begin to make the pack, whole or for one purpose."""
    asked = understood(PackAsked, await request.body())
    if isinstance(asked, Response):
        return asked
    plan, purpose = await _plan_of(bench), asked.purpose

    def work(tell: Tell) -> PackMade:
        from lamphouse.outputs import pack, program_record

        runs = program_record.read_runs(bench.file.parent / program_record.NAME)
        files = pack.build(plan, tell=tell, runs=runs, purpose=purpose)
        return PackMade(plan=plan, files=files, purpose=purpose)

    answer = begun(bench, "Pack" if purpose is Purpose.ALL else TITLES[purpose], work)
    _forget_packs(bench)
    return answer


async def start_verify(_request: Request, bench: Workbench) -> Response:
    """Begin to find every glow again by random walks."""
    plan = await _plan_of(bench)
    if not plan.glows:
        return told("No light box has a glow that could be found again.", status=409)

    def work(tell: Tell) -> OpinionsFound:
        from lamphouse.plan.second_opinion import second_opinions

        opinions = second_opinions(plan.glows, seed=plan.design.seed, tell=tell)
        return OpinionsFound(plan=plan, opinions=opinions, lines=tuple(_compared(plan, opinions)))

    return begun(bench, "Second opinion", work)


async def start_prove(request: Request, bench: Workbench) -> Response:
    """Begin to run every program, and to hold its pins against the plan."""
    asked = understood(ProofAsked, await request.body())
    if isinstance(asked, Response):
        return asked
    plan = await _plan_of(bench)

    def work(tell: Tell) -> ProofMade:
        from lamphouse.outputs import program_record
        from lamphouse.outputs.program_runs import NotRun, prove
        from lamphouse.storage.atomic import write_file

        outcome = prove(plan, seconds=asked.seconds, tell=tell)
        runs = tuple(one for one in outcome if not isinstance(one, NotRun))
        not_run = tuple(one for one in outcome if isinstance(one, NotRun))
        file = bench.file.parent / program_record.NAME
        if runs:
            write_file(file, program_record.to_bytes(program_record.joined(runs, file=file)))
        return ProofMade(plan=plan, runs=runs, not_run=not_run, file=str(file) if runs else "")

    return begun(bench, "Proof of the program", work)


async def start_sweep(request: Request, bench: Workbench) -> Response:
    """Begin to try a value over a range."""
    asked = understood(SweepAsked, await request.body())
    if isinstance(asked, Response):
        return asked
    text = bench.text
    if text is None or await bench.plan() is None:
        return told("The file must be mended first.", status=409)

    def work(tell: Tell) -> Swept:
        return sweep(
            text,
            file=bench.file,
            path=tuple(asked.path),
            ends=(asked.low, asked.high),
            steps=asked.steps,
            tell=tell,
        )

    return begun(bench, f"Range of {asked.path[-1]}", work)


def begun(bench: Workbench, name: str, work: Work) -> Response:
    """Put work in the queue and say its number, or why it has to wait."""
    try:
        job = bench.jobs.start(name, work)
    except BusyError:
        return told("Too much is waiting already; stop something first.", status=409)
    return JSONResponse(job.shown())


async def pack_pdf(_request: Request, bench: Workbench) -> Response:
    """Give the pages of the last pack."""
    made = last_pack(bench)
    return _file(made.files["pack.pdf"], _name(made, "pdf"), "application/pdf", shown=True)


async def pack_zip(_request: Request, bench: Workbench) -> Response:
    """Give every file of the last pack in one."""
    made = last_pack(bench)
    data = await asyncio.to_thread(zipped, made.files)
    return _file(data, _name(made, "zip"), "application/zip")


async def pack_folder(_request: Request, bench: Workbench) -> Response:
    """Write the last pack into its folder beside the project."""
    from lamphouse.outputs import pack

    made = last_pack(bench)
    folder = bench.file.parent / _word(made)
    try:
        await asyncio.to_thread(pack.write, made.files, folder=folder)
    except StorageError as fault:
        return told(f"Not written: {fault.what}; {fault.remedy}.", status=507)
    made.folder = str(folder)
    return JSONResponse({"folder": made.folder, "files": len(made.files)})


def last_pack(bench: Workbench) -> PackMade:
    """Give the pack made last.

    Raises
    ------
    HTTPException
        404 while there is none.
    """
    made = (job.outcome for job in bench.jobs.all() if isinstance(job.outcome, PackMade))
    found = next(made, None)
    if found is None:
        raise HTTPException(404, "No pack has been made yet.")
    return found


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Put files into one ZIP; the same files give the same bytes."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", compression=zipfile.ZIP_DEFLATED, compresslevel=6) as whole:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, date_time=_ZIP_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            whole.writestr(entry, files[name])
    return held.getvalue()


def download(data: bytes, name: str, kind: str) -> Response:
    """Answer with a file to keep."""
    return _file(data, name, kind)


def _file(data: bytes, name: str, kind: str, *, shown: bool = False) -> Response:
    way = "inline" if shown else "attachment"
    head = {"Content-Disposition": f'{way}; filename="{name}"'}
    return Response(data, media_type=kind, headers=head)


def _name(made: PackMade, ending: str) -> str:
    design = made.plan.design
    return f"{safe_name(f'{design.name} {design.revision} {_word(made)}')}.{ending}"


def _word(made: PackMade) -> str:
    """Name a pack as the command line names its folder."""
    return PACK_FOLDER if made.purpose is Purpose.ALL else f"{PACK_FOLDER}-{made.purpose}"


def _forget_packs(bench: Workbench) -> None:
    """Keep the latest pack alone: each holds some megabytes."""
    packs = [job for job in bench.jobs.all() if isinstance(job.outcome, PackMade)]
    for job in packs[_KEPT_PACKS:]:
        job.outcome = None


async def _plan_of(bench: Workbench) -> "Plan":
    plan = await bench.plan()
    if plan is None:
        raise HTTPException(409, "The file must be mended first.")
    return plan


def _compared(plan: "Plan", opinions: "tuple[SecondOpinion, ...]") -> list[dict[str, Any]]:
    """Set what the walks found beside what the solver says, opening by opening."""
    said = {
        (glow.sub_assembly, glow.box, one.opening): one
        for glow in plan.glows
        for one in glow.openings
    }
    lines: list[dict[str, Any]] = []
    for opinion in opinions:
        if opinion.refused:
            lines.append({"box": opinion.box, "opening": "", "refused": opinion.refused})
        for found in opinion.found:
            one = said.get((opinion.sub_assembly, opinion.box, found.opening))
            lines.append(
                {
                    "box": opinion.box,
                    "opening": found.opening,
                    "refused": "",
                    "said": one.mean_cd_m2 if one else None,
                    "bar": one.bar_cd_m2 if one else None,
                    "found": found.mean_cd_m2,
                    "error": found.error_cd_m2,
                    "walks": found.walks,
                }
            )
    return lines


ADDRESSES = (
    Address(path="start/pack", handler=start_pack, methods=("POST",)),
    Address(path="start/verify", handler=start_verify, methods=("POST",)),
    Address(path="start/prove", handler=start_prove, methods=("POST",)),
    Address(path="start/sweep", handler=start_sweep, methods=("POST",)),
    Address(path="pack.pdf", handler=pack_pdf),
    Address(path="pack.zip", handler=pack_zip),
    Address(path="pack/folder", handler=pack_folder, methods=("POST",)),
)
