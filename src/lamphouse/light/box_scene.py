"""A light box and the panel before it, drawn as the solver's box.

What is left out: thickness of baffles and films, bodies and solder of LEDs, the wedges under tilted
ones, wires, strands, and the seams. The light of an LED is taken as proportional to its current;
typical parts give up to a fifth more per current at a tenth of the rated current [MEMORY], well
inside the spread of bins.
"""

from collections.abc import Callable, Mapping, Sequence
from math import cos, log, radians, sqrt

from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.light_spread import FilmHaze
from lamphouse.design.box_faces import (
    BACK,
    PANEL,
    baffle_finish,
    edge_finishes,
    finish_of,
    pillar_finish,
)
from lamphouse.design.led_body import body_of
from lamphouse.design.lightbox import InnerDiffuser, Led, LightBox
from lamphouse.design.panel import Layer, LayerKind, Opening, Outline, Panel
from lamphouse.light import scene
from lamphouse.light.box_glow import LedCurrent
from lamphouse.light.box_suite import connected, suite_of
from lamphouse.light.crossed_baffles import parted
from lamphouse.light.ended_baffles import all_ended
from lamphouse.light.layer_stack import Stack, fold, paint_share
from lamphouse.light.pillar_scene import rings_of_pillars
from lamphouse.light.scene import Lamp, Suite
from lamphouse.light.seated_leds import frame_of, source_of
from lamphouse.light.shared_walls import clear_space
from lamphouse.record import Record
from lamphouse.shapes.clearing import Plate, free_parts
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, area_mm2, bounds_mm, centroid_mm
from lamphouse.shapes.outline import circle_of
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import overlap_mm2

RIM_ERROR_MM = 0.02
"""The same for the rim of an opening."""

SLIVER = 1e-4
"""An opening over less of a box than this share of its area does not belong to it."""

Direction = tuple[float, float, float]


class Window(Record):
    """An opening over a light box, with what closes it."""

    opening: Opening
    stack: Stack | None
    """None: an open hole."""


class Drawn(Record):
    """A light box as the solver sees it, beside what it was drawn from."""

    panel: Panel
    box: LightBox
    windows: tuple[Window, ...]
    """One for each aperture of the scene, in its order."""
    scene: scene.Box
    beside: tuple[LightBox, ...] = ()
    """The other boxes behind the panel."""
    suite: Suite | None = None
    """The boxes it shares openings with and itself; None when it stands alone."""
    together: tuple[LightBox, ...] = ()
    """The boxes whose light can reach it and itself, as in the suite; none when it is alone."""
    number: int = 0
    """Its own number in the suite."""

    def lamps(self) -> tuple[Lamp, ...]:
        """List the lamps whose light can reach it."""
        if self.suite is None:
            return self.scene.lamps
        return tuple(lamp for box in self.suite.boxes for lamp in box.lamps)


def beam_of(beam_deg: float) -> scene.CosinePower:
    """Give ``cos^m`` with half its peak at half of a beam's full width.

    ``m = ln 0.5 / ln cos(beam / 2)``: 1 for 120 degrees, 0 for 180.
    """
    halved = cos(radians(beam_deg / 2.0))
    return scene.CosinePower(m=log(0.5) / log(halved) if halved > 1e-12 else 0.0)


def beam_by(led_type: LedType) -> scene.Beam:
    """Give the beam of an LED: by its points where it has them, else by its width."""
    if led_type.beam_points is None:
        return beam_of(led_type.beam_deg)
    angles, shares = zip(*led_type.beam_points, strict=True)
    return scene.IntensityTable(angles_deg=angles, relative=shares)


def flux_lm(led_type: LedType, *, current_A: float) -> float:
    """Flux of an LED at a current, in proportion to the flux of its row."""
    return led_type.flux_lm * current_A / led_type.flux_current_A


def place_of(led: Led, *, box: LightBox, ring: scene.Ring) -> tuple[Direction, Direction]:
    """Place the light of an LED, and the axis of its beam: square to its seat, or tilted from it.

    Parameters
    ----------
    led, box
        As the maker decided.
    ring
        The clear space of the box, anticlockwise.

    Returns
    -------
    tuple
        Place in the box and direction, each ``(x, y, z)``.
    """
    frame = frame_of(led, box=box, ring=ring)
    return frame.placed(source_of(led)), frame.turned(body_of(led).axis)


def lamp_of(led: Led, *, box: LightBox, ring: scene.Ring, current_A: float) -> scene.Lamp:
    """Give an LED of a box as the solver's lamp."""
    (x, y, z), axis = place_of(led, box=box, ring=ring)
    return scene.Lamp(
        name=led.name,
        x_mm=x,
        y_mm=y,
        z_mm=z,
        direction=axis,
        beam=beam_by(led.led_type),
        flux_lm=flux_lm(led.led_type, current_A=current_A),
    )


def shape_of(outline: Outline) -> scene.Shape:
    """Give the shape of an opening: a disc, an upright rectangle, or its flattened outline."""
    if outline.diameter_mm is not None:
        x, y = centroid_mm(outline.corners)
        return scene.Disc(x_mm=x, y_mm=y, diameter_mm=outline.diameter_mm)
    left, bottom, right, top = bounds_mm(outline.corners)
    upright = {(left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0)}
    if len(outline.corners) == len(upright) and set(outline.corners) == upright:
        return scene.Rectangle(left_mm=left, bottom_mm=bottom, right_mm=right, top_mm=top)
    return scene.Patch(ring=flatten(anticlockwise(outline.corners), error_mm=RIM_ERROR_MM))


def plates_of(panel: Panel) -> tuple[Plate, ...]:
    """List the overlays of a panel with their cut-outs."""
    return tuple(
        (overlay.outline.corners, tuple(cutout.outline.corners for cutout in overlay.openings))
        for overlay in panel.overlays
    )


def shown_of(opening: Opening, *, panel: Panel) -> tuple[scene.Shape, ...]:
    """List the parts of an opening that the panel's overlays leave free; none when all or nothing.

    Covered parts stay in the box: what passes there is lost, as behind a dark rear face.
    """
    free = free_parts(opening.outline.corners, under=plates_of(panel), error_mm=RIM_ERROR_MM)
    return tuple(
        shape_of(Outline(corners=part, words="", diameter_mm=ring.diameter_mm if ring else None))
        for part in free or ()
        for ring in (circle_of(part),)
    )


def fill_of(stack: Stack | None) -> scene.Diffuser | None:
    """Give what closes an opening; a clear stack too passes and throws back its shares."""
    if stack is None:
        return None
    return scene.Diffuser(
        transmittance=stack.transmittance,
        reflectance=min(stack.rear_reflectance, 1.0),
        haze=None if stack.haze is None else _haze_of(stack.haze),
    )


def _haze_of(haze: FilmHaze) -> scene.Haze:
    """Give a haze as the solver's: a Gaussian is ``2 sqrt(2 ln 2)`` deviations wide at its half."""
    return scene.Haze(
        diffuse=haze.even,
        lobe=haze.lobe,
        straight=haze.straight,
        lobe_deg=haze.width_deg / (2.0 * sqrt(2.0 * log(2.0))),
    )


def sheet_of(inner: InnerDiffuser, *, lamps: tuple[tuple[LedType, float], ...] = ()) -> scene.Sheet:
    """Give an inner diffuser as the solver's sheet, in the light of its lamps."""
    one = fold((Layer(kind=LayerKind(inner.film.use), film=inner.film),), lamps=lamps)
    return scene.Sheet(
        height_mm=inner.height_mm,
        transmittance=inner.film.transmittance if one is None else one.transmittance,
        reflectance=inner.film.reflectance if one is None else one.rear_reflectance,
    )


def kinds_of(box: LightBox) -> tuple[tuple[LedType, float], ...]:
    """List the kinds of LED in a box with the flux of each at the wanted currents. [lm]."""
    kinds: dict[LedType, float] = {}
    for led in box.leds:
        flux = flux_lm(led.led_type, current_A=led.current_A)
        kinds[led.led_type] = kinds.get(led.led_type, 0.0) + flux
    return tuple(kinds.items())


def windows_of(panel: Panel, *, box: LightBox) -> tuple[Window, ...]:
    """List the openings of a panel that lie over a light box, wholly or in part."""
    left, bottom, right, top = bounds_mm(box.inside.corners)
    lamps = kinds_of(box)
    over = []
    for opening in panel.openings:
        corners = opening.outline.corners
        low_x, low_y, high_x, high_y = bounds_mm(corners)
        apart = low_x >= right or high_x <= left or low_y >= top or high_y <= bottom
        if apart or overlap_mm2(corners, other=box.inside.corners) < SLIVER * area_mm2(corners):
            continue
        over.append(Window(opening=opening, stack=fold(opening.layers, lamps=lamps)))
    return tuple(over)


def draw_box(
    panel: Panel,
    *,
    box: LightBox,
    currents: Mapping[str, LedCurrent],
    beside: Sequence[LightBox] = (),
) -> Drawn:
    """Draw a light box as the solver's box, lamps at their nominal currents.

    Parameters
    ----------
    panel
        The panel before it, flat; its outlines sound.
    box
        With a sound outline. Its back, walls, baffles and the panel's inner face each have their
        finish, taken as matt.
    currents
        By LED; an LED that is not there burns at the current the maker wants.
    beside
        The other boxes behind the panel; those that share openings with it are drawn too, unless
        their outlines are not sound.

    Returns
    -------
    Drawn
        In the panel plane. Whether it can be solved is for ``sound_suite`` to say.
    """
    beside = tuple(one for one in beside if not flaw_of(one.inside.corners))
    windows = windows_of(panel, box=box)
    alone = _alone(panel, box=box, windows=windows, currents=currents)
    together = connected(box, beside=beside) if beside else (box,)
    suite = suite_of(
        together,
        drawn=lambda one: _alone(
            panel, box=one, windows=windows_of(panel, box=one), currents=currents
        ),
    )
    return Drawn(
        panel=panel,
        box=box,
        windows=windows,
        scene=alone,
        beside=beside,
        suite=suite,
        together=together if len(together) > 1 else (),
        number=0 if suite is None else together.index(box),
    )


def baffles_of(
    box: LightBox, *, paint: Callable[[Finish], float]
) -> tuple[tuple[int, scene.Baffle], ...]:
    """Give the baffles of a box as the solver's, parted where they cross, with their numbers.

    ``paint`` gives the reflectance of a finish.
    """
    spans = [baffle.span_mm(depth_mm=box.depth_mm) for baffle in box.baffles]
    drawn = [
        scene.Baffle(
            start_mm=baffle.start_mm,
            end_mm=baffle.end_mm,
            low_mm=low,
            high_mm=high,
            reflectance=paint(baffle_finish(box, baffle)),
        )
        for baffle, (low, high) in zip(box.baffles, spans, strict=True)
    ]
    return parted(all_ended(drawn, walls=clear_space(box), pillars=rings_of_pillars(box)))


def _alone(
    panel: Panel,
    *,
    box: LightBox,
    windows: Sequence[Window],
    currents: Mapping[str, LedCurrent],
) -> scene.Box:
    """Draw a light box by itself."""
    ring, pillars = clear_space(box), rings_of_pillars(box)
    lamps = kinds_of(box)

    def paint(finish: Finish) -> float:
        return paint_share(finish, lamps=lamps)

    walls = tuple(map(paint, edge_finishes(box, ring=ring)))
    for pillar, own in zip(box.pillars, pillars, strict=True):
        walls += (paint(pillar_finish(box, pillar)),) * len(own)
    return scene.Box(
        outline=ring,
        depth_mm=box.depth_mm,
        back_reflectance=paint(finish_of(box, BACK)),
        panel_reflectance=paint(finish_of(box, PANEL)),
        wall_reflectances=walls if len(set(walls)) > 1 else walls[:1],
        holes=pillars,
        lamps=tuple(
            lamp_of(
                led,
                box=box,
                ring=ring,
                current_A=currents[led.name].nominal_A if led.name in currents else led.current_A,
            )
            for led in box.leds
        ),
        apertures=tuple(
            scene.Aperture(
                name=window.opening.name,
                shape=shape_of(window.opening.outline),
                fill=fill_of(window.stack),
                shown=shown_of(window.opening, panel=panel),
            )
            for window in windows
        ),
        baffles=tuple(piece for _, piece in baffles_of(box, paint=paint)),
        sheet=None if box.inner_diffuser is None else sheet_of(box.inner_diffuser, lamps=lamps),
    )
