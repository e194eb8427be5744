"""What may be changed about a box besides its LEDs: its depth, its finish, its films."""

from collections.abc import Iterator, Mapping
from math import floor

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.design.box_faces import finishes_in, repainted, repainted_faces
from lamphouse.design.lightbox import InnerDiffuser, LightBox
from lamphouse.design.panel import Layer, LayerKind, Opening, Panel
from lamphouse.light.clearance import room_for_sheet_mm
from lamphouse.light.gluing_grid import SNAP_MM, snapped
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm

DEPTH_FACTORS = (1.3, 0.75)
"""Depths tried, over the depth as drawn."""

MORE_DEPTH_FACTORS = (1.15, 1.5, 1.75, 0.85, 0.6)
"""Further depths of a thorough search."""

LEAST_INNER_REFLECTANCE = 0.3
"""An inner diffuser that throws back less hardly evens out anything [PRACTICE]."""

MOST_LIGHT_COST = 2.5
"""A denser film may cost at most this factor of light."""

BRIGHTER = 0.03
"""A finish must throw back this much more light to be worth the painting."""


class Means(Record):
    """What there is to change a box with."""

    films: Mapping[str, FilmType]
    finishes: Mapping[str, Finish]
    in_hand: frozenset[str]
    """Names of the films in the maker's drawer."""
    deepest_mm: float | None
    """Clear depth there is room for; None when the maker has not said."""
    leds: tuple[LedType, ...] = ()


class Variation(Record):
    """A box and its panel with one thing changed, or nothing."""

    words: str
    """What was changed, in the maker's words; empty for the box as drawn."""
    panel: Panel
    box: LightBox


def variations(panel: Panel, *, box: LightBox, means: Means, thorough: bool) -> Iterator[Variation]:
    """List the box as drawn, then with one thing changed at a time.

    Where there is no room for its depth, the box as deep as there is room for stands in for it.

    Parameters
    ----------
    panel, box
        As drawn.
    means
        What there is to change them with.
    thorough
        Whether to try every film and more depths.
    """
    if means.deepest_mm is not None and means.deepest_mm < box.depth_mm:
        yield from _shallower(panel, box=box, means=means, thorough=thorough)
        return
    yield Variation(words="", panel=panel, box=box)
    factors = (*DEPTH_FACTORS, *MORE_DEPTH_FACTORS) if thorough else DEPTH_FACTORS
    most = means.deepest_mm or max(factors) * box.depth_mm
    depths = [
        min(snapped(box.depth_mm * factor), floor(most / SNAP_MM) * SNAP_MM) for factor in factors
    ]
    for depth in dict.fromkeys(depths):
        if depth > 0.0 and depth != box.depth_mm:
            yield Variation(
                words=f"{depth:g} mm deep", panel=panel, box=replace(box, depth_mm=depth)
            )
    yield from _with_inner(panel, box=box, means=means, thorough=thorough)
    yield from _with_films(panel, box=box, means=means, thorough=thorough)
    yield from _with_finish(panel, box=box, means=means)


def _shallower(panel: Panel, *, box: LightBox, means: Means, thorough: bool) -> Iterator[Variation]:
    """List what there is room for; nothing where there is hardly any."""
    depth = floor((means.deepest_mm or 0.0) / SNAP_MM) * SNAP_MM
    if depth <= 0.0:
        return
    inner, share = box.inner_diffuser, depth / box.depth_mm
    lower = replace(
        box,
        depth_mm=depth,
        inner_diffuser=inner and replace(inner, height_mm=snapped(inner.height_mm * share)),
    )
    for one in variations(panel, box=lower, means=means, thorough=thorough):
        is_depth = one.box.depth_mm != depth
        words = (
            one.words if is_depth else ", ".join(filter(None, (f"{depth:g} mm deep", one.words)))
        )
        yield replace(one, words=words)


def _diffusers(means: Means) -> list[FilmType]:
    """List the diffusers there are, those in the drawer first."""
    films = [film for film in means.films.values() if film.use == LayerKind.DIFFUSER]
    return sorted(films, key=lambda film: film.name not in means.in_hand)


def _with_inner(
    panel: Panel, *, box: LightBox, means: Means, thorough: bool
) -> Iterator[Variation]:
    if box.inner_diffuser:
        bare = replace(box, inner_diffuser=None)
        yield Variation(words="without its inner diffuser", panel=panel, box=bare)
        return
    half = snapped(box.depth_mm / 2.0)
    useful = [film for film in _diffusers(means) if film.reflectance >= LEAST_INNER_REFLECTANCE]
    useful.sort(key=lambda film: (film.name not in means.in_hand, -film.transmittance))
    for film in useful if thorough else useful[:1]:
        height = room_for_sheet_mm(box, thickness_mm=film.thickness_mm, half_mm=half)
        if height is None:
            continue
        inner = InnerDiffuser(film=film, height_mm=height)
        yield Variation(
            words=f"'{film.name}' inside, {height:g} mm above the back",
            panel=panel,
            box=replace(box, inner_diffuser=inner),
        )


def _over(opening: Opening, *, box: LightBox) -> bool:
    """Tell whether an opening's bounds meet the box's."""
    left, bottom, right, top = bounds_mm(box.inside.corners)
    low_x, low_y, high_x, high_y = bounds_mm(opening.outline.corners)
    return low_x < right and high_x > left and low_y < top and high_y > bottom


def _filmed(opening: Opening, *, film: FilmType) -> Opening:
    """Put a film in place of an opening's first diffuser, or behind its layers."""
    new = Layer(kind=LayerKind.DIFFUSER, film=film)
    layers = list(opening.layers)
    for number, layer in enumerate(layers):
        if layer.kind is LayerKind.DIFFUSER:
            layers[number] = new
            break
    else:
        layers.insert(0, new)
    return replace(opening, layers=tuple(layers))


def _with_films(
    panel: Panel, *, box: LightBox, means: Means, thorough: bool
) -> Iterator[Variation]:
    filmed = [opening for opening in panel.openings if opening.layers and _over(opening, box=box)]
    present = [
        layer.film
        for opening in filmed
        for layer in opening.layers
        if layer.kind is LayerKind.DIFFUSER
    ]
    if not filmed:
        return
    least = min((film.transmittance for film in present), default=1.0) / MOST_LIGHT_COST
    densest = max((film.reflectance for film in present), default=0.0)
    useful = [
        film for film in _diffusers(means) if film not in present and film.transmittance >= least
    ]
    useful.sort(key=lambda film: (film.name not in means.in_hand, -film.reflectance))
    if not thorough:
        useful = [film for film in useful if film.reflectance > densest][:1]
    for film in useful:
        openings = tuple(
            _filmed(opening, film=film) if opening in filmed else opening
            for opening in panel.openings
        )
        yield Variation(
            words=f"'{film.name}' in front",
            panel=replace(panel, openings=openings),
            box=box,
        )


def _with_finish(panel: Panel, *, box: LightBox, means: Means) -> Iterator[Variation]:
    matt = [finish for finish in means.finishes.values() if finish.shine == "matt"]
    best = max(matt, key=lambda finish: finish.reflectance, default=box.finish)

    def is_darker(old: Finish) -> bool:
        return best.reflectance >= old.reflectance + BRIGHTER

    if any(map(is_darker, finishes_in(box))):
        painted = repainted(box, finish=best, instead_of=is_darker)
        faces = repainted_faces(painted, before=box)
        inside = "" if painted.finish == box.finish else "inside"
        on = f"on {', '.join(faces)}{' too' if inside else ''}" if faces else ""
        words = f"'{best.name}' {', '.join(filter(None, (inside, on)))}"
        yield Variation(words=words, panel=panel, box=painted)
