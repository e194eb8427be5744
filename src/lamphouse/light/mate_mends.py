"""Changes to one of two openings that make it match the other, each tried by solving its box."""

from collections.abc import Iterator, Sequence
from math import hypot

import numpy as np

from lamphouse.colour.spectrum import fixed
from lamphouse.colour.wanted_colour import ColourWish
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.whole import Match
from lamphouse.light import sound_suite
from lamphouse.light.box_glow import BoxGlow, LedCurrent, OpeningColour, OpeningGlow
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.colour_mends import (
    ColourWay,
    Trials,
    best_ways,
    steps_in_words,
    ways_to_colour,
    with_films,
)
from lamphouse.light.dimming import dimmable, new_currents
from lamphouse.light.glow_words import in_cd_m2
from lamphouse.light.opening_colour import missed
from lamphouse.light.solved_box import SolvedBox, solve_box
from lamphouse.record import replace

ONE_STEP = 0.0011
"""One step of difference between whites, in u', v' [CIE-TN-001]."""


def limits_of(word: str, *, matches: Sequence[Match]) -> Match:
    """Give the limits of a match word, the maker's or the usual ones."""
    return next((match for match in matches if match.name == word), Match(name=word))


def steps_apart(one: OpeningColour, other: OpeningColour) -> float:
    """Give the difference of two lights in steps."""
    return hypot(one.uv[0] - other.uv[0], one.uv[1] - other.uv[1]) / ONE_STEP


def as_wish(colour: OpeningColour, *, limits: Match) -> ColourWish:
    """Take the light of an opening for a wanted colour."""
    u, v = colour.uv
    xyz = np.array([9.0 * u, 4.0 * v, 12.0 - 3.0 * u - 20.0 * v])
    return ColourWish(target=fixed(xyz / xyz[1]), within=limits.steps * ONE_STEP)


def difference_beside(one: OpeningColour, other: OpeningColour, *, room: Room | None) -> float:
    """Give the CIEDE2000 difference of two openings in their room, at the lightness of the one."""
    return missed(one, wish=as_wish(other, limits=Match()), room=room)


def do_match(one: OpeningColour, other: OpeningColour, *, limits: Match, room: Room | None) -> bool:
    """Tell whether two lights lie within the limits of their match."""
    if steps_apart(one, other) > limits.steps:
        return False
    most = limits.difference
    return most is None or difference_beside(one, other, room=room) <= most


def currents_of(glow: BoxGlow, *, box: LightBox) -> dict[str, LedCurrent]:
    """Give the currents that light a box as it was solved."""
    kinds = {led.name: led.led_type for led in box.leds}
    found = {}
    for lamp in glow.scene.lamps:
        kind = kinds[lamp.name]
        now = kind.flux_current_A * lamp.flux_lm / kind.flux_lm
        found[lamp.name] = LedCurrent(led=lamp.name, low_A=now, nominal_A=now, high_A=now)
    return found


def _place(glow: BoxGlow, *, subs: Sequence[SubAssembly]) -> tuple[Panel, LightBox]:
    sub = next(one for one in subs if one.name == glow.sub_assembly)
    panel = next(one for one in sub.panels if one.name == glow.panel)
    box = next(box for name, box in sub.boxes if (name, box.name) == (glow.panel, glow.box))
    return panel, box


def ways_to_match(
    home: BoxGlow,
    *,
    opening: OpeningGlow,
    mate: OpeningGlow,
    limits: Match,
    subs: Sequence[SubAssembly],
    room: Room | None,
    trials: Trials,
) -> Iterator[str]:
    """Say what brings an opening to the colour and the luminance of its mate.

    Parameters
    ----------
    home, opening
        The opening that is changed, and its box; nothing is offered where light is shared.
    mate
        What it is to match.
    limits
        How far they may differ.
    subs
        The sub-assemblies of the model.
    room
        The room it is looked at in.
    trials
        What may be tried.

    Yields
    ------
    str
        An LED, gel or tint of those with the currents that then give the same
        luminance, each solved and within the limits; none where the mate's luminance is not what
        the look of the opening wants.
    """
    if home.suite is not None or mate.colour is None or opening.mean_cd_m2 <= 0.0:
        return
    look = opening.look
    if look and not look.least_cd_m2 <= mate.mean_cd_m2 <= look.most_cd_m2:
        return
    panel, box = _place(home, subs=subs)
    currents = currents_of(home, box=box)
    solved = _solved(draw_box(panel, box=box, currents=currents), currents=currents, room=room)
    sight = next(one for one in solved.sights if one.glow.opening == opening.opening)
    ways = ways_to_colour(
        solved.drawn,
        window=sight.window,
        look=solved.looks[sight.index],
        wish=as_wish(mate.colour, limits=limits),
        room=room,
        trials=trials,
    )
    for way in best_ways(ways):
        changed = _changed(
            way, opening=opening, panel=panel, box=box, currents=currents, trials=trials
        )
        if not way.is_met or sound_suite.faults(changed):
            continue
        seen = _solved(changed, currents=currents, room=room)
        found = seen.sights[sight.index].glow
        if found.colour is None or found.mean_cd_m2 <= 0.0:
            continue
        factor = mate.mean_cd_m2 / found.mean_cd_m2
        weakest, strongest = dimmable(seen)
        is_alike = do_match(found.colour, mate.colour, limits=limits, room=room)
        if is_alike and weakest <= factor <= strongest:
            words = steps_in_words(way, it=f"'{opening.opening}'")
            yield (
                f"{words} and set {new_currents(factor, solved=seen)}: "
                f"{in_cd_m2(mate.mean_cd_m2)}, {steps_apart(found.colour, mate.colour):.1f} steps"
            )


def _solved(drawn: Drawn, *, currents: dict[str, LedCurrent], room: Room | None) -> SolvedBox:
    return solve_box(
        drawn, currents=tuple(currents.values()), looks=(), room=room, without=frozenset()
    )


def _changed(
    way: ColourWay,
    *,
    opening: OpeningGlow,
    panel: Panel,
    box: LightBox,
    currents: dict[str, LedCurrent],
    trials: Trials,
) -> Drawn:
    """Put a way into its box."""
    if not way.keeps_films:
        openings = tuple(
            with_films(one, films=way.films, known=trials.films)
            if one.name == opening.opening
            else one
            for one in panel.openings
        )
        panel = replace(panel, openings=openings)
    if not way.keeps_led:
        kind = next(led for led in trials.leds if led.name == way.led)
        box = replace(box, leds=tuple(replace(led, led_type=kind) for led in box.leds))
    return draw_box(panel, box=box, currents=currents)
