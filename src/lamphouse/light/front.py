"""What the eye sees from the front: the luminance of every opening, its evenness and hot spot.

Terminology
-----------
evenness
    Smallest over mean, and largest over mean, of the spots' mean luminances.
hot spot
    Largest over mean.
bar
    Half the width of the band that holds the true figure in 95 of 100 openings.

Seen along the panel's normal a diffuser shows ``tau E / pi``, whatever the panel's thickness; an
open hole shows what lies straight below it.
"""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.beams import add_direct, beam_of
from lamphouse.light.cavity import Field, thrown_back
from lamphouse.light.first_bounce import missed
from lamphouse.light.hole import passing_share
from lamphouse.light.interior import Interior
from lamphouse.light.landing import landing
from lamphouse.light.near_spots import laid_spots
from lamphouse.light.scene import Lamp
from lamphouse.light.step_size import STEP_WEIGHT
from lamphouse.light.views import View
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

LX_PER_LM_MM2 = 1e6
"""1 lm/mm2 is 1e6 lx."""

BAR_SHARE, BAR_FLOOR, BAR_CLOSURE = 0.6, 0.003, 0.25
"""The bar: parts of the step from coarse to fine, of the figure, and of the closure."""


class Look(Record):
    """How an opening looks."""

    name: str
    luminance_cd_m2: Floats
    """(S,) mean luminance of each spot; over a rectangle row by row from the lower left."""
    area_mm2: Floats
    """(S,)."""
    mean_cd_m2: float
    bar_cd_m2: float
    """Half the width of the band for the mean."""
    spot_bar_cd_m2: Floats
    """(S,) half the width of the band for each spot."""
    smallest_over_mean: float
    largest_over_mean: float
    """The hot spot."""
    lamp_cd_m2: tuple[float, ...] = ()
    """What each lamp of the box adds to the mean, in its order; none where boxes are solved
    together."""
    direct_share: tuple[float, ...] = ()
    """Of that, what nothing in the box has thrown back, 0 to 1."""
    flux_lm: float | None
    """Light that leaves through the fill and the panel's thickness; None for an open hole or a hazy
    sheet, whose light does not leave evenly in all directions."""


def direct_luminances(
    views: Sequence[View], *, interior: Interior, lamps: Sequence[Lamp]
) -> list[Floats]:
    """Luminance of each spot of each opening from lamps of 1 lm, nothing reflected. [1/mm2 sr].

    With it goes what the mesh misses of the first reflection off faces right beside the lamp, or
    lit in spots.

    Returns
    -------
    list of Floats
        (S, L) for each view.
    """
    beams = [beam_of(views, cavity=cavity) for cavity in range(len(interior.cavities))]
    spots = laid_spots(views, interior=interior)
    every = [np.zeros((len(view.area_mm2), len(lamps))) for view in views]
    for number, lamp in enumerate(lamps):
        lost = missed(interior, lamp=lamp, views=views, spots=spots, faces=False)
        shown = list(lost.shown)
        beam, flux = beams[interior.home(lamp)], np.zeros(0)
        if beam.onto is not None:
            flux = landing(lamp, onto=beam.onto, screens=interior.screens).flux
        add_direct(shown, views=views, beam=beam, flux=flux, lamp=lamp, screens=interior.screens)
        for total, own in zip(every, shown, strict=True):
            total[:, number] = own
    return every


def sent_out(interior: Interior, *, reflected: Floats, illuminance: Floats) -> Floats:
    """Light that leaves each face per area, (N, L). [1/mm2]."""
    return reflected / interior.area_mm2[:, None] + thrown_back(interior, illuminance=illuminance)


def luminances(
    view: View, *, interior: Interior, direct: Floats, field: Field
) -> tuple[Floats, Floats]:
    """Add to direct luminances (S, L) what is reflected: fine and coarse. [1/mm2 sr]."""
    fine, coarse = (
        direct + view.rows @ sent_out(interior, reflected=field.reflected, illuminance=illuminance)
        for illuminance in (field.illuminance, field.coarse)
    )
    return fine, coarse


def by_lamp(look: Look, *, fine: Floats, coarse: Floats, direct: Floats, flux_lm: Floats) -> Look:
    """Write into a look what each lamp adds to its mean, from :func:`luminances`."""
    weights = look.area_mm2 / look.area_mm2.sum()
    whole = np.maximum(weights @ (fine + STEP_WEIGHT * (fine - coarse)), 0.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.nan_to_num(np.clip(weights @ direct / whole, 0.0, 1.0))
    added = LX_PER_LM_MM2 * whole * flux_lm
    return replace(
        look,
        lamp_cd_m2=tuple(float(each) for each in added),
        direct_share=tuple(float(each) for each in share),
    )


def _leaving_lm(view: View, *, mean_cd_m2: float) -> float | None:
    """Flux that leaves an opening with an even diffuser, less what the hole's wall keeps."""
    aperture = view.aperture
    if aperture.fill is None or aperture.fill.haze is not None:
        return None
    sent = pi * mean_cd_m2 / LX_PER_LM_MM2 * float(view.area_mm2.sum())
    return sent * passing_share(
        aperture.shape,
        panel_mm=aperture.panel_mm,
        rim_reflectance=aperture.rim_reflectance,
        rear_reflectance=aperture.fill.reflectance,
    )


def judged(view: View, *, fine: Floats, coarse: Floats, interior: Interior) -> Look:
    """Judge an opening by its spots' luminances on both meshes. [lm/mm2 sr].

    The figure is extrapolated from both meshes.
    """
    step = fine - coarse
    spots = LX_PER_LM_MM2 * np.maximum(fine + STEP_WEIGHT * step, 0.0)
    area = view.area_mm2
    mean = float(spots @ area / area.sum())
    floor = BAR_FLOOR + BAR_CLOSURE * interior.closure + interior.doubt
    mean_step = LX_PER_LM_MM2 * float(step @ area / area.sum())
    return Look(
        name=view.aperture.name,
        luminance_cd_m2=spots,
        area_mm2=area,
        mean_cd_m2=mean,
        bar_cd_m2=float(np.hypot(BAR_SHARE * mean_step, floor * mean)),
        spot_bar_cd_m2=np.hypot(BAR_SHARE * LX_PER_LM_MM2 * step, floor * spots),
        smallest_over_mean=float(spots.min()) / mean if mean > 0.0 else 0.0,
        largest_over_mean=float(spots.max()) / mean if mean > 0.0 else 0.0,
        flux_lm=_leaving_lm(view, mean_cd_m2=mean),
    )
