"""Suggests how to light a box for a wanted look: how many LEDs, where, how deep, at what current.

Searches run on the solver's linearity and a coarse mesh. Every figure that is given comes from a
new solve at full accuracy, at the currents of the circuit that is designed for the choice.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from lamphouse.balance.led_currents import led_currents
from lamphouse.catalogue.led_types import LedType
from lamphouse.cutting.cutlist import LEAD_MM
from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.whole import Design, Look
from lamphouse.light.box_scene import Drawn, draw_box, flux_lm, lamp_of
from lamphouse.light.glow_words import counted
from lamphouse.light.gluing_grid import nearest_free
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
from lamphouse.light.seated_leds import source_of
from lamphouse.light.shared_walls import clear_space
from lamphouse.light.solvable_rules import refusals
from lamphouse.light.sound_suite import faults
from lamphouse.light.unit_light import UnitLight
from lamphouse.light.wishes import FluxSpan, Wish
from lamphouse.plan.choosing import (
    Desk,
    choose,
    judged,
    passages_of,
    solved,
    strings_of,
    troubles,
)
from lamphouse.plan.coloured_starts import Start, is_in_colour, starts
from lamphouse.plan.led_floor import floor_of
from lamphouse.plan.led_to_place import STRAIGHT, lean_note, lean_words, led_to_place
from lamphouse.plan.suggestion import Choice, Refusal, Request, Suggestion
from lamphouse.plan.suggestion_ranking import ranked
from lamphouse.plan.variations import Variation, variations
from lamphouse.record import replace
from lamphouse.shapes.soundness import flaw_of

DRAWN_EFFORT = Effort(sites=40, most_lamps=12, beyond=2, nodes=300)
VARIED_EFFORT = Effort(sites=14, most_lamps=8)
THOROUGH_EFFORT = Effort(sites=80, most_lamps=24, beyond=3, nodes=20_000)
"""What is spent on the box as drawn, on each variation, and on each of a thorough search."""

MORE_EVEN = 1.05
"""A choice with more LEDs or something changed must be more even by this factor to be looked at."""

CURRENT_DIGITS = 2
"""Figures of a suggested current; resistors are sold in steps of a fifth."""

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
    drawn = _as_drawn(desk)
    begun, nothing = starts(
        request,
        led=desk.led,
        looks={wish.opening: look for wish, look in zip(desk.wishes, desk.looks, strict=True)},
        room=design.room,
    )
    sets = [one for start in begun for one in _sets(desk, start=start)]
    trials = _Trials(left_out=[nothing] if nothing else [])
    for number, (own, start, variation) in enumerate(sets):
        words = ", ".join(filter(None, (start.words, variation.words))) or "as drawn"
        say = _teller(tell, done=number, of=len(sets), words=words)
        _try(trials, desk=own, start=start, variation=variation, say=say)
    choices = trials.choices
    return Suggestion(
        sub_assembly=request.sub.name,
        panel=request.panel.name,
        box=request.box.name,
        looks=tuple(dict.fromkeys(look.name for look in desk.looks)),
        drawn=drawn,
        choices=tuple(ranked(choices, desk=desk, drawn=drawn)),
        proof=next(iter(trials.proofs), ""),
        left_out=tuple(trials.left_out),
        note=lean_note(request.box),
    )


@dataclass(slots=True, kw_only=True)
class _Trials:
    """What has been found so far."""

    left_out: list[str]
    choices: list[Choice] = field(default_factory=list)
    proofs: list[str] = field(default_factory=list)
    best: Layout | None = None
    """Of the start as drawn but for its colour."""


def _sets(desk: Desk, *, start: Start) -> Iterator[tuple[Desk, Start, Variation]]:
    """List what is tried of a start; of a box whose LEDs lean alike, straight ones too."""
    own, request = _begun(desk, start=start), desk.request
    tried = tuple(
        variations(start.panel, box=request.box, means=request.means, thorough=request.thorough)
    )
    yield from ((own, start, variation) for variation in tried)
    if own.led.tilt_deg and tried and not tried[0].words:
        upright = replace(own, led=replace(own.led, tilt_deg=0.0, towards_deg=0.0))
        yield upright, start, replace(tried[0], words=STRAIGHT)


def _begun(desk: Desk, *, start: Start) -> Desk:
    """Give the desk for a start: its LED, and wishes in the luminance of grey sums."""
    kind = start.led.led_type
    wishes = tuple(
        replace(
            wish,
            least_cd_m2=wish.least_cd_m2 / start.factors.get(wish.opening, 1.0),
            most_cd_m2=wish.most_cd_m2 / start.factors.get(wish.opening, 1.0),
        )
        for wish in desk.wishes
    )
    return replace(desk, led=start.led, wishes=wishes, span=_span(kind))


def _span(kind: LedType) -> FluxSpan:
    return FluxSpan(
        least_lm=flux_lm(kind, current_A=kind.curve[0][0]),
        most_lm=flux_lm(kind, current_A=kind.max_current_A),
    )


def _try(
    trials: _Trials,
    *,
    desk: Desk,
    start: Start,
    variation: Variation,
    say: Callable[[str], None],
) -> None:
    """Search one variation of one start, and solve what deserves it."""
    light = _light(desk, variation=variation)
    if light is None:
        return
    box = desk.request.box
    found = _search(desk, light=light, variation=variation, say=say)
    besides = trials.best if variation.words else None
    layouts = list(_worth_solving(found, besides=besides, variation=variation, box=box))
    tried = [(counted(len(one.sites), "LED"), _placed(desk, layout=one)) for one in layouts]
    if not variation.words:
        trials.proofs.append(_proof_words(found))
        trials.best = layouts[0] if layouts and layouts[0].is_enough else None
        kept = _kept_places(desk, light=light)
        tried += [("LEDs as drawn, other currents", kept)] if kept else []
    for words, leds in tried:
        lean = lean_words(leds, drawn=desk.request.box.leds)
        said = dict.fromkeys((words, lean, start.words, variation.words))
        choice, spoilt = choose(
            desk,
            words=", ".join(filter(None, said)),
            panel=variation.panel,
            box=replace(variation.box, leds=leds),
        )
        if choice is None:
            continue
        lost = spoilt or (start.words and _lost_colour(choice))
        if lost:
            trials.left_out.append(f"{choice.words}: {lost}")
        else:
            trials.choices.append(choice)


def _lost_colour(choice: Choice) -> str:
    """Say which opening loses the colour that its start had; empty for none."""
    off = (one for one in choice.openings if not is_in_colour(one))
    return next((f"'{one.opening}' would be {one.colour.name}" for one in off if one.colour), "")


def _teller(tell: Tell, *, done: int, of: int, words: str) -> Callable[[str], None]:
    def say(what: str) -> None:
        tell(done, of, f"{words}: {what}")

    return say


def _desk(design: Design, *, request: Request) -> Desk | Refusal:
    """Gather what choices are made with, or say why there are none."""
    sub, box, panel = request.sub, request.box, request.panel
    led = led_to_place(request)
    if isinstance(led, Refusal):
        return led
    over, within = (one.outline for one in panel.openings), (one.outline for one in box.pillars)
    if any(flaw_of(one.corners) for one in (box.inside, *over, *within)):
        reason = "an outline of the box or its panel is not sound"
        return Refusal(reason=reason, remedy="mend first what check says")
    lead_mm = sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM
    base = floor_of(box, led=led, drills=design.drills, lead_mm=lead_mm)
    if box.pillars or box.baffles or led.tilt_deg:
        x, y = nearest_free(base, spot=(led.x_mm, led.y_mm))
        led = replace(led, x_mm=x, y_mm=y)
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
    circuit, told = judged(design, sub=sub, panel=panel, box=box, lead_mm=lead_mm)
    return Desk(
        design=design,
        request=request,
        led=led,
        wishes=tuple(wish for wish, _ in pairs),
        looks=tuple(look for _, look in pairs),
        span=_span(led.led_type),
        base=base,
        lead_mm=lead_mm,
        circuit=circuit,
        stem=(box.leds[0].name.rstrip("0123456789") if box.leds else "") or "L",
        taken=frozenset(one.name for one in sub.leds() if one not in box.leds),
        faults=troubles(told),
        beside=beside,
        neighbours=led_currents(strings_of(circuit), boxes=beside),
        passages=passages_of(trial),
    )


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
    return solved(
        desk,
        words="as drawn",
        panel=request.panel,
        box=request.box,
        strings=strings_of(desk.circuit),
    )


def _light(desk: Desk, *, variation: Variation) -> UnitLight | None:
    """Solve a variation for every place of the LED; None where the solver refuses it."""
    box = replace(variation.box, leds=(desk.led,))
    drawn = draw_box(variation.panel, box=box, currents=desk.neighbours, beside=desk.beside)
    if passages_of(drawn) != desk.passages or faults(drawn):
        return None
    (lamp,), (x, y, _) = drawn.scene.lamps, source_of(desk.led)
    if drawn.suite is None:
        return prepared(drawn.scene, lamp=lamp, wishes=desk.wishes, off_mm=(x, y))
    return prepared_together(
        drawn.suite, number=drawn.number, lamp=lamp, wishes=desk.wishes, off_mm=(x, y)
    )


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
    box = desk.request.box
    if not box.leds:
        return ()
    leds = [replace(led, led_type=desk.led.led_type) for led in box.leds]
    ring = clear_space(box)
    lamps = [lamp_of(led, box=box, ring=ring, current_A=led.current_A) for led in leds]
    fluxes = own_fluxes(
        light.aims,
        light=np.stack([light.by(lamp) for lamp in lamps]),
        span=desk.span,
        spare=SURE - 1.0,
    )
    if fluxes is None:
        return ()
    kept = tuple(
        replace(led, current_A=_current_A(float(flux), led=led))
        for led, flux in zip(leds, fluxes, strict=True)
    )
    return () if kept == box.leds else kept


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
        return f"proved: none of up to {most} will do in the box as drawn; {grid}"
    fewest = counted(min(enough), "LED")
    if proof.at_least >= min(enough):
        return f"proved: no fewer than {fewest} will do in the box as drawn; {grid}"
    return f"not settled whether fewer than {fewest} will do in the box as drawn; {grid}"
