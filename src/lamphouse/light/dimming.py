"""Currents and films that bring openings to their luminance: the sums are linear in the current."""

from collections.abc import Sequence
from math import ceil, sqrt
from typing import TypeAlias

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Layer, LayerKind, Opening
from lamphouse.light import sound_suite
from lamphouse.light.box_scene import draw_box
from lamphouse.light.glow_words import counted, in_cd_m2, in_current, rounded_up, together
from lamphouse.light.solved_box import Sight, SolvedBox, solve_box
from lamphouse.record import replace

NEUTRAL_GELS = ("neutral gel 0.3", "neutral gel 0.6", "neutral gel 0.9")
"""Films that only take light, tried from weak to strong."""


def nominal_A(led: Led, *, solved: SolvedBox) -> float:
    """Give the current through an LED as the circuit gives it, or as the maker wants it."""
    found = (current.nominal_A for current in solved.currents if current.led == led.name)
    return next(found, led.current_A)


def leds_of(solved: SolvedBox) -> tuple[Led, ...]:
    """List the LEDs whose light is in a box: its own, and those of boxes it shares openings with.

    Only with all their currents does the light of an opening go in proportion.
    """
    boxes = solved.drawn.together or (solved.drawn.box,)
    return tuple(led for box in boxes for led in box.leds)


def dimmable(solved: SolvedBox) -> tuple[float, float]:
    """Bound the factor on all currents of a lit box that keeps each LED on its forward curve."""
    spans = [
        (
            led.led_type.curve[0][0] / nominal_A(led, solved=solved),
            min(led.led_type.max_current_A, led.led_type.curve[-1][0])
            / nominal_A(led, solved=solved),
        )
        for led in leds_of(solved)
        if nominal_A(led, solved=solved) > 0.0
    ]
    return max(low for low, _ in spans), min(high for _, high in spans)


def wanted_factors(sights: Sequence[Sight]) -> tuple[float, float]:
    """Bound the factor on the light that suits every look; low lies above high when none does."""
    spans = [
        (
            sight.glow.look.least_cd_m2 / sight.glow.mean_cd_m2,
            sight.glow.look.most_cd_m2 / sight.glow.mean_cd_m2,
        )
        for sight in sights
        if sight.glow.look is not None and sight.glow.mean_cd_m2 > 0.0
    ]
    return max(low for low, _ in spans), min(high for _, high in spans)


def new_currents(factor: float, *, solved: SolvedBox, least: bool = False) -> str:
    """Say the currents of a box times a factor: ``0.5 mA through W1 and W2 (now 1.4 mA)``.

    As near as two digits come, or with ``least`` none below what the factor gives.
    """
    alike: dict[str, list[str]] = {}
    now: dict[str, str] = {}
    for led in leds_of(solved):
        current = nominal_A(led, solved=solved)
        wanted = current * factor
        words = in_current(rounded_up(wanted) if least and wanted > 0.0 else wanted)
        alike.setdefault(words, []).append(led.name)
        now[words] = in_current(current)
    return together(
        [f"{words} through {together(leds)} (now {now[words]})" for words, leds in alike.items()]
    )


Kind: TypeAlias = tuple[str, tuple[Layer, ...], tuple[tuple[float, float, float], ...]]
"""A gel, and the layers and the outline of the openings that it is laid before."""


def denser(
    solved: SolvedBox, *, sight: Sight, factor: float, tried: dict[Kind, float] | None = None
) -> str | None:
    """Find the neutral gel that, with the light times a factor, brings an opening into its class.

    Each gel tried is solved in its place before the eye; None when none does.

    Parameters
    ----------
    solved, sight
        The box and the opening.
    factor
        On the light.
    tried
        What passes each gel before openings of a kind, filled in: of fifty that are alike in layers
        and outline one is solved, and the others have its share of their own light.
    """
    look, opening = sight.glow.look, sight.window.opening
    tried = {} if tried is None else tried
    if look is None:
        return None
    for name in NEUTRAL_GELS:
        kind = name, opening.layers, _outline(opening)
        if kind not in tried:
            mean = _covered_cd_m2(solved, sight=sight, gel=name)
            if mean is None:
                return None
            tried[kind] = mean / sight.glow.mean_cd_m2
        mean = factor * tried[kind] * sight.glow.mean_cd_m2
        if look.least_cd_m2 <= mean <= look.most_cd_m2:
            return (
                f"lay '{name}' before '{opening.name}' and set "
                f"{new_currents(factor, solved=solved)} ({in_cd_m2(mean)})"
            )
    return None


def _outline(opening: Opening) -> tuple[tuple[float, float, float], ...]:
    """Give the outline of an opening, wherever it is, to a micrometre."""
    corners = opening.outline.corners
    x, y, _ = corners[0]
    return tuple((round(a - x, 3), round(b - y, 3), round(bulge, 6)) for a, b, bulge in corners)


def _covered_cd_m2(solved: SolvedBox, *, sight: Sight, gel: str) -> float | None:
    """Solve a box with a gel before an opening; None where that cannot be drawn."""
    drawn, opening = solved.drawn, sight.window.opening
    layer = Layer(kind=LayerKind.GEL, film=built_in().film_types[gel])
    covered = replace(opening, layers=(*opening.layers, layer))
    openings = tuple(covered if one == opening else one for one in drawn.panel.openings)
    changed = draw_box(
        replace(drawn.panel, openings=openings),
        box=drawn.box,
        beside=drawn.beside,
        currents={current.led: current for current in solved.currents},
    )
    if sound_suite.faults(changed):
        return None
    seen = solve_box(changed, currents=solved.currents, looks=(), room=None, without=frozenset())
    return seen.sights[sight.index].glow.mean_cd_m2


def ways_to_class(
    solved: SolvedBox, *, sight: Sight, tried: dict[Kind, float] | None = None
) -> str:
    """Say what brings an opening into its class of luminance.

    First the currents that bring every opening of the box into its class, at the middle of what is
    allowed; else those for this opening; else its LEDs at their least with a neutral gel, or more
    LEDs. ``tried`` as for ``denser``.
    """
    mean = sight.glow.mean_cd_m2
    if mean <= 0.0:
        return "no light reaches it: take out what stands before it, or a layer that passes none"
    low, high = wanted_factors(solved.sights)
    alone = low > high
    if alone:
        low, high = wanted_factors([sight])
    weakest, strongest = dimmable(solved)
    least, most = max(low, weakest), min(high, strongest)
    if least <= most:
        factor = sqrt(least * most)
        words = f"set {new_currents(factor, solved=solved)}: {in_cd_m2(factor * mean)}"
        others = (
            "; another opening of the box then leaves its class: give it a box or film of its own"
        )
        return words + (others if alone else "")
    if high < weakest:
        found = denser(solved, sight=sight, factor=weakest, tried=tried)
        return found or (
            "at the least current its LEDs are known at it still shows "
            f"{in_cd_m2(weakest * mean)}: use fewer LEDs, or a denser diffuser"
        )
    count = len(leds_of(solved))
    wanted = ceil(count * sqrt(low * high) / strongest)
    return (
        f"at the most its LEDs may carry it shows {in_cd_m2(strongest * mean)}: use about "
        f"{counted(wanted, 'LED')} of the kind in place of {count}, or a layer that passes more"
    )
