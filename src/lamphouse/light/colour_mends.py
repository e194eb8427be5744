"""LEDs, gels and coats that bring an opening to a wanted colour, ranked by difference and light."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import Part, radiance
from lamphouse.colour.colour_words import name_of
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.lab import to_lab
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import SpectralSheet, pile
from lamphouse.colour.observer import room_light, tristimulus
from lamphouse.colour.spectrum import Array
from lamphouse.colour.wanted_colour import ColourWish
from lamphouse.design.place import Room
from lamphouse.light import front
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.layer_stack import has_colour, is_coloured
from lamphouse.light.opening_colour import CLEAR, parts_of, way_of

MOST_COATS = 3
"""Of a gel or tint that is tried."""
LEAST_LIGHT = 0.02
"""A way that leaves less of the light is no way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourWay:
    """A change that brings an opening nearer to a wanted colour."""

    led: str
    """Name of the LED behind it; that of today when it stays."""
    film: str
    """Name of the gel or tint nearest the eye; empty for none."""
    count: int
    """Of that film; 0 for none."""
    difference: float
    """CIEDE2000 from what is wanted."""
    is_met: bool
    light: float
    """Luminance over today's, at the same currents."""
    keeps_led: bool
    keeps_films: bool
    replaces: bool
    """Whether gels or tints of today must go for ``film``."""


def _bare(window: Window) -> tuple[FilmType, ...]:
    """List the films of an opening that are not there for their colour."""
    return tuple(
        layer.film
        for layer in window.opening.layers
        for _ in range(layer.count)
        if not is_coloured(layer.film)
    )


def _sheets(window: Window) -> Iterator[tuple[str, int, SpectralSheet]]:
    """Give the layers as they are (count -1), without colour, and with each gel and tint."""
    stack = window.stack
    own = CLEAR if stack is None or stack.spectral is None else stack.spectral
    yield "", -1, own
    bare = [film_spectrum(film).sheet for film in _bare(window)]
    if len(bare) != sum(layer.count for layer in window.opening.layers):
        yield "", 0, pile(bare) if bare else CLEAR
    for film in built_in().film_types.values():
        if not (is_coloured(film) and has_colour(film)):
            continue
        laid = list(bare)
        for count in range(1, MOST_COATS + 1):
            laid.append(film_spectrum(film).sheet)
            yield film.name, count, pile(laid)


def _leds(drawn: Drawn) -> tuple[LedType, ...]:
    """List the LEDs of the catalogue that fit in place of those of the box."""
    packages = {led.led_type.package for led in drawn.box.leds}
    if len(packages) != 1:
        return ()
    return tuple(led for led in built_in().led_types.values() if led.package in packages)


def _with_led(parts: Sequence[Part], *, led: LedType, drawn: Drawn) -> tuple[Part, ...]:
    """Put one kind of LED in place of all, at the same currents."""
    before = sum(
        own.led_type.flux_lm * own.current_A / own.led_type.flux_current_A for own in drawn.box.leds
    )
    after = sum(led.flux_lm * own.current_A / led.flux_current_A for own in drawn.box.leds)
    whole = sum(part.luminance_cd_m2 for part in parts)
    direct = sum(part.direct * part.luminance_cd_m2 for part in parts) / whole
    factor = after / before if before > 0.0 else 1.0
    return (Part(lamp=lamp_spectrum(led).values, luminance_cd_m2=whole * factor, direct=direct),)


def ways_to_colour(
    drawn: Drawn, *, window: Window, look: front.Look, wish: ColourWish, room: Room | None
) -> tuple[ColourWay, ...]:
    """Try every LED of the package with every gel and tint, 1 to 3 of it, in the opening's place.

    Parameters
    ----------
    drawn, window, look
        The box, the opening, and what the solver gives for it today.
    wish
        The wanted colour.
    room
        The room it is looked at in.

    Returns
    -------
    tuple of ColourWay
        Best first: what meets the wish before what does not, then by difference, in tens of a unit
        by light. Luminances are scaled, not solved again.
    """
    parts = parts_of(drawn, look=look)
    if not sum(part.luminance_cd_m2 for part in parts) > 0.0:
        return ()
    today = tuple(dict.fromkeys(led.led_type.name for led in drawn.box.leds))
    lamps = [("", parts)]
    if not drawn.together:
        lamps += [
            (led.name, _with_led(parts, led=led, drawn=drawn))
            for led in _leds(drawn)
            if (led.name,) != today
        ]
    light = room_light("daylight" if room is None else room.light_colour).values
    white = tristimulus(light)
    room_cd_m2 = 0.0 if room is None else room.room_light_lx / pi
    now = float(tristimulus(radiance(parts, way=way_of(drawn, window=window)))[1])
    replaces = any(is_coloured(layer.film) for layer in window.opening.layers)
    found = []
    for film, count, sheet in _sheets(window):
        way = way_of(drawn, window=window, sheet=sheet)
        for led, tried in lamps:
            xyz = tristimulus(radiance(tried, way=way))
            if not xyz[1] >= LEAST_LIGHT * now:
                continue
            lab = _lab(xyz, white=white / white[1], room_cd_m2=room_cd_m2)
            found.append(
                ColourWay(
                    led=led or " and ".join(today),
                    film=film,
                    count=max(count, 0),
                    difference=wish.miss(lab=lab, white=white / white[1] * 100.0),
                    is_met=wish.is_met(xyz, lab=lab),
                    light=float(xyz[1]) / now if now > 0.0 else 1.0,
                    keeps_led=not led,
                    keeps_films=count < 0,
                    replaces=bool(film) and replaces,
                )
            )
    return tuple(sorted(found, key=lambda way: (not way.is_met, round(way.difference), -way.light)))


def _lab(xyz: Array, *, white: Array, room_cd_m2: float) -> Array:
    level = max(float(xyz[1]), room_cd_m2)
    return to_lab(np.asarray(xyz / level * 100.0), white=white * 100.0)


def in_words(way: ColourWay) -> str:
    """Say a way: ``light it with 'amber 0603' (25 % of the light)``."""
    steps = []
    if not way.keeps_led:
        steps.append(f"light it with '{way.led}'")
    if not way.keeps_films:
        if way.film:
            times = f" {way.count} times" if way.count > 1 else ""
            gone = ", in place of its gels and tints" if way.replaces else ""
            steps.append(f"lay '{way.film}'{times} before it{gone}")
        else:
            steps.append("take its gels and tints out")
    cost = f"{100.0 * way.light:.0f} % of the light at the same currents"
    return f"{' and '.join(steps)} (about {cost})"


def best_ways(ways: Sequence[ColourWay]) -> tuple[ColourWay, ...]:
    """Choose the best change of the LED alone, of the films alone, and else of both.

    Those that do not meet the wish are left out when any does.
    """
    changes = [way for way in ways if not (way.keeps_led and way.keeps_films)]
    if not changes:
        return ()
    met = [way for way in changes if way.is_met]
    if not met:
        return (min(changes, key=lambda way: way.difference),)
    led_alone = next((way for way in met if way.keeps_films), None)
    films_alone = next((way for way in met if way.keeps_led), None)
    chosen = tuple(way for way in (led_alone, films_alone) if way is not None)
    return chosen or (met[0],)


def same_colour_brighter(
    drawn: Drawn, *, window: Window, look: front.Look, name: str
) -> ColourWay | None:
    """Find the LED that gives most light in the same colour through the layers as they are.

    Returns
    -------
    ColourWay or None
        None when no LED of the package does better than today's.
    """
    if drawn.together:
        return None
    parts = parts_of(drawn, look=look)
    way = way_of(drawn, window=window)
    now = float(tristimulus(radiance(parts, way=way))[1])
    best: ColourWay | None = None
    for led in _leds(drawn):
        xyz = tristimulus(radiance(_with_led(parts, led=led, drawn=drawn), way=way))
        light = float(xyz[1]) / now if now > 0.0 else float("inf")
        if name_of(xyz) == name and light > (1.0 if best is None else best.light):
            best = ColourWay(
                led=led.name,
                film="",
                count=0,
                difference=0.0,
                is_met=True,
                light=light,
                keeps_led=False,
                keeps_films=True,
                replaces=False,
            )
    return best
