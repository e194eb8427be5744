"""The inks of one's own printer from a printed chart, photographed lit and on white paper.

Terminology
-----------
patch
    A square of the chart, sent to the printer in one screen colour.
bare
    The patch that carries no ink; every reading counts against it.

Found are the densities of the four solids. What share of them a printer lays down for a patch is
taken from the generic one (:mod:`lamphouse.colour.printer`), so that the lit print is predicted as
it was read; a tone curve of its own ends up in the densities. Where the readings leave them open
they stay near the typical ones. Readings that are met badly make the answer less sure by as much
[GUM].
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.photo_readings import DARKEST, Rgb
from lamphouse.colour.display import decode
from lamphouse.colour.inks import INKJET, InkSet
from lamphouse.colour.layers import SpectralSheet, alike, laid_on
from lamphouse.colour.observer import room_light
from lamphouse.colour.photo_fit import CAMERA_OFF_NM, READING_SHARE, camera_bands, lamp_behind
from lamphouse.colour.print_film import PAPER, on_film
from lamphouse.colour.printer import laying, reckoned, separated
from lamphouse.colour.spectrum import Array, fixed
from lamphouse.record import Record, replace

BARE = "bare"
PATCHES: tuple[tuple[str, tuple[int, int, int]], ...] = (
    (BARE, (255, 255, 255)),
    ("light grey", (192, 192, 192)),
    ("grey", (128, 128, 128)),
    ("dark grey", (64, 64, 64)),
    ("black", (0, 0, 0)),
    ("cyan", (0, 158, 224)),
    ("magenta", (229, 0, 125)),
    ("yellow", (255, 237, 0)),
    ("red", (227, 6, 19)),
    ("green", (0, 150, 64)),
    ("blue", (49, 39, 131)),
    ("brown", (90, 40, 10)),
)
"""What is sent for each: a wedge of greys, and about the solids of process inks [MEMORY]."""
TYPICAL_OFF = 0.2
"""Share by which the density of a printer's solid may differ from the typical one [MEMORY]."""
LIT_FLARE, PAPER_FLARE = 0.003, 0.02
"""Light of the bare patch that a picture shows where there is none: within the lens, and from the
surface of the film [MEMORY]."""
_MOST = np.log(2.5)
"""No ink is denser or thinner than the typical one by more."""


class ChartFit(Record):
    """What a chart tells."""

    inks: InkSet
    off: tuple[float, float, float, float]
    """Standard uncertainty of each solid's density, as a share of it."""
    missed: float
    """By how much the readings are missed on the mean, as a share of the light."""


Readings = tuple[tuple[str, Rgb], ...]
"""Red, green, blue, 0 to 255, by the name of the patch; ``bare`` among them."""


@lru_cache(maxsize=16)
def _bands(*, is_lit: bool, shift_nm: float) -> Array:
    light = lamp_behind() if is_lit else room_light("daylight").values
    return fixed(camera_bands(light, shift_nm=shift_nm))


@lru_cache(maxsize=16)
def _amounts(patches: tuple[str, ...], *, inks: InkSet) -> Array:
    """Give what is laid down for bare film, and then for patches. (m + 1, 4)."""
    sent = dict(PATCHES)
    shares = np.array([sent[name] for name in patches]) / 255.0
    return fixed(np.concatenate([np.zeros((1, 4)), separated(laying(reckoned(inks))(shares))]))


def seen(
    inks: InkSet, *, patches: tuple[str, ...], film: SpectralSheet, is_lit: bool, shift_nm: float
) -> Array:
    """Give what a camera sees of patches over what it sees of bare film.

    Parameters
    ----------
    inks
        The printer's.
    patches
        Their names.
    film
        Without ink.
    is_lit
        From behind; else on white paper, by daylight.
    shift_nm
        How far the camera's bands lie from the usual. [nm]

    Returns
    -------
    ndarray
        Red, green, blue, linear. (m, 3)
    """
    printed = on_film(_amounts(patches, inks=reckoned(inks)), inks=inks, bare=film)
    if is_lit:
        light = printed.transmittance
    else:
        white = np.full_like(film.transmittance, PAPER)
        light = laid_on(alike(np.zeros_like(white), white), printed).face_reflectance
    told = light @ _bands(is_lit=is_lit, shift_nm=shift_nm).T
    return np.asarray(told[1:] / told[0])


def fit(
    *, typical: InkSet = INKJET, film: SpectralSheet, lit: Readings, unlit: Readings = ()
) -> ChartFit:
    """Find the inks that give the readings of a chart.

    Parameters
    ----------
    typical
        Inks of a printer of its kind.
    film
        The film of the chart, without ink.
    lit, unlit
        Readings of its patches, lit from behind and on white paper; either may be empty.

    Returns
    -------
    ChartFit
        With ``typical`` itself where there is no reading but bare film.
    """
    parts = [
        (_logs(readings, flare=LIT_FLARE if is_lit else PAPER_FLARE), readings, is_lit)
        for readings, is_lit in ((lit, True), (unlit, False))
        if len(readings) > 1
    ]
    if not parts:
        return ChartFit(inks=typical, off=(TYPICAL_OFF,) * 4, missed=0.0)

    def inks_at(logs: Array) -> InkSet:
        return thicker(typical, by=np.expm1(logs).tolist())

    def misses(logs: Array, shift_nm: float) -> list[Array]:
        """Give by how much the readings are missed, as logarithms, for each part."""
        found = []
        for (wanted, is_limit, _), readings, is_lit in parts:
            names = tuple(name for name, _ in readings if name != BARE)
            told = seen(inks_at(logs), patches=names, film=film, is_lit=is_lit, shift_nm=shift_nm)
            miss = np.log(np.maximum(told, 1e-6)) - wanted
            found.append(np.where(is_limit, np.maximum(miss, 0.0), miss))
        return found

    def off(logs: Array, shift_nm: float = 0.0) -> Array:
        weighed = [
            (miss / error).ravel()
            for miss, ((_, _, error), _, _) in zip(misses(logs, shift_nm), parts, strict=True)
        ]
        return np.concatenate([*weighed, logs / TYPICAL_OFF])

    from scipy.optimize import least_squares  # slow to load, and only charts need it

    def solved(shift_nm: float, start: Array) -> tuple[Array, Array]:
        found = least_squares(
            off,
            start,
            bounds=(-_MOST, _MOST),
            x_scale=TYPICAL_OFF,
            args=(shift_nm,),
        )
        return found.x, found.jac

    logs, slopes = solved(0.0, np.full(4, 1e-3))
    bent = np.abs([solved(shift, logs)[0] - logs for shift in (-CAMERA_OFF_NM, CAMERA_OFF_NM)])
    told = np.concatenate([miss.ravel() for miss in misses(logs, 0.0)])
    left = off(logs)[: told.size]
    worse = max(1.0, float((left**2).mean()) ** 0.5)
    own = np.sqrt(np.diag(np.linalg.inv(slopes.T @ slopes))) * worse
    cyan, magenta, yellow, black = np.hypot(own, bent.max(axis=0)).tolist()
    return ChartFit(
        inks=inks_at(logs),
        off=(cyan, magenta, yellow, black),
        missed=float(np.sqrt((told**2).mean())),
    )


def _logs(readings: Readings, *, flare: float) -> tuple[Array, NDArray[np.bool_], Array]:
    """Give logarithms of readings over bare film, which of them are limits, and their errors."""
    by_name = dict(readings)
    if BARE not in by_name:
        missing = f"a chart needs a reading of its '{BARE}' patch"
        raise ValueError(missing)
    values = np.array([rgb for name, rgb in readings if name != BARE])
    linear = decode(np.maximum(values, DARKEST) / 255.0)
    ratio = linear / decode(np.array(by_name[BARE]) / 255.0)
    return np.log(ratio), values < DARKEST, np.hypot(READING_SHARE, flare / ratio)


def thicker(inks: InkSet, *, by: Sequence[float]) -> InkSet:
    """Give inks denser by a share each, or thinner where it is below 0; laid down as before."""
    cyan, magenta, yellow, black = (
        solid * (1.0 + share) for solid, share in zip(inks.solids, by, strict=True)
    )
    return replace(inks, solids=(cyan, magenta, yellow, black), reckoned=reckoned(inks).solids)
