"""A photographed panel beside its prediction: measured, predicted, their ratio, in one picture."""

from collections.abc import Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.display import encode
from lamphouse.trace.linear_light import MergedLight
from lamphouse.trace.lit_against import Against, LitOpening
from lamphouse.trace.panel_in_photo import PanelInPhoto
from lamphouse.trace.scales import Places

Colours = NDArray[np.uint8]
Floats = NDArray[np.float64]

WIDE, HIGH = 900, 700
"""Most pixels of each of the three pictures."""
_PIXELS_PER_MM = 8.0
_MARGIN, _CAPTION = 14, 30
_GREY, _INK, _PAPER = (150, 150, 150), (30, 30, 30), (255, 255, 255)
_MARK = (40, 200, 255)
_WHITE = 0.9995
"""Share of the photograph that is no brighter than white: a grain of noise counts for nothing."""
_TWICE = 2.0
"""The ratio at which the colours end, either way."""
_LINES = (0.8, 1.25)
"""Ratios along which a line is drawn, so that colour is not the only sign."""
_BRIGHT, _MIDDLE, _DARK = (60, 110, 235), (235, 235, 235), (190, 90, 30)
"""Blue, green, red: orange where it is brighter than predicted, blue where darker."""
_FRACTION_BITS = 4
_IS_CLOSED = True


def three_pictures(
    merged: MergedLight,
    *,
    view: PanelInPhoto,
    openings: Sequence[LitOpening],
    face: Sequence[Places],
    against: Against,
    title: str,
) -> bytes:
    """Draw measured, predicted and their ratio under one another, on the panel's own plane.

    Measured and predicted share one white, the brightest place of either. Spots are numbered in the
    order of the findings, leaks marked by a cross.

    Returns
    -------
    bytes
        A PNG file.
    """
    import cv2

    low, high = face[0].min(axis=0), face[0].max(axis=0)
    size = high - low
    fineness = min(_PIXELS_PER_MM, WIDE / size[0], HIGH / size[1])
    columns, rows = (max(8, ceil(float(one) * fineness)) for one in size)
    x = low[0] + (np.arange(columns) + 0.5) / fineness
    y = high[1] - (np.arange(rows) + 0.5) / fineness
    places = np.stack(np.meshgrid(x, y), axis=2).reshape(-1, 2)
    spots = view.to_pixels(places).astype(np.float32).reshape(rows, columns, 2)
    seen = cv2.remap(merged.light, spots[..., 0], spots[..., 1], cv2.INTER_LINEAR)
    predicted = np.zeros((rows, columns))
    ratio = np.full((rows, columns), np.nan)
    for lit, one in zip(openings, against.openings, strict=True):
        _put(predicted, lit.picture.luminance_cd_m2, lit=lit, x=x, y=y)
        _put(ratio, one.pattern, lit=lit, x=x, y=y)
    measured = seen / max(against.factor, 1e-30)
    white = max(float(predicted.max()), float(np.quantile(measured, _WHITE)), 1e-12)
    pictures = [
        (f"measured: {title}", _greys(measured / white)),
        ("predicted", _greys(predicted / white)),
        ("measured over predicted, each opening on its own median; lines at 0.8 and 1.25", None),
    ]
    drawn = []
    for words, picture in pictures:
        canvas = _ratio_colours(ratio) if picture is None else picture
        for ring in face:
            line = np.round(
                _pixels(ring, low=low, high=high, fineness=fineness) * (1 << _FRACTION_BITS)
            )
            cv2.polylines(
                canvas, [line.astype(np.int32)], _IS_CLOSED, _GREY, 1, cv2.LINE_AA, _FRACTION_BITS
            )
        _mark(canvas, against, low=low, high=high, fineness=fineness)
        drawn += [_caption(words, wide=columns), canvas]
    drawn.append(_legend(wide=columns))
    page = np.vstack(drawn)
    page = cv2.copyMakeBorder(
        page, _MARGIN, _MARGIN, _MARGIN, _MARGIN, cv2.BORDER_CONSTANT, value=_PAPER
    )
    _, data = cv2.imencode(".png", page)
    return data.tobytes()


def _put(canvas: Floats, values: Floats, *, lit: LitOpening, x: Floats, y: Floats) -> None:
    """Put the picture of an opening where it belongs."""
    picture = lit.picture
    rows, columns = picture.shown.shape
    column = np.floor((x - picture.left_mm) / picture.pixel_mm).astype(int)
    row = np.floor((y - picture.bottom_mm) / picture.pixel_mm).astype(int)
    across = np.nonzero((column >= 0) & (column < columns))[0]
    down = np.nonzero((row >= 0) & (row < rows))[0]
    if not (len(across) and len(down)):
        return
    inner = np.ix_(row[down], column[across])
    part = canvas[np.ix_(down, across)]
    canvas[np.ix_(down, across)] = np.where(picture.shown[inner], values[inner], part)


def _greys(shares: Floats) -> Colours:
    grey = np.round(255.0 * encode(np.clip(shares, 0.0, 1.0))).astype(np.uint8)
    return np.ascontiguousarray(np.repeat(grey[..., None], 3, axis=2))


def _ratio_colours(ratio: Floats) -> Colours:
    import cv2

    known = np.isfinite(ratio)
    canvas = _scale_colours(np.where(known, ratio, 1.0))
    canvas[~known] = (20, 20, 20)
    for edge in _LINES:
        beyond = (known & ((ratio > edge) if edge > 1.0 else (ratio < edge))).astype(np.uint8)
        rings, _ = cv2.findContours(beyond, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
        cv2.drawContours(canvas, rings, -1, _INK, 1)
    return canvas


def _scale_colours(ratio: Floats) -> Colours:
    """Give a colour to a ratio: middle grey at 1, orange at twice, blue at half."""
    way = np.clip(np.log(np.maximum(ratio, 1e-6)) / np.log(_TWICE), -1.0, 1.0)[..., None]
    middle, bright, dark = (np.array(one, dtype=float) for one in (_MIDDLE, _BRIGHT, _DARK))
    mixed = (
        middle + np.maximum(way, 0.0) * (bright - middle) + np.maximum(-way, 0.0) * (dark - middle)
    )
    return np.ascontiguousarray(np.round(mixed).astype(np.uint8))


def _pixels(places: Places, *, low: Floats, high: Floats, fineness: float) -> Places:
    return np.column_stack(
        ((places[:, 0] - low[0]) * fineness - 0.5, (high[1] - places[:, 1]) * fineness - 0.5)
    )


def _mark(canvas: Colours, against: Against, *, low: Floats, high: Floats, fineness: float) -> None:
    import cv2

    number = 0
    for one in against.openings:
        for spot in one.spots:
            number += 1
            place = np.array([(spot.x_mm, spot.y_mm)])
            (column, row), *_ = _pixels(place, low=low, high=high, fineness=fineness).round()
            cv2.circle(canvas, (int(column), int(row)), 9, _MARK, 1, cv2.LINE_AA)
            at = (int(column) + 10, int(row) - 6)
            cv2.putText(
                canvas, str(number), at, cv2.FONT_HERSHEY_SIMPLEX, 0.45, _MARK, 1, cv2.LINE_AA
            )
    for leak in against.leaks:
        place = np.array([(leak.x_mm, leak.y_mm)])
        (column, row), *_ = _pixels(place, low=low, high=high, fineness=fineness).round()
        cv2.drawMarker(canvas, (int(column), int(row)), _MARK, cv2.MARKER_TILTED_CROSS, 12, 1)


def _caption(words: str, *, wide: int) -> Colours:
    import cv2

    strip = np.full((_CAPTION, wide, 3), 255, dtype=np.uint8)
    plain = words.encode("ascii", "replace").decode()
    scale = 0.5
    (length, _), _ = cv2.getTextSize(plain, cv2.FONT_HERSHEY_SIMPLEX, scale, 1)
    scale = min(scale, scale * (wide - 4) / max(length, 1))
    cv2.putText(strip, plain, (2, 20), cv2.FONT_HERSHEY_SIMPLEX, scale, _INK, 1, cv2.LINE_AA)
    return strip


def _legend(*, wide: int) -> Colours:
    """Draw the colours of the ratio with their figures."""
    import cv2

    strip = np.full((44, wide, 3), 255, dtype=np.uint8)
    across = np.exp(np.linspace(-1.0, 1.0, wide) * np.log(_TWICE))
    strip[6:20] = _scale_colours(across[None, :])
    for ratio in (0.5, 0.8, 1.0, 1.25, 2.0):
        column = round((np.log(ratio) / np.log(_TWICE) + 1.0) / 2.0 * (wide - 1))
        cv2.line(strip, (column, 6), (column, 24), _INK, 1)
        at = (min(max(column - 12, 0), wide - 32), 38)
        cv2.putText(strip, f"{ratio:g}", at, cv2.FONT_HERSHEY_SIMPLEX, 0.42, _INK, 1, cv2.LINE_AA)
    return strip
