"""Light on the face of a photographed panel, away from what is to glow."""

from collections.abc import Iterator, Sequence

import numpy as np
from scipy import ndimage

from lamphouse.light.uprights import inside
from lamphouse.record import Record
from lamphouse.trace.linear_light import MergedLight
from lamphouse.trace.panel_in_photo import PanelInPhoto
from lamphouse.trace.photo_sampling import sampled, smoothed, softened
from lamphouse.trace.scales import Places

LEAK = 0.03
"""Light on the face over the mean of the openings; below it is what lenses scatter [PRACTICE]."""
_FACE_MM = 0.5
"""Fineness of what is looked for on the face."""
_BLOOM_MM = 3.0
"""Round an opening, left to its own glow."""
_STRAND_MM = 2.0
_MOST_LEAKS = 6


class Leak(Record):
    """Light on the face of the panel, away from openings and strands."""

    x_mm: float
    y_mm: float
    share: float
    """Over the mean of the openings."""


def leaks_on(
    merged: MergedLight,
    *,
    view: PanelInPhoto,
    face: Sequence[Places],
    strands: Sequence[tuple[float, float]],
    lit: float,
) -> Iterator[Leak]:
    """Give the brightest places of the face away from openings and strands."""
    low, high = face[0].min(axis=0), face[0].max(axis=0)
    columns, rows = (max(2, int(size / _FACE_MM)) for size in (high - low))
    x, y = np.meshgrid(
        low[0] + (np.arange(columns) + 0.5) * (high[0] - low[0]) / columns,
        low[1] + (np.arange(rows) + 0.5) * (high[1] - low[1]) / rows,
    )
    soft = softened(merged.light, view=view, pixel_mm=_FACE_MM)
    light = sampled(soft, view=view, x=x, y=y)
    places = np.column_stack((x.ravel(), y.ravel()))
    outline, *openings = (tuple(map(tuple, ring.tolist())) for ring in face)
    looked_at = inside(places, rings=[outline]).reshape(x.shape)
    looked_at &= ~ndimage.binary_dilation(~looked_at, iterations=2)
    holes = np.zeros_like(looked_at)
    for ring in openings:
        holes |= inside(places, rings=[ring]).reshape(x.shape)
    far = ndimage.distance_transform_edt(~holes) * _FACE_MM if holes.any() else np.inf
    looked_at &= far > _BLOOM_MM
    for strand in strands:
        looked_at &= np.hypot(x - strand[0], y - strand[1]) > _STRAND_MM
    if not looked_at.any():
        return
    share = smoothed(light, weight=looked_at.astype(float), pixel_mm=_FACE_MM) / lit
    marks, count = ndimage.label(looked_at & (share > LEAK))
    peaks = [
        np.unravel_index(int(np.argmax(np.where(marks == number, share, -1.0))), share.shape)
        for number in range(1, count + 1)
    ]
    for row, column in sorted(peaks, key=lambda spot: -share[spot])[:_MOST_LEAKS]:
        yield Leak(
            x_mm=float(x[row, column]),
            y_mm=float(y[row, column]),
            share=float(share[row, column]),
        )
