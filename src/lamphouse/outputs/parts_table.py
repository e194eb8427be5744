"""The parts list with what to buy and its cost, for spreadsheets: as CSV and as a workbook.

In the workbook what to get, the packs and the cost are formulas, so that a count typed over changes
them; each carries the value it has now.
"""

from collections.abc import Iterator, Sequence

from lamphouse.build.buying import BuyLine, Shopping
from lamphouse.outputs.lists import Cell, Table
from lamphouse.outputs.xlsx import Formula, workbook

HEAD = (
    *("kind", "part", "need", "unit", "spares", "have", "drawer", "to_get", "pack", "packs"),
    *("price", "cost", "currency", "used_in", "note"),
)
_WIDTHS = (11, 32, 9, 8, 8, 9, 9, 9, 8, 8, 9, 10, 9, 34, 50)


def table(bill: Shopping, *, buy_only: bool = False) -> Table:
    """Give the parts as a table; numbers in the units of their lines."""
    return HEAD, (_row(line) for line in wanted(bill, buy_only=buy_only))


def wanted(bill: Shopping, *, buy_only: bool) -> tuple[BuyLine, ...]:
    """Give the lines to be shown."""
    return tuple(line for line in bill.lines if line.get or not buy_only)


def to_workbook(bill: Shopping, *, title: str, buy_only: bool = False) -> bytes:
    """Write the parts as the bytes of a workbook (.xlsx).

    Parameters
    ----------
    title
        Name of the sheet's heading, such as the project's.
    """
    lines = wanted(bill, buy_only=buy_only)
    rows: list[Sequence[Cell | Formula]] = [
        tuple(_live(line, row=number)) for number, line in enumerate(lines, start=2)
    ]
    last = len(rows) + 1
    if bill.totals and rows:
        rows.append(())
    for currency, hundredths in bill.totals if rows else ():
        code = f'SUMIF(M2:M{last},"{currency}",L2:L{last})'
        total = Formula(code=code, value=hundredths / 100)
        rows.append(("total", *[None] * 10, total, currency, None, None))
    return workbook(title, head=HEAD, rows=rows, widths=_WIDTHS)


def _row(line: BuyLine) -> tuple[Cell, ...]:
    part, price = line.line, _price(line)
    return (
        part.kind,
        part.part,
        part.need,
        part.unit,
        part.spares,
        part.have,
        line.drawer,
        line.get,
        line.pack,
        line.packs,
        price,
        None if line.hundredths is None else line.hundredths / 100,
        line.currency,
        "; ".join(part.used_in),
        part.note,
    )


def _live(line: BuyLine, *, row: int) -> Iterator[Cell | Formula]:
    """Give a row whose sums a spreadsheet does itself."""
    for name, cell in zip(HEAD, _row(line), strict=True):
        if name == "to_get":
            code = f"MAX(0,C{row}+E{row}-F{row}-G{row})"
            yield Formula(code=code, value=line.get)
        elif name == "packs" and line.packs is not None:
            yield Formula(code=f"ROUNDUP(ROUND(H{row}/I{row},6),0)", value=float(line.packs))
        elif name == "cost" and line.hundredths is not None:
            yield Formula(code=f"J{row}*K{row}", value=line.hundredths / 100)
        else:
            yield cell


def _price(line: BuyLine) -> float | None:
    return None if line.price_hundredths is None else line.price_hundredths / 100
