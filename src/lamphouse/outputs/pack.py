"""The build pack: every file of it as bytes, and their writing into a folder.

A pack is a PDF for the bench, each piece and each whole sheet as SVG and DXF for cutters, lists as
CSV, each circuit as a SPICE deck, the program of each controller, each print as PNG, printed boxes
as 3MF and STL, the plan as JSON, and ``pack.json``, which names every other file with its SHA-256.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import Protocol

import lamphouse
from lamphouse.circuit.spice import deck
from lamphouse.cutting.shell_mesh import mesh_of
from lamphouse.design.whole import SheetInHand
from lamphouse.outputs import (
    artwork_sheets,
    contents,
    glow_files,
    lists,
    parts_table,
    pdf,
    planfile,
    stl,
    threemf,
)
from lamphouse.outputs.beside import beside
from lamphouse.outputs.calendar_file import calendar
from lamphouse.outputs.cutter_files import cutter_name, lines_of
from lamphouse.outputs.glow_views import lit_panels
from lamphouse.outputs.parts_lines import bought
from lamphouse.outputs.program_files import program_files
from lamphouse.outputs.program_record import RunRecord
from lamphouse.outputs.purposes import FILES, Purpose
from lamphouse.outputs.records import to_text
from lamphouse.plan.artworked import ArtworkStudy, studies
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.boarded import boarded
from lamphouse.plan.ordered import order_of, planned, with_order
from lamphouse.plan.painted import painted
from lamphouse.plan.result import Plan
from lamphouse.plan.sheeted import sheeted
from lamphouse.plan.wirings import wirings
from lamphouse.record import Record
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
    """Add what only a pack shows: boards, readings, the order of work, pieces laid on sheets.

    Parameters
    ----------
    squeeze_s
        How long to squeeze the pieces of every sheet. [s]
    """
    return sheeted(with_order(with_readings(boarded(painted(plan)))), squeeze_s=squeeze_s)


def build(
    plan: Plan,
    *,
    tell: Tell = _silent,
    squeeze_s: int = 0,
    runs: Mapping[str, RunRecord] | None = None,
    purpose: Purpose = Purpose.ALL,
    more: Sequence[SheetInHand] = (),
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
    purpose
        What the pack is for: the pages and files that serve nothing else are left out.
    more
        Sheets of a drawer that projects share, kept for this one.

    Returns
    -------
    dict of str to bytes
        Content by name, ``/`` between folders; the same bytes for the same plan.
    """
    tell(0, 3, "boards, readings and the order of work")
    plan = with_order(with_readings(boarded(plan)))
    with beside(partial(_but_pages, plan, squeeze_s=squeeze_s, more=more, purpose=purpose)) as made:
        tell(1, 3, "pages")
        document = contents.document(plan, runs=runs, purpose=purpose, last=lambda: next(made).last)
        pages = pdf.set_pages(document, day=plan.design.day)
        tell(2, 3, "files for cutters, lists and the plan")
        done = next(made)
    tell(3, 3, "done")
    files = {**done.files, "pack.pdf": pages}
    return {**files, LISTING: _listing(plan, files, purpose=purpose)}


class _Made(Record):
    """What is made while the pages are drawn."""

    last: contents.Last
    files: Mapping[str, bytes]
    """All but the pages; empty until they are made."""


def _but_pages(
    plan: Plan, *, squeeze_s: int, more: Sequence[SheetInHand], purpose: Purpose
) -> Iterator[_Made]:
    """Prove the paintings and lay the pieces on sheets; then make every file but the pages."""
    plan = sheeted(painted(plan), squeeze_s=squeeze_s, more=more)
    last = contents.last_of(plan)
    yield _Made(last=last, files={})
    prints = cache(partial(studies, plan.design, glows=plan.glows))
    made = [
        *(make(plan) for kind, make in _MAKERS if purpose in FILES[kind]),
        *(make(plan, prints=prints()) for kind, make in _PICTURES if purpose in FILES[kind]),
    ]
    yield _Made(last=last, files={name: data for files in made for name, data in files})


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
    yield "tables/parts.xlsx", parts_table.to_workbook(bought(plan), title=plan.design.name)


def _decks(plan: Plan) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for wired in wirings(plan):
        taken.append(safe_name(wired.sub_assembly, taken=taken))
        title = f"{plan.design.name}, revision {plan.design.revision}: {wired.sub_assembly}"
        yield f"circuit/{taken[-1]}.cir", deck(wired.netlist, title=title).encode()


def _prints(_: Plan, *, prints: Sequence[ArtworkStudy]) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for study in prints:
        taken.append(safe_name(study.place.name, taken=taken))
        tile = artwork_sheets.study_tile(study)
        yield f"prints/{taken[-1]}.png", artwork_sheets.png_of(tile, study)


def _glows(plan: Plan, *, prints: Sequence[ArtworkStudy]) -> Iterator[tuple[str, bytes]]:
    taken: list[str] = []
    for panel, lit in lit_panels(plan, glows=plan.glows):
        for name, ending, data in glow_files.in_colour(plan, panel=panel, lit=lit, prints=prints):
            taken.append(safe_name(name, taken=taken))
            yield f"glow/{taken[-1]}.{ending}", data


def _calendar(plan: Plan) -> Iterator[tuple[str, bytes]]:
    if plan.design.evenings:
        spread = planned(plan)
        yield "evenings.ics", calendar(order_of(plan), spread, project=plan.design.name)


def _plan(plan: Plan) -> Iterator[tuple[str, bytes]]:
    yield "plan.json", planfile.to_bytes(plan)


def _programs(plan: Plan) -> Iterator[tuple[str, bytes]]:
    for file in program_files(plan):
        yield f"{file.folder}/{file.name}", file.text.encode()
        yield f"{file.folder}/build.txt", file.build.encode()


class _Picturing(Protocol):
    """Makes pictures of a plan and of what is printed for it."""

    def __call__(
        self, plan: Plan, /, *, prints: Sequence[ArtworkStudy]
    ) -> Iterator[tuple[str, bytes]]: ...


_MAKERS: tuple[tuple[str, Callable[[Plan], Iterator[tuple[str, bytes]]]], ...] = (
    ("pieces", _pieces),
    ("shells", _shells),
    ("lists", _lists),
    ("decks", _decks),
    ("programs", _programs),
    ("calendar", _calendar),
    ("plan", _plan),
)
"""Kinds of files, and what makes them."""
_PICTURES: tuple[tuple[str, _Picturing], ...] = (("prints", _prints), ("glows", _glows))
"""Likewise for pictures, which want what is printed."""


def _listing(plan: Plan, files: Mapping[str, bytes], *, purpose: Purpose) -> bytes:
    listing = {
        "lamphouse_pack": VERSION,
        "purpose": str(purpose),
        "program": f"lamphouse {lamphouse.__version__}",
        "project": plan.design.name,
        "revision": plan.design.revision,
        "day": plan.design.day.isoformat() if plan.design.day else None,
        "files": listing_of(files),
    }
    return to_text(listing).encode()
