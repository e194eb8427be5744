"""LEDs, gels and tints for a wanted colour and luminance of one opening, ranked and then solved.

Every way of the tables is ranked by sums scaled from the opening as drawn. What is listed is made:
its circuit designed, its box solved, and its figures are those that a check will show.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from lamphouse.balance.led_currents import led_currents
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import Shelf
from lamphouse.colour.wanted_colour import ColourWish, wanted_colour
from lamphouse.cutting.cutlist import LEAD_MM
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Panel
from lamphouse.design.whole import Design, Look
from lamphouse.light.box_glow import LedCurrent, OpeningGlow
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.colour_mends import (
    ColourWay,
    Trials,
    films_in_words,
    ways_to_colour,
    with_films,
)
from lamphouse.light.mate_mends import currents_of
from lamphouse.light.opening_colour import is_as_wanted, missed
from lamphouse.light.solved_box import solve_box
from lamphouse.light.wishes import FluxSpan, Wish
from lamphouse.plan.choosing import (
    Desk,
    choose,
    judged,
    passages_of,
    strings_of,
    troubles,
)
from lamphouse.plan.led_floor import floor_of
from lamphouse.plan.printed_opening import PrintPlace
from lamphouse.plan.suggestion import Choice, Refusal, Request
from lamphouse.plan.variations import Means
from lamphouse.record import Record, replace

MOST_CHOICES, MOST_NEAREST = 8, 3
"""Ways that are solved and listed, where some give the colour and where none does."""
MOST_KINDS = 2
"""Kinds of gel and tint laid on one another."""
CURRENT_DIGITS = 2
NEAR = 0.25
"""The resistors sold may miss a wanted luminance by so much, either way [PRACTICE]."""


class ColourChoice(Record):
    """One way to a wanted colour, solved at full accuracy."""

    words: str
    choice: Choice
    shown: OpeningGlow
    """The opening that was asked for."""
    difference: float
    """CIEDE2000 from what is wanted, as seen in the room."""
    is_met: bool
    """Whether the solved opening has the colour."""
    current_A: float
    """Wanted through each LED; the mean where they differ."""
    to_buy: tuple[str, ...]
    """What is not in the drawer."""
    brings: str
    """Stops and warnings that it would trip; empty for none."""


class ColourChoices(Record):
    """What can be done for a colour."""

    place: PrintPlace
    wanted: str
    luminance_cd_m2: float
    """Wanted."""
    request: Request
    choices: tuple[ColourChoice, ...]
    """What gives the colour, the fewest changes first; else the nearest to it."""
    is_reachable: bool
    """Whether anything of the tables gives the colour at that luminance."""
    tried: int
    """Ways that were bright enough to be judged."""


class _Ranked(Record):
    way: ColourWay
    led: LedType
    currents_A: tuple[float, ...]
    changes: int
    to_buy: tuple[str, ...]

    def costs(self) -> tuple[float, ...]:
        """Give what a better way has less of."""
        return (round(self.way.difference), sum(self.currents_A), self.changes, len(self.to_buy))


def colour_choices(
    design: Design,
    *,
    place: PrintPlace,
    shelf: Shelf,
    wanted: str,
    luminance_cd_m2: float | None = None,
    keeps_led: bool = False,
) -> ColourChoices | Refusal:
    """Rank LEDs, gels and tints for the colour of an opening.

    Parameters
    ----------
    design, place
        The model, and the opening with the box that lights it, as planned.
    shelf
        Where LEDs and films come from.
    wanted
        The colour in the maker's words.
    luminance_cd_m2
        Wanted luminance in the dark; None: that of today.
    keeps_led
        Whether the LEDs stay of their type.

    Raises
    ------
    UnitError
        If what is wanted is no colour.
    """
    wish = wanted_colour(wanted)
    if place.shown.mean_cd_m2 <= 0.0 or place.shown.colour is None:
        return Refusal(
            reason=f"no light of known colour comes out of '{place.opening.name}'",
            remedy="mend first what check says of it",
        )
    if not place.box.leds:
        return Refusal(
            reason=f"'{place.box.name}' has no LED; its light comes through passages",
            remedy="choose a colour for an opening of the box that has, or give it LEDs",
        )
    if len({led.led_type.package for led in place.box.leds}) > 1:
        return Refusal(
            reason=f"the LEDs of '{place.box.name}' differ in size",
            remedy="use LEDs of one package, or choose for each kind in a box of its own",
        )
    target = luminance_cd_m2 or place.shown.mean_cd_m2
    request = _request(place, design=design, shelf=shelf)
    desk = _desk(place, design=design, request=request, wanted=wanted, target=target)
    ranked = _ranked(place, desk=desk, shelf=shelf, wish=wish, target=target, keeps_led=keeps_led)
    met = [one for one in ranked if one.way.is_met]
    listed = sorted(
        _unbeaten(met), key=lambda one: (one.changes, round(one.way.difference), *one.costs())
    ) or sorted(_unbeaten(ranked), key=_Ranked.costs)
    made = (
        _made(one, place=place, desk=desk, wish=wish, shelf=shelf)
        for one in listed[: MOST_CHOICES if met else MOST_NEAREST]
    )
    return ColourChoices(
        place=place,
        wanted=wanted,
        luminance_cd_m2=target,
        request=request,
        choices=tuple(one for one in made if one is not None),
        is_reachable=bool(met),
        tried=len(ranked),
    )


def _drawn(place: PrintPlace, *, desk: Desk) -> tuple[Drawn, dict[str, LedCurrent]]:
    """Draw the box with its LEDs at the currents that light it today; give those of its own."""
    currents = currents_of(place.glow, box=place.box)
    is_shared = place.glow.suite is not None
    drawn = draw_box(
        desk.request.panel,
        box=place.box,
        currents={**desk.neighbours, **currents},
        beside=desk.beside if is_shared else (),
    )
    return drawn, currents


def _ranked(
    place: PrintPlace,
    *,
    desk: Desk,
    shelf: Shelf,
    wish: ColourWish,
    target: float,
    keeps_led: bool,
) -> tuple[_Ranked, ...]:
    """Rank every way that can be as bright as wanted with its LEDs in their range."""
    design = desk.design
    drawn, currents = _drawn(place, desk=desk)
    solved = solve_box(drawn, currents=(), looks=(), room=design.room, without=frozenset())
    sight = next(one for one in solved.sights if one.glow.opening == place.opening.name)
    share = target / sight.glow.mean_cd_m2
    leds = tuple(shelf.led_types.values())
    now_A = {name: one.nominal_A for name, one in currents.items()}
    highest = max(led.max_current_A for led in (*leds, *(one.led_type for one in place.box.leds)))
    ways = ways_to_colour(
        drawn,
        window=sight.window,
        look=solved.looks[sight.index],
        wish=wish,
        room=design.room,
        trials=Trials(
            leds=leds,
            films=shelf.film_types,
            kinds=MOST_KINDS,
            keeps_led=keeps_led,
            target_cd_m2=target,
            least_light=share * min(now_A.values()) / highest,
        ),
    )
    own = place.box.leds[0].led_type
    known = {**shelf.led_types, own.name: own}
    hand = Counter({part.part: part.count for part in design.drawer})
    found = []
    for way in ways:
        kinds = [one.led_type if way.keeps_led else known[way.led] for one in place.box.leds]
        wanted_A = [
            float(f"{now_A[led.name] * share / way.light:.{CURRENT_DIGITS}g}")
            for led in place.box.leds
        ]
        if any(
            not kind.curve[0][0] <= current <= min(kind.max_current_A, kind.curve[-1][0])
            for kind, current in zip(kinds, wanted_A, strict=True)
        ):
            continue
        found.append(
            _Ranked(
                way=way,
                led=kinds[0],
                currents_A=tuple(wanted_A),
                changes=(not way.keeps_led) + _film_changes(way),
                to_buy=tuple(_to_buy(way, count=len(kinds), hand=hand, opening=place)),
            )
        )
    return tuple(found)


def _film_changes(way: ColourWay) -> int:
    return 0 if way.keeps_films else max(sum(count for _, count in way.films), 1)


def _to_buy(
    way: ColourWay, *, count: int, hand: Mapping[str, int], opening: PrintPlace
) -> Iterator[str]:
    """List LEDs that the drawer has too few of, and films that it has not."""
    if not way.keeps_led and hand.get(way.led, 0) < count:
        yield way.led
    laid = {layer.film.name for layer in opening.opening.layers}
    for name, _ in way.films:
        if name not in hand and name not in laid:
            yield name


def _unbeaten(ranked: Sequence[_Ranked]) -> list[_Ranked]:
    """Leave out ways that another is no worse than in anything, and better in something."""
    kept: list[_Ranked] = []
    for one in sorted(ranked, key=_Ranked.costs):
        own = one.costs()
        if not any(all(a <= b for a, b in zip(other.costs(), own, strict=True)) for other in kept):
            kept.append(one)
    return kept


def _request(place: PrintPlace, *, design: Design, shelf: Shelf) -> Request:
    sub = next(one for one in design.sub_assemblies if one.name == place.sub_assembly)
    return Request(
        sub=sub,
        panel=_panel_of(place, design=design),
        box=place.box,
        look=None,
        led_type=None,
        means=Means(
            films=shelf.film_types,
            finishes=shelf.finishes,
            in_hand=frozenset(part.part for part in design.drawer),
            deepest_mm=None,
            leds=tuple(shelf.led_types.values()),
        ),
    )


def _panel_of(place: PrintPlace, *, design: Design) -> Panel:
    sub = next(one for one in design.sub_assemblies if one.name == place.sub_assembly)
    return next(panel for panel in sub.panels if panel.name == place.panel)


def _desk(
    place: PrintPlace, *, design: Design, request: Request, wanted: str, target: float
) -> Desk:
    """Gather what a way is made with; the wish of the opening is that which was asked for."""
    sub, box = request.sub, request.box
    lead_mm = sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM
    own = {look.name: look for look in design.looks}.get(place.opening.look)
    look = Look(
        name=own.name if own else "as asked",
        where=place.opening.where,
        least_cd_m2=target * (1.0 - NEAR),
        most_cd_m2=target * (1.0 + NEAR),
        evenness=max(own.evenness, 0.01) if own else 0.01,
        colour=wanted,
    )
    wish = Wish(
        opening=place.opening.name,
        least_cd_m2=look.least_cd_m2,
        most_cd_m2=look.most_cd_m2,
        evenness=look.evenness,
    )
    kind = box.leds[0].led_type
    panel = request.panel
    beside = tuple(one for name, one in sub.boxes if name == panel.name and one.name != box.name)
    circuit, told = judged(design, sub=sub, panel=panel, box=box, lead_mm=lead_mm)
    strings = strings_of(circuit)
    drawn = draw_box(panel, box=box, currents=led_currents(strings, boxes=(box,)), beside=beside)
    return Desk(
        design=design,
        request=request,
        led=box.leds[0],
        wishes=(wish,),
        looks=(look,),
        span=FluxSpan(least_lm=0.0, most_lm=kind.flux_lm),
        base=floor_of(box, led=box.leds[0], drills=design.drills, lead_mm=lead_mm),
        lead_mm=lead_mm,
        circuit=circuit,
        stem=box.leds[0].name.rstrip("0123456789") or "L",
        taken=frozenset(one.name for one in sub.leds() if one not in box.leds),
        faults=troubles(told),
        beside=beside,
        neighbours=led_currents(strings, boxes=beside),
        passages=passages_of(drawn),
    )


def _made(
    one: _Ranked, *, place: PrintPlace, desk: Desk, wish: ColourWish, shelf: Shelf
) -> ColourChoice | None:
    """Design the circuit of a way and solve its box; None where that cannot be."""
    request, way = desk.request, one.way
    panel = request.panel
    if not way.keeps_films:
        openings = tuple(
            with_films(each, films=way.films, known=shelf.film_types)
            if each.name == place.opening.name
            else each
            for each in panel.openings
        )
        panel = replace(panel, openings=openings)
    leds: tuple[Led, ...] = tuple(
        replace(led, led_type=led.led_type if way.keeps_led else one.led, current_A=current)
        for led, current in zip(request.box.leds, one.currents_A, strict=True)
    )
    words = _words(way)
    choice, brings = choose(desk, words=words, panel=panel, box=replace(request.box, leds=leds))
    if choice is None:
        return None
    shown = next(each for each in choice.openings if each.opening == place.opening.name)
    if shown.colour is None:
        return None
    return ColourChoice(
        words=words,
        choice=choice,
        shown=shown,
        difference=missed(shown.colour, wish=wish, room=desk.design.room),
        is_met=is_as_wanted(shown.colour, wish=wish),
        current_A=sum(one.currents_A) / len(one.currents_A),
        to_buy=one.to_buy,
        brings=brings,
    )


def _words(way: ColourWay) -> str:
    said = [] if way.keeps_led else [f"'{way.led}'"]
    if not way.keeps_films:
        said.append(films_in_words(way.films) if way.films else "without its gels and tints")
    return ", ".join(said) or "LEDs and layers as drawn"
