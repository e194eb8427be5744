"""How LEDs fade over the hours, and how much light the colours before them take in.

LEDs
    The light falls as ``exp(-alpha t)`` from its first value, ``alpha`` set by the hours to a rated
    share [TM-21]. A projection reaches six times the hours tested; beyond that no figure is given.
    Heat and current change ``alpha``; a data sheet rates it at its own, mostly higher ones. LEDs
    that go out at once are another matter, and not told.
Dyes
    They change with the light they have taken in, in lux hours. The classes of the blue wool scale
    say how much until a change is just seen [BLUE-WOOL]. Of which class a gel, an ink or a clear
    paint is, its maker may say; where nobody has, nobody knows.
"""

import math
from collections.abc import Iterator, Sequence

from lamphouse.design.care import Care
from lamphouse.design.place import SubAssembly
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.record import Record

REACH = 6.0
"""A projection holds for so many times the hours tested [TM-21]."""
RATED_H = 35_000.0
"""Hours to 70 % that packets of LEDs promise, a guess where no data sheet is at hand."""
POOR_H, POOR_SHARE = 6_000.0, 0.4
"""What one museum met in two years of opening hours, against a rating of 35 000 h, a guess."""
TESTED_H = 6_000.0
"""Hours for which LEDs are tested at least [TM-21], and over which the museum looked at its own."""
BLUE_WOOL_MLX_H = {2: 1.0, 4: 10.0, 6: 100.0}
"""Exposure without ultraviolet until a change is just seen, by class, in 10^6 lx h [BLUE-WOOL]."""


class Fading(Record):
    """How LEDs fade under one assumption about them."""

    assumed: str
    share_after: tuple[float | None, ...]
    """Share of the first light after each number of years asked for; None beyond the reach."""
    renew_years: float | None
    """Years until they are to be changed; None beyond the reach."""
    is_guess: bool


class Exposed(Record):
    """The light that the layers of one opening take in."""

    sub_assembly: str
    opening: str
    layers: tuple[str, ...]
    """From lamp to eye."""
    lamp_lx: float
    """On their rear, from the box."""
    room_lx: float
    """On their face."""
    year_Mlx_h: float
    """In one year, from both sides."""
    years: tuple[tuple[int, float], ...]
    """By class of the blue wool scale, years until a change is just seen."""


def share_left(hours: float, *, life_h: float, life_share: float) -> float:
    """Give the share of the first light after some hours.

    Parameters
    ----------
    life_h, life_share
        Hours to a share of the first light, such as 35 000 h to 0.7.
    """
    return math.exp(math.log(life_share) * hours / life_h)


def hours_to(share: float, *, life_h: float, life_share: float) -> float:
    """Give the hours until a share of the first light is left."""
    return life_h * math.log(share) / math.log(life_share)


def fadings(care: Care, *, years: Sequence[int]) -> tuple[Fading, ...]:
    """Say how LEDs fade over the years, as their data sheet rates them, else by two guesses.

    Nothing is said while nobody knows how long the model is lit.
    """
    if care.hours_a_year is None:
        return ()
    if care.led_life_h is not None:
        rated = f"{care.led_life_h:.0f} h to {100 * care.led_life_share:.0f} %"
        return (_fading(care, f"as rated, {rated}", care.led_life_h, care.led_life_share, years),)
    good, poor = f"{RATED_H:.0f} h to 70 %", f"{POOR_H:.0f} h to {100 * POOR_SHARE:.0f} %"
    return (
        _fading(care, f"good ones, {good}", RATED_H, 0.7, years),
        _fading(care, f"poor ones, {poor}", POOR_H, POOR_SHARE, years),
    )


def _fading(
    care: Care, assumed: str, life_h: float, life_share: float, years: Sequence[int]
) -> Fading:
    yearly = care.hours_a_year or 0.0
    tested_h = TESTED_H if care.led_life_h is None else care.tested_h
    reach_h = math.inf if tested_h is None else REACH * tested_h
    renew_h = hours_to(care.renew_at, life_h=life_h, life_share=life_share)
    return Fading(
        assumed=assumed,
        share_after=tuple(
            share_left(year * yearly, life_h=life_h, life_share=life_share)
            if year * yearly <= reach_h
            else None
            for year in years
        ),
        renew_years=renew_h / yearly if renew_h <= reach_h else None,
        is_guess=care.led_life_h is None,
    )


def exposures(
    glows: Sequence[BoxGlow],
    *,
    subs: Sequence[SubAssembly],
    care: Care,
    room_lx: float,
) -> tuple[Exposed, ...]:
    """Say how much light the layers of every lit opening take in.

    The illuminance behind the layers is what an even diffuser needs to look as computed: pi times
    the luminance over what the layers pass. Every layer is told to stand in all of it, and in all
    of the room's light: those in the middle get less.
    """
    return tuple(_exposures(glows, subs=subs, care=care, room_lx=room_lx))


def _exposures(
    glows: Sequence[BoxGlow], *, subs: Sequence[SubAssembly], care: Care, room_lx: float
) -> Iterator[Exposed]:
    hours = care.hours_a_year
    layers = {
        (sub.name, panel.name, opening.name): tuple(layer.film.name for layer in opening.layers)
        for sub in subs
        for panel in sub.panels
        for opening in panel.openings
    }
    for glow in glows:
        for opening in glow.openings:
            lamp_lx = behind_lx(glow, opening)
            names = layers.get((glow.sub_assembly, glow.panel, opening.opening), ())
            if hours is None or lamp_lx is None or not names:
                continue
            year = (lamp_lx + room_lx) * hours / 1e6
            yield Exposed(
                sub_assembly=glow.sub_assembly,
                opening=opening.opening,
                layers=names,
                lamp_lx=lamp_lx,
                room_lx=room_lx,
                year_Mlx_h=year,
                years=tuple((wool, dose / year) for wool, dose in BLUE_WOOL_MLX_H.items())
                if year
                else (),
            )


def behind_lx(glow: BoxGlow, opening: OpeningGlow) -> float | None:
    """Give the illuminance on the rear of an opening's layers; None where there are none."""
    fill = next(one.fill for one in glow.scene.apertures if one.name == opening.opening)
    if fill is None or fill.transmittance <= 0.0:
        return None
    factor = opening.colour.factor if opening.colour else 1.0
    grey = opening.mean_cd_m2 / factor if factor > 0.0 else opening.mean_cd_m2
    return math.pi * grey / fill.transmittance
