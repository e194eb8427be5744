"""Every gel and tint of the tables, and pairs of them, laid before every lamp: their colours.

Rows of layers are folded at once. A second film never adds light, but for what the box throws back
once more; so pairs are only made of films that leave enough light by themselves, with all of that
granted, and none that counts is passed over.
"""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.film_types import FilmType
from lamphouse.colour.chain import Part, Way, radiance
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.lab import to_lab
from lamphouse.colour.layers import SpectralSheet, laid_on, pile
from lamphouse.colour.observer import luminance, tristimulus
from lamphouse.colour.spectrum import Array
from lamphouse.colour.wanted_colour import ColourWish
from lamphouse.design.panel import Layer, LayerKind, Opening
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.layer_stack import has_colour, is_coloured
from lamphouse.light.opening_colour import CLEAR, way_of
from lamphouse.record import Record

PRINTED = (LayerKind.PRINT, LayerKind.DECAL)
MOST_COATS = 3
"""Of a gel or tint that is tried."""
_COUNTS = range(1, MOST_COATS + 1)
Films = tuple[tuple[str, int], ...]
"""Names of gels and tints with how many of each, from lamp to eye."""


def parted(opening: Opening) -> tuple[tuple[Layer, ...], tuple[Layer, ...]]:
    """Give the layers that are not there for their colour: behind its place, and before it.

    Gels and tints lie nearest the eye, but behind a print, which keeps its look unlit.
    """
    bare = tuple(layer for layer in opening.layers if not is_coloured(layer.film))
    prints = [number for number, layer in enumerate(bare) if layer.kind in PRINTED]
    end = prints[0] if prints else len(bare)
    return bare[:end], bare[end:]


class Trial(Record, eq=False):
    """What films are tried on, and for."""

    drawn: Drawn
    window: Window
    lamps: tuple[tuple[Part, ...], ...]
    """What each lamp that is tried adds to the opening."""
    wish: ColourWish
    white: Array
    """What the eye takes for white, Y = 1. (3,)"""
    room_cd_m2: float
    """Luminance of that white."""
    least_cd_m2: float
    """Darker ways are no ways."""
    others: tuple[Part, ...] = ()
    """What the LEDs of other boxes add, which stays as it is."""
    target_cd_m2: float = 0.0
    """With ``others``: the luminance that the lamps are set to bring it to."""


class Row(Record, eq=False):
    """Layers tried together, before one lamp."""

    films: tuple[Films, ...]
    """[n]"""
    keeps_films: bool
    lamp: int
    xyz: Array
    """At today's currents; with others' light the colour of both, at the luminance of which the
    target is as many times as the currents must be raised. (n, 3)"""
    lab: Array
    """(n, 3)"""
    difference: Array
    """CIEDE2000 from what is wanted. (n,)"""


class Found(Record, eq=False):
    """One way."""

    films: Films
    keeps_films: bool
    lamp: int
    xyz: Array
    lab: Array
    difference: float


def nearest_found(rows: Iterable[Row], *, most: int) -> tuple[Found, ...]:
    """Pick the nearest of all ways, in units of difference the brightest first."""
    rows = tuple(rows)
    if not rows:
        return ()
    missed = np.concatenate([row.difference for row in rows])
    light = np.concatenate([row.xyz[:, 1] for row in rows])
    ends = np.cumsum([len(row.films) for row in rows])
    found = []
    for at in np.lexsort((-light, np.rint(missed)))[:most]:
        number = int(np.searchsorted(ends, at, side="right"))
        row = rows[number]
        within = int(at) - int(ends[number]) + len(row.films)
        found.append(
            Found(
                films=row.films[within],
                keeps_films=row.keeps_films,
                lamp=row.lamp,
                xyz=row.xyz[within],
                lab=row.lab[within],
                difference=float(row.difference[within]),
            )
        )
    return tuple(found)


def search(trial: Trial, *, films: Iterable[FilmType], kinds: int) -> Iterator[Row]:
    """Try the layers as they are, without colour, and with up to so many kinds of gel and tint.

    Parameters
    ----------
    trial
        What they are tried on.
    films
        Of any use; only gels and tints whose colour is known are tried, up to ``MOST_COATS`` each.
    kinds
        1 or 2.
    """
    stack = trial.window.stack
    own = CLEAR if stack is None or stack.spectral is None else stack.spectral
    yield from _rows(trial, films=((),), sheet=_rows_of([own]), keeps_films=True)
    base, over = (
        pile([CLEAR, *(film_spectrum(one.film).sheet for one in part for _ in range(one.count))])
        for part in parted(trial.window.opening)
    )
    if any(is_coloured(layer.film) for layer in trial.window.opening.layers):
        yield from _rows(trial, films=((),), sheet=_rows_of([laid_on(base, over)]))
    bright = []
    for film in films:
        if not (is_coloured(film) and has_colour(film)):
            continue
        pack = _rows_of([pile([film_spectrum(film).sheet] * count) for count in _COUNTS])
        names = tuple(((film.name, count),) for count in _COUNTS)
        sheet = laid_on(laid_on(base, pack), over)
        yield from _rows(trial, films=names, sheet=sheet)
        if kinds > 1 and _may_be_bright(trial, sheet=sheet):
            bright.append((names, pack))
    for number, (names, pack) in enumerate(bright):
        for others, other in bright[number + 1 :]:
            both = tuple((*one, *another) for one in names for another in others)
            pairs = laid_on(laid_on(base, _each_with_each(pack, other)), over)
            yield from _rows(trial, films=both, sheet=pairs)


def _rows_of(sheets: Sequence[SpectralSheet]) -> SpectralSheet:
    return SpectralSheet(
        transmittance=np.stack([one.transmittance for one in sheets]),
        rear_reflectance=np.stack([one.rear_reflectance for one in sheets]),
        face_reflectance=np.stack([one.face_reflectance for one in sheets]),
    )


def _each_with_each(rear: SpectralSheet, face: SpectralSheet) -> SpectralSheet:
    """Lay each of a row of sheets on each of another row."""
    behind, before = len(rear.transmittance), len(face.transmittance)

    def spread(sheet: SpectralSheet, rows: NDArray[np.intp]) -> SpectralSheet:
        return SpectralSheet(
            transmittance=sheet.transmittance[rows],
            rear_reflectance=sheet.rear_reflectance[rows],
            face_reflectance=sheet.face_reflectance[rows],
        )

    return laid_on(
        spread(rear, np.repeat(np.arange(behind), before)),
        spread(face, np.tile(np.arange(before), behind)),
    )


def _may_be_bright(trial: Trial, *, sheet: SpectralSheet) -> bool:
    """Tell whether layers leave enough light before any lamp, all that is thrown back kept."""
    kept = SpectralSheet(
        transmittance=sheet.transmittance,
        rear_reflectance=np.ones_like(sheet.rear_reflectance),
        face_reflectance=sheet.face_reflectance,
    )
    way = way_of(trial.drawn, window=trial.window, sheet=kept)
    most = max(float(luminance(radiance(lamp, way=way)).max()) for lamp in trial.lamps)
    if trial.others:
        rest = float(luminance(radiance(trial.others, way=way)).max())
        most += rest * trial.least_cd_m2 / trial.target_cd_m2
    return most >= trial.least_cd_m2


def _rows(
    trial: Trial, *, films: tuple[Films, ...], sheet: SpectralSheet, keeps_films: bool = False
) -> Iterator[Row]:
    """Give the colours of layers before each lamp, without those that are too dark."""
    way = way_of(trial.drawn, window=trial.window, sheet=sheet)
    for number, lamp in enumerate(trial.lamps):
        xyz = tristimulus(radiance(lamp, way=way))
        raised = np.ones(len(xyz))
        if trial.others:
            xyz, raised = _with_others(trial, xyz, way=way)
        enough = np.flatnonzero(xyz[:, 1] >= trial.least_cd_m2 * raised)
        if not len(enough):
            continue
        xyz, raised = xyz[enough], raised[enough, None]
        level = np.maximum(xyz[:, 1:2], max(trial.room_cd_m2, 1e-9))
        lab = to_lab(np.asarray(xyz / level * 100.0), white=trial.white * 100.0)
        yield Row(
            films=tuple(films[row] for row in enough),
            keeps_films=keeps_films,
            lamp=number,
            xyz=xyz / raised,
            lab=lab,
            difference=trial.wish.miss(lab=lab, white=trial.white * 100.0),
        )


def _with_others(trial: Trial, own: Array, *, way: Way) -> tuple[Array, Array]:
    """Raise the light of a lamp until it makes, with that of other boxes, the target.

    Returns
    -------
    tuple
        X, Y, Z of both, and how many times the lamp's light is wanted; where the others alone are
        brighter than the target, or the lamp adds nothing, no light at all.
    """
    rest = tristimulus(radiance(trial.others, way=way))
    wanted = trial.target_cd_m2 - rest[:, 1]
    can = (wanted > 0.0) & (own[:, 1] > 0.0)
    raised = np.divide(wanted, own[:, 1], out=np.ones_like(wanted), where=can)
    return np.where(can[:, None], rest + raised[:, None] * own, 0.0), raised
