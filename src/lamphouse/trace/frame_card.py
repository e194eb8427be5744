"""The frame card found in a picture, and the scale that follows from it."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.drawings import marker_card
from lamphouse.findings import Finding
from lamphouse.trace import scale_rules
from lamphouse.trace.picture_file import Levels, Picture
from lamphouse.trace.references import Scaled, Seen, scaled
from lamphouse.trace.refused import TraceError, finding
from lamphouse.trace.scales import Places

Mask = NDArray[np.bool_]

READING_MM = 0.2
"""How exactly a maker reads a ruler; common practice, no source."""
UNREAD_SHARE = 0.02
"""How far a print may be from its size when nobody measured it; common practice, no source."""
MOST_RESIDUAL_MM = 0.15
"""A frame whose crossings lie farther from where they should is bent, or badly printed. [rms]."""
_DETECT_PIXELS = 3_000_000
_LEAST_MARKERS = 12
_REACH = 0.11
"""Of a square: less than the white round a marker, whose corners would draw a crossing away."""
_RIM_MM = 2.0
"""Kept free along the rim of the window."""


def find_card(picture: Picture, *, printed_mm: tuple[float, float] | None) -> Seen:
    """Find the crossings of the frame card.

    Parameters
    ----------
    picture
        A scan or photograph with the whole card.
    printed_mm
        Width and height of the printed frame as the maker measured them; its nominal size with a
        large uncertainty when left out.

    Raises
    ------
    TraceError
        If there is no card, it is cut off, or measured against its proportions.
    """
    nominal = (marker_card.WIDTH_MM, marker_card.HEIGHT_MM)
    stretch = _stretch(printed_mm, nominal)
    ideal = np.array(list(marker_card.crossings()))
    found, seen = _crossings(picture.levels, ideal)
    if seen.sum() < 0.9 * len(ideal):
        what = f"{int(seen.sum())} of the card's {len(ideal)} crossings are in the picture"
        remedy = "take the picture again with the whole card in it, uncovered"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    told: tuple[Finding, ...] = ()
    if printed_mm is None:
        what = f"the print was not measured, so {UNREAD_SHARE:.0%} is allowed for its stretch"
        remedy = "measure width and height of the printed frame and tell both with --printed"
        told = (finding(scale_rules.print_not_measured, what, remedy=remedy),)
    left, bottom, right, top = marker_card.window_mm()
    low, high = np.array((left, bottom)) + _RIM_MM, np.array((right, top)) - _RIM_MM
    ring = np.array(((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])))
    return Seen(
        spots=found[seen],
        plane=(ideal * stretch)[seen],
        share=READING_MM / nominal[0] if printed_mm else UNREAD_SHARE,
        words=_words(printed_mm),
        most_residual_mm=MOST_RESIDUAL_MM,
        window_mm=ring * stretch,
        findings=told,
    )


def from_card(
    picture: Picture,
    *,
    printed_mm: tuple[float, float] | None,
    thickness_mm: float = 0.0,
    is_scan: bool = False,
) -> Scaled:
    """Find the frame card in one picture and fit the picture's scale to it.

    Parameters
    ----------
    picture, printed_mm
        As for :func:`find_card`.
    thickness_mm
        Of the part: its visible face is that much nearer to the camera than the card.
    is_scan
        Whether it comes from a flatbed, which knows no perspective.

    Raises
    ------
    TraceError
        If there is no card, it is cut off, bent, or measured against its proportions.
    """
    seen = find_card(picture, printed_mm=printed_mm)
    (one,) = scaled([seen], pictures=[picture], thickness_mm=thickness_mm, is_scan=is_scan)
    return one


def _stretch(
    printed_mm: tuple[float, float] | None, nominal: tuple[float, float]
) -> NDArray[np.float64]:
    if printed_mm is None:
        return np.ones(2)
    stretch = np.array(printed_mm) / nominal
    if not ((stretch > 0.5) & (stretch < 2.0)).all() or abs(stretch[0] / stretch[1] - 1.0) > 0.1:
        width, height = nominal
        what = f"a frame of {printed_mm[0]:g} x {printed_mm[1]:g} mm has not the card's proportions"
        remedy = f"measure its outer edges; it is drawn {width:g} mm wide and {height:g} mm high"
        raise TraceError(scale_rules.residual_too_large, what, remedy=remedy)
    return stretch


def _words(printed_mm: tuple[float, float] | None) -> str:
    if printed_mm is None:
        return "the frame card as drawn, its print not measured"
    return f"the frame card, measured {printed_mm[0]:g} x {printed_mm[1]:g} mm"


def _crossings(levels: Levels, ideal: Places) -> tuple[Places, Mask]:
    """Find the crossings in pixels, and which of them are seen."""
    import cv2

    bytes_ = np.clip(levels, 0.0, 255.0).astype(np.uint8)
    zoom = min(1.0, (_DETECT_PIXELS / levels.size) ** 0.5)
    small = cv2.resize(bytes_, None, fx=zoom, fy=zoom, interpolation=cv2.INTER_AREA)
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_100)
    corners, numbers, _ = cv2.aruco.ArucoDetector(book).detectMarkers(small)
    known = {n: np.array(square) for n, square in enumerate(marker_card.marked_squares())}
    at, on_card = [], []
    module = marker_card.SQUARE_MM / marker_card.MODULES
    ring = np.array(((1, 7), (7, 7), (7, 1), (1, 1))) * module  # from the upper left, clockwise
    told = np.ravel(numbers) if numbers is not None else ()
    for four, number in zip(corners, told, strict=True):
        if int(number) in known:
            at.append((four[0] + 0.5) / zoom - 0.5)
            on_card.append(known[int(number)] * marker_card.SQUARE_MM + ring)
    if len(at) < _LEAST_MARKERS:
        what = f"{len(at)} of the frame card's {len(known)} markers are seen"
        remedy = "take the picture sharp, near and with the whole card in it, or name another scale"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    flat, spots = np.concatenate(on_card), np.concatenate(at).astype(np.float64)
    through, _ = cv2.findHomography(flat, spots, cv2.RANSAC, 4.0)
    if through is None:
        what = "the card's markers do not fit together"
        remedy = "lay the card flat and take the picture again"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    guess = cv2.perspectiveTransform(ideal[None], through)[0]
    local = cv2.perspectiveTransform(ideal[None] + (marker_card.SQUARE_MM, 0.0), through)[0]
    pitch = float(np.median(np.hypot(*(local - guess).T)))
    reach = max(3, int(_REACH * pitch))
    rows, columns = levels.shape
    low, high = 2.0 * reach, np.array((columns, rows)) - 2.0 * reach
    seen = ((guess > low) & (guess < high)).all(axis=1)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 60, 0.001)
    found = guess.astype(np.float32).reshape(-1, 1, 2)
    if seen.any():
        some = np.ascontiguousarray(found[seen])
        found[seen] = cv2.cornerSubPix(bytes_, some, (reach, reach), (-1, -1), stop)
    fine = found[:, 0].astype(np.float64)
    return fine, seen & (np.hypot(*(fine - guess).T) < 0.3 * pitch)
