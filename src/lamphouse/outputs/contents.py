"""What stands on each page of the pack, in order.

Terminology
-----------
sheet
    A heading with text and tables, set by the typesetter; it may run over several pages, so that
    the typesetter alone knows the number of any page.
drawn pages
    Pages that are drawings of exactly their paper's size.
mark
    The name by which the list of contents finds the page something starts on.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.drawings.page import Page, lay_out
from lamphouse.drawings.paper import upright
from lamphouse.drawings.strand_flags import strand_flags
from lamphouse.drawings.title import TitleBlock
from lamphouse.outputs import (
    artwork_sheets,
    bench_sheets,
    bending_sheets,
    board_sheets,
    drawn_labels,
    fault_sheets,
    front_sheets,
    gate_cards,
    glow_sheets,
    leak_sheets,
    loom_sheets,
    mask_sheets,
    parts_sheet,
    program_sheets,
    reading_sheets,
    strand_sheets,
    supply_sheets,
    time_sheets,
)
from lamphouse.outputs.card_sheet import card_label
from lamphouse.outputs.cautions import for_design
from lamphouse.outputs.fonts import lacking
from lamphouse.outputs.later_pages import LATER, later_pages
from lamphouse.outputs.order_pages import order_pages
from lamphouse.outputs.page_entries import Drawn, Entry, Sheet
from lamphouse.outputs.program_record import RunRecord
from lamphouse.outputs.purposes import TITLES, Purpose, belongs
from lamphouse.outputs.room_pages import room_pages
from lamphouse.outputs.svg import CAPITALS, render
from lamphouse.plan.result import Plan
from lamphouse.plan.wirings import wirings
from lamphouse.record import Record

_COLUMNS = (
    "gates",
    "bench",
    "schematic",
    "readings",
    "board",
    "templates",
    "bending",
    "drilling",
    "light boxes",
    "assembly",
    "painting",
    "glow",
    "prints",
    "dark room",
    "fibres",
    "faults",
)
"""Parts of every sub-assembly's pages, as columns of the list of contents."""
_WHOLE = (
    ("Findings", "findings"),
    ("Cautions", "cautions"),
    ("Chart of the evenings", "work chart"),
    ("Evenings", "evenings"),
    ("Order of work", "steps"),
    ("Supply", "supply"),
    ("Room", "room"),
    ("Loom", "loom"),
    ("Time line", "time line"),
    ("Program", "program"),
    ("Strands to cut", "strands"),
    ("Parts list", "parts"),
    ("Sheets to cut", "sheets"),
    ("Label", "label"),
    ("Care sheet", "care"),
    ("Plug map", "plugs"),
    ("Spares bag", "spares"),
    ("Museum sheet", "museum"),
    ("Programs in full", "listing"),
    ("Trace card", "card"),
)
"""Sheets of the whole model with their marks."""


class Last(Record):
    """What pages show that takes longest to find."""

    plan: Plan
    """With its pieces on sheets."""
    faults: Mapping[str, dict[str, Any]]
    """The fault sheet of every sub-assembly that has a circuit."""


def last_of(plan: Plan) -> Last:
    """Find it, for a plan with its pieces on sheets."""
    subs = plan.design.sub_assemblies
    sheets = {sub.name: fault_sheets.faults(plan, sub) for sub in subs}
    return Last(plan=plan, faults={name: data for name, data in sheets.items() if data})


def document(
    plan: Plan,
    *,
    runs: Mapping[str, RunRecord] | None = None,
    last: Callable[[], Last] | None = None,
    purpose: Purpose = Purpose.ALL,
) -> dict[str, Any]:
    """Give everything the typesetter needs for the pack.

    Parameters
    ----------
    runs
        Programs that were run, by their SHA-256.
    last
        Gives what takes longest, called when all else is drawn; None for :func:`last_of`.
    purpose
        What the pack is for; pages that are not are left out, and so are their columns.
    """
    late = last or partial(last_of, plan)
    entries = _entries(plan, runs=runs or {}, purpose=purpose, last=late)
    return document_of(plan, entries, purpose=purpose)


def document_of(
    plan: Plan, entries: Sequence[Entry], *, purpose: Purpose = Purpose.ALL
) -> dict[str, Any]:
    """Give everything the typesetter needs for some sheets and drawings of the pack."""
    design, size = plan.design, upright(plan.design.paper)
    pages: list[dict[str, Any]] = []
    grounds: dict[str, str] = {}
    for entry in entries:
        if isinstance(entry, Sheet):
            pages.append(
                {
                    "kind": entry.kind,
                    "mark": entry.mark,
                    "heading": entry.heading,
                    "data": entry.data,
                }
            )
        else:
            for number, page in enumerate(_laid(design, entry)):
                pages.append(_drawn(page, mark=entry.mark if not number else ""))
                if page.ground.name not in grounds:
                    grounds[page.ground.name] = render(page.ground)
    return {
        "title": TITLES[purpose],
        "project": design.name,
        "scale": f"1:{design.scale:g}",
        "revision": design.revision,
        "day": design.day.isoformat() if design.day else "",
        "paper": {"width": size.width_mm, "height": size.height_mm},
        "grounds": grounds,
        "pages": pages,
    }


def _drawn(page: Page, *, mark: str) -> dict[str, Any]:
    return {
        "kind": "drawn",
        "mark": mark,
        "name": page.name,
        "width": page.drawing.width_mm,
        "height": page.drawing.height_mm,
        "ground": page.ground.name,
        "svg": render(page.own),
        "number": _number(page),
    }


def _number(page: Page) -> dict[str, Any] | None:
    """Give the place of a page's number as the typesetter takes it: from the top, in font sizes."""
    cell = page.unnumbered
    if cell is None:
        return None
    return {
        "right": cell.x_mm,
        "down": page.drawing.height_mm - cell.y_mm,
        "room": cell.room_mm,
        "sizes": [height / CAPITALS for height in cell.heights_mm],
    }


def _laid(design: Design, drawn: Drawn) -> tuple[Page, ...]:
    title = TitleBlock(
        project=design.name,
        revision=design.revision,
        day=design.day.isoformat() if design.day else "",
        model_scale=f"1:{design.scale:g}",
    )
    return lay_out(drawn.labels, paper=design.paper, title=title, numbered=False)


def _entries(
    plan: Plan,
    *,
    runs: Mapping[str, RunRecord],
    purpose: Purpose,
    last: Callable[[], Last],
) -> tuple[Entry, ...]:
    cautions = for_design(plan.design)
    rest: list[Entry] = [
        Sheet(
            mark="findings",
            kind="findings",
            heading="Findings",
            data=front_sheets.findings(plan.findings),
        )
    ]
    if cautions:
        data = front_sheets.cautions(cautions)
        rest.append(Sheet(mark="cautions", kind="cautions", heading="Cautions", data=data))
    rest.extend(order_pages(plan))
    feed = supply_sheets.supply(plan)
    if feed:
        rest.append(Sheet(mark="supply", kind="supply", heading="Supply", data=feed))
    rest.extend(room_pages(plan))
    rest.extend(_of_loom(plan))
    timed = time_sheets.time_line(plan)
    if timed:
        rest.append(Sheet(mark="time line", kind="timeline", heading="Time line", data=timed))
    switched = program_sheets.program(plan, runs=runs)
    if switched:
        rest.append(Sheet(mark="program", kind="program", heading="Program", data=switched))
    cut = strand_sheets.strands(plan)
    if cut and plan.strands:
        rest.append(Sheet(mark="strands", kind="strands", heading="Strands to cut", data=cut))
        flags = strand_flags(plan.strands.rows, paper=plan.design.paper)
        rest.append(Drawn(mark="strand flags", labels=flags))
    wired = {one.sub_assembly: one for one in wirings(plan)}
    drawn = [
        tuple(_of_sub_assembly(plan, sub, number, wired=wired.get(sub.name)))
        for number, sub in enumerate(plan.design.sub_assemblies, start=1)
    ]
    late = last()
    plan = late.plan
    for number, (sub, pages) in enumerate(zip(plan.design.sub_assemblies, drawn, strict=True), 1):
        rest.extend(pages)
        if wrong := late.faults.get(sub.name):
            heading = f"{sub.name}: fault sheet"
            mark = _mark(number, "faults")
            rest.append(Sheet(mark=mark, kind="faults", heading=heading, data=wrong))
    data = parts_sheet.parts(plan)
    rest.append(Sheet(mark="parts", kind="parts", heading="Parts list", data=data))
    if plan.layout and plan.layout.sheets:
        rest.append(Drawn(mark="sheets", labels=drawn_labels.stock_sheets(plan)))
    rest.extend(later_pages(plan, cautions=cautions))
    if _has_traced(plan.design):
        rest.append(Drawn(mark="card", labels=(card_label(),)))
    rest = [entry for entry in rest if belongs(entry.mark, purpose=purpose)]
    if purpose is Purpose.CARE:  # what is read first lies on top; the sort keeps all other order
        rest.sort(key=lambda entry: entry.mark not in LATER)
    marks = {entry.mark for entry in rest}
    contents = _contents(plan, marks, purpose=purpose)
    cover = front_sheets.cover(plan, contents=contents, notices=_notices(plan, rest))
    if "findings" not in marks:
        cover |= {"alarm": "", "calm": ""}
    return (Sheet(mark="cover", kind="cover", heading="Cover", data=cover), *rest)


def _has_traced(design: Design) -> bool:
    """Tell whether outlines come from pictures; then the next one, or a check of the copy, will."""
    return any(panel.traced for sub in design.sub_assemblies for panel in sub.panels)


def _of_loom(plan: Plan) -> Iterator[Entry]:
    """Give the pages of the wiring under the floor."""
    data = loom_sheets.loom(plan)
    if data is None:
        return
    yield Sheet(mark="loom", kind="loom", heading="Loom", data=data)
    yield Drawn(mark="loom plan", labels=drawn_labels.loom(plan))
    yield Drawn(mark="wire flags", labels=drawn_labels.loom_flags(plan))


def _of_sub_assembly(
    plan: Plan, sub: SubAssembly, number: int, *, wired: WiredSubAssembly | None
) -> Iterator[Entry]:
    """Give a sub-assembly's pages in the order they are needed at the bench."""
    circuit = next((c for c in plan.circuits if c.sub_assembly == sub.name), None)
    panels = [piece for piece in plan.panels if piece.sub_assembly == sub.name]
    boxes = [box for box in plan.boxes if box.sub_assembly == sub.name]
    card = gate_cards.gate_card(plan, sub, circuit=circuit)
    if card:
        heading = f"{sub.name}: gate card"
        yield Sheet(mark=_mark(number, "gates"), kind="gates", heading=heading, data=card)
    yield Sheet(
        mark=_mark(number, "bench"),
        kind="bench",
        heading=f"{sub.name}: bench sheet",
        data=bench_sheets.bench(plan, sub, circuit=circuit),
    )
    if circuit and wired:
        drawn = drawn_labels.schematics(plan, sub, wired=wired)
        yield Drawn(mark=_mark(number, "schematic"), labels=drawn)
    expected = reading_sheets.readings(plan, sub)
    if expected:
        yield Sheet(
            mark=_mark(number, "readings"),
            kind="readings",
            heading=f"{sub.name}: readings",
            data=expected,
        )
    soldered = board_sheets.board(plan, sub)
    if soldered:
        yield Sheet(
            mark=_mark(number, "board"),
            kind="board",
            heading=f"{sub.name}: board",
            data=soldered,
        )
    templates = drawn_labels.templates(plan, sub)
    if templates:
        yield Drawn(mark=_mark(number, "templates"), labels=templates)
    bent = bending_sheets.bending(plan, sub)
    if bent:
        heading = f"{sub.name}: bending"
        yield Sheet(mark=_mark(number, "bending"), kind="bending", heading=heading, data=bent)
    formers = drawn_labels.formers(plan, sub)
    if formers:
        yield Drawn(mark=_mark(number, "former"), labels=formers)
    drilled = [piece for piece in (*panels, *_pieces(boxes)) if piece.holes]
    if drilled:
        yield Sheet(
            mark=_mark(number, "drilling"),
            kind="drills",
            heading=f"{sub.name}: drill chart",
            data=bench_sheets.drills(sub, drilled),
        )
    labels = drawn_labels.box_pieces(plan, sub)
    if labels:
        yield Drawn(mark=_mark(number, "light boxes"), labels=labels)
    apart = drawn_labels.box_assemblies(plan, sub)
    if apart:
        yield Drawn(mark=_mark(number, "assembly"), labels=apart)
    coats = mask_sheets.painting(plan, sub)
    if coats:
        heading = f"{sub.name}: painting"
        yield Sheet(mark=_mark(number, "painting"), kind="masks", heading=heading, data=coats)
        yield Drawn(mark=_mark(number, "masks"), labels=drawn_labels.masks(plan, sub))
    prints = artwork_sheets.prints_for(plan, sub)
    glow = glow_sheets.glow(plan, sub, prints=prints)
    if glow:
        yield Sheet(mark=_mark(number, "glow"), kind="glow", heading=f"{sub.name}: glow", data=glow)
    for place, study in enumerate(prints):
        tile = artwork_sheets.study_tile(study)
        print_ = artwork_sheets.sheet(study, tile=tile, paper=plan.design.paper)
        mark = _mark(number, "prints") if not place else f"{_mark(number, 'prints')} {place + 1}"
        heading = f"{sub.name}: print for {print_['name']}"
        yield Sheet(mark=mark, kind="artwork", heading=heading, data=print_)
    dark = leak_sheets.dark_room(plan, sub)
    if dark:
        heading = f"{sub.name}: dark-room test card"
        yield Sheet(mark=_mark(number, "dark room"), kind="leaks", heading=heading, data=dark)
    yield from _of_strands(plan, sub, number)


def _of_strands(plan: Plan, sub: SubAssembly, number: int) -> Iterator[Entry]:
    """Give the pages of a sub-assembly's fibres."""
    threaded = strand_sheets.threading(plan, sub)
    if threaded:
        heading = f"{sub.name}: threading and bundles"
        yield Sheet(mark=_mark(number, "fibres"), kind="threading", heading=heading, data=threaded)
    check = strand_sheets.mix_up(plan, sub)
    if check:
        heading = f"{sub.name}: which fibre is which"
        yield Sheet(mark=_mark(number, "mix-ups"), kind="mixup", heading=heading, data=check)


def _pieces(boxes: Sequence[BoxPieces]) -> Iterator[Piece]:
    return (piece for box in boxes for piece in box.pieces)


def _mark(number: int, what: str) -> str:
    return f"{number} {what}"


def _contents(plan: Plan, marks: set[str], *, purpose: Purpose) -> dict[str, Any]:
    """List the sheets of the whole model, and of every sub-assembly its pages in columns."""
    whole = [(name, mark) for name, mark in _WHOLE if mark in marks]
    circuits = {circuit.sub_assembly: circuit for circuit in plan.circuits}
    columns = [what for what in _COLUMNS if belongs(what, purpose=purpose)]
    lines = [
        {
            "name": sub.name,
            "marks": [mark if (mark := _mark(number, what)) in marks else "" for what in columns],
            "leds": str(len(sub.leds())),
            "strands": str(len(sub.strands)),
            "plug": front_sheets.milliamps(circuits[sub.name].total_A)[0]
            if sub.name in circuits
            else "",
        }
        for number, sub in enumerate(plan.design.sub_assemblies, start=1)
    ]
    return {"whole": whole, "columns": columns, "lines": lines}


def _notices(plan: Plan, entries: Sequence[Entry]) -> list[str]:
    """Tell what the sheets cannot show."""
    texts = [plan.design.name, plan.design.revision]
    for entry in entries:
        if isinstance(entry, Sheet):
            texts.append(json.dumps(entry.data, ensure_ascii=False))
    signs = lacking("".join(texts))
    if not signs:
        return []
    shown = ", ".join(f"U+{ord(sign):04X}" for sign in signs[:12])
    return [f"The font has no sign for {shown}: there a small empty box is printed."]
