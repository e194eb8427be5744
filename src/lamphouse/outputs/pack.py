"""The build pack: every file of it as bytes, and their writing into a folder.

A pack is a PDF for the bench, each piece and each whole sheet as SVG and DXF for cutters, lists as
CSV, each circuit as a SPICE deck, the program of each controller, each print as PNG, printed boxes
as 3MF and STL, the plan as JSON, and ``pack.json``, which names every other file with its SHA-256.
"""

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path

import lamphouse
from lamphouse.circuit.spice import deck
from lamphouse.cutting.shell_mesh import mesh_of
from lamphouse.outputs import artwork_sheets, contents, lists, pdf, planfile, stl, threemf
from lamphouse.outputs.cutter_files import cutter_name, lines_of
from lamphouse.outputs.program_files import program_files
from lamphouse.outputs.program_record import RunRecord
from lamphouse.outputs.records import to_text
from lamphouse.plan.artworked import studies
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.boarded import boarded
from lamphouse.plan.painted import painted
from lamphouse.plan.result import Plan
from lamphouse.plan.sheeted import sheeted
from lamphouse.plan.wirings import wirings
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.folder import LISTING, listing_of, replace_folder
from lamphouse.storage.refusal import put_into_words

VERSION = 1
"""Version of the pack's layout."""
Tell = Callable[[int, int, str], None]
"""Called before each step with the steps done, the steps in all, and what comes next."""


def _silent(_done: int, _of: int, _what: str) -> None:
    """Tell nobody."""


def completed(plan: Plan, *, squeeze_s: int = 0) -> Plan:
    """Add what only a pack shows: boards laid out, readings foretold, pieces laid on sheets.

    Parameters
    ----------
    squeeze_s
        How long to squeeze the pieces of every sheet. [s]
    """
    return sheeted(with_readings(boarded(painted(plan))), squeeze_s=squeeze_s)


def build(
    plan: Plan,
    *,
    tell: Tell = _silent,
    squeeze_s: int = 0,
    runs: Mapping[str, RunRecord] | None = None,
) -> dict[str, bytes]:
    """Make every file of a pack. Nothing is written.

    Parameters
    ----------
    plan
        What to build from. A plan with stops makes a pack too; its first page says so.
    tell
        Progress; whatever it raises stops the work between two steps.
    squeeze_s
        How long to squeeze the pieces of every sheet; the bytes then depend on the machine.
    runs
        Programs that were run, by their SHA-256; the pages say so of these alone.

    Returns
    -------
    dict of str to bytes
        Content by name, ``/`` between folders; the same bytes for the same plan.
    """
    steps: tuple[tuple[str, Callable[[Plan], Iterator[tuple[str, bytes]]]], ...] = (
        ("pieces for cutters", _pieces),
        ("bodies for 3D printers", _shells),
        ("lists", _lists),
        ("circuits for other solvers", _decks),
        ("prints", _prints),
        ("programs", _programs),
        ("the plan", _plan),
        ("pages", partial(_pages, runs=runs)),
    )
    files: dict[str, bytes] = {}
    tell(0, len(steps) + 1, "boards, readings and stock sheets")
    plan = completed(plan, squeeze_s=squeeze_s)
    for done, (what, make) in enumerate(steps, start=1):
        tell(done, len(steps) + 1, what)
        files.update(make(plan))
    tell(len(steps) + 1, len(steps) + 1, "done")
    return {**files, LISTING: _listing(plan, files)}


def write(files: Mapping[str, bytes], *, folder: Path) -> None:
    """Write a pack into its folder, the whole of it or nothing.

    Raises
    ------
    StorageError
        When the disk refuses, or the folder holds anything that no pack wrote.
    """
    with put_into_words(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
    replace_folder(folder, files)


def _pieces(plan: Plan) -> Iterator[tuple[str, bytes]]:
    """Give the lines of every piece and sheet; along the way of the tool where that is wanted."""
    taken: list[str] = []
    for piece in plan.pieces():
        taken.append(cutter_name(plan, piece, taken=taken))
        for ending, data in lines_of(plan, piece):
            yield f"{ending}/{taken[-1]}.{ending}", data
    for sheet in plan.layout.sheets if plan.layout else ():
        taken.append(cutter_name(plan, sheet, taken=taken))
        for ending, data in lines_of(plan, sheet):
            yield f"sheets/{taken[-1]}.{ending}", data


def _shells(plan: Plan) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for box in plan.boxes:
        if not box.bodies:
            continue
        name = box.bodies[0].name.rpartition(" / ")[0]
        taken.append(safe_name(name, taken=taken))
        meshes = [mesh_of(body) for body in box.bodies]
        yield f"shell/{taken[-1]}.3mf", threemf.render(meshes)
        for mesh in meshes:
            part = mesh.name.rpartition(" / ")[2]
            ending = "" if part == "shell" else f"-{part}"
            yield f"shell/{taken[-1]}{ending}.stl", stl.render(mesh)


def _lists(plan: Plan) -> Iterator[tuple[str, bytes]]:
    for name, table in lists.TABLES.items():
        yield f"tables/{name}.csv", lists.to_bytes(table(plan))


def _decks(plan: Plan) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for wired in wirings(plan):
        taken.append(safe_name(wired.sub_assembly, taken=taken))
        title = f"{plan.design.name}, revision {plan.design.revision}: {wired.sub_assembly}"
        yield f"circuit/{taken[-1]}.cir", deck(wired.netlist, title=title).encode()


def _prints(plan: Plan) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for study in studies(plan.design, glows=plan.glows):
        taken.append(safe_name(study.place.name, taken=taken))
        tile = artwork_sheets.study_tile(study)
        yield f"prints/{taken[-1]}.png", artwork_sheets.png_of(tile, study)


def _plan(plan: Plan) -> Iterator[tuple[str, bytes]]:
    yield "plan.json", planfile.to_bytes(plan)


def _programs(plan: Plan) -> Iterator[tuple[str, bytes]]:
    for file in program_files(plan):
        yield f"{file.folder}/{file.name}", file.text.encode()
        yield f"{file.folder}/build.txt", file.build.encode()


def _pages(plan: Plan, *, runs: Mapping[str, RunRecord] | None) -> Iterator[tuple[str, bytes]]:
    yield "pack.pdf", pdf.set_pages(contents.document(plan, runs=runs), day=plan.design.day)


def _listing(plan: Plan, files: Mapping[str, bytes]) -> bytes:
    listing = {
        "lamphouse_pack": VERSION,
        "program": f"lamphouse {lamphouse.__version__}",
        "project": plan.design.name,
        "revision": plan.design.revision,
        "day": plan.design.day.isoformat() if plan.design.day else None,
        "files": listing_of(files),
    }
    return to_text(listing).encode()
