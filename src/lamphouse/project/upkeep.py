"""Prices and the papers for later, made from checked fields."""

from collections.abc import Iterator

from lamphouse.design.care import Care
from lamphouse.design.prices import PartPrice
from lamphouse.project.desk import Desk
from lamphouse.project.part_names import as_listed


def prices_of(desk: Desk) -> Iterator[PartPrice]:
    """Give the maker's prices in the order of the file."""
    for number, entry in enumerate(desk.fields.prices):
        pack, unit = entry.pack
        cost, currency = entry.price or (None, "")
        yield PartPrice(
            where=desk.where(("prices", number)),
            part=as_listed(entry.part, scale=desk.fields.scale),
            pack=pack,
            unit=unit,
            hundredths=cost,
            currency=currency,
        )


def care_of(desk: Desk) -> Care:
    """Give the maker's wishes for the papers; lifetimes in hours."""
    care = desk.fields.care
    if care is None:
        return Care()
    return Care(
        where=desk.where(("care",)),
        built_by=care.built_by,
        contact=care.contact,
        spares_in=care.spares_in,
        hours_a_day=_hours(care.lit_a_day),
        days_a_year=care.days_a_year,
        led_life_h=_hours(care.led_life),
        led_life_share=care.led_life_share,
        tested_h=_hours(care.led_tested),
        renew_at=care.renew_at,
    )


def _hours(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / 3600.0
