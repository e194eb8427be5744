"""Openings that carry a print, as the colour room wants them: layers, lamp, room and brightness."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import pi

import numpy as np

from lamphouse.catalogue.cells import nearest
from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.colour.artwork_look import Backlit, StackLayer
from lamphouse.colour.chain import cavity_gain
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.inks import INKJET, LASER, InkSet
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import SpectralSheet, pile
from lamphouse.colour.observer import photopic, room_light
from lamphouse.colour.print_chart import ChartFit, fit
from lamphouse.colour.printer import with_black
from lamphouse.colour.spectrum import Array
from lamphouse.design.artwork import Print, PrintChart, Printer
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Layer, LayerKind, Opening, Panel
from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.whole import Design
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.light.cover import area_of
from lamphouse.light.painted_faces import mean_paint
from lamphouse.light.scene import Box
from lamphouse.light.uprights import direction, segments
from lamphouse.record import Record, replace

MOST_FILMS = 3
"""Films with the same print on one another that are tried."""
PRINT_FILM = "print film"
"""What artwork is printed on where the project names no film."""
INKS = {Printer.INKJET: INKJET, Printer.LASER: LASER}
_IN_THE_DARK = "daylight"
_LEAST_CD_M2 = 1e-3


class PrintPlace(Record):
    """An opening with the box that lights it."""

    sub_assembly: str
    panel: str
    opening: Opening
    box: LightBox
    glow: BoxGlow
    shown: OpeningGlow

    @property
    def name(self) -> str:
        """Sub-assembly, panel and opening, from the outside in."""
        return f"{self.sub_assembly} / {self.panel} / {self.opening.name}"


def places(design: Design, *, glows: Sequence[BoxGlow]) -> Iterator[PrintPlace]:
    """Go through the openings that have a figure."""
    for glow in glows:
        for sub in design.sub_assemblies:
            if sub.name == glow.sub_assembly:
                yield from _places_of(sub, glow=glow)


def _places_of(sub: SubAssembly, *, glow: BoxGlow) -> Iterator[PrintPlace]:
    panel: Panel = next(panel for panel in sub.panels if panel.name == glow.panel)
    box = next(box for name, box in sub.boxes if (name, box.name) == (glow.panel, glow.box))
    openings = {opening.name: opening for opening in panel.openings}
    for shown in glow.openings:
        yield PrintPlace(
            sub_assembly=sub.name,
            panel=panel.name,
            opening=openings[shown.opening],
            box=box,
            glow=glow,
            shown=shown,
        )


def find(design: Design, *, glows: Sequence[BoxGlow], name: str) -> PrintPlace:
    """Find the opening that is meant.

    Parameters
    ----------
    design, glows
        As planned.
    name
        Of the opening, alone or behind its panel or sub-assembly: ``top / screen``.

    Raises
    ------
    LookupError
        If there is no such opening, or none that is lit, or more than one; the message says what
        there is.
    """
    there = list(places(design, glows=glows))
    wanted = [part.strip() for part in name.split("/")]
    meant = [one for one in there if one.name.split(" / ")[-len(wanted) :] == wanted]
    meant = meant or [one for one in there if wanted == [one.sub_assembly, one.opening.name]]
    if len(meant) == 1:
        return meant[0]
    if meant:
        full = ", ".join(f"'{one.name}'" for one in meant)
        several = f"there are {len(meant)} openings '{name}'; name one of {full}"
        raise LookupError(several)
    names = [one.opening.name for one in there]
    near = nearest(name, names)
    listed = ", ".join(dict.fromkeys(names)) or "none"
    nothing = f"no lit opening '{name}'; " + (
        f"did you mean '{near}'?" if near else f"there is: {listed}"
    )
    raise LookupError(nothing)


@lru_cache(maxsize=16)
def charted(chart: PrintChart, printer: Printer) -> ChartFit:
    """Find the inks that a chart's readings tell."""
    film = film_spectrum(chart.film).sheet
    return fit(typical=INKS[printer], film=film, lit=chart.lit, unlit=chart.unlit)


def inks_of(print_: Print) -> InkSet:
    """Give the printer's inks: by its chart, and its black as the maker measured it."""
    chart = print_.chart
    inks = charted(chart, print_.printer).inks if chart else INKS[print_.printer]
    return inks if print_.black_passes is None else with_black(inks, passes=print_.black_passes)


def lamp_light(place: PrintPlace) -> Array:
    """Give the light behind an opening's layers, in any unit. (81,).

    The LEDs by their flux, once through the inner diffuser, and as many times off the paint as a
    sphere of the box's size would have it; light that comes straight is taken along.
    """
    leds = {led.name: led.led_type for led in place.box.leds}
    whole = sum(
        lamp.flux_lm * lamp_spectrum(leds[lamp.name]).values
        for lamp in place.glow.scene.lamps
        if lamp.name in leds
    )
    if not np.any(whole):
        whole = room_light(_IN_THE_DARK).values
    return off_the_box(np.asarray(whole), place=place)


def _sheets(layers: Sequence[Layer]) -> list[SpectralSheet]:
    return [film_spectrum(layer.film).sheet for layer in layers for _ in range(layer.count)]


def off_the_box(light: Array, *, place: PrintPlace) -> Array:
    """Give what a box makes of the colour of a light."""
    paint = mean_paint(place.box, scene=place.glow.scene)
    stack = _sheets(place.opening.layers)
    back = pile(stack).rear_reflectance if stack else np.zeros_like(light)
    made = light * cavity_gain(paint, back=back, open_share=_open_share(place.glow.scene))
    inner = place.box.inner_diffuser
    return made if inner is None else made * film_spectrum(inner.film).sheet.transmittance


def _open_share(box: Box) -> float:
    """Give the area of a box's openings over that of all its faces."""
    around = sum(wall.length_mm for wall in segments(box) if not wall.is_baffle) * box.depth_mm
    faces = abs(direction(box.outline)) + around
    return min(sum(area_of(aperture.shape) for aperture in box.apertures) / faces, 1.0)


def stack_of(layers: Sequence[Layer], *, inks: InkSet) -> tuple[StackLayer, ...]:
    """Give layers one by one, from lamp to eye, ink on those that are printed."""
    return tuple(
        StackLayer(
            film=film_spectrum(layer.film).sheet,
            inks=inks if layer.printed else None,
            has_colour=layer.kind in (LayerKind.GEL, LayerKind.TINT)
            and bool(layer.film.dye or layer.film.measured or layer.film.photo),
        )
        for layer in layers
        for _ in range(layer.count)
    )


def backlit(
    place: PrintPlace,
    *,
    layers: Sequence[Layer],
    inks: InkSet,
    room: Room | None,
    led: LedType | None = None,
) -> Backlit:
    """Put layers before the box of an opening.

    Parameters
    ----------
    place
        The opening.
    layers
        Its own, or others to be tried: brightness follows what they pass.
    inks
        The printer's.
    room
        The room it is looked at in; None: in the dark.
    led
        Other LEDs of the same flux; its own without.
    """
    own_light = lamp_light(place)
    light = own_light if led is None else off_the_box(lamp_spectrum(led).values, place=place)
    own, tried = (
        _passed(some, light=lamp)
        for some, lamp in ((place.opening.layers, own_light), (layers, light))
    )
    room_lx = 0.0 if room is None else room.room_light_lx
    return Backlit(
        layers=stack_of(layers, inks=inks),
        lamp=light,
        clear_cd_m2=max(place.shown.mean_cd_m2 * tried / own if own else 0.0, _LEAST_CD_M2),
        room=room_light(_IN_THE_DARK if room is None else room.light_colour).values,
        room_lx=room_lx,
        box_reflectance=_box_reflectance(place, room_lx=room_lx),
    )


def _passed(layers: Sequence[Layer], *, light: Array) -> float:
    films = _sheets(layers)
    return float(photopic(light, pile(films).transmittance)) if films else 1.0


def _box_reflectance(place: PrintPlace, *, room_lx: float) -> float:
    """Give the reflectance of the box's mouth that makes its face what the glow says it is."""
    films = _sheets(place.opening.layers)
    if room_lx <= 0.0 or not films:
        return 0.0
    whole, light = pile(films), room_light("daylight").values
    face, rear, passed = (
        float(photopic(light, share))
        for share in (whole.face_reflectance, whole.rear_reflectance, whole.transmittance)
    )
    added = max(place.shown.room_cd_m2 * pi / room_lx - face, 0.0)
    return min(added / (passed**2 + added * rear), 1.0) if passed else 0.0


def _is_print(layer: Layer) -> bool:
    return layer.kind in (LayerKind.PRINT, LayerKind.DECAL)


def with_print(
    layers: Sequence[Layer],
    *,
    print_: Print,
    film: FilmType | None = None,
    films: int | None = None,
    gel: FilmType | None = None,
) -> tuple[Layer, ...]:
    """Give the layers of an opening with a print on them.

    Parameters
    ----------
    layers
        Its own, from lamp to eye.
    print_
        What is printed: on the layers that are printed already, else on all films for printing.
    film
        What it is printed on where there is no film for it.
    films
        How many films the first printed layer is made of; as many as it has without.
    gel
        Laid behind everything, towards the lamp.
    """
    has_print = any(layer.printed for layer in layers)
    own = [
        replace(layer, printed=print_)
        if (layer.printed if has_print else _is_print(layer))
        else layer
        for layer in layers
    ]
    if film and not any(layer.printed for layer in own):
        own.append(Layer(kind=LayerKind(film.use), film=film, printed=print_))
    if films is not None:
        first = next(number for number, layer in enumerate(own) if layer.printed)
        own[first] = replace(own[first], count=films)
    behind = (Layer(kind=LayerKind(gel.use), film=gel),) if gel else ()
    return (*behind, *own)
