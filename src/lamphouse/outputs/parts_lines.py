"""The parts list as the commands answer it: what to buy, sheets and offcuts, cost, the drawer."""

from collections.abc import Mapping, Sequence

from lamphouse.build.buying import BuyLine, Held, Shopping, drawn_from, shopping
from lamphouse.design.prices import PartPrice
from lamphouse.findings import Where
from lamphouse.outputs.answer_records import PartsTotal
from lamphouse.outputs.drawer_sheets import held_sheets, wanted_sheets
from lamphouse.plan.result import Plan
from lamphouse.record import Record, replace
from lamphouse.storage.holding import Holding


class PartAnswer(Record):
    """One line of the parts list with what to buy of it."""

    kind: str
    part: str
    need: float
    unit: str
    spares: float
    have: float
    """At hand by the project file."""
    drawer: float
    """Free in the shared drawer."""
    promised: float
    """In it, but promised to other projects."""
    get: float
    """To buy, spares included."""
    pack: float | None
    """What one pack holds, in the same unit."""
    packs: int | None
    over: float
    """Left of the last pack."""
    cost: float | None
    """By the maker's own price; null where none is noted."""
    currency: str
    used_in: tuple[str, ...]
    note: str


class OffcutAnswer(Record):
    """A rectangle that is left of a sheet."""

    sheet: str
    number: int
    width_mm: float
    height_mm: float


class PartsResult(Record):
    """The result of ``parts``."""

    parts: tuple[PartAnswer, ...]
    totals: tuple[PartsTotal, ...]
    unpriced: int
    """Parts to buy that have no price."""
    offcuts: tuple[OffcutAnswer, ...]
    unlaid: tuple[str, ...]
    """Pieces that fit no sheet."""
    drawer: str
    """The shared drawer's file; empty when none was asked."""
    reserved: tuple[tuple[str, float], ...]
    """What was promised to this project now."""
    files: tuple[str, ...]


class DrawerLine(Record):
    """One part of the shared drawer."""

    part: str
    unit: str
    amount: float
    free: float
    promises: tuple[tuple[str, float], ...]
    """Project and amount."""
    pack: float | None
    pack_unit: str
    price: float | None
    currency: str


class DrawerResult(Record):
    """The result of every ``drawer`` command."""

    file: str
    done: tuple[str, ...]
    """What was done, one sentence each."""
    parts: tuple[DrawerLine, ...]
    faults: tuple[str, ...]
    """What is wrong with the file."""


def bought(plan: Plan, *, holdings: Sequence[Holding] = ()) -> Shopping:
    """Say what to buy for a plan; the project's prices come before those of the drawer."""
    nowhere = Where(item="drawer")
    noted = tuple(
        PartPrice(
            where=nowhere,
            part=one.part,
            pack=one.pack,
            unit=one.pack_unit,
            hundredths=one.hundredths,
            currency=one.currency,
        )
        for one in holdings
        if one.pack is not None
    )
    sheets = held_sheets(plan)
    return shopping(
        [
            replace(line, have=line.have - sheets[line.part].amount)
            if line.part in sheets
            else line
            for line in plan.parts
        ],
        prices=(*plan.design.prices, *noted),
        held={**held_for(plan.design.name, holdings=holdings), **sheets},
    )


def held_for(project: str, *, holdings: Sequence[Holding]) -> Mapping[str, Held]:
    """Give what the shared drawer holds for a project: what others are promised is not its own."""
    return {
        one.part: Held(
            amount=one.amount,
            unit=one.unit,
            promised=sum(amount for owner, amount in one.promises if owner != project),
        )
        for one in holdings
    }


def wants(plan: Plan, *, holdings: Sequence[Holding]) -> dict[str, tuple[float, str]]:
    """Give what a project would take of the shared drawer."""
    held = held_for(plan.design.name, holdings=holdings)
    wanted = {
        part.part: (drawn_from(part, free=held[part.part].free), part.unit)
        for part in plan.parts
        if part.part in held and held[part.part].unit == part.unit
    }
    for part, count in wanted_sheets(plan, holdings=holdings).items():
        wanted[part] = count, "pieces"
    return {part: want for part, want in wanted.items() if want[0] > 0.0}


def parts_result(
    plan: Plan,
    bill: Shopping,
    *,
    buy_only: bool = False,
    drawer: str = "",
    reserved: Mapping[str, float] | None = None,
    files: Sequence[str] = (),
) -> PartsResult:
    """Put the parts of a plan into the shape of an answer."""
    layout = plan.layout
    return PartsResult(
        parts=tuple(_answer(line) for line in bill.lines if line.get or not buy_only),
        totals=tuple(
            PartsTotal(currency=currency, cost=cost / 100) for currency, cost in bill.totals
        ),
        unpriced=bill.unpriced,
        offcuts=tuple(
            OffcutAnswer(
                sheet=sheet.sheet.name,
                number=sheet.number,
                width_mm=one.width_mm,
                height_mm=one.height_mm,
            )
            for sheet in (layout.sheets if layout else ())
            for one in sheet.offcuts
        ),
        unlaid=tuple(piece.name for piece in (layout.unlaid if layout else ())),
        drawer=drawer,
        reserved=tuple(sorted((reserved or {}).items())),
        files=tuple(files),
    )


def drawer_result(
    file: str,
    *,
    holdings: Sequence[Holding],
    done: Sequence[str] = (),
    faults: Sequence[str] = (),
) -> DrawerResult:
    """Put a drawer into the shape of an answer."""
    lines = (
        DrawerLine(
            part=one.part,
            unit=one.unit,
            amount=one.amount,
            free=one.free,
            promises=one.promises,
            pack=one.pack,
            pack_unit=one.pack_unit,
            price=None if one.hundredths is None else one.hundredths / 100,
            currency=one.currency,
        )
        for one in holdings
    )
    return DrawerResult(file=file, done=tuple(done), parts=tuple(lines), faults=tuple(faults))


def _answer(bought_line: BuyLine) -> PartAnswer:
    line, cost = bought_line.line, bought_line.hundredths
    return PartAnswer(
        kind=line.kind,
        part=line.part,
        need=line.need,
        unit=line.unit,
        spares=line.spares,
        have=line.have,
        drawer=bought_line.drawer,
        promised=bought_line.promised,
        get=bought_line.get,
        pack=bought_line.pack,
        packs=bought_line.packs,
        over=bought_line.over,
        cost=None if cost is None else cost / 100,
        currency=bought_line.currency,
        used_in=line.used_in,
        note=line.note,
    )
