"""Where to put the lamps of a box, and how many: searches that stand on the solver's linearity.

Searches run on a coarser mesh than figures do; whatever is promised must be solved again.
"""

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from lamphouse.light.fewest import Fewest, fewest
from lamphouse.light.gluing_grid import Floor, candidates, even_starts
from lamphouse.light.live import make_live
from lamphouse.light.moving import Sites, fits, move_about
from lamphouse.light.scene import Box, Lamp, Spot, Suite
from lamphouse.light.step_size import step_mm
from lamphouse.light.unit_light import Answering, Between, UnitLight, answering
from lamphouse.light.wishes import (
    FluxSpan,
    Standing,
    Wish,
    flux_span,
    middle_flux_lm,
    stand,
)
from lamphouse.record import Record, replace

COARSE = 1.5
"""Step of the searches over the solver's own: on boxes of everyday shape the evenness then moves by
less than 0.005."""

SEARCH_LINES, SEARCH_EYE_RAYS = 1 << 13, 64
"""Lines through open passages, in searches: what comes through moves by a hundredth or two."""

SURE = 1.01
"""Fit at which a search stops, so that the box solved again at full accuracy still does."""


SOLVED = 2
"""Layouts of each number of lamps that are solved, the most promising ones."""

PATIENCE = 4
"""Numbers of lamps without a better fit after which more are not tried."""


class Effort(Record):
    """How far a search goes; all of it counted, nothing timed."""

    sites: int
    """Places of the grid at most."""
    most_lamps: int
    beyond: int = 0
    """Larger numbers of lamps to try after the first that does."""
    nodes: int = 0
    """Branches of the integer programme at most; 0 leaves the proof out."""


class Layout(Record):
    """Lamps of equal flux at their places, as the search sees them."""

    sites: Sites
    flux_lm: float
    """Of each lamp."""
    fit: float
    in_class: bool
    """Whether this flux brings every opening into its class."""
    too_bright: bool
    """Whether the openings are above their classes with every lamp at its least."""

    @property
    def is_enough(self) -> bool:
        """Whether the search holds every wish for met."""
        return self.in_class and self.fit >= 1.0

    @property
    def is_sure(self) -> bool:
        """Whether it will still do so on a finer mesh."""
        return self.in_class and self.fit >= SURE


class Proof(Record):
    """What the integer programme says: with equal fluxes, on the spots of the search's mesh."""

    places: int
    """Places it chose among: the grid's, and those of every layout found."""
    at_least: int
    """No choice of fewer of these places meets the wishes."""


class Found(Record):
    """What a search found for one box."""

    layouts: tuple[Layout, ...]
    """The best of each number of lamps tried, fewest first."""
    grid_sites: int
    """Places of the grid."""
    grid_pitch_mm: float
    proof: Proof | None
    """None when it was left out."""


def _layout(sites: Sites, *, light: UnitLight, span: FluxSpan) -> Layout:
    standing: Standing = stand(light.aims, spots_cd_m2=light.over(sites).sum(axis=0))
    least, most = flux_span(light.aims, mean=standing.mean, span=span)
    return Layout(
        sites=sites,
        flux_lm=middle_flux_lm(light.aims, mean=standing.mean, span=span),
        fit=float(standing.fit),
        in_class=least <= most * (1.0 + 1e-9),
        too_bright=most < span.least_lm,
    )


class _Trial(Record):
    """What layouts are tried with."""

    light: UnitLight
    base: Floor
    span: FluxSpan

    def best(self, starts: Sequence[Sites]) -> Layout | None:
        """Move the lamps of each start about and keep the best.

        The surface picks the layouts that are solved, and is laid anew through what they gave
        before the best one is moved a last time; solved light alone decides.
        """
        if not starts:
            return None
        surface = self.light.surface()
        tried = list(dict.fromkeys([*starts, *(self._moved(one, surface) for one in starts)]))
        seeming = fits(self.light.aims, light=surface.over, layouts=tried)
        order = np.argsort(-seeming, kind="stable")
        first = self._solved([tried[number] for number in order[:SOLVED]])
        return self._solved([first.sites, self._moved(first.sites, self.light.surface())])

    def _moved(self, start: Sites, surface: Between) -> Sites:
        return move_about(start, aims=self.light.aims, light=surface.over, base=self.base)

    def _solved(self, picked: Sequence[Sites]) -> Layout:
        return max(
            (_layout(sites, light=self.light, span=self.span) for sites in picked),
            key=lambda made: (made.in_class, made.fit),
        )


def prepared(
    box: Box, *, lamp: Lamp, wishes: Sequence[Wish], off_mm: Spot = (0.0, 0.0)
) -> UnitLight:
    """Solve a box for every place of a lamp, on the mesh of searches.

    Parameters
    ----------
    box
        The box; its own lamps play no part.
    lamp
        What is placed: height, direction and beam.
    wishes
        At least one.
    off_mm
        From a place to the lamp that stands there.
    """
    bare = replace(box, lamps=())
    solved = make_live(bare, step=COARSE * step_mm(bare))
    return UnitLight(answering(solved), lamp=lamp, wishes=wishes, off_mm=off_mm)


def prepared_together(
    suite: Suite,
    *,
    number: int,
    lamp: Lamp,
    wishes: Sequence[Wish],
    off_mm: Spot = (0.0, 0.0),
) -> UnitLight:
    """Give the same for a box that shares openings with others, whose lamps shine as they are.

    Parameters
    ----------
    suite, number
        The boxes, and which of them; its own lamps play no part.
    lamp, wishes, off_mm
        As for a box that stands alone.
    """
    from lamphouse.light.suite_live import make_suite_live, others, response
    from lamphouse.light.suite_ready import Care

    care = Care(coarser=COARSE, lines=SEARCH_LINES, eye_rays=SEARCH_EYE_RAYS)
    solved = make_suite_live(suite, number=number, care=care, lamp_rays=0)
    return UnitLight(
        Answering(
            views=solved.views,
            respond=lambda lamp: response(solved, lamp=lamp),
            ground=others(solved, suite=suite),
        ),
        lamp=lamp,
        wishes=wishes,
        off_mm=off_mm,
    )


def search(
    light: UnitLight,
    *,
    span: FluxSpan,
    base: Floor,
    effort: Effort,
    known: Sequence[Sites] = (),
    tell: Callable[[str], None] = lambda _: None,
) -> Found:
    """Search places for lamps of equal flux.

    Parameters
    ----------
    light
        What one lamp gives from any place.
    span
        Flux one lamp can give.
    base
        The face they are glued to.
    effort
        How far to go.
    known
        Layouts to start from besides even rows.
    tell
        Told what is being done; stops the work by raising.

    Returns
    -------
    Found
        With no layout when no lamp fits anywhere.
    """
    sites, pitch = candidates(base, most=effort.sites)
    if not sites:
        return Found(layouts=(), grid_sites=0, grid_pitch_mm=pitch, proof=None)
    tell(f"{len(sites)} places")
    light.over(sites)
    trial = _Trial(light=light, base=base, span=span)
    layouts: dict[int, Layout] = {}
    last = effort.most_lamps
    count = 0
    while (count := count + 1) <= last:
        tell(f"{count} LED(s)")
        starts = [*even_starts(base, count=count)]
        starts += [own for own in known if len(own) == count and base.holds(own)]
        best = trial.best(starts)
        if best is not None:
            layouts[count] = best
            if best.is_sure:
                last = min(last, count + effort.beyond)
            if best.too_bright or _stalls(layouts, count=count):
                break
    proof = None
    if effort.nodes:
        tell(f"the fewest of {len(sites)} places")
        proof = _proved(trial, sites=sites, layouts=layouts, effort=effort)
    return Found(
        layouts=tuple(layouts[number] for number in sorted(layouts)),
        grid_sites=len(sites),
        grid_pitch_mm=pitch,
        proof=proof,
    )


def _stalls(layouts: Mapping[int, Layout], *, count: int) -> bool:
    """Tell whether the last few lamps brought no better fit."""
    before = [made.fit for number, made in layouts.items() if number <= count - PATIENCE]
    return bool(before) and max(before) >= max(made.fit for made in layouts.values())


def _proved(trial: _Trial, *, sites: Sites, layouts: dict[int, Layout], effort: Effort) -> Proof:
    """Prove the least number among the grid's places and all places of the layouts found.

    A choice with fewer lamps than the layouts have is moved about and kept with them.
    """
    enough = [count for count, made in layouts.items() if made.is_enough]
    at_most = min(enough, default=max(layouts, default=0) + 1) - 1
    places = list(dict.fromkeys([*sites, *(s for made in layouts.values() for s in made.sites)]))
    told = Fewest(chosen=(), at_least=1)
    if at_most:
        told = fewest(
            trial.light.aims,
            light=trial.light.over(places),
            span=trial.span,
            at_most=at_most,
            nodes=effort.nodes,
        )
    chosen = tuple(places[number] for number in told.chosen)
    if chosen and trial.base.holds(chosen):
        best = trial.best([chosen])
        if best is not None:
            layouts[len(chosen)] = best
    return Proof(places=len(places), at_least=told.at_least)
