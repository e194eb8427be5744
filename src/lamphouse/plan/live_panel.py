"""A panel kept solved while its items are dragged: the field of every opening that is touched.

An LED that moves needs only its own light anew. Where an opening, a baffle or the inside of a box
moves, the box is solved again; so is every box that an LED's light reaches through passages. What
is given for a place is what the plan would give for it, but for the colour of an opening lit by
several kinds of LED: until the plan is made anew, their light counts as mixed as it was.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lamphouse.balance.led_currents import led_currents
from lamphouse.design.lightbox import Baffle, LightBox, Pillar
from lamphouse.design.panel import Outline, Panel
from lamphouse.light import live, sound_suite
from lamphouse.light.box_glow import BoxGlow, LedCurrent, colour_factor
from lamphouse.light.box_scene import Drawn, draw_box
from lamphouse.light.front import Look, judged
from lamphouse.light.live import Live
from lamphouse.light.live_picture import (
    LiveCanvas,
    lamp_pictures,
    make_live_canvases,
    still_pictures,
)
from lamphouse.light.scene import Lamp
from lamphouse.light.spot_picture import drawn_from_spots
from lamphouse.light.step_size import step_mm
from lamphouse.light.views import SMALL_HOLE
from lamphouse.plan.pictured import pictured
from lamphouse.plan.result import Plan
from lamphouse.record import Record, field, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle_of
from lamphouse.shapes.soundness import flaw_of

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Both = tuple[Floats, Floats]

LIVE_PIXELS_PER_MM = 3.0
"""Of what follows the pointer; what stands still is painted by ``plan.pictured``."""
MOST_PIXELS = 120_000
"""Of one opening; a larger one is painted coarser."""


class Draft(Record):
    """Where items of a panel are while they are dragged; what is not named is as in the plan."""

    leds: Mapping[str, Spot] = field(default_factory=dict)
    openings: Mapping[str, Corners] = field(default_factory=dict)
    insides: Mapping[str, Corners] = field(default_factory=dict)
    """Of light boxes, by name."""
    baffles: Mapping[tuple[str, str], tuple[Spot, Spot]] = field(default_factory=dict)
    """Ends, by box and baffle."""
    pillars: Mapping[tuple[str, str], Corners] = field(default_factory=dict)
    """By box and pillar."""

    @property
    def is_led_alone(self) -> bool:
        """Whether nothing but LEDs is moved."""
        return not (self.openings or self.insides or self.baffles or self.pillars)


class OpeningField(Record):
    """The luminance of one opening, without the room's light."""

    opening: str
    luminance_cd_m2: Floats
    """(rows, columns), lowest row first."""
    shown: Bools
    left_mm: float
    bottom_mm: float
    pixel_mm: float
    mean_cd_m2: float
    bar_cd_m2: float
    evenness: float
    hot_spot: float


class Unknown(Record):
    """A box that cannot be solved as it is dragged."""

    box: str
    why: str


@dataclass(slots=True, kw_only=True)
class _Kept:
    """A box with its solved operators, and its lamps that stand still."""

    drawn: Drawn
    factor: Mapping[str, float]
    """What colour makes of grey sums, by opening."""
    solved: "Live | None" = None
    canvases: tuple[LiveCanvas, ...] = ()
    still: tuple[frozenset[str], tuple[Floats, ...], tuple[Both, ...]] | None = None
    """Names of the lamps that move, and what all others give: pictures, and spots."""


class LivePanel:
    """One panel of a plan, its boxes solved when they are first touched."""

    def __init__(self, plan: Plan, *, sub_assembly: str, panel: str) -> None:
        """Take a panel.

        Raises
        ------
        LookupError
            If the plan has no such panel.
        """
        sub = next((one for one in plan.design.sub_assemblies if one.name == sub_assembly), None)
        found = next((one for one in sub.panels if one.name == panel), None) if sub else None
        if sub is None or found is None:
            raise LookupError(panel)
        self.panel: Panel = found
        self.boxes = tuple(box for behind, box in sub.boxes if behind == panel)
        circuit = next((one for one in plan.circuits if one.sub_assembly == sub.name), None)
        self._currents: dict[str, LedCurrent] = led_currents(
            circuit.strings if circuit else (), boxes=self.boxes
        )
        self._glows = {
            glow.box: glow
            for glow in plan.glows
            if (glow.sub_assembly, glow.panel) == (sub.name, panel)
        }
        self._kept: dict[str, _Kept] = {}

    def as_planned(self) -> Iterator[OpeningField]:
        """Give the field of every opening that has figures, as the plan has it."""
        for glow in self._glows.values():
            named = {one.opening: one for one in glow.openings}
            fineness = min(LIVE_PIXELS_PER_MM, _fineness_of([one.shape for one in glow.openings]))
            painted = pictured(glow, pixels_per_mm=fineness)
            for aperture, picture in zip(glow.scene.apertures, painted.pictures, strict=True):
                if (one := named.get(aperture.name)) is not None:
                    yield OpeningField(
                        opening=one.opening,
                        luminance_cd_m2=picture.luminance_cd_m2,
                        shown=picture.shown,
                        left_mm=picture.left_mm,
                        bottom_mm=picture.bottom_mm,
                        pixel_mm=picture.pixel_mm,
                        mean_cd_m2=one.mean_cd_m2,
                        bar_cd_m2=one.bar_cd_m2,
                        evenness=one.evenness,
                        hot_spot=one.hot_spot,
                    )

    def make_ready(self) -> None:
        """Solve every box that stands alone, so that the first drag need not wait for it."""
        for box in self.boxes:
            drawn = self._draw(box, panel=self.panel, boxes=self.boxes)
            if box.name not in self._kept and drawn.suite is None and not _why_not(drawn):
                self._keep(box)

    def fields(self, draft: Draft) -> Iterator[OpeningField | Unknown]:
        """Give the field of every opening whose light the draft changes."""
        flaw = next(
            (
                f"'{name}' {flaw.words}"
                for name, corners in (
                    *draft.openings.items(),
                    *draft.insides.items(),
                    *((name, corners) for (_, name), corners in draft.pillars.items()),
                )
                if (flaw := flaw_of(corners))
            ),
            "",
        )
        if flaw:
            yield Unknown(box="", why=flaw)
            return
        shares_light = any(box.passages for box in self.boxes)
        for box in self.boxes:
            moved = {led.name for led in box.leds} & draft.leds.keys()
            if draft.is_led_alone and not shares_light:
                if moved:
                    yield from self._with_leds(box, moved=frozenset(moved), draft=draft)
            else:
                yield from self._anew(box, draft=draft)

    def _draw(self, box: LightBox, *, panel: Panel, boxes: Sequence[LightBox]) -> Drawn:
        beside = tuple(one for one in boxes if one.name != box.name)
        together = beside if any(one.passages for one in boxes) else ()
        return draw_box(panel, box=box, currents=self._currents, beside=together)

    def _with_leds(
        self, box: LightBox, *, moved: frozenset[str], draft: Draft
    ) -> Iterator[OpeningField | Unknown]:
        """Give the fields of a box whose lamps alone have moved."""
        drawn = self._draw(_with_places(box, leds=draft.leds), panel=self.panel, boxes=self.boxes)
        why = _why_not(drawn)
        if why:
            yield Unknown(box=box.name, why=why)
            return
        kept = self._kept.get(box.name)
        if kept is None:
            kept = self._keep(box)
        solved, lamps = kept.solved, drawn.scene.lamps
        if solved is None:
            return
        pictures, spots = _still(kept, lamps=lamps, moved=moved)
        for lamp in lamps:
            if lamp.name not in moved:
                continue
            first = live.first_of(solved, lamp=lamp)
            own = lamp_pictures(solved, canvases=kept.canvases, lamp=lamp, first=first)
            answer = live.response(solved, lamp=lamp, first=first)
            for number, (picture, (fine, coarse)) in enumerate(zip(own, answer, strict=True)):
                pictures[number] = pictures[number] + lamp.flux_lm * picture
                was = spots[number]
                spots[number] = (was[0] + lamp.flux_lm * fine, was[1] + lamp.flux_lm * coarse)
        for one, view, picture, (fine, coarse) in zip(
            kept.canvases, solved.views, pictures, spots, strict=True
        ):
            look = judged(view, fine=fine, coarse=coarse, interior=solved.interior)
            yield _field(
                look,
                factor=kept.factor[look.name],
                luminance=picture,
                shown=one.canvas.shown,
                left_mm=one.canvas.left_mm,
                bottom_mm=one.canvas.bottom_mm,
                pixel_mm=one.canvas.pixel_mm,
            )

    def _keep(self, box: LightBox) -> _Kept:
        drawn = self._draw(box, panel=self.panel, boxes=self.boxes)
        solved = live.make_live(drawn.scene)
        glow = self._glows.get(box.name)
        kept = _Kept(
            drawn=drawn,
            factor=_factors(drawn, glow=glow),
            solved=solved,
            canvases=make_live_canvases(solved, pixels_per_mm=_fineness(drawn)),
        )
        self._kept[box.name] = kept
        return kept

    def _anew(self, box: LightBox, *, draft: Draft) -> Iterator[OpeningField | Unknown]:
        """Solve a box again, where the draft leaves it another one."""
        panel = _with_openings(self.panel, openings=draft.openings)
        boxes = [_changed(one, draft=draft) for one in self.boxes]
        own = next(one for one in boxes if one.name == box.name)
        drawn = self._draw(own, panel=panel, boxes=boxes)
        before = self._draw(box, panel=self.panel, boxes=self.boxes)
        if (drawn.scene, drawn.suite) == (before.scene, before.suite):
            return
        why = _why_not(drawn)
        if why:
            yield Unknown(box=box.name, why=why)
            return
        looks = sound_suite.solve(drawn).looks
        glow, factor = self._glows.get(box.name), _factors(drawn, glow=self._glows.get(box.name))
        if drawn.suite is not None:
            small_mm = SMALL_HOLE * step_mm(drawn.scene)
            pictures = [
                drawn_from_spots(
                    look, aperture=aperture, pixels_per_mm=_fineness(drawn), small_mm=small_mm
                )
                for look, aperture in zip(looks, drawn.scene.apertures, strict=True)
            ]
        else:
            bare = BoxGlow(
                box=box.name,
                panel=panel.name,
                sub_assembly=glow.sub_assembly if glow else "",
                where=box.where,
                scene=drawn.scene,
                openings=(),
                emitted_lm=0.0,
                absorbed_lm=0.0,
                escaped_lm=0.0,
            )
            pictures = list(pictured(bare, pixels_per_mm=_fineness(drawn)).pictures)
        for look, picture in zip(looks, pictures, strict=True):
            yield _field(
                look,
                factor=factor[look.name],
                luminance=picture.luminance_cd_m2,
                shown=picture.shown,
                left_mm=picture.left_mm,
                bottom_mm=picture.bottom_mm,
                pixel_mm=picture.pixel_mm,
            )


def _why_not(drawn: Drawn) -> str:
    """Say why a box has no figures as it is dragged; empty when it has."""
    faults = sound_suite.faults(drawn)
    if not faults:
        return ""
    worst = faults[0]
    return f"no glow here: {str(worst.kind).replace('_', ' ')} {worst.item}".strip()


def _still(
    kept: _Kept, *, lamps: tuple[Lamp, ...], moved: frozenset[str]
) -> tuple[list[Floats], list[Both]]:
    """Give what the lamps that stand still show; kept while the same ones move."""
    if kept.solved is None:
        return [], []
    if kept.still is None or kept.still[0] != moved:
        rest = tuple(lamp for lamp in lamps if lamp.name not in moved)
        pictures = still_pictures(kept.solved, canvases=kept.canvases, lamps=rest)
        none = tuple(
            (np.zeros(len(view.area_mm2)), np.zeros(len(view.area_mm2)))
            for view in kept.solved.views
        )
        for lamp in rest:
            answer = live.response(kept.solved, lamp=lamp)
            none = tuple(
                (was[0] + lamp.flux_lm * fine, was[1] + lamp.flux_lm * coarse)
                for was, (fine, coarse) in zip(none, answer, strict=True)
            )
        kept.still = (moved, pictures, none)
    return list(kept.still[1]), list(kept.still[2])


def _field(
    look: Look,
    *,
    factor: float,
    luminance: Floats,
    shown: Bools,
    left_mm: float,
    bottom_mm: float,
    pixel_mm: float,
) -> OpeningField:
    return OpeningField(
        opening=look.name,
        luminance_cd_m2=factor * luminance,
        shown=shown,
        left_mm=left_mm,
        bottom_mm=bottom_mm,
        pixel_mm=pixel_mm,
        mean_cd_m2=factor * look.mean_cd_m2,
        bar_cd_m2=factor * look.bar_cd_m2,
        evenness=look.smallest_over_mean,
        hot_spot=look.largest_over_mean,
    )


def _factors(drawn: Drawn, *, glow: BoxGlow | None) -> dict[str, float]:
    return {
        one.name: colour_factor(glow, opening=one.name) if glow else 1.0
        for one in drawn.scene.apertures
    }


def _fineness(drawn: Drawn) -> float:
    """Give the pixels to the millimetre at which the openings of a box are painted."""
    return _fineness_of([window.opening.outline for window in drawn.windows])


def _fineness_of(outlines: Sequence[Outline]) -> float:
    largest = 1e-9
    for outline in outlines:
        left, bottom, right, top = bounds_mm(outline.corners)
        largest = max(largest, (right - left) * (top - bottom))
    return float(min(LIVE_PIXELS_PER_MM, np.sqrt(MOST_PIXELS / largest)))


def _with_places(box: LightBox, *, leds: Mapping[str, Spot]) -> LightBox:
    return replace(
        box,
        leds=tuple(
            replace(led, x_mm=leds[led.name][0], y_mm=leds[led.name][1])
            if led.name in leds
            else led
            for led in box.leds
        ),
    )


def _outline(corners: Corners, *, words: str) -> Outline:
    ring = circle_of(corners)
    return Outline(corners=corners, words=words, diameter_mm=ring.diameter_mm if ring else None)


def _with_openings(panel: Panel, *, openings: Mapping[str, Corners]) -> Panel:
    return replace(
        panel,
        openings=tuple(
            replace(one, outline=_outline(openings[one.name], words=one.outline.words))
            if one.name in openings
            else one
            for one in panel.openings
        ),
    )


def _changed(box: LightBox, *, draft: Draft) -> LightBox:
    """Give a box as the draft has it."""

    def stood(baffle: Baffle) -> Baffle:
        ends = draft.baffles.get((box.name, baffle.name))
        return replace(baffle, start_mm=ends[0], end_mm=ends[1]) if ends else baffle

    def put(pillar: Pillar) -> Pillar:
        corners = draft.pillars.get((box.name, pillar.name))
        outline = _outline(corners, words=pillar.outline.words) if corners else pillar.outline
        return replace(pillar, outline=outline)

    made = replace(
        _with_places(box, leds=draft.leds),
        baffles=tuple(stood(one) for one in box.baffles),
        pillars=tuple(put(one) for one in box.pillars),
    )
    inside = draft.insides.get(box.name)
    return replace(made, inside=_outline(inside, words=box.inside.words)) if inside else made
