"""LEDs, gels and coats that bring an opening to a wanted colour, ranked by difference and light."""

from collections.abc import Iterable, Mapping, Sequence
from math import pi

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import Part, radiance
from lamphouse.colour.colour_words import name_of
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.observer import room_light, tristimulus
from lamphouse.colour.wanted_colour import ColourWish
from lamphouse.design.panel import Layer, LayerKind, Opening
from lamphouse.design.place import Room
from lamphouse.design.whole import OwnParts
from lamphouse.light import front
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.colour_trials import Trial, nearest_found, parted, search
from lamphouse.light.glow_words import together
from lamphouse.light.layer_stack import is_coloured
from lamphouse.light.opening_colour import own_and_others, parts_of, way_of
from lamphouse.record import Record, replace

LEAST_LIGHT = 0.02
"""A way that leaves less of the light is no way."""
MOST_LOOKED = 3000
"""Ways, the nearest first, of which is asked whether they meet a wish."""


class ColourWay(Record):
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


def with_films(
    opening: Opening, *, films: Sequence[tuple[str, int]], known: Mapping[str, FilmType]
) -> Opening:
    """Give an opening with other gels and tints in place of its own."""
    behind, before = parted(opening)
    new = tuple(
        Layer(kind=LayerKind(known[name].use), film=known[name], count=count)
        for name, count in films
    )
    return replace(opening, layers=(*behind, *new, *before))


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


class Trials(Record):
    """What may be tried to bring an opening to a colour."""

    leds: Sequence[LedType]
    films: Mapping[str, FilmType]
    kinds: int = 1
    """Most kinds of gel and tint that are laid on one another, 1 or 2."""
    keeps_led: bool = False
    target_cd_m2: float | None = None
    """Luminance to be reached by the LEDs of its own box where others light it too; None there:
    only films are tried."""
    least_light: float = LEAST_LIGHT
    """Ways that leave a smaller share of the light, at the same currents, are no ways."""


def on_shelf(own: OwnParts) -> Trials:
    """Give what may be tried: the built-in tables, with the maker's own rows in them and after."""
    shelf = built_in()
    leds = {**shelf.led_types, **{led.name: led for led in own.leds}}
    films = {**shelf.film_types, **{film.name: film for film in own.films}}
    return Trials(leds=tuple(leds.values()), films=films)


def ways_to_colour(
    drawn: Drawn,
    *,
    window: Window,
    look: front.Look,
    wish: ColourWish,
    room: Room | None,
    trials: Trials,
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
        What may be tried.

    Returns
    -------
    tuple of ColourWay
        Best first: what meets the wish before what does not, then by difference, in tens of a unit
        by light. All combinations are tried; of more than ``MOST_LOOKED`` the nearest are given.
        Luminances are scaled, not solved again.
    """
    others: tuple[Part, ...] = ()
    if drawn.together and trials.target_cd_m2 is not None:
        parts, others = own_and_others(drawn, window=window, look=look)
    else:
        parts = parts_of(drawn, look=look)
    if not sum(part.luminance_cd_m2 for part in parts) > 0.0:
        return ()
    today = tuple(dict.fromkeys(led.led_type.name for led in drawn.box.leds))
    lamps = [("", parts)]
    is_apart = not drawn.together or trials.target_cd_m2 is not None
    if is_apart and not trials.keeps_led:
        lamps += [
            (led.name, _with_led(parts, led=led, drawn=drawn))
            for led in fitting_leds(drawn, leds=trials.leds)
            if (led.name,) != today
        ]
    light = room_light("daylight" if room is None else room.light_colour).values
    white = tristimulus(light)
    white = white / white[1]
    room_cd_m2 = 0.0 if room is None else room.room_light_lx / pi
    today_way = way_of(drawn, window=window)
    now = float(tristimulus(radiance((*parts, *others), way=today_way))[1])
    trial = Trial(
        drawn=drawn,
        window=window,
        lamps=tuple(tried for _, tried in lamps),
        wish=wish,
        white=white,
        room_cd_m2=room_cd_m2,
        least_cd_m2=trials.least_light * now,
        others=others,
        target_cd_m2=trials.target_cd_m2 or 0.0,
    )
    best = nearest_found(
        search(trial, films=trials.films.values(), kinds=trials.kinds), most=MOST_LOOKED
    )
    replaces = any(is_coloured(layer.film) for layer in window.opening.layers)
    found = [
        ColourWay(
            led=lamps[one.lamp][0] or " and ".join(today),
            films=one.films,
            difference=one.difference,
            is_met=wish.is_met(one.xyz, lab=one.lab),
            light=float(one.xyz[1]) / now if now > 0.0 else 1.0,
            keeps_led=not lamps[one.lamp][0],
            keeps_films=one.keeps_films,
            replaces=bool(one.films) and replaces,
            before_print=bool(parted(window.opening)[1]),
        )
        for one in best
    ]
    return tuple(sorted(found, key=lambda way: not way.is_met))


def films_in_words(films: Sequence[tuple[str, int]]) -> str:
    """Say films: ``'amber gel' 2 times and 'straw gel'``."""
    return together(
        [f"'{name}' {count} times" if count > 1 else f"'{name}'" for name, count in films]
    )


def steps_in_words(way: ColourWay, *, it: str = "it") -> str:
    """Say a way without its cost: ``light it with 'amber 0603'``."""
    steps = []
    if not way.keeps_led:
        steps.append(f"light {it} with '{way.led}'")
        it = "it"
    if not way.keeps_films:
        if way.films:
            gone = ", in place of its gels and tints" if way.replaces else ""
            where = f"behind the print of {it}" if way.before_print else f"before {it}"
            steps.append(f"lay {films_in_words(way.films)} {where}{gone}")
        else:
            steps.append(f"take the gels and tints of {it} out")
    return " and ".join(steps)


def in_words(way: ColourWay) -> str:
    """Say a way: ``light it with 'amber 0603' (25 % of the light)``."""
    cost = f"{100.0 * way.light:.0f} % of the light at the same currents"
    return f"{steps_in_words(way)} (about {cost})"


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
    drawn: Drawn, *, window: Window, look: front.Look, name: str, leds: Iterable[LedType]
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
    for led in fitting_leds(drawn, leds=leds):
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
