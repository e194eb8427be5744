"""Pictures of a box kept solved: for a moved lamp every pixel is there at once.

As for the spots in :mod:`lamphouse.light.live`, the balance is run backwards for every window on
which a picture gathers reflected light. A lamp then needs its first light, one product, and its
direct light pixel by pixel.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.cavity import light_up
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.live import FirstLight, Live, worth_of
from lamphouse.light.picture import Canvas, make_canvas, paint
from lamphouse.light.scene import Lamp
from lamphouse.light.step_size import STEP_WEIGHT, step_mm
from lamphouse.record import Record

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]


class LiveCanvas(Record):
    """An opening laid out for pictures, with what light in the box is worth on its windows."""

    canvas: Canvas
    worth: Singles
    """(windows, N) luminance of each window per light thrown back by each face, extrapolated from
    both meshes. [1/mm2 sr]."""


def make_live_canvases(live: Live, *, pixels_per_mm: float) -> tuple[LiveCanvas, ...]:
    """Lay out every opening of a box kept solved.

    Parameters
    ----------
    live
        The box.
    pixels_per_mm
        Fineness of the pictures.
    """
    inside, step = live.interior, step_mm(live.interior.box)
    canvases = [
        make_canvas(inside, aperture=one, pixels_per_mm=pixels_per_mm, step_mm=step)
        for one in inside.box.apertures
    ]
    if not canvases:
        return ()
    rows = np.concatenate([one.rows for one in canvases])
    fine, coarse = worth_of(inside, balance=live.balance, rows=rows)
    worth = (fine + STEP_WEIGHT * (fine - coarse)).T.astype(np.float32)
    ends = np.cumsum([len(one.rows) for one in canvases])[:-1]
    return tuple(
        LiveCanvas(canvas=canvas, worth=np.ascontiguousarray(own))
        for canvas, own in zip(canvases, np.split(worth, ends), strict=True)
    )


def lamp_pictures(
    live: Live, *, canvases: Sequence[LiveCanvas], lamp: Lamp, first: FirstLight
) -> tuple[Floats, ...]:
    """Paint every opening in the light of one lamp of 1 lm. [cd/m2 lm].

    Parameters
    ----------
    live, canvases
        The box and its openings.
    lamp
        Anywhere in it.
    first
        Its light, from :func:`lamphouse.light.live.first_of`.
    """
    sent, home = first.sent.astype(np.float32), live.interior.home(lamp)
    painted = []
    for one in canvases:
        canvas = one.canvas
        windows = (one.worth @ sent).reshape(canvas.shape)
        glow = canvas.up @ windows @ canvas.across.T
        x, y = canvas.middles_mm
        for cavity, height, faces_up, share, lobe in canvas.surfaces:
            if home == cavity:
                glow += share * emitter.falling(
                    lamp,
                    x_mm=x,
                    y_mm=y,
                    z_mm=height,
                    faces_up=faces_up,
                    lobe=lobe,
                    screens=live.interior.screens,
                )
        painted.append(np.where(canvas.shown, LX_PER_LM_MM2 * np.maximum(glow, 0.0), 0.0))
    return tuple(painted)


def still_pictures(
    live: Live, *, canvases: Sequence[LiveCanvas], lamps: tuple[Lamp, ...]
) -> tuple[Floats, ...]:
    """Paint every opening in the light of lamps that stay where they are. [cd/m2]."""
    if not lamps:
        return tuple(np.zeros(one.canvas.shown.shape) for one in canvases)
    inside = live.interior
    field = light_up(inside, balance=live.balance, lamps=lamps)
    flux_lm = [lamp.flux_lm for lamp in lamps]
    return tuple(
        paint(
            one.canvas, interior=inside, field=field, lamps=lamps, flux_lm=flux_lm
        ).luminance_cd_m2
        for one in canvases
    )
