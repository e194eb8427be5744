"""Other ways to make a print: films, gels and white LEDs, ranked by how the artwork would read."""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.shelf import Shelf
from lamphouse.colour.artwork_fit import look_of, print_colours, reading
from lamphouse.design.artwork import Print
from lamphouse.design.panel import Layer, LayerKind
from lamphouse.design.place import Room
from lamphouse.light.layer_stack import has_colour
from lamphouse.plan.artworked import colours_of
from lamphouse.plan.printed_opening import MOST_FILMS, PrintPlace, backlit, inks_of, with_print
from lamphouse.record import Record

_TINTED = 2
"""Gels tried again with other LEDs."""
_SHOWN = 12


class PrintWay(Record):
    """One way to make a print, and how it reads with the artwork made for it."""

    films: int
    gel: str
    """Laid behind everything, besides what the opening has; empty for none."""
    led: str
    """Other LEDs of the same flux; empty for its own."""
    difference: float
    """Mean CIEDE2000 from the colours as drawn."""
    chroma_kept: float
    """Chroma seen over chroma drawn."""
    out_of_reach: float
    """Share of the picture that no ink brings near."""
    light: float
    """Luminance of clear places over that of the print as planned, at the same flux."""


class _Trial(Record):
    films: int
    gel: FilmType | None = None
    led: LedType | None = None


def ways(
    place: PrintPlace, *, print_: Print, layers: Sequence[Layer], shelf: Shelf, room: Room | None
) -> tuple[PrintWay, ...]:
    """Rank other films, gels and white LEDs by how the artwork would read.

    Parameters
    ----------
    place, print_, layers, room
        As for :func:`lamphouse.plan.artworked.study`; light cost is counted from ``layers``.
    shelf
        Where gels and LEDs come from.

    Returns
    -------
    tuple of PrintWay
        The best first: least mean difference, then most chroma kept. One film to three, each gel
        behind the best of them, each white LED in place of its own, and the best gels with each.
    """
    inks, (drawn, shares) = inks_of(print_), colours_of(print_.artwork)
    own = backlit(place, layers=layers, inks=inks, room=room).clear_cd_m2
    first = next(layer.count for layer in layers if layer.printed)

    def tried(trial: _Trial) -> PrintWay:
        stack = with_print(layers, print_=print_, films=trial.films, gel=trial.gel)
        lit = backlit(place, layers=stack, inks=inks, room=room, led=trial.led)
        look = look_of(lit, inks=inks)
        printed = print_colours(look, drawn)
        found = reading(look, drawn, printed=printed, weights=shares)
        return PrintWay(
            films=trial.films,
            gel=trial.gel.name if trial.gel else "",
            led=trial.led.name if trial.led else "",
            difference=found.difference,
            chroma_kept=found.chroma_kept,
            out_of_reach=found.out_of_reach,
            light=lit.clear_cd_m2 / own,
        )

    plain = [tried(_Trial(films=films)) for films in sorted({first, *range(1, MOST_FILMS + 1)})]
    films = min(plain, key=_rank).films
    gels, leds = list(_gels(shelf.film_types)), list(_whites(shelf.led_types, place=place))
    gelled = [tried(_Trial(films=films, gel=gel)) for gel in gels]
    lit = [tried(_Trial(films=films, led=led)) for led in leds]
    best = {way.gel for way in sorted(gelled, key=_rank)[:_TINTED]}
    both = [
        tried(_Trial(films=films, gel=gel, led=led))
        for gel in gels
        if gel.name in best
        for led in leds
    ]
    return tuple(sorted([*plain, *gelled, *lit, *both], key=_rank)[:_SHOWN])


def _rank(way: PrintWay) -> tuple[float, float, int, str, str]:
    return round(way.difference, 2), -round(way.chroma_kept, 3), way.films, way.gel, way.led


def _gels(films: Mapping[str, FilmType]) -> Iterator[FilmType]:
    return (film for film in films.values() if film.use == LayerKind.GEL and has_colour(film))


def _whites(leds: Mapping[str, LedType], *, place: PrintPlace) -> Iterator[LedType]:
    """Give one white LED of each colour temperature that the box has not, of its own size first."""
    own = {led.led_type.cct_K for led in place.box.leds}
    packages = {led.led_type.package for led in place.box.leds}
    found: dict[float, LedType] = {}
    for led in sorted(leds.values(), key=lambda one: one.package not in packages):
        if led.cct_K is not None and led.cct_K not in own:
            found.setdefault(led.cct_K, led)
    yield from found.values()
