"""The plan's lists as CSV: parts, drill chart, LEDs, strings, pieces, sheets, runs and strands.

Comma-separated, every line ended by CR LF, quoted where needed [RFC4180], in UTF-8. A text that a
spreadsheet would take for a formula gets an apostrophe in front [CSV-FORMULA].
"""

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from lamphouse.build.buying import to_get
from lamphouse.build.parts import PartLine
from lamphouse.circuit.branch import StringDesign
from lamphouse.circuit.loom_runs import Run, RunLoad
from lamphouse.circuit.spread import StringSpread
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import LaidSheet
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.fibres.strand_table import StrandRow
from lamphouse.outputs.pin_list import pins
from lamphouse.plan.result import Plan
from lamphouse.shapes.measure import bounds_mm, size_mm
from lamphouse.units import both_codes

INCH_MM = 25.4
Cell = str | float | None
Table = tuple[tuple[str, ...], Iterable[Sequence[Cell]]]
_FORMULA_SIGNS = (
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "\0",
    "\uff1d",
    "\uff0b",
    "\uff0d",
    "\uff20",
)
"""Signs, with their wide forms, that start a formula in some spreadsheet."""


def parts(plan: Plan) -> Table:
    """List what to buy and to have ready."""
    head = ("kind", "part", "need", "unit", "spares", "have", "to_get", "used_in", "note")
    return head, (_part(line) for line in plan.parts)


def drill_chart(plan: Plan) -> Table:
    """List every drilled hole of every piece, measured from the piece's datum corner."""
    head = (
        *("sub_assembly", "piece", "hole", "flag", "x_mm", "y_mm", "wanted_mm"),
        *("drill", "drill_mm", "drill_in", "pilot", "pilot_mm"),
    )
    return head, (row for piece in plan.pieces() for row in _holes(piece))


def leds(plan: Plan) -> Table:
    """List every LED with its place, its current and the string it is in."""
    head = (
        *("sub_assembly", "led", "type", "colour", "package", "box", "x_mm", "y_mm"),
        *("wanted_mA", "string", "group", "tilt_deg", "towards_deg"),
    )
    strings = {
        (circuit.sub_assembly, led.name): string.name
        for circuit in plan.circuits
        for string in circuit.strings
        for led in string.leds
    }
    return head, (row for sub in plan.design.sub_assemblies for row in _leds(sub, strings))


def strings(plan: Plan) -> Table:
    """List every string with its resistor, what a meter should read in it, and most builds."""
    head = (
        *("sub_assembly", "string", "leds", "resistor_ohm", "bands", "resistor_package"),
        *("wanted_mA", "least_mA", "nominal_mA", "most_mA", "leds_V", "resistor_mW", "limit_mW"),
        *("chosen_by", "reason", "knob_ohm", "set_ohm"),
        *("likely_least_mA", "likely_most_mA", "likely_least_light", "likely_most_light"),
    )
    spreads = {
        (spread.sub_assembly, one.string): one for spread in plan.spreads for one in spread.strings
    }
    rows = (
        (c.sub_assembly, *_string(s), *_likely(spreads.get((c.sub_assembly, s.name))))
        for c in plan.circuits
        for s in c.strings
    )
    return head, rows


def pieces(plan: Plan) -> Table:
    """List every flat piece with the rectangle around it."""
    head = (
        *("sub_assembly", "piece", "sheet", "width_mm", "height_mm", "count"),
        *("holes", "cutouts", "grain", "face", "notes"),
    )
    return head, (_piece(piece) for piece in plan.pieces())


def loom(plan: Plan) -> Table:
    """List every run of the loom with what it carries."""
    head = (
        *("run", "feed", "sub_assembly", "pin", "carries", "from", "to", "colour", "wire"),
        *("length_mm", "least_mA", "nominal_mA", "most_mA", "drop_mV", "flag"),
    )
    runs = plan.loom.runs if plan.loom else ()
    loads = plan.loom_load.runs if plan.loom_load else ()
    return head, (_run(run, load) for run, load in zip(runs, loads, strict=True))


def sheets(plan: Plan) -> Table:
    """List every piece with its place on its sheet, in the order of cutting."""
    head = (
        *("sheet", "number", "stock_entry", "width_mm", "height_mm", "order", "piece", "copy"),
        *("left_mm", "bottom_mm", "origin_x_mm", "origin_y_mm", "turn_deg", "locked"),
    )
    laid = plan.layout.sheets if plan.layout else ()
    return head, (row for sheet in laid for row in _laid(sheet))


def offcuts(plan: Plan) -> Table:
    """List what is left of the sheets, as entries for the stock list."""
    head = ("sheet", "number", "width_mm", "height_mm", "left_mm", "bottom_mm")
    laid = plan.layout.sheets if plan.layout else ()
    rows = (
        (sheet.sheet.name, sheet.number, one.width_mm, one.height_mm, one.x_mm, one.y_mm)
        for sheet in laid
        for one in sheet.offcuts
    )
    return head, rows


def strands(plan: Plan) -> Table:
    """List every strand from its hole to the pin that switches it, in the order of the file."""
    head = (
        *("flag", "sub_assembly", "panel", "hole", "x_mm", "y_mm", "drill", "fibre", "head"),
        *("group", "source", "switched_at", "cut_mm", "stop", "thread", "through_box"),
        *("form_to_mm", "tip_cd_m2", "intensity_mcd"),
    )
    rows = plan.strands.rows if plan.strands else ()
    return head, (_strand(row) for row in rows)


TABLES: Mapping[str, Callable[[Plan], Table]] = {
    "parts": parts,
    "drill_chart": drill_chart,
    "leds": leds,
    "strings": strings,
    "pieces": pieces,
    "loom": loom,
    "sheets": sheets,
    "offcuts": offcuts,
    "strands": strands,
    "pins": pins,
}
"""Every table by the name of its file."""


def to_bytes(table: Table) -> bytes:
    """Write a table as CSV.

    Raises
    ------
    ValueError
        If a row is not as long as the head.
    """
    head, rows = table
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        if len(row) != len(head):
            ragged = f"a row of {len(row)} cells under a head of {len(head)}"
            raise ValueError(ragged)
        writer.writerow([_shown(cell) for cell in row])
    return text.getvalue().encode()


def _shown(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell
    return f"{cell:.6g}"


def _part(line: PartLine) -> tuple[Cell, ...]:
    return (
        line.kind,
        line.part,
        line.need,
        line.unit,
        line.spares,
        line.have,
        to_get(line),
        "; ".join(line.used_in),
        line.note,
    )


def _holes(piece: Piece) -> Iterator[tuple[Cell, ...]]:
    for hole in piece.holes:
        yield (
            piece.sub_assembly,
            piece.name,
            hole.number,
            hole.purpose,
            hole.x_mm,
            hole.y_mm,
            hole.wanted_mm,
            hole.drill.name,
            hole.drill.diameter_mm,
            hole.drill.diameter_mm / INCH_MM,
            hole.pilot.name if hole.pilot else None,
            hole.pilot.diameter_mm if hole.pilot else None,
        )


def _leds(sub: SubAssembly, strings: Mapping[tuple[str, str], str]) -> Iterator[tuple[Cell, ...]]:
    placed: list[tuple[str, Led]] = [(box.name, led) for _, box in sub.boxes for led in box.leds]
    placed += [("", led) for led in sub.lamps]
    for box, led in placed:
        yield (
            sub.name,
            led.name,
            led.led_type.name,
            led.led_type.colour,
            both_codes(led.led_type.package),
            box,
            led.x_mm,
            led.y_mm,
            led.current_A * 1e3,
            strings.get((sub.name, led.name), ""),
            led.group,
            led.tilt_deg,
            led.towards_deg,
        )


def _string(string: StringDesign) -> tuple[Cell, ...]:
    return (
        string.name,
        " ".join(led.name for led in string.leds),
        string.resistor_ohm,
        " ".join(string.resistor_colour_bands),
        both_codes(string.resistor_package.name),
        string.wanted_A * 1e3,
        string.current_A.low * 1e3,
        string.current_A.nominal * 1e3,
        string.current_A.high * 1e3,
        string.leds_V.nominal,
        string.resistor_W * 1e3,
        string.resistor_limit_W * 1e3,
        string.chosen_by,
        string.reason,
        string.knob.track_ohm if string.knob else None,
        string.knob.set_ohm if string.knob else None,
    )


def _likely(spread: StringSpread | None) -> tuple[Cell, ...]:
    if spread is None:
        return (None,) * 4
    current, light = spread.current_A, spread.light
    return current.low * 1e3, current.high * 1e3, light.low, light.high


def _run(run: Run, load: RunLoad) -> tuple[Cell, ...]:
    return (
        run.number,
        run.feed,
        run.sub_assembly,
        run.pin or None,
        run.means,
        run.start,
        run.end,
        run.colour,
        run.wire.name,
        run.length_mm,
        load.current_A.low * 1e3,
        load.current_A.nominal * 1e3,
        load.current_A.high * 1e3,
        load.drop_V * 1e3,
        run.flag,
    )


def _piece(piece: Piece) -> tuple[Cell, ...]:
    width_mm, height_mm = size_mm(piece.outline.corners)
    return (
        piece.sub_assembly,
        piece.name,
        piece.sheet.name,
        width_mm,
        height_mm,
        piece.count,
        len(piece.holes),
        len(piece.cutouts),
        piece.grain,
        piece.face,
        "; ".join(piece.notes),
    )


def _strand(row: StrandRow) -> tuple[Cell, ...]:
    return (
        row.flag,
        row.sub_assembly,
        row.panel,
        row.hole,
        row.x_mm,
        row.y_mm,
        row.drill,
        row.fibre,
        str(row.head),
        row.group,
        row.source,
        row.pin,
        row.cut_mm,
        row.stop,
        row.thread,
        row.in_box,
        row.formed_mm,
        row.tip_cd_m2,
        None if row.intensity_cd is None else 1e3 * row.intensity_cd,
    )


def _laid(sheet: LaidSheet) -> Iterator[tuple[Cell, ...]]:
    for one in sheet.laid:
        left_mm, bottom_mm, _, _ = bounds_mm(one.placed(one.piece.outline.corners))
        yield (
            sheet.sheet.name,
            sheet.number,
            sheet.stock or "buy",
            sheet.width_mm,
            sheet.height_mm,
            one.order,
            one.piece.name,
            one.copy,
            left_mm,
            bottom_mm,
            one.x_mm,
            one.y_mm,
            one.turn_deg,
            "yes" if one.locked else "",
        )
