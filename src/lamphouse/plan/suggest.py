"""Suggests how to light a box for a wanted look: how many LEDs, where, how deep, at what current.

Searches run on the solver's linearity and a coarse mesh. Every figure that is given comes from a
new solve at full accuracy, at the currents of the circuit that is designed for the choice.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from lamphouse.cutting.cutlist import LEAD_MM
from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.design.whole import Design, Look
from lamphouse.light.box_scene import Drawn, draw_box, flux_lm
from lamphouse.light.glow_words import counted
from lamphouse.light.lamp_currents import own_fluxes
from lamphouse.light.placing import (
    SURE,
    Effort,
    Found,
    Layout,
    prepared,
    prepared_together,
    search,
)
from lamphouse.light.solvable_rules import refusals
from lamphouse.light.sound_suite import faults
from lamphouse.light.unit_light import UnitLight
from lamphouse.light.wishes import FluxSpan, Wish
from lamphouse.plan.choosing import (
    Desk,
    choose,
    currents_of,
    evenness_of,
    judged,
    passages_of,
    solved,
    troubles,
)
from lamphouse.plan.led_floor import floor_of
from lamphouse.plan.suggestion import Choice, Price, Refusal, Request, Suggestion
from lamphouse.plan.variations import Variation, variations
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import inner_spot

DRAWN_EFFORT = Effort(sites=40, most_lamps=12, beyond=2, nodes=300)
VARIED_EFFORT = Effort(sites=14, most_lamps=8)
THOROUGH_EFFORT = Effort(sites=80, most_lamps=24, beyond=3, nodes=20_000)
"""What is spent on the box as drawn, on each variation, and on each of a thorough search."""

MORE_EVEN = 1.05
"""A choice with more LEDs or something changed must be more even by this factor to be looked at."""

CURRENT_DIGITS = 2
"""Figures of a suggested current; resistors are sold in steps of a fifth."""

MOST_CHOICES, MOST_THOROUGH = 6, 14
"""Choices listed, and those of a thorough search."""

Tell = Callable[[int, int, str], None]


def suggest(
    design: Design, *, request: Request, tell: Tell = lambda *_: None
) -> Suggestion | Refusal:
    """Find ways to light a box.

    Parameters
    ----------
    design
        The whole model.
    request
        The box and what is wanted.
    tell
        Told how far it is: variations done, of how many, and what is being done; stops the work by
        raising.

    Returns
    -------
    Suggestion or Refusal
        The same for the same request: effort is counted, nothing is timed.
    """
    desk = _desk(design, request=request)
    if isinstance(desk, Refusal):
        return desk
    panel, box = request.panel, request.box
    drawn = _as_drawn(desk)
    choices: list[Choice] = []
    left_out: list[str] = []
    proof, best = "", None
    ways = list(variations(panel, box=box, means=request.means, thorough=request.thorough))
    for number, variation in enumerate(ways):
        say = _teller(tell, done=number, of=len(ways), words=variation.words or "as drawn")
        light = _light(desk, variation=variation)
        if light is None:
            continue
        found = _search(desk, light=light, variation=variation, say=say)
        layouts = list(_worth_solving(found, besides=best, variation=variation, box=box))
        trials = [(counted(len(one.sites), "LED"), _placed(desk, layout=one)) for one in layouts]
        if not variation.words:
            proof = _proof_words(found)
            best = layouts[0] if layouts and layouts[0].is_enough else None
            kept = _kept_places(desk, light=light)
            trials += [("LEDs as drawn, other currents", kept)] if kept else []
        for words, leds in trials:
            choice, spoilt = choose(
                desk,
                words=", ".join(filter(None, (words, variation.words))),
                panel=variation.panel,
                box=replace(variation.box, leds=leds),
            )
            if choice and spoilt:
                left_out.append(f"{choice.words}: {spoilt}")
            elif choice:
                choices.append(choice)
    return Suggestion(
        sub_assembly=request.sub.name,
        panel=panel.name,
        box=box.name,
        looks=tuple(dict.fromkeys(look.name for look in desk.looks)),
        drawn=drawn,
        choices=tuple(_ranked(choices, desk=desk, drawn=drawn)),
        proof=proof,
        left_out=tuple(left_out),
    )


def _teller(tell: Tell, *, done: int, of: int, words: str) -> Callable[[str], None]:
    def say(what: str) -> None:
        tell(done, of, f"{words}: {what}")

    return say


def _desk(design: Design, *, request: Request) -> Desk | Refusal:
    """Gather what choices are made with, or say why there are none."""
    sub, box, panel = request.sub, request.box, request.panel
    led = _led_to_place(request)
    if isinstance(led, Refusal):
        return led
    if any(flaw_of(one.corners) for one in (box.inside, *(o.outline for o in panel.openings))):
        reason = "an outline of the box or its panel is not sound"
        return Refusal(reason=reason, remedy="mend first what check says")
    beside = tuple(one for name, one in sub.boxes if name == panel.name and one.name != box.name)
    trial = draw_box(panel, box=replace(box, leds=(led,)), currents={}, beside=beside)
    for finding in refusals(trial, faults=faults(trial)):
        return Refusal(reason=finding.message, remedy=finding.remedy)
    pairs = tuple(_wished(trial, request=request, looks=design.looks))
    if not pairs:
        return Refusal(
            reason=f"no opening over '{box.name}' has both a wanted look and a layer that "
            "scatters light",
            remedy="name a look of the project with --look, or write look: at the opening",
        )
    kind = led.led_type
    lead_mm = sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM
    strings, told = judged(design, sub=sub, panel=panel, box=box, lead_mm=lead_mm)
    return Desk(
        design=design,
        request=request,
        led=led,
        wishes=tuple(wish for wish, _ in pairs),
        looks=tuple(look for _, look in pairs),
        span=FluxSpan(
            least_lm=flux_lm(kind, current_A=kind.curve[0][0]),
            most_lm=flux_lm(kind, current_A=kind.max_current_A),
        ),
        base=floor_of(box, led=led, drills=design.drills, lead_mm=lead_mm),
        lead_mm=lead_mm,
        stem=(box.leds[0].name.rstrip("0123456789") if box.leds else "") or "L",
        taken=frozenset(one.name for one in sub.leds() if one not in box.leds),
        faults=troubles(told),
        beside=beside,
        neighbours=currents_of(strings, boxes=beside),
        passages=passages_of(trial),
    )


def _led_to_place(request: Request) -> Led | Refusal:
    """Give the LED that is placed, for now in a spot well inside the box."""
    box = request.box
    x, y = inner_spot(box.inside.corners)
    if not box.leds:
        if request.led_type is None:
            reason = f"'{box.name}' has no LEDs yet"
            return Refusal(reason=reason, remedy="name the type to use with --led")
        kind = request.led_type
        return Led(
            name="L", where=box.where, led_type=kind, x_mm=x, y_mm=y, current_A=kind.curve[0][0]
        )
    if len({(led.led_type.name, led.seat, led.group) for led in box.leds}) > 1:
        return Refusal(
            reason=f"the LEDs of '{box.name}' differ in type, seat or source group",
            remedy="suggestions are for boxes whose LEDs are all alike",
        )
    first = box.leds[0]
    if first.seat is not Seat.BACK:
        return Refusal(
            reason=f"the LEDs of '{box.name}' sit on its {first.seat}",
            remedy="suggestions place LEDs on the back; take seat out to have one",
        )
    return replace(first, led_type=request.led_type or first.led_type, x_mm=x, y_mm=y)


def _wished(
    drawn: Drawn, *, request: Request, looks: Sequence[Look]
) -> Iterator[tuple[Wish, Look]]:
    """List the openings with a wanted look and a layer that scatters light."""
    named = {look.name: look for look in looks}
    for window in drawn.windows:
        look = request.look or named.get(window.opening.look)
        if look and window.stack and window.stack.scatters:
            wish = Wish(
                opening=window.opening.name,
                least_cd_m2=look.least_cd_m2,
                most_cd_m2=look.most_cd_m2,
                evenness=look.evenness,
            )
            yield wish, look


def _as_drawn(desk: Desk) -> Choice | None:
    request = desk.request
    if not request.box.leds:
        return None
    strings, _ = judged(
        desk.design,
        sub=request.sub,
        panel=request.panel,
        box=request.box,
        lead_mm=desk.lead_mm,
    )
    return solved(desk, words="as drawn", panel=request.panel, box=request.box, strings=strings)


def _light(desk: Desk, *, variation: Variation) -> UnitLight | None:
    """Solve a variation for every place of the LED; None where the solver refuses it."""
    box = replace(variation.box, leds=(desk.led,))
    drawn = draw_box(variation.panel, box=box, currents=desk.neighbours, beside=desk.beside)
    if passages_of(drawn) != desk.passages or faults(drawn):
        return None
    if drawn.suite is None:
        return prepared(drawn.scene, lamp=drawn.scene.lamps[0], wishes=desk.wishes)
    lamp = drawn.suite.boxes[drawn.number].lamps[0]
    return prepared_together(drawn.suite, number=drawn.number, lamp=lamp, wishes=desk.wishes)


def _search(
    desk: Desk, *, light: UnitLight, variation: Variation, say: Callable[[str], None]
) -> Found:
    effort = VARIED_EFFORT if variation.words else DRAWN_EFFORT
    return search(
        light,
        span=desk.span,
        base=floor_of(variation.box, led=desk.led, drills=desk.design.drills, lead_mm=desk.lead_mm),
        effort=THOROUGH_EFFORT if desk.request.thorough else effort,
        tell=say,
    )


def _worth_solving(
    found: Found, *, besides: Layout | None, variation: Variation, box: LightBox
) -> Iterator[Layout]:
    """Pick the layouts that deserve a full solve.

    Of the box as drawn: the fewest LEDs that do, and more where they pay; else the nearest to it.
    Of a variation: the fewest that do, unless the box as drawn does it as well with as few.
    """
    enough = [layout for layout in found.layouts if layout.is_enough]
    if not variation.words:
        last = 0.0
        for layout in enough:
            if layout.fit >= MORE_EVEN * last:
                yield layout
                last = layout.fit
        if not enough and found.layouts:
            yield max(found.layouts, key=lambda layout: (layout.in_class, layout.fit))
    elif enough:
        first = enough[0]
        shallower = variation.box.depth_mm < box.depth_mm
        if (
            shallower
            or besides is None
            or len(first.sites) < len(besides.sites)
            or first.fit >= MORE_EVEN * besides.fit
        ):
            yield first


def _current_A(flux: float, *, led: Led) -> float:
    """Give the current for a flux, in few figures and within the LED's range."""
    kind = led.led_type
    exact = kind.flux_current_A * flux / kind.flux_lm
    return min(max(float(f"{exact:.{CURRENT_DIGITS}g}"), kind.curve[0][0]), kind.max_current_A)


def _placed(desk: Desk, *, layout: Layout) -> tuple[Led, ...]:
    current = _current_A(layout.flux_lm, led=desk.led)
    return tuple(replace(desk.led, x_mm=x, y_mm=y, current_A=current) for x, y in layout.sites)


def _kept_places(desk: Desk, *, light: UnitLight) -> tuple[Led, ...]:
    """Give the LEDs as drawn the currents that do best; none where that changes nothing."""
    leds = desk.request.box.leds
    if not leds:
        return ()
    fluxes = own_fluxes(
        light.aims,
        light=light.over([(led.x_mm, led.y_mm) for led in leds]),
        span=desk.span,
        spare=SURE - 1.0,
    )
    if fluxes is None:
        return ()
    kept = tuple(
        replace(led, led_type=desk.led.led_type, current_A=_current_A(float(flux), led=desk.led))
        for led, flux in zip(leds, fluxes, strict=True)
    )
    return () if kept == leds else kept


def _proof_words(found: Found) -> str:
    """Say what is proved about the number of LEDs of the box as drawn."""
    proof = found.proof
    if proof is None:
        return ""
    grid = (
        f"{proof.places} places tried (a grid of {found.grid_pitch_mm:g} mm and the places of the "
        "layouts found), equal currents, coarse mesh"
    )
    enough = [len(layout.sites) for layout in found.layouts if layout.is_enough]
    if not enough:
        most = counted(proof.at_least - 1, "LED")
        return f"proved: none of up to {most} will do; {grid}"
    fewest = counted(min(enough), "LED")
    if proof.at_least >= min(enough):
        return f"proved: no fewer than {fewest} will do; {grid}"
    return f"not settled whether fewer than {fewest} will do; {grid}"


def _price(choice: Choice, *, desk: Desk, drawn: Choice | None) -> Price | None:
    if drawn is None:
        return None
    return Price(
        leds=len(choice.box.leds) - len(drawn.box.leds),
        strings=choice.strings - drawn.strings,
        current_A=choice.current_A - drawn.current_A,
        depth_mm=choice.box.depth_mm - drawn.box.depth_mm,
        evenness=evenness_of(choice) - evenness_of(drawn),
        parts=_new_parts(choice, desk=desk),
    )


def _new_parts(choice: Choice, *, desk: Desk) -> tuple[str, ...]:
    """List films and paint that the box as drawn has not."""
    request = desk.request
    before = {layer.film.name for one in request.panel.openings for layer in one.layers}
    after = [layer.film.name for one in choice.panel.openings for layer in one.layers]
    inner, inner_before = choice.box.inner_diffuser, request.box.inner_diffuser
    if inner and inner != inner_before:
        after.append(inner.film.name)
        before -= {inner.film.name}
    if choice.box.finish != request.box.finish:
        after.append(choice.box.finish.name)
    return tuple(dict.fromkeys(name for name in after if name not in before))


def _changes(choice: Choice, *, desk: Desk) -> int:
    """Count what is changed about the box besides its LEDs."""
    box, before = choice.box, desk.request.box
    return sum(
        (
            box.depth_mm != before.depth_mm,
            box.finish != before.finish,
            box.inner_diffuser != before.inner_diffuser,
            choice.panel != desk.request.panel,
        )
    )


def _ranked(choices: Sequence[Choice], *, desk: Desk, drawn: Choice | None) -> Iterator[Choice]:
    """Rank choices, and leave out those that another one beats in everything.

    First come those that reach the look; then those that change least about the box, need the
    fewest LEDs, and are the most even.
    """
    rivals = [*choices, drawn] if drawn else choices

    def costs(choice: Choice) -> tuple[float, ...]:
        return (
            not choice.reaches,
            _changes(choice, desk=desk),
            len(choice.box.leds),
            choice.box.depth_mm,
            choice.current_A,
            -evenness_of(choice),
        )

    def is_beaten(choice: Choice) -> bool:
        own = costs(choice)
        return any(
            other is not choice
            and (costs(other) != own or other is drawn)
            and all(a <= b for a, b in zip(costs(other), own, strict=True))
            for other in rivals
        )

    def order(choice: Choice) -> tuple[float, ...]:
        reached, changes, leds, *_, evenness = costs(choice)
        return reached, changes, leds, evenness

    left = sorted((choice for choice in choices if not is_beaten(choice)), key=order)
    most = MOST_THOROUGH if desk.request.thorough else MOST_CHOICES
    for choice in left[:most]:
        yield replace(choice, price=_price(choice, desk=desk, drawn=drawn))
