"""A panel in colour as the eye sees it: lit in the dark, lit in the room, and unlit, side by side.

The eye takes a white sheet in the room's light for white, in the dark daylight. The screen's white
is that sheet, or darker where an opening would be too bright for the screen. A print that the
project names lies in its opening as made for its lamp. Openings without figures are black.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.artwork_look import eye
from lamphouse.colour.colour_cube import cube_of, read_pixels
from lamphouse.colour.display import SRGB, WIDE, Screen, encode, fitted, linear_of
from lamphouse.colour.lab import from_lab
from lamphouse.colour.observer import room_light, under
from lamphouse.colour.spectrum import Array
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.picture import Picture
from lamphouse.outputs.artwork_tile import tile_of
from lamphouse.outputs.glow_picture import FACE_REFLECTANCE, Window, resampled, solid_of, window_of
from lamphouse.outputs.picture_sheet import Cell, sheet_of, striped
from lamphouse.outputs.png import encode as write_png
from lamphouse.plan.artworked import ArtworkStudy
from lamphouse.plan.pictured import Pictured
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm, size_mm

_LONGEST_PX = 640
"""Longer side of one picture."""
_MOST_PER_MM = 10.0
_OUTSIDE = 0.005
"""Colours that would need so much less than none of a primary are marked."""
_SOME_LX = 100.0
_SOME_ROOM = Room(
    width_mm=1.0,
    depth_mm=1.0,
    height_mm=1.0,
    room_light_lx=_SOME_LX,
    viewing_distance_mm=600.0,
)
"""Stands in where a project names no room: only its light's colour and amount are used."""
_LEAST_CD_M2 = 1e-6
_WHITE = np.array([0.95, 1.0, 1.09])
"""X, Y, Z of light whose colour is not known, at a luminance of 1."""


class PanelLight(Record, eq=False):
    """What leaves a panel, pixel by pixel, the lowest row first; X, Y, Z with Y in cd/m2."""

    lit: Array
    """By its own lamps. (rows, columns, 3)"""
    thrown: Array
    """Of the room's light."""
    shown: Array
    """Share of each pixel that is panel."""
    pixels_per_mm: float


def panel_colours(
    panel: Panel,
    *,
    lit: Sequence[Pictured],
    prints: Mapping[str, ArtworkStudy],
    room: Room | None,
    is_wide: bool,
) -> bytes:
    """Make the pictures of a panel.

    Parameters
    ----------
    panel
        The panel; a curved one as it lies flat.
    lit
        The boxes behind it whose glow was computed.
    prints
        What is printed for its openings, by name.
    room
        The room it is looked at in; None: only the dark.
    is_wide
        Whether for a wide-gamut screen.

    Returns
    -------
    bytes
        A PNG of all pictures side by side.
    """
    light = light_of_panel(panel, lit=lit, prints=prints, room=room)
    return colour_sheet(light, title=panel.name, room=room, is_wide=is_wide)


def colour_sheet(light: PanelLight, *, title: str, room: Room | None, is_wide: bool) -> bytes:
    """Make the pictures of a panel of which is known what leaves it, as :func:`panel_colours`."""
    screen = WIDE if is_wide else SRGB
    cells = list(_cells(light, room=room, screen=screen))
    return sheet_of([cells], title=title, screen=screen)


class Seen(Record):
    """A panel as the eye sees it in one light."""

    words: str
    png: bytes
    """In sRGB, the panel on white."""


def pictures_of(
    panel: Panel,
    *,
    lit: Sequence[Pictured],
    prints: Mapping[str, ArtworkStudy],
    room: Room | None,
    longest_px: int,
) -> tuple[Seen, ...]:
    """Make the same pictures one by one, for paper.

    Parameters
    ----------
    panel, lit, prints, room
        As for :func:`panel_colours`.
    longest_px
        Longer side of a picture.
    """
    light = light_of_panel(panel, lit=lit, prints=prints, room=room, longest_px=longest_px)
    per_mm = light.pixels_per_mm
    return tuple(
        Seen(
            words=cell.words,
            png=write_png(cell.pixels[::-1], pixels_per_mm=per_mm, words={"Title": panel.name}),
        )
        for cell in _cells(light, room=room, screen=SRGB)
    )


def panel_in_light(
    panel: Panel,
    *,
    lit: Sequence[Pictured],
    prints: Mapping[str, ArtworkStudy],
    room: Room | None,
    lx: float,
    longest_px: int,
    ground: tuple[float, float, float],
) -> bytes:
    """Make one picture of a panel, its lamps lit, in a room as light as one wants.

    Parameters
    ----------
    panel, lit, prints, room
        As for :func:`panel_colours`; without a room its light is daylight.
    lx
        Illuminance on the panel, 0 for the dark.
    longest_px
        Longer side of the picture.
    ground
        Colour of what is round the panel: red, green and blue of the screen, 0 to 1.

    Returns
    -------
    bytes
        A PNG in sRGB.
    """
    judged = judged_room(room)
    light = light_of_panel(panel, lit=lit, prints=prints, room=judged, longest_px=longest_px)
    white = white_at(lx, room=judged)
    seen = light.lit + lx / judged.room_light_lx * light.thrown
    values, _ = _seen(seen, light=light, white=white, screen=SRGB, ground=ground)
    per_mm = max(values.shape[:2]) / max(size_mm(panel.outline.corners))
    return write_png(_bytes(values), pixels_per_mm=per_mm, words={"Title": "lit panel"})


def prints_of(
    studies: Iterable[ArtworkStudy], *, sub_assembly: str, panel: str
) -> dict[str, ArtworkStudy]:
    """Pick what is printed for the openings of a panel, by their names."""
    return {
        one.place.opening.name: one
        for one in studies
        if (one.place.sub_assembly, one.place.panel) == (sub_assembly, panel)
    }


def judged_room(room: Room | None) -> Room:
    """Give a room with some light: the project's own, in which its figures are judged."""
    judged_lx = (room.room_light_lx if room else 0.0) or _SOME_LX
    return replace(room or _SOME_ROOM, room_light_lx=judged_lx)


def white_at(lx: float, *, room: Room) -> Array:
    """Give X, Y, Z of what the eye takes for white in a room as light as one wants. (3,)."""
    colour = room.light_colour if lx else "daylight"
    return under(room_light(colour).values, np.ones(81)) * max(lx / pi, _LEAST_CD_M2)


def _cells(light: PanelLight, *, room: Room | None, screen: Screen) -> Iterator[Cell]:
    daylight = under(room_light("daylight").values, np.ones(81)) * _LEAST_CD_M2
    yield _cell("lit in the dark", light.lit, light=light, white=daylight, screen=screen)
    if room is None or room.room_light_lx <= 0.0:
        return
    lx = room.room_light_lx
    paper = under(room_light(room.light_colour).values, np.ones(81)) * lx / pi
    both = light.lit + light.thrown
    yield _cell(f"lit at {lx:g} lx", both, light=light, white=paper, screen=screen)
    yield _cell(f"unlit at {lx:g} lx", light.thrown, light=light, white=paper, screen=screen)


def _cell(words: str, xyz: Array, *, light: PanelLight, white: Array, screen: Screen) -> Cell:
    """Show light to an eye, and mark what the screen cannot show."""
    ground = (1.0, 1.0, 1.0)
    values, outside = _seen(xyz, light=light, white=white, screen=screen, ground=ground)
    return Cell(words=words, pixels=striped(_bytes(values)[::-1], where=outside[::-1]))


def _bytes(values: Array) -> NDArray[np.uint8]:
    return np.rint(values * 255.0).astype(np.uint8)


def _seen(
    xyz: Array,
    *,
    light: PanelLight,
    white: Array,
    screen: Screen,
    ground: tuple[float, float, float],
) -> tuple[Array, NDArray[np.bool_]]:
    """Show light to an eye that takes a white for white, as bright as the screen allows.

    Returns
    -------
    tuple of ndarray
        Values of the screen, 0 to 1, and where it cannot show what is seen.
    """
    # most of a panel is its face, all of one colour, which is worked out once
    plain = xyz[0, 0]
    other = (xyz[..., 0] != plain[0]) | (xyz[..., 1] != plain[1]) | (xyz[..., 2] != plain[2])
    where = np.where(other, np.cumsum(other).reshape(other.shape), 0)
    colours = np.concatenate((plain[None], xyz[other]))
    linear = linear_of(colours @ eye(white, full_cd_m2=1.0).T, screen=screen)
    full = max(float(linear.max()), float(white[1]), _LEAST_CD_M2)
    outside = np.asarray(linear.min(axis=-1) < -_OUTSIDE * full)
    seen = encode(fitted(linear / full, screen=screen))[where]
    share = light.shown[..., None]
    return share * seen + (1.0 - share) * np.array(ground), outside[where]


def light_of_panel(
    panel: Panel,
    *,
    lit: Sequence[Pictured],
    prints: Mapping[str, ArtworkStudy],
    room: Room | None,
    longest_px: int = _LONGEST_PX,
) -> PanelLight:
    """Lay out what leaves a panel, its lamps at their nominal currents.

    Parameters
    ----------
    panel, lit, prints, room
        As for :func:`panel_colours`.
    longest_px
        Longer side of the grid.
    """
    wide, high = size_mm(panel.outline.corners)
    per_mm = min(_MOST_PER_MM, longest_px / max(wide, high))
    left, bottom, _, _ = bounds_mm(panel.outline.corners)
    corner = (left, bottom)
    shape = (max(1, round(high * per_mm)), max(1, round(wide * per_mm)))
    face = _in_room(room) * FACE_REFLECTANCE
    lamps, thrown = np.zeros((*shape, 3)), np.broadcast_to(face, (*shape, 3)).copy()
    found = {
        aperture.name: (picture, opening)
        for box in lit
        for aperture, picture in zip(box.glow.scene.apertures, box.pictures, strict=True)
        for opening in box.glow.openings
        if opening.opening == aperture.name
    }
    for opening in panel.openings:
        window = window_of(opening.outline, corner, shape, per_mm)
        share = window.cover[..., None]
        own = lamps[window.rows, window.columns], thrown[window.rows, window.columns]
        if opening.name not in found:
            for part in own:
                part *= 1.0 - share
            continue
        picture, glow = found[opening.name]
        colours = _colours(picture, glow, window, study=prints.get(opening.name), room=room)
        for part, colour in zip(own, colours, strict=True):
            part += share * (colour - part)
    for overlay in panel.overlays:
        solid = solid_of(overlay, corner, shape, per_mm)[..., None]
        lamps *= 1.0 - solid
        thrown += solid * (face - thrown)
    cover = np.zeros(shape)
    whole = window_of(panel.outline, corner, shape, per_mm)
    cover[whole.rows, whole.columns] = whole.cover
    return PanelLight(lit=lamps, thrown=thrown, shown=cover, pixels_per_mm=per_mm)


def _in_room(room: Room | None) -> Array:
    """Give X, Y, Z of white paper in the room's light. (3,)."""
    if room is None:
        return np.zeros(3)
    return under(room_light(room.light_colour).values, np.ones(81)) * room.room_light_lx / pi


def _colours(
    picture: Picture,
    glow: OpeningGlow,
    window: Window,
    *,
    study: ArtworkStudy | None,
    room: Room | None,
) -> tuple[Array, Array]:
    """Give what leaves an opening by its lamps, and of the room's light. (rows, columns, 3)."""
    luminance = resampled(picture, x_mm=window.x_mm, y_mm=window.y_mm)
    # the picture is painted by grey sums; its mean is that of the figures in colour
    mean = float(picture.luminance_cd_m2.mean(where=picture.shown))
    luminance = luminance * (glow.mean_cd_m2 / mean if mean > 0.0 else 1.0)
    if study is not None:
        return _printed(study, window, luminance=luminance)
    own = _WHITE
    if glow.colour is not None:
        x, y = glow.colour.xy
        own = np.array([x / y, 1.0, (1.0 - x - y) / y])
    thrown = thrown_by(glow, room=room)
    return luminance[..., None] * own, np.broadcast_to(thrown, (*luminance.shape, 3))


def thrown_by(glow: OpeningGlow, *, room: Room | None) -> Array:
    """Give X, Y, Z of what an opening throws back of the room's light, Y in cd/m2. (3,)."""
    if glow.colour is None:
        return _WHITE * glow.room_cd_m2
    if glow.colour.unlit_lab is None or room is None:
        return np.zeros(3)
    return from_lab(np.array(glow.colour.unlit_lab), white=_in_room(room))


def _printed(study: ArtworkStudy, window: Window, *, luminance: Array) -> tuple[Array, Array]:
    """Lay the print over an opening: each pixel takes the place of the nearest dot of the print."""
    shape = study.place.opening.outline
    tile = tile_of(study.artwork, made=study.made, shape=shape, dpi=100.0)
    rows, columns = tile.drawn.shape[:2]
    left, bottom, right, top = bounds_mm(shape.corners)
    across = _nearest(window.x_mm, start=left, end=right, count=columns)
    up = rows - 1 - _nearest(window.y_mm, start=bottom, end=top, count=rows)
    printed = np.rint(read_pixels(study.made, tile.drawn) * 255.0).astype(np.uint8)
    here = printed[up[:, None], across[None, :]]
    corners, clear = study.look.corners, study.look.backlit.clear_cd_m2
    lit = read_pixels(cube_of(corners.lit / clear), here).astype(np.float64)
    thrown = read_pixels(cube_of(corners.thrown), here).astype(np.float64)
    return lit * luminance[..., None], thrown


def _nearest(
    places_mm: NDArray[np.float64], *, start: float, end: float, count: int
) -> NDArray[np.intp]:
    at = ((places_mm - start) / (end - start) * count).astype(np.intp)
    return np.clip(at, 0, count - 1)
