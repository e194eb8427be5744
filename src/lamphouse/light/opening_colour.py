"""The colour of an opening: its lamps, paint and layers at each wavelength, before an eye.

What is left out: films in passages between boxes count as grey; of an inner diffuser the light
takes the colour once; where boxes are solved together, the share of direct light is a sphere's.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np

from lamphouse.catalogue.led_types import LedType
from lamphouse.colour.chain import (
    Part,
    Seen,
    Way,
    cavity_gain,
    luminance_factor,
    radiance,
    seen,
)
from lamphouse.colour.colour_words import name_of, surface_name
from lamphouse.colour.difference import difference
from lamphouse.colour.film_spectra import film_spectrum, is_known
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import SpectralSheet
from lamphouse.colour.observer import (
    chromaticity,
    luminance,
    room_light,
    under,
    uniform_chromaticity,
)
from lamphouse.colour.spectrum import GRID_NM, Array
from lamphouse.colour.temperature import temperature
from lamphouse.colour.wanted_colour import NEAR_LAB, ColourWish
from lamphouse.design.lightbox import Led
from lamphouse.design.place import Room
from lamphouse.light import front
from lamphouse.light.box_glow import OpeningColour
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.cover import area_of
from lamphouse.light.layer_stack import is_coloured
from lamphouse.light.room_light import inside_mm2, mean_grey, mean_paint
from lamphouse.light.sound_suite import solved_one
from lamphouse.record import replace

CLEAR = SpectralSheet(
    transmittance=np.ones_like(GRID_NM),
    rear_reflectance=np.zeros_like(GRID_NM),
    face_reflectance=np.zeros_like(GRID_NM),
)
"""What an open hole is to light."""


def _leds(drawn: Drawn) -> tuple[Led, ...]:
    """List the LEDs whose light can reach a box, in the order of the scene's lamps."""
    return tuple(led for box in drawn.together or (drawn.box,) for led in box.leds)


def _inside(lamp: Array, *, drawn: Drawn) -> Array:
    """Give the light of 1 lm of an LED as it is beyond the inner diffuser."""
    inner = drawn.box.inner_diffuser
    if inner is None:
        return lamp
    passed = lamp * film_spectrum(inner.film).sheet.transmittance
    through = float(luminance(passed))
    return np.asarray(passed / through) if through > 0.0 else lamp


def kinds_apart(
    drawn: Drawn, *, lit: Collection[int] | None = None
) -> Mapping[LedType, tuple[float, ...]]:
    """Solve boxes that share openings once for each kind of LED, where there are several.

    Parameters
    ----------
    lit
        Numbers of the boxes whose LEDs burn; then one kind is solved too. All without.

    Returns
    -------
    Mapping
        Mean luminance of each opening of the box by one kind alone, by grey sums. [cd/m2] Empty
        where boxes stand alone or all LEDs are of one kind.
    """
    kinds = tuple(dict.fromkeys(led.led_type for led in _leds(drawn)))
    if drawn.suite is None or (lit is None and len(kinds) < 2):
        return {}
    found = {}
    for kind in kinds:
        boxes = list(drawn.suite.boxes)  # holes through walls, which have no lamps, come last
        for number, design in enumerate(drawn.together):
            own = tuple(
                lamp
                for lamp, led in zip(boxes[number].lamps, design.leds, strict=True)
                if led.led_type == kind and (lit is None or number in lit)
            )
            boxes[number] = replace(boxes[number], lamps=own)
        if not any(box.lamps for box in boxes):
            continue
        solved = solved_one(replace(drawn.suite, boxes=tuple(boxes)), number=drawn.number)
        found[kind] = tuple(look.mean_cd_m2 for look in solved.looks)
    return found


def _by_lamp(drawn: Drawn, *, look: front.Look) -> Iterator[tuple[LedType, float, float]]:
    """Give what each LED adds to an opening, and the share of that which is direct."""
    leds, lamps = _leds(drawn), drawn.lamps()
    if look.lamp_cd_m2:
        for led, each, share in zip(leds, look.lamp_cd_m2, look.direct_share, strict=True):
            yield led.led_type, each, each * share
        return
    whole = sum(lamp.flux_lm for lamp in lamps) or 1.0
    for led, lamp in zip(leds, lamps, strict=True):
        each = look.mean_cd_m2 * lamp.flux_lm / whole
        yield led.led_type, each, each * (1.0 - drawn.scene.back_reflectance)


def parts_of(
    drawn: Drawn, *, look: front.Look, apart: Mapping[LedType, float] | None = None
) -> tuple[Part, ...]:
    """Divide the luminance of an opening among the kinds of LED that light it.

    Parameters
    ----------
    drawn
        The box.
    look
        The opening, as the solver gives it.
    apart
        Its luminance by each kind of LED alone, from :func:`kinds_apart`, where boxes of several
        kinds are solved together; without it these share an opening by their flux.
    """
    sums: dict[LedType, tuple[float, float]] = {}
    if apart and sum(apart.values()) > 0.0:
        share = look.mean_cd_m2 / sum(apart.values())
        direct = 1.0 - drawn.scene.back_reflectance
        sums = {kind: (share * each, share * each * direct) for kind, each in apart.items()}
    else:
        for kind, each, straight in _by_lamp(drawn, look=look):
            before, before_straight = sums.get(kind, (0.0, 0.0))
            sums[kind] = (before + each, before_straight + straight)
    return _parts(drawn, sums=sums)


def _parts(drawn: Drawn, *, sums: Mapping[LedType, tuple[float, float]]) -> tuple[Part, ...]:
    return tuple(
        Part(
            lamp=_inside(lamp_spectrum(kind).values, drawn=drawn),
            luminance_cd_m2=cd_m2,
            direct=straight / cd_m2 if cd_m2 > 0.0 else 0.0,
        )
        for kind, (cd_m2, straight) in sums.items()
    )


def own_and_others(
    drawn: Drawn, *, window: Window, look: front.Look
) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """Divide the luminance of an opening between the LEDs of its box and those of other boxes.

    Parameters
    ----------
    drawn, window, look
        A box that shares openings with others, the opening, and what the solver gives for it.

    Returns
    -------
    tuple
        Parts by the kinds of its own LEDs, and by those of the others.
    """
    index = next(number for number, one in enumerate(drawn.windows) if one is window)
    away = frozenset(range(len(drawn.together))) - {drawn.number}
    halves = [kinds_apart(drawn, lit=lit) for lit in ({drawn.number}, away)]
    whole = sum(means[index] for half in halves for means in half.values())
    share = look.mean_cd_m2 / whole if whole > 0.0 else 0.0
    direct = 1.0 - drawn.scene.back_reflectance
    own, others = (
        _parts(
            drawn,
            sums={
                kind: (share * means[index], share * means[index] * direct)
                for kind, means in half.items()
            },
        )
        for half in halves
    )
    return own, others


def way_of(drawn: Drawn, *, window: Window, sheet: SpectralSheet | None = None) -> Way:
    """Give what light goes through and off on its way to an opening.

    Parameters
    ----------
    drawn
        The box.
    window
        The opening.
    sheet
        Its layers, when others than its own are to be tried.
    """
    scene, stack = drawn.scene, window.stack
    own = sheet or (CLEAR if stack is None or stack.spectral is None else stack.spectral)
    open_mm2 = sum(area_of(aperture.shape) for aperture in scene.apertures)
    open_share = min(open_mm2 / inside_mm2(drawn), 1.0)
    paint = mean_paint(drawn)
    grey_back = 0.0 if stack is None else stack.rear_reflectance
    gain = cavity_gain(paint, back=own.rear_reflectance, open_share=open_share)
    grey = cavity_gain(np.array(mean_grey(drawn)), back=np.array(grey_back), open_share=open_share)
    return Way(
        passed=own.transmittance,
        grey_passed=1.0 if stack is None else stack.transmittance,
        gain=gain,
        grey_gain=float(grey),
    )


def is_as_wanted(colour: OpeningColour, *, wish: ColourWish) -> bool:
    """Tell whether an opening has a wanted colour; what guessed films leave open is forgiven."""
    u, v = colour.uv
    xyz = np.array([9.0 * u, 4.0 * v, 12.0 - 3.0 * u - 20.0 * v])
    lab = np.array(colour.lab)
    if wish.is_met(xyz, lab=lab):
        return True
    near = NEAR_LAB + colour.doubt
    return wish.lab is not None and bool(wish.miss(lab=lab, white=np.ones(3)) <= near)


def missed(colour: OpeningColour, *, wish: ColourWish, room: Room | None) -> float:
    """Give the CIEDE2000 difference of an opening, seen in its room, from what is wanted."""
    light = room_light("daylight" if room is None else room.light_colour).values
    white = under(light, np.ones_like(light))
    return float(wish.miss(lab=np.array(colour.lab), white=white * 100.0))


def _triple(values: Array) -> tuple[float, float, float]:
    one, two, three = (float(value) for value in values)
    return one, two, three


def _before_eye(parts: Sequence[Part], *, way: Way, face: Array, room: Room | None) -> Seen:
    light = room_light("daylight" if room is None else room.light_colour).values
    room_lx = 0.0 if room is None else room.room_light_lx
    return seen(radiance(parts, way=way), face=face, room=light, room_lx=room_lx)


def colour_of(
    drawn: Drawn,
    *,
    window: Window,
    look: front.Look,
    face: Array,
    room: Room | None,
    apart: Mapping[LedType, float] | None = None,
) -> OpeningColour | None:
    """Tell the colour of an opening.

    Parameters
    ----------
    drawn, window, look
        The box, the opening in it, and what the solver gives for it.
    face
        Reflectance of the opening's face. (81,)
    room
        The room it is looked at in; None: in the dark.
    apart
        As :func:`parts_of` takes it.

    Returns
    -------
    OpeningColour or None
        None when no light comes out, or a layer's colour is not known.
    """
    layers = window.opening.layers
    if any(is_coloured(layer.film) and not is_known(layer.film) for layer in layers):
        return None
    parts = parts_of(drawn, look=look, apart=apart)
    way = way_of(drawn, window=window)
    eye = _before_eye(parts, way=way, face=face, room=room)
    if not eye.lit[1] > 0.0:
        return None
    lab = eye.lab(eye.both)
    stack = window.stack
    off = _before_eye((), way=way, face=face, room=room)
    missed = [
        float(difference(lab, eye.lab(other.lit + eye.unlit)))
        for sheet in (() if stack is None else stack.doubts)
        for other in (
            _before_eye(parts, way=way_of(drawn, window=window, sheet=sheet), face=face, room=room),
        )
    ]
    pairs = [max(pair) for pair in zip(missed[::2], missed[1::2], strict=True)]
    look_of = eye.look(eye.both)
    white = temperature(eye.lit)
    u, v = uniform_chromaticity(eye.lit)
    is_dark = not eye.unlit[1] > 0.0
    x, y = (float(part) for part in chromaticity(eye.lit))
    return OpeningColour(
        xy=(x, y),
        name=name_of(eye.lit),
        cct_K=None if white is None else white.cct_K,
        duv=None if white is None else white.duv,
        lab=_triple(lab),
        lightness=float(look_of.lightness),
        colourfulness=float(look_of.colourfulness),
        hue_deg=float(look_of.hue_deg),
        unlit_name="" if is_dark else surface_name(off.unlit, white=off.viewing.white / off.scale),
        unlit_lab=None if is_dark else _triple(off.lab(off.unlit)),
        doubt=float(np.hypot.reduce(pairs)) if pairs else 0.0,
        factor=luminance_factor(parts, way=way),
        film_is_guessed=any(film_spectrum(layer.film).is_guessed for layer in layers),
        uv=(float(u), float(v)),
        lamps=tuple(Counter(led.led_type.name for led in _leds(drawn)).items()),
        films=tuple(layer.film.name for layer in layers for _ in range(layer.count)),
    )
