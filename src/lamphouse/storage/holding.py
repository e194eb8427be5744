"""What a drawer holds of one part: its amount, what is promised of it, what a pack of it costs."""

from collections.abc import Mapping

from lamphouse.record import Record

LONGEST_NAME = 120
MOST = 10**12
"""Thousandths; beyond it no drawer holds anything."""


class DrawerRefusalError(ValueError):
    """What was asked of the drawer cannot be: its words say what is there."""


class Holding(Record):
    """One part of the drawer."""

    part: str
    unit: str
    amount: float
    promises: tuple[tuple[str, float], ...]
    """Project and amount."""
    pack: float | None
    """Amount in one pack, in ``pack_unit``."""
    pack_unit: str
    hundredths: int | None
    """Price of one pack in hundredths of the currency."""
    currency: str

    @property
    def free(self) -> float:
        """Give what is promised to nobody."""
        return round(self.amount - sum(amount for _, amount in self.promises), 3)


def holding_of(
    part: str,
    *,
    held: Mapping[str, tuple[str, int]],
    promises: Mapping[str, list[tuple[str, float]]],
    prices: Mapping[str, tuple[int, str, int, str]],
) -> Holding:
    """Put together what the tables of a drawer say of a part."""
    pack, pack_unit, hundredths, currency = prices.get(part, (None, "", None, ""))
    unit, milli = held.get(part, (pack_unit, 0))
    return Holding(
        part=part,
        unit=unit,
        amount=milli / 1000,
        promises=tuple(promises.get(part, ())),
        pack=None if pack is None else pack / 1000,
        pack_unit=pack_unit,
        hundredths=hundredths,
        currency=currency,
    )


def kept_name(part: str) -> str:
    """Give the name of a part as it is kept."""
    name = " ".join(part.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        unfit = f"a part's name has 1 to {LONGEST_NAME} printable signs"
        raise DrawerRefusalError(unfit)
    return name


def thousandths(amount: float) -> int:
    """Give an amount in thousandths."""
    if not 0.0 < amount * 1000.0 <= MOST:
        unfit = f"an amount is above 0 and at most {MOST // 1000:g}"
        raise DrawerRefusalError(unfit)
    return max(1, round(amount * 1000.0))


def short_of(part: str, *, unit: str, held: int, promised: int) -> str:
    """Say how much may be taken."""
    free = f"only {(held - promised) / 1000:g} of {held / 1000:g} {unit} of '{part}' may be taken"
    return f"{free}: the rest is promised to others" if promised else free
