"""LEDs, gels and coats that bring an opening to a wanted colour, ranked by difference and light."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import Part, radiance
from lamphouse.colour.colour_words import name_of
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.lab import to_lab
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import SpectralSheet, laid_on, pile
from lamphouse.colour.observer import room_light, tristimulus
from lamphouse.colour.spectrum import Array
from lamphouse.colour.wanted_colour import ColourWish
from lamphouse.design.panel import Layer, LayerKind, Opening
from lamphouse.design.place import Room
from lamphouse.light import front
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.glow_words import together
from lamphouse.light.layer_stack import has_colour, is_coloured
from lamphouse.light.opening_colour import CLEAR, parts_of, way_of

PRINTED = (LayerKind.PRINT, LayerKind.DECAL)
MOST_COATS = 3
"""Of a gel or tint that is tried."""
LEAST_LIGHT = 0.02
"""A way that leaves less of the light is no way."""
MOST_LOOKED = 3000
"""Ways, the nearest first, of which is asked whether they meet a wish."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourWay:
    """A change that brings an opening nearer to a wanted colour."""

    led: str
    """Name of the LED behind it; that of today when it stays."""
    films: tuple[tuple[str, int], ...]
    """Gels and tints with how many of each, from lamp to eye; empty for none."""
    difference: float
    """CIEDE2000 from what is wanted."""
    is_met: bool
    light: float
    """Luminance over today's, at the same currents."""
    keeps_led: bool
    keeps_films: bool
    replaces: bool
    """Whether gels or tints of today must go for ``films``."""
    before_print: bool = False
    """Whether ``films`` lie behind a print."""


def _has_coloured(opening: Opening) -> bool:
    return any(is_coloured(layer.film) for layer in opening.layers)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stacks:
    """Layers that are tried together."""

    films: tuple[tuple[tuple[str, int], ...], ...]
    """Gels and tints of each. [n]"""
    sheet: SpectralSheet
    """(n, 81)"""
    keeps_films: bool = False


def _parted(opening: Opening) -> tuple[tuple[Layer, ...], tuple[Layer, ...]]:
    """Give the layers that are not there for their colour: behind its place, and before it.

    Gels and tints lie nearest the eye, but behind a print, which keeps its look unlit.
    """
    bare = tuple(layer for layer in opening.layers if not is_coloured(layer.film))
    prints = [n for n, layer in enumerate(bare) if layer.kind in PRINTED]
    end = prints[0] if prints else len(bare)
    return bare[:end], bare[end:]


def with_films(
    opening: Opening, *, films: Sequence[tuple[str, int]], known: Mapping[str, FilmType]
) -> Opening:
    """Give an opening with other gels and tints in place of its own."""
    behind, before = _parted(opening)
    new = tuple(
        Layer(kind=LayerKind(known[name].use), film=known[name], count=count)
        for name, count in films
    )
    return replace(opening, layers=(*behind, *new, *before))


def _some(sheet: SpectralSheet) -> SpectralSheet:
    """Give one sheet, or a row of them, as a row."""
    return SpectralSheet(
        transmittance=np.atleast_2d(sheet.transmittance),
        rear_reflectance=np.atleast_2d(sheet.rear_reflectance),
        face_reflectance=np.atleast_2d(sheet.face_reflectance),
    )


def _joined(sheets: Sequence[SpectralSheet]) -> SpectralSheet:
    return SpectralSheet(
        transmittance=np.stack([one.transmittance for one in sheets]),
        rear_reflectance=np.stack([one.rear_reflectance for one in sheets]),
        face_reflectance=np.stack([one.face_reflectance for one in sheets]),
    )


def _stacks(window: Window, *, films: Iterable[FilmType], kinds: int) -> Iterator[_Stacks]:
    """Give the layers as they are, without colour, and with up to so many kinds of gel or tint."""
    stack = window.stack
    own = CLEAR if stack is None or stack.spectral is None else stack.spectral
    yield _Stacks(films=((),), sheet=_some(own), keeps_films=True)
    base, over = (
        pile([CLEAR, *(film_spectrum(one.film).sheet for one in part for _ in range(one.count))])
        for part in _parted(window.opening)
    )
    if _has_coloured(window.opening):
        yield _Stacks(films=((),), sheet=_some(laid_on(base, over)))
    coloured = [film for film in films if is_coloured(film) and has_colour(film)]
    counts = range(1, MOST_COATS + 1)
    packs = [
        _joined([pile([film_spectrum(film).sheet] * count) for count in counts])
        for film in coloured
    ]
    for number, film in enumerate(coloured):
        first = laid_on(base, packs[number])
        names = tuple(((film.name, count),) for count in counts)
        yield _Stacks(films=names, sheet=laid_on(first, over))
        if kinds < 2:
            continue
        for other, pack in zip(coloured[number + 1 :], packs[number + 1 :], strict=True):
            pairs = _each_with_each(first, pack)
            both = tuple((*name, (other.name, count)) for name in names for count in counts)
            yield _Stacks(films=both, sheet=laid_on(pairs, over))


def _each_with_each(rear: SpectralSheet, face: SpectralSheet) -> SpectralSheet:
    """Lay each of a row of sheets on each of another row."""
    behind, before = len(rear.transmittance), len(face.transmittance)

    def spread(sheet: SpectralSheet, rows: NDArray[np.intp]) -> SpectralSheet:
        return SpectralSheet(
            transmittance=sheet.transmittance[rows],
            rear_reflectance=sheet.rear_reflectance[rows],
            face_reflectance=sheet.face_reflectance[rows],
        )

    return laid_on(
        spread(rear, np.repeat(np.arange(behind), before)),
        spread(face, np.tile(np.arange(before), behind)),
    )


def fitting_leds(drawn: Drawn, *, leds: Iterable[LedType]) -> tuple[LedType, ...]:
    """List the LEDs that fit in place of those of the box."""
    packages = {led.led_type.package for led in drawn.box.leds}
    if len(packages) != 1:
        return ()
    return tuple(led for led in leds if led.package in packages)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Trials:
    """What may be tried to bring an opening to a colour."""

    leds: Sequence[LedType]
    films: Mapping[str, FilmType]
    kinds: int = 1
    """Most kinds of gel and tint that are laid on one another, 1 or 2."""
    keeps_led: bool = False


def of_catalogue() -> Trials:
    """Give what may be tried of the built-in tables."""
    shelf = built_in()
    return Trials(leds=tuple(shelf.led_types.values()), films=shelf.film_types)


def ways_to_colour(
    drawn: Drawn,
    *,
    window: Window,
    look: front.Look,
    wish: ColourWish,
    room: Room | None,
    trials: Trials | None = None,
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
    trials
        What may be tried; LEDs and single gels or tints of the catalogue without.

    Returns
    -------
    tuple of ColourWay
        Best first: what meets the wish before what does not, then by difference, in tens of a unit
        by light. All combinations are tried; of more than ``MOST_LOOKED`` the nearest are given.
        Luminances are scaled, not solved again.
    """
    trials = trials or of_catalogue()
    parts = parts_of(drawn, look=look)
    if not sum(part.luminance_cd_m2 for part in parts) > 0.0:
        return ()
    today = tuple(dict.fromkeys(led.led_type.name for led in drawn.box.leds))
    lamps = [("", parts)]
    if not drawn.together and not trials.keeps_led:
        lamps += [
            (led.name, _with_led(parts, led=led, drawn=drawn))
            for led in fitting_leds(drawn, leds=trials.leds)
            if (led.name,) != today
        ]
    light = room_light("daylight" if room is None else room.light_colour).values
    white = tristimulus(light)
    white = white / white[1]
    room_cd_m2 = 0.0 if room is None else room.room_light_lx / pi
    now = float(tristimulus(radiance(parts, way=way_of(drawn, window=window)))[1])
    replaces = _has_coloured(window.opening)
    found: list[tuple[ColourWay, Array, Array]] = []
    films = trials.films.values()
    for stacks in _stacks(window, films=films, kinds=trials.kinds):
        way = way_of(drawn, window=window, sheet=stacks.sheet)
        for led, tried in lamps:
            xyz = tristimulus(radiance(tried, way=way))
            lab = _lab(xyz, white=white, room_cd_m2=room_cd_m2)
            missed = wish.miss(lab=lab, white=white * 100.0)
            for row in np.flatnonzero(xyz[:, 1] >= LEAST_LIGHT * now):
                trial = ColourWay(
                    led=led or " and ".join(today),
                    films=stacks.films[row],
                    difference=float(missed[row]),
                    is_met=False,
                    light=float(xyz[row, 1]) / now if now > 0.0 else 1.0,
                    keeps_led=not led,
                    keeps_films=stacks.keeps_films,
                    replaces=bool(stacks.films[row]) and replaces,
                    before_print=bool(_parted(window.opening)[1]),
                )
                found.append((trial, xyz[row], lab[row]))
    nearest = sorted(found, key=lambda one: _order(one[0]))[:MOST_LOOKED]
    judged = [replace(way, is_met=wish.is_met(xyz, lab=lab)) for way, xyz, lab in nearest]
    return tuple(sorted(judged, key=lambda way: not way.is_met))


def _order(way: ColourWay) -> tuple[float, float]:
    return round(way.difference), -way.light


def _lab(xyz: Array, *, white: Array, room_cd_m2: float) -> Array:
    level = np.maximum(xyz[..., 1:2], max(room_cd_m2, 1e-9))
    return to_lab(np.asarray(xyz / level * 100.0), white=white * 100.0)


def films_in_words(films: Sequence[tuple[str, int]]) -> str:
    """Say films: ``'amber gel' 2 times and 'straw gel'``."""
    return together(
        [f"'{name}' {count} times" if count > 1 else f"'{name}'" for name, count in films]
    )


def in_words(way: ColourWay) -> str:
    """Say a way: ``light it with 'amber 0603' (25 % of the light)``."""
    steps = []
    if not way.keeps_led:
        steps.append(f"light it with '{way.led}'")
    if not way.keeps_films:
        if way.films:
            gone = ", in place of its gels and tints" if way.replaces else ""
            where = "behind its print" if way.before_print else "before it"
            steps.append(f"lay {films_in_words(way.films)} {where}{gone}")
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
    for led in fitting_leds(drawn, leds=of_catalogue().leds):
        xyz = tristimulus(radiance(_with_led(parts, led=led, drawn=drawn), way=way))
        light = float(xyz[1]) / now if now > 0.0 else float("inf")
        if name_of(xyz) == name and light > (1.0 if best is None else best.light):
            best = ColourWay(
                led=led.name,
                films=(),
                difference=0.0,
                is_met=True,
                light=light,
                keeps_led=False,
                keeps_films=True,
                replaces=False,
            )
    return best
