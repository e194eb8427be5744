"""The museum sheet: hours a year, how LEDs and colours fade, what to change when, a log."""

from collections.abc import Iterator
from math import pi
from typing import Any

from lamphouse.build.ageing import BLUE_WOOL_MLX_H, REACH, Exposed, Fading, exposures, fadings
from lamphouse.circuit.phrases import hours
from lamphouse.design.care import Care
from lamphouse.outputs.front_sheets import counted, milliamps
from lamphouse.plan.result import Plan

YEARS = (1, 2, 3, 5, 10, 20)
LOG_YEARS = 6
MOST_YEARS = 25
"""What lies further off is not told: plastics, solder and glue age by themselves [PRACTICE]."""
MOST_OPENINGS = 24
"""Of more lit openings the yearly log takes the brightest; all of them is a day's work."""
_MODEL = (
    "Light falls as exp(-a t) [TM-21]. Heat and full current make it worse, low current better, by "
    "how much nobody has tested on your LEDs. LEDs that go out at once are not in these figures: "
    "about those, the spares bag."
)
_GUESSED = (
    "Guesses, for the data sheet's figures are not in the project: between them lies what others "
    "met. Write led_life into it and this table is that of your LEDs."
)
_COLOURS = (
    "How much light the layers take in each year, from the box and from the room, and after how "
    "many years a change is first seen if the dye is of blue wool class 2 (poor), 4 (fair) or 6 "
    "(good) [BLUE-WOOL], without ultraviolet. Which class your gel, ink or clear paint is, is NOT "
    "known here: ask its maker, or keep a strip of each in the dark and compare it every year."
)
_INTERVALS = (
    ("every day", "switch on, walk round it, write down what is dark"),
    ("every month", "brush off dust, look at plugs and the supply's lead"),
    ("every year", "read every plug and every opening below; compare strips of film and gel"),
    ("at a change of LEDs", "all of one colour in one sub-assembly at once, from one batch"),
)
"""Common practice, no source."""


def museum(plan: Plan) -> dict[str, Any] | None:
    """Say what years of light do to a model; None where nobody has said how long it is lit."""
    care = plan.design.care
    if care.hours_a_year is None or care.hours_a_day is None:
        return None
    room_lx = plan.design.room.room_light_lx if plan.design.room else 0.0
    exposed = exposures(plan.glows, subs=plan.design.sub_assemblies, care=care, room_lx=room_lx)
    fades = fadings(care, years=YEARS)
    return {
        "words": f"{hours(care.hours_a_day)} a day, {counted(care.days_a_year, 'day')} a year: "
        f"{care.hours_a_year:.0f} h a year. What blinks is lit for less.",
        "years": [str(year) for year in YEARS],
        "fading": [_fading(one) for one in fades],
        "fading_words": (_GUESSED if fades[0].is_guess else _rated(care)) + " " + _MODEL,
        "classes": [f"class {wool}" for wool in BLUE_WOOL_MLX_H],
        "colours": [_colour(one) for one in exposed],
        "colour_words": _COLOURS,
        "intervals": [*_INTERVALS, *_renewals(fades, care)],
        "log_years": LOG_YEARS,
        "plugs": [(circuit.sub_assembly, *milliamps(circuit.total_A)) for circuit in plan.circuits],
        "openings": list(_openings(plan)),
        "log_words": "Same meter, everything lit, after half an hour. Light: a light meter flat on "
        "the opening, room dark; one smaller than the meter's eye reads less than planned. A share "
        "of the first year tells more than the figure. A quarter less in one year, or one opening "
        "unlike its neighbours: look it up.",
    }


def _rated(care: Care) -> str:
    if care.tested_h is None:
        return "As the data sheet rates your LEDs; how long they were tested is not in the project."
    return (
        f"As the data sheet rates your LEDs, tested for {care.tested_h:.0f} h: nothing is told "
        f"beyond {REACH:g} times that."
    )


def _fading(one: Fading) -> tuple[str, ...]:
    shares = ("–" if share is None else f"{100 * share:.0f} %" for share in one.share_after)  # noqa: RUF001
    return one.assumed, *shares, _years(one.renew_years)


def _years(years: float | None) -> str:
    if years is None:
        return "not known"
    if years > MOST_YEARS:
        return f"over {MOST_YEARS}"
    return f"{years:.2g}" if years < 10.0 else f"{years:.0f}"


def _colour(one: Exposed) -> tuple[str, ...]:
    return (
        f"{one.sub_assembly} / {one.opening}",
        ", ".join(dict.fromkeys(one.layers)),
        f"{one.lamp_lx:.2g}" if one.lamp_lx < 100.0 else f"{one.lamp_lx:.0f}",
        f"{one.year_Mlx_h:.2g}",
        *(_years(years) for _, years in one.years),
    )


def _renewals(fades: tuple[Fading, ...], care: Care) -> Iterator[tuple[str, str]]:
    known = [one.renew_years for one in fades if one.renew_years is not None]
    if not known:
        return
    low, high = min(known), max(known)
    first, last = _years(low), _years(high)
    span = first if first == last else f"{first} to {last}"
    guess = ", a guess" if fades[0].is_guess else ""
    yield (
        f"in {span} years{guess}",
        f"change LEDs: {100 * care.renew_at:.0f} % of the light is left",
    )


def _openings(plan: Plan) -> Iterator[tuple[str, str]]:
    """Give what a meter flat on the brightest openings should read: pi times their luminance.

    So it is where an opening sends its light out evenly (Lambert's law), and where it covers the
    whole of the meter's eye.
    """
    found = [
        (f"{glow.sub_assembly} / {opening.opening}", opening.mean_cd_m2)
        for glow in plan.glows
        for opening in glow.openings
    ]
    for name, mean in sorted(found, key=lambda one: -one[1])[:MOST_OPENINGS]:
        yield name, f"{float(f'{pi * mean:.2g}'):g} lx"
