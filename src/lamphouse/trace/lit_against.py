"""The light of a photographed panel laid over the prediction, opening by opening.

Terminology
-----------
read
    Places of an opening that count: inside its rim by what the corners may be off, and held by
    the photograph.
cells
    Six rows of eight over the frame of an opening; a cell counts when half of it lies in the
    opening and half of that is read. The prediction is averaged over the very same places.
pattern
    Measured light over predicted, 1 on the median of an opening: what one number cannot mend.
spot
    A place where the pattern leaves 1.
"""

from collections.abc import Sequence
from math import exp, log

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from lamphouse.light.picture import Picture
from lamphouse.record import Record
from lamphouse.trace.face_leaks import Leak, leaks_on
from lamphouse.trace.linear_light import DIM, MergedLight
from lamphouse.trace.lit_spots import Spot, spots_of
from lamphouse.trace.panel_in_photo import PanelInPhoto
from lamphouse.trace.photo_sampling import nearest, sampled, softened
from lamphouse.trace.scales import Places

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

UP, ACROSS = 6, 8
MOST_OVER = 0.1
"""An opening with more of it overexposed gets no figures."""
_RIM_MM = 0.1
"""Of an opening's rim, cut by hand, beside what the corners may be off."""
_LEAST_CELLS = 4
_LEAST_READ = 40
_DARK = 0.05
"""An opening of less light than this, over the plan and beside the brightest, is out: it does not
count when all are laid over the plan."""
_NO_LIGHT = 2e-3
"""Mean light, where 1 is what the first picture just holds, below which there is no pattern: seven
of 255 steps."""


class LitOpening(Record):
    """An opening with its prediction."""

    name: str
    picture: Picture
    is_coloured: bool = False
    """Whether its light has no colour temperature, so that a camera weighs it otherwise."""


class OpeningAgainst(Record):
    """What a photograph says of one opening."""

    opening: str
    is_coloured: bool
    over: float
    """Share of it that is overexposed."""
    read: float
    """Share of it that counts."""
    half_code: float
    """Half of it is brighter than this, 0 to 255."""
    evenness: float | None
    """Darkest cell over the mean, as measured; None where too little is read."""
    evenness_bar: float
    """What the place of the panel leaves open, and its rim that is not read, either way."""
    predicted_evenness: float | None
    """Over the same places."""
    hot_spot: float | None
    """Brightest cell over the mean."""
    predicted_hot_spot: float | None
    beside_others: float | None
    """Its mean light over that of all openings, against the same as predicted; 1 is as predicted.
    None for one opening alone."""
    spots: tuple[Spot, ...]
    """The worst first."""
    cells: tuple[tuple[float, ...], ...]
    """Measured over the mean, row 0 lowest; nan where a cell does not count."""
    pattern: Floats
    """(rows, columns) on the grid of the prediction; nan where it is not read."""
    measured: Floats
    """Likewise, in the light of the photograph."""


class Against(Record):
    """A photographed panel beside its prediction."""

    openings: tuple[OpeningAgainst, ...]
    leaks: tuple[Leak, ...]
    factor: float
    """Light of the photograph for a cd/m2, over all openings."""
    vignetting: float
    """By how much a lens without any correction darkens one opening against another, at most."""


def compare(
    merged: MergedLight,
    *,
    view: PanelInPhoto,
    openings: Sequence[LitOpening],
    face: Sequence[Places],
    strands: Sequence[tuple[float, float]] = (),
    focal_pixels: float,
) -> Against:
    """Lay a photograph over the prediction of a panel.

    Parameters
    ----------
    merged
        The light of the photograph.
    view
        Where the panel lies in it.
    openings
        Those that glow, with what is predicted.
    face
        Rings of the panel's outline and of all its openings, the outline first. [mm].
    strands
        Where strands come out. [mm].
    focal_pixels
        Of the lens, for what it darkens.
    """
    seen = [_Seen.of(one, merged=merged, view=view) for one in openings]
    ratios = [one.over_predicted() for one in seen]
    brightest = max((ratio for ratio in ratios if ratio is not None), default=0.0)
    lit = [
        (ratio, one.mean())
        for ratio, one in zip(ratios, seen, strict=True)
        if ratio is not None and ratio > max(_DARK * brightest, 0.0)
    ]
    factor = exp(float(np.mean([log(ratio) for ratio, _ in lit]))) if lit else 0.0
    middle = np.array(merged.light.shape[::-1]) / 2.0
    lost = [
        _darkened(view.to_pixels(one.centre())[0] - middle, focal_pixels=focal_pixels)
        for one in seen
    ]
    mean = float(np.mean([own for _, own in lit])) if lit else 0.0
    several = factor > 0.0 and sum(ratio is not None for ratio in ratios) > 1
    return Against(
        openings=tuple(
            one.against(beside=ratio / factor if several and ratio is not None else None)
            for one, ratio in zip(seen, ratios, strict=True)
        ),
        leaks=tuple(
            leaks_on(merged, view=view, face=face, strands=strands, lit=mean)
            if mean > _NO_LIGHT
            else ()
        ),
        factor=factor,
        vignetting=1.0 - min(lost) / max(lost) if lost else 0.0,
    )


class _Seen(Record):
    """An opening with its light as photographed, on the grid of its prediction."""

    lit: LitOpening
    measured: Floats
    moved: tuple[Floats, ...]
    """The same with the panel a little to each side of where it was found."""
    shown: Mask
    read: Mask
    over: Mask
    half_code: float

    @classmethod
    def of(cls, lit: LitOpening, *, merged: MergedLight, view: PanelInPhoto) -> "_Seen":
        picture = lit.picture
        rows, columns = picture.shown.shape
        pixel = picture.pixel_mm
        x, y = np.meshgrid(
            picture.left_mm + pixel * (np.arange(columns) + 0.5),
            picture.bottom_mm + pixel * (np.arange(rows) + 0.5),
        )
        soft = softened(merged.light, view=view, pixel_mm=pixel)

        def moved_by(right: float, up: float) -> Floats:
            return sampled(soft, view=view, x=x + right, y=y + up)

        spots = view.to_pixels(np.column_stack((x.ravel(), y.ravel())))
        over = nearest(merged.over, spots).reshape(x.shape)
        held = nearest(merged.held, spots).reshape(x.shape)
        code = nearest(merged.code, spots).reshape(x.shape)
        margin = _RIM_MM + view.off_mm + view.pixel_mm
        padded = np.pad(picture.shown, 1)
        depth = ndimage.distance_transform_edt(padded)[1:-1, 1:-1] * pixel
        inner = picture.shown & (depth - 0.5 * pixel > margin)
        off = view.off_mm
        read = inner & held & ~ndimage.binary_dilation(over, iterations=1)
        return cls(
            lit=lit,
            measured=moved_by(0.0, 0.0),
            moved=tuple(moved_by(*step) for step in ((off, 0), (-off, 0), (0, off), (0, -off))),
            shown=picture.shown,
            read=read if int(read.sum()) >= _LEAST_READ else np.zeros_like(read),
            over=over & picture.shown,
            half_code=float(np.median(code[picture.shown])) if picture.shown.any() else 0.0,
        )

    @property
    def over_share(self) -> float:
        return float(self.over.sum()) / max(int(self.shown.sum()), 1)

    @property
    def tells(self) -> bool:
        return bool(self.read.any()) and self.over_share <= MOST_OVER

    def centre(self) -> Places:
        picture = self.lit.picture
        rows, columns = np.nonzero(self.shown)
        spot = (columns.mean() + 0.5, rows.mean() + 0.5)
        return np.array(
            [
                (
                    picture.left_mm + picture.pixel_mm * spot[0],
                    picture.bottom_mm + picture.pixel_mm * spot[1],
                )
            ]
        )

    def mean(self) -> float:
        """Give its mean light; nothing where noise or the unlit picture took it below."""
        return max(float(self.measured[self.read].mean()), 0.0) if self.tells else 0.0

    def over_predicted(self) -> float | None:
        """Give its mean light over that predicted at the same places."""
        if not self.tells:
            return None
        return self.mean() / float(self.lit.picture.luminance_cd_m2[self.read].mean())

    def cells(self, values: Floats, *, read: Mask | None = None) -> Floats:
        """Average over six rows of eight; nan where a cell does not count."""
        counted = self.read if read is None else read
        rows, columns = self.shown.shape
        at_row = np.minimum(np.arange(rows) * UP // rows, UP - 1)
        at_column = np.minimum(np.arange(columns) * ACROSS // columns, ACROSS - 1)
        place = (at_row[:, None] * ACROSS + at_column[None, :]).ravel()

        def summed(what: Floats | Mask) -> Floats:
            total = np.bincount(place, weights=what.ravel().astype(float), minlength=UP * ACROSS)
            return np.asarray(total, dtype=np.float64)

        whole, shown, told = summed(np.ones_like(values)), summed(self.shown), summed(counted)
        counts = (shown >= 0.5 * whole) & (told >= 0.5 * shown) & (told > 0.0)
        means = summed(np.where(counted, values, 0.0)) / np.maximum(told, 1.0)
        return np.where(counts, means, np.nan).reshape(UP, ACROSS)

    def against(self, *, beside: float | None) -> OpeningAgainst:
        predicted = self.lit.picture.luminance_cd_m2
        pattern = np.full(predicted.shape, np.nan)
        own, told = self.cells(self.measured), self.cells(predicted)
        enough = self.mean() > _NO_LIGHT and int(np.isfinite(own).sum()) >= _LEAST_CELLS
        spots: tuple[Spot, ...] = ()
        if enough:
            ratio = self.measured / np.maximum(predicted, 1e-12)
            middle = max(float(np.median(ratio[self.read])), 1e-12)
            pattern = np.where(self.read, ratio / middle, np.nan)
            spots = tuple(spots_of(pattern, read=self.read, picture=self.lit.picture))
        evenness, hot = _even(own) if enough else (None, None)
        foretold, foretold_hot = _even(told) if enough else (None, None)
        bar = 0.0
        if enough and evenness is not None:
            found = [_even(self.cells(moved))[0] for moved in self.moved]
            rim = abs(_even(self.cells(predicted, read=self.shown))[0] - _even(told)[0])
            bar = max(abs(one - evenness) for one in found) + rim
        return OpeningAgainst(
            opening=self.lit.name,
            is_coloured=self.lit.is_coloured,
            over=self.over_share,
            read=float(self.read.sum()) / max(int(self.shown.sum()), 1),
            half_code=self.half_code,
            evenness=evenness,
            evenness_bar=bar,
            predicted_evenness=foretold,
            hot_spot=hot,
            predicted_hot_spot=foretold_hot,
            beside_others=beside,
            spots=spots,
            cells=tuple(map(tuple, (own / np.nanmean(own)).tolist())) if enough else (),
            pattern=pattern,
            measured=self.measured,
        )


def is_dim(one: OpeningAgainst) -> bool:
    """Tell whether eight bits hardly tell an opening."""
    return one.half_code < DIM


def _even(cells: Floats) -> tuple[float, float]:
    mean = float(np.nanmean(cells))
    return float(np.nanmin(cells)) / mean, float(np.nanmax(cells)) / mean


def _darkened(off: Places, *, focal_pixels: float) -> float:
    """Give what a lens lets through off its axis, over that on it: the cosine's fourth power."""
    return float((1.0 + float(off @ off) / focal_pixels**2) ** -2.0)
