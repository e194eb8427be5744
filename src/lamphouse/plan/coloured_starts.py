"""What a look's colour asks of a box: LEDs, gels and tints that give it, to begin a search with."""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.catalogue.led_types import LedType
from lamphouse.colour.wanted_colour import ColourWish, wanted_colour
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.design.whole import Look
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.box_scene import draw_box
from lamphouse.light.colour_mends import (
    ColourWay,
    Trials,
    films_in_words,
    in_words,
    ways_to_colour,
    with_films,
)
from lamphouse.light.opening_colour import is_as_wanted
from lamphouse.light.solved_box import Sight, SolvedBox, solve_box
from lamphouse.plan.suggestion import Request
from lamphouse.record import Record, replace
from lamphouse.units import UnitError

MOST_STARTS = 2
"""Ways to a colour that a search begins with."""


class Start(Record):
    """A box in its colours, before anything else about it is changed."""

    words: str
    """What was changed for the colour; empty for nothing."""
    panel: Panel
    led: Led
    factors: Mapping[str, float]
    """What colour makes of the luminance that grey sums give, by opening."""


def wish_of(look: Look | None) -> ColourWish | None:
    """Read the colour a look wants; None for no colour, and for words that are none."""
    if look is None or not look.colour:
        return None
    try:
        return wanted_colour(look.colour)
    except UnitError:
        return None


def is_in_colour(opening: OpeningGlow) -> bool:
    """Tell whether an opening has the colour of its look, as far as both are known."""
    wish = wish_of(opening.look)
    return wish is None or opening.colour is None or is_as_wanted(opening.colour, wish=wish)


def _tried(request: Request, *, led: Led, panel: Panel, room: Room | None) -> SolvedBox:
    """Solve the box with one LED: the colour hangs little on where it is."""
    drawn = draw_box(panel, box=replace(request.box, leds=(led,)), currents={})
    return solve_box(drawn, currents=(), looks=(), room=room, without=frozenset())


def _with_looks(solved: SolvedBox, *, looks: Mapping[str, Look]) -> tuple[Sight, ...]:
    return tuple(
        replace(sight, glow=replace(sight.glow, look=looks.get(sight.glow.opening)))
        for sight in solved.sights
    )


def _start(
    words: str, *, request: Request, led: Led, panel: Panel, room: Room | None
) -> tuple[Start, SolvedBox]:
    solved = _tried(request, led=led, panel=panel, room=room)
    factors = {
        sight.glow.opening: sight.glow.colour.factor for sight in solved.sights if sight.glow.colour
    }
    return Start(words=words, panel=panel, led=led, factors=factors), solved


def starts(
    request: Request, *, led: Led, looks: Mapping[str, Look], room: Room | None
) -> tuple[tuple[Start, ...], str]:
    """Find what to begin a search with so that every opening has the colour of its look.

    Parameters
    ----------
    request
        The box and what there is to change it with.
    led
        The LED to be placed.
    looks
        Those wanted, by opening.
    room
        The room it is looked at in.

    Returns
    -------
    tuple
        The box as drawn where it has its colours; else up to ``MOST_STARTS`` with other LEDs, gels
        or tints, each tried, the fewest changes first. Where nothing gives the colours, the box as
        drawn and what comes nearest, in words; empty otherwise.
    """
    own, solved = _start("", request=request, led=led, panel=request.panel, room=room)
    off = [one for one in _with_looks(solved, looks=looks) if not is_in_colour(one.glow)]
    if not off:
        return (own,), ""
    judged = [one for one in _with_looks(solved, looks=looks) if wish_of(one.glow.look)]
    means = request.means
    trials = Trials(leds=means.leds, films=means.films, keeps_led=request.led_type is not None)
    ways = {
        one.glow.opening: ways_to_colour(
            solved.drawn,
            window=one.window,
            look=solved.looks[one.index],
            wish=wish,
            room=room,
            trials=trials,
        )
        for one in judged
        if (wish := wish_of(one.glow.look)) is not None
    }
    found = []
    for kind, chosen in _together(ways, leds=(led.led_type, *means.leds)):
        panel = _panel_with(request.panel, chosen=chosen, request=request)
        words = _words(kind, before=led.led_type, chosen=chosen)
        start, seen = _start(
            words, request=request, led=replace(led, led_type=kind), panel=panel, room=room
        )
        if all(is_in_colour(one.glow) for one in _with_looks(seen, looks=looks)):
            found.append(start)
        if len(found) == MOST_STARTS:
            break
    if found:
        return tuple(found), ""
    return (own,), _nothing(off[0].glow, ways=ways.get(off[0].glow.opening, ()))


def _together(
    ways: Mapping[str, Sequence[ColourWay]], *, leds: Sequence[LedType]
) -> Iterator[tuple[LedType, Mapping[str, ColourWay]]]:
    """Give LEDs with which every opening has a way to its colour, the fewest changes first."""
    found = []
    for number, kind in enumerate(dict.fromkeys(leds)):
        chosen: dict[str, ColourWay] = {}
        for opening, some in ways.items():
            met = [way for way in some if way.led == kind.name and way.is_met]
            if met:
                chosen[opening] = min(met, key=_changes)
        if len(chosen) == len(ways):
            changes = sum(_changes(way)[0] for way in chosen.values()) + (number > 0)
            light = min(way.light for way in chosen.values())
            found.append((changes, -light, number, kind, chosen))
    for *_, kind, chosen in sorted(found, key=lambda one: one[:3]):
        yield kind, chosen


def _changes(way: ColourWay) -> tuple[int, float]:
    """Count the films a way lays or takes out; then by light."""
    return 0 if way.keeps_films else max(sum(count for _, count in way.films), 1), -way.light


def _panel_with(panel: Panel, *, chosen: Mapping[str, ColourWay], request: Request) -> Panel:
    openings = tuple(
        one
        if one.name not in chosen or chosen[one.name].keeps_films
        else with_films(one, films=chosen[one.name].films, known=request.means.films)
        for one in panel.openings
    )
    return replace(panel, openings=openings)


def _words(kind: LedType, *, before: LedType, chosen: Mapping[str, ColourWay]) -> str:
    said = [f"'{kind.name}'"] if kind != before else []
    for opening, way in chosen.items():
        if not way.keeps_films and way.films:
            said.append(f"{films_in_words(way.films)} at '{opening}'")
        elif not way.keeps_films:
            said.append(f"'{opening}' without its gels and tints")
    return ", ".join(said)


def _nothing(opening: OpeningGlow, *, ways: Sequence[ColourWay]) -> str:
    look = opening.look
    wanted = look.colour if look else ""
    nearest = min(ways, key=lambda way: way.difference, default=None)
    near = f"; nearest: {in_words(nearest)}" if nearest else ""
    return f"no LED, gel or tint of the tables gives '{opening.opening}' {wanted}{near}"
