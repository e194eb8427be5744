"""What to buy: the parts list less what is at hand, in whole packs, at the maker's own prices."""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence

from lamphouse.build.parts import PartLine
from lamphouse.design.prices import PartPrice
from lamphouse.record import Record

_ALMOST = 1e-6
"""Sums of lengths and areas are no nearer than this."""
SHEETS = "sheets"


class Held(Record):
    """What a drawer that several projects share has of a part."""

    amount: float
    """All of it."""
    unit: str
    promised: float = 0.0
    """To other projects."""

    @property
    def free(self) -> float:
        """Give what this project may take."""
        return max(0.0, self.amount - self.promised)


class BuyLine(Record):
    """One part with what is at hand and what to buy of it."""

    line: PartLine
    drawer: float
    """Free in the shared drawer, in the line's unit."""
    promised: float
    """In it, but promised to other projects."""
    get: float
    """Missing, spares included, in the line's unit."""
    pack: float | None
    """Amount in a pack, in the line's unit; None where none is known."""
    packs: int | None
    """Whole packs to buy."""
    over: float
    """Left of the last pack, in the line's unit."""
    price_hundredths: int | None
    """Price of one pack; None where none is noted."""
    hundredths: int | None
    """Cost of those packs in hundredths of the currency; None where no price is known."""
    currency: str


class Shopping(Record):
    """All that is to be bought for a model."""

    lines: tuple[BuyLine, ...]
    totals: tuple[tuple[str, int], ...]
    """Hundredths by currency, of the parts that have a price."""
    unpriced: int
    """Parts to buy that have none."""


class MoreToBuy(Record):
    """What one bill has beyond another of the same model."""

    totals: tuple[tuple[str, int], ...]
    """Hundredths by currency, of the parts that have a price; below 0 where it costs less."""
    unpriced: tuple[str, ...]
    """Parts without a price of which more is to be bought."""


def shopping(
    parts: Sequence[PartLine],
    *,
    prices: Sequence[PartPrice] = (),
    held: Mapping[str, Held] | None = None,
) -> Shopping:
    """Say what to buy.

    Parameters
    ----------
    parts
        The parts list, with what the project's own drawer and stock hold.
    prices
        Of two for one part the first counts. Nothing is guessed for a part without one.
    held
        What the shared drawer holds, by part.
    """
    lines = tuple(_line(part, prices=prices, held=(held or {}).get(part.part)) for part in parts)
    totals: dict[str, int] = defaultdict(int)
    for line in lines:
        if line.hundredths:
            totals[line.currency] += line.hundredths
    return Shopping(
        lines=lines,
        totals=tuple(sorted(totals.items())),
        unpriced=sum(line.get > 0.0 and line.hundredths is None for line in lines),
    )


def beyond(bill: Shopping, *, drawn: Shopping) -> MoreToBuy:
    """Say what a bill has beyond that of the model as drawn, both by the same prices."""
    totals = defaultdict(int, bill.totals)
    for currency, hundredths in drawn.totals:
        totals[currency] -= hundredths
    before = {(one.line.kind, one.line.part, one.line.unit): one.get for one in drawn.lines}
    return MoreToBuy(
        totals=tuple(sorted((currency, total) for currency, total in totals.items() if total)),
        unpriced=tuple(
            one.line.part
            for one in bill.lines
            if one.hundredths is None
            and one.get - before.get((one.line.kind, one.line.part, one.line.unit), 0.0) > _ALMOST
        ),
    )


def money(hundredths: int, currency: str) -> str:
    """Give a sum of money, not below 0, in words."""
    return f"{hundredths // 100}.{hundredths % 100:02d} {currency}"


def to_get(part: PartLine, *, drawer: float = 0.0) -> float:
    """Give what is missing of a part, spares included."""
    missing = part.need + part.spares - part.have - drawer
    return missing if missing > _ALMOST else 0.0


def drawn_from(part: PartLine, *, free: float) -> float:
    """Give what a project takes from a shared drawer: at most what its own lacks."""
    return min(free, to_get(part))


def price_of(part: PartLine, *, prices: Sequence[PartPrice]) -> PartPrice | None:
    """Find the price of a part; that of a wire may leave out the colour."""
    plain = part.part.rpartition(", ")[0] if part.kind == "wire" else ""
    for name in (part.part, plain):
        for price in prices:
            if name and price.part == name:
                return price
    return None


def pack_in(unit: str, *, price: PartPrice) -> float | None:
    """Give what a pack holds in the unit of a line; None where the two do not compare."""
    if price.unit == unit:
        return price.pack
    if unit == SHEETS:
        return {"pieces": price.pack, "cm2": 1.0}.get(price.unit)
    return None


def _line(part: PartLine, *, prices: Sequence[PartPrice], held: Held | None) -> BuyLine:
    same = held is not None and held.unit == part.unit
    free = held.free if held and same else 0.0
    get = to_get(part, drawer=free)
    price = price_of(part, prices=prices)
    pack = pack_in(part.unit, price=price) if price else None
    packs = math.ceil(get / pack - _ALMOST) if pack else None
    cost = None
    if price and packs is not None and price.hundredths is not None:
        cost = packs * price.hundredths
    return BuyLine(
        line=part,
        drawer=free,
        promised=held.promised if held and same else 0.0,
        get=get,
        pack=pack,
        packs=packs,
        over=packs * pack - get if packs and pack else 0.0,
        price_hundredths=price.hundredths if price and pack is not None else None,
        hundredths=cost,
        currency=price.currency if price and cost is not None else "",
    )
