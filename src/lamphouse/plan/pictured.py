"""The openings of a light box as pictures: its light settled once more, then painted fine."""

from lamphouse.light.box_glow import BoxGlow, colour_factor
from lamphouse.light.cavity import coarse_balance, light_up
from lamphouse.light.chambers import with_ports
from lamphouse.light.interior import make_interior
from lamphouse.light.picture import Picture, make_canvas, paint
from lamphouse.light.sound_suite import solved_one
from lamphouse.light.spot_picture import drawn_from_spots
from lamphouse.light.step_size import step_mm
from lamphouse.light.views import SMALL_HOLE
from lamphouse.record import Record, replace

PIXELS_PER_MM = 4.0
"""A pixel of 0.25 mm is one minute of arc, what a sharp eye just parts, from 86 cm."""


class Pictured(Record):
    """A judged box with a picture of each of its openings."""

    glow: BoxGlow
    pictures: tuple[Picture, ...]
    """One for each opening of ``glow.scene``, in its order, without the room's light."""


def pictured(glow: BoxGlow, *, pixels_per_mm: float = PIXELS_PER_MM) -> Pictured:
    """Paint every opening of a box as seen from straight in front.

    Parameters
    ----------
    glow
        The box as it was judged.
    pixels_per_mm
        Fineness.
    """
    if glow.suite is not None:
        pictures = _together(glow, pixels_per_mm=pixels_per_mm)
        return Pictured(glow=glow, pictures=_in_colour(pictures, glow=glow))
    box = glow.scene
    step = step_mm(box)
    interior = make_interior(box, step=step)
    field = light_up(interior, balance=coarse_balance(interior), lamps=box.lamps)
    flux_lm = [lamp.flux_lm for lamp in box.lamps]
    painted = tuple(
        paint(
            make_canvas(interior, aperture=aperture, pixels_per_mm=pixels_per_mm, step_mm=step),
            interior=interior,
            field=field,
            lamps=box.lamps,
            flux_lm=flux_lm,
        )
        for aperture in box.apertures
    )
    return Pictured(glow=glow, pictures=_in_colour(painted, glow=glow))


def _in_colour(pictures: tuple[Picture, ...], *, glow: BoxGlow) -> tuple[Picture, ...]:
    """Give pictures by grey sums the luminance that colours make of it."""
    return tuple(
        replace(
            picture,
            luminance_cd_m2=colour_factor(glow, opening=aperture.name) * picture.luminance_cd_m2,
        )
        for picture, aperture in zip(pictures, glow.scene.apertures, strict=True)
    )


def _together(glow: BoxGlow, *, pixels_per_mm: float) -> tuple[Picture, ...]:
    """Draw the openings of a box that shares openings with others from their spots."""
    if glow.suite is None:
        return ()
    small_mm = SMALL_HOLE * step_mm(with_ports(glow.suite, number=glow.number)[0])
    looks = solved_one(glow.suite, number=glow.number).looks
    return tuple(
        drawn_from_spots(look, aperture=aperture, pixels_per_mm=pixels_per_mm, small_mm=small_mm)
        for look, aperture in zip(looks, glow.scene.apertures, strict=True)
    )
