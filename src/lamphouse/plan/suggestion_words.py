"""A choice's reason, its price and what to buy for it, in one line each."""

from lamphouse.build.buying import MoreToBuy, money
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.glow_words import counted, in_cd_m2, in_mm, in_percent
from lamphouse.plan.suggestion import Choice, Price
from lamphouse.units import Quantity, show

LEAST_A = 5e-6
"""Smaller changes of a current are not worth a word."""

LEAST_EVENNESS = 0.005
"""Smaller changes of evenness are not either."""


def _wanted(opening: OpeningGlow) -> str:
    look = opening.look
    if look is None:
        return ""
    return (
        f" for '{look.name}' ({look.least_cd_m2:g} to {in_cd_m2(look.most_cd_m2)}, "
        f"evenness {in_percent(look.evenness)}{f', {look.colour}' if look.colour else ''})"
    )


def _colour(opening: OpeningGlow) -> str:
    is_asked = opening.look is not None and bool(opening.look.colour)
    return f", {opening.colour.name}" if is_asked and opening.colour else ""


def reason(choice: Choice) -> str:
    """Say what a choice gives at every opening with a wish, beside what is wanted."""
    seen = [
        f"'{one.opening}' {in_cd_m2(one.mean_cd_m2)}, evenness {in_percent(one.evenness)}, "
        f"hot spot {in_percent(one.hot_spot)}{_colour(one)}{_wanted(one)}"
        for one in choice.openings
        if one.look
    ]
    return f"{choice.words}: {'; '.join(seen)}"


def _more(value: float, words: str) -> str:
    return f"{words} {'more' if value > 0.0 else 'less'}"


def price(priced: Price) -> str:
    """Say what a choice costs and gives beside the box as drawn."""
    said = []
    for number, noun in ((priced.leds, "LED"), (priced.strings, "string")):
        if number:
            said.append(f"{counted(abs(number), noun)} {'more' if number > 0 else 'fewer'}")
    if abs(priced.current_A) >= LEAST_A:
        shown = show(abs(priced.current_A), Quantity.CURRENT, digits=2)
        said.append(_more(priced.current_A, shown))
    if priced.depth_mm:
        how = "deeper" if priced.depth_mm > 0.0 else "shallower"
        said.append(f"{in_mm(abs(priced.depth_mm))} {how}")
    said += [f"'{part}'" for part in priced.parts]
    if abs(priced.evenness) >= LEAST_EVENNESS:
        said.append(f"evenness {100.0 * priced.evenness:+.0f} points")
    return ", ".join(said) or "nothing"


def to_buy(more: MoreToBuy) -> str:
    """Say what is to be bought for a choice beyond the model as drawn."""
    said = [
        _more(hundredths, money(abs(hundredths), currency)) for currency, hundredths in more.totals
    ]
    if more.unpriced:
        parts = ", ".join(f"'{part}'" for part in more.unpriced)
        said.append(f"no price in your list for {parts}")
    return "; ".join(said) or "nothing more"
