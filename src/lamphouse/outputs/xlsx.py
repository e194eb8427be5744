"""One table as a workbook of a single sheet [ECMA-376], the same bytes for the same table.

Texts are inline strings, which no spreadsheet reads as formulas. Formulas are those of the program
alone and carry their value.
"""

import io
import zipfile
from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape, quoteattr

from lamphouse.outputs.lists import Cell
from lamphouse.record import Record

_SHEET = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_LONGEST = 32_767
"""Signs in one cell, by the format's limits."""
_DAY = (1980, 1, 1, 0, 0, 0)
"""The first a ZIP archive can name: no clock goes in."""


class Formula(Record):
    """A formula without its equals sign, and what it comes to."""

    code: str
    value: float


def workbook(
    title: str,
    *,
    head: Sequence[str],
    rows: Sequence[Sequence[Cell | Formula]],
    widths: Sequence[float],
) -> bytes:
    """Write a table as the bytes of an .xlsx file; its head stays in sight.

    Parameters
    ----------
    title
        What the table is about, for the workbook's properties.
    rows
        Texts, numbers, formulas and None for an empty cell.
    widths
        Of the columns, in signs.
    """
    parts = {
        "[Content_Types].xml": _types(),
        "_rels/.rels": _relations(
            (f"{_LINKS}/officeDocument", "xl/workbook.xml"),
            (f"{_PACKAGE}/relationships/metadata/core-properties", "docProps/core.xml"),
        ),
        "docProps/core.xml": _properties(title),
        "xl/workbook.xml": _book(),
        "xl/_rels/workbook.xml.rels": _relations(
            (f"{_LINKS}/worksheet", "worksheets/sheet1.xml"),
            (f"{_LINKS}/styles", "styles.xml"),
        ),
        "xl/styles.xml": _styles(),
        "xl/worksheets/sheet1.xml": "".join(_sheet(head, rows, widths)),
    }
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            entry = zipfile.ZipInfo(name, date_time=_DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            archive.writestr(entry, _XML + text)
    return made.getvalue()


def _sheet(
    head: Sequence[str], rows: Sequence[Sequence[Cell | Formula]], widths: Sequence[float]
) -> Iterator[str]:
    yield f'<worksheet xmlns="{_SHEET}"><sheetViews><sheetView workbookViewId="0">'
    yield '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>'
    yield "</sheetView></sheetViews><cols>"
    for number, width in enumerate(widths, start=1):
        yield f'<col min="{number}" max="{number}" width="{width:g}" customWidth="1"/>'
    yield "</cols><sheetData>"
    for number, row in enumerate((head, *rows), start=1):
        yield f'<row r="{number}">'
        for column, cell in enumerate(row):
            yield _cell(f"{_letters(column)}{number}", cell, style=int(number == 1))
        yield "</row>"
    last = _letters(len(head) - 1)
    yield f'</sheetData><autoFilter ref="A1:{last}{len(rows) + 1}"/>'
    yield '<pageMargins left="0.4" right="0.4" top="0.5" bottom="0.5" header="0.3" footer="0.3"/>'
    yield '<pageSetup orientation="landscape"/></worksheet>'


def _cell(place: str, cell: Cell | Formula, *, style: int) -> str:
    if cell is None or cell == "":
        return ""
    if isinstance(cell, Formula):
        return f'<c r="{place}"><f>{escape(cell.code)}</f><v>{cell.value:.10g}</v></c>'
    if isinstance(cell, str):
        text = escape("".join(filter(_allowed, cell))[:_LONGEST])
        kept = f'<is><t xml:space="preserve">{text}</t></is>'
        return f'<c r="{place}" s="{style}" t="inlineStr">{kept}</c>'
    return f'<c r="{place}"><v>{cell:.10g}</v></c>'


def _allowed(sign: str) -> bool:
    """Tell whether a sign may stand in XML 1.0."""
    code = ord(sign)
    return code in (9, 10, 13) or 0x20 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code > 0xFFFF


def _letters(column: int) -> str:
    """Name a column, from 0: A, B ... Z, AA."""
    name = ""
    while column >= 0:
        name = chr(ord("A") + column % 26) + name
        column = column // 26 - 1
    return name


def _types() -> str:
    kinds = {
        "/xl/workbook.xml": "spreadsheetml.sheet.main+xml",
        "/xl/worksheets/sheet1.xml": "spreadsheetml.worksheet+xml",
        "/xl/styles.xml": "spreadsheetml.styles+xml",
    }
    office = "application/vnd.openxmlformats-officedocument"
    parts = "".join(
        f'<Override PartName="{name}" ContentType="{office}.{kind}"/>'
        for name, kind in kinds.items()
    )
    package = "application/vnd.openxmlformats-package"
    return (
        f'<Types xmlns="{_PACKAGE}/content-types">'
        f'<Default Extension="rels" ContentType="{package}.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{parts}'
        f'<Override PartName="/docProps/core.xml" ContentType="{package}.core-properties+xml"/>'
        "</Types>"
    )


def _relations(*links: tuple[str, str]) -> str:
    items = "".join(
        f'<Relationship Id="r{number}" Type="{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(links, start=1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{items}</Relationships>'


def _properties(title: str) -> str:
    text = escape("".join(filter(_allowed, title)))
    return (
        f'<cp:coreProperties xmlns:cp="{_PACKAGE}/metadata/core-properties" '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title>{text}</dc:title>'
        "</cp:coreProperties>"
    )


def _book() -> str:
    name = quoteattr("parts")
    return (
        f'<workbook xmlns="{_SHEET}" xmlns:r="{_LINKS}"><sheets>'
        f'<sheet name={name} sheetId="1" r:id="r1"/></sheets></workbook>'
    )


def _styles() -> str:
    """Give two styles: plain, and bold on grey for the head."""
    plain = '<xf numFmtId="0" fontId="0" fillId="0" borderId="0"'
    return (
        f'<styleSheet xmlns="{_SHEET}"><fonts count="2">'
        '<font><sz val="10"/><name val="Arial"/></font>'
        '<font><b/><sz val="10"/><name val="Arial"/></font></fonts>'
        '<fills count="3"><fill><patternFill patternType="none"/></fill>'
        '<fill><patternFill patternType="gray125"/></fill>'
        '<fill><patternFill patternType="solid"><fgColor rgb="FFEBEBEB"/></patternFill></fill>'
        '</fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border>'
        f'</borders><cellStyleXfs count="1">{plain}/></cellStyleXfs>'
        f'<cellXfs count="2">{plain} xfId="0"/>'
        '<xf numFmtId="0" fontId="1" fillId="2" borderId="0" xfId="0" applyFont="1" '
        'applyFill="1"/></cellXfs><cellStyles count="1">'
        '<cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
    )
