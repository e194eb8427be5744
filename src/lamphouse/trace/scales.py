"""From pixels to mm and back, with what is uncertain in it.

The plane of mm is that of the part's visible face: x to the right, y up. Its origin is of no
meaning; a traced part is moved to its own lower left corner.
"""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace import scale_rules
from lamphouse.trace.picture_header import INCH_MM
from lamphouse.trace.refused import TraceError

Places = NDArray[np.float64]
"""(n, 2): column and row in pixels, or x and y in mm."""

SCANNER_SHARE = 0.002
"""How far a flatbed's own resolution may be off, relative; common practice, no source."""
_LEAST_RULER_PIXELS = 200.0
_MARK_PIXELS = 2.0
"""How exactly two marks are pointed at, together."""
SLANT_SHARE = 0.01
"""What a slant of 8 degrees nobody noticed does to a length, cos 8 deg = 0.990."""
_TAG_SHARE = 0.01
"""How far the file's own resolution may be from the stated one before it is a contradiction."""


class Scale(Protocol):
    """What every way of scaling a picture can do."""

    @property
    def words(self) -> str:
        """Say where the scale comes from."""

    @property
    def share(self) -> float:
        """Give the relative uncertainty of a length. [two standard deviations]."""

    @property
    def offset_mm(self) -> float:
        """Give the uncertainty of any place besides, over ``reach_mm``. [two sigma]."""

    @property
    def reach_mm(self) -> float:
        """Give the size of what the scale was fitted to; a smaller part is off by less."""

    @property
    def pixel_mm(self) -> float:
        """Give the size of a pixel on the part, the larger way."""

    def to_mm(self, places: Places) -> Places:
        """Map pixels to mm."""

    def to_pixels(self, places: Places) -> Places:
        """Map mm to pixels."""


class FlatScale(Record):
    """A picture of equal scale all over, such as a scan."""

    words: str
    mm_per_column: float
    mm_per_row: float
    share: float
    offset_mm: float = 0.0
    reach_mm: float = 0.0

    @property
    def pixel_mm(self) -> float:
        """Give the size of a pixel on the part, the larger way."""
        return max(self.mm_per_column, self.mm_per_row)

    def to_mm(self, places: Places) -> Places:
        """Map pixels to mm."""
        return places * (self.mm_per_column, -self.mm_per_row)

    def to_pixels(self, places: Places) -> Places:
        """Map mm to pixels."""
        return places / (self.mm_per_column, -self.mm_per_row)


def from_dpi(dpi: float, *, tagged: tuple[float, float] | None) -> FlatScale:
    """Trust a scanner's resolution.

    Parameters
    ----------
    dpi
        Pixels per inch, as the maker set it.
    tagged
        What the file says of itself, when it says anything.

    Raises
    ------
    TraceError
        If the resolution is no sensible one, or the file contradicts it.
    """
    if not 50.0 <= dpi <= 9600.0:
        what = f"{dpi:g} dpi is no resolution of a scanner"
        remedy = "name what the scan was made with, such as --dpi 600"
        raise TraceError(scale_rules.resolution_in_doubt, what, remedy=remedy)
    if tagged and any(abs(one / dpi - 1.0) > _TAG_SHARE for one in tagged):
        across, down = tagged
        what = f"the file says {across:.0f} x {down:.0f} dpi, not the {dpi:g} dpi stated"
        remedy = "state what the scan was made with; a picture that was scaled has lost its scale"
        raise TraceError(scale_rules.resolution_in_doubt, what, remedy=remedy)
    known = "stated and in the file" if tagged else "stated; the file does not say"
    return FlatScale(
        words=f"scan at {dpi:g} dpi ({known})",
        mm_per_column=INCH_MM / dpi,
        mm_per_row=INCH_MM / dpi,
        share=SCANNER_SHARE,
    )


def from_two_points(
    first: tuple[float, float], *, second: tuple[float, float], apart_mm: float
) -> FlatScale:
    """Scale a picture taken straight from above by two marks of a ruler lying in it.

    Parameters
    ----------
    first, second
        Column and row of the two marks.
    apart_mm
        What the ruler says between them.

    Raises
    ------
    TraceError
        If the marks are too close to scale anything.
    """
    pixels = float(np.hypot(second[0] - first[0], second[1] - first[1]))
    if not pixels >= _LEAST_RULER_PIXELS or not np.isfinite(pixels):
        what = f"the two marks of the ruler are {pixels:.0f} pixels apart"
        remedy = f"choose marks at least {_LEAST_RULER_PIXELS:.0f} pixels apart"
        raise TraceError(scale_rules.marks_too_close, what, remedy=remedy)
    pixel_mm = apart_mm / pixels
    return FlatScale(
        words=f"two marks {apart_mm:g} mm apart, taken as seen straight from above",
        mm_per_column=pixel_mm,
        mm_per_row=pixel_mm,
        share=float(np.hypot(_MARK_PIXELS / pixels, SLANT_SHARE)),
    )


class AffineScale(Record):
    """A scan that may stretch and lean, as fitted to a card."""

    words: str
    matrix: tuple[tuple[float, float, float], tuple[float, float, float]]
    """From column, row and 1 to x and y."""
    share: float
    offset_mm: float
    reach_mm: float

    @property
    def pixel_mm(self) -> float:
        """Give the size of a pixel on the part, the larger way."""
        linear = np.array(self.matrix)[:, :2]
        return float(np.hypot(*linear).max())

    def to_mm(self, places: Places) -> Places:
        """Map pixels to mm."""
        matrix = np.array(self.matrix)
        return np.asarray(places @ matrix[:, :2].T + matrix[:, 2])

    def to_pixels(self, places: Places) -> Places:
        """Map mm to pixels."""
        matrix = np.array(self.matrix)
        return np.asarray((places - matrix[:, 2]) @ np.linalg.inv(matrix[:, :2]).T)


def fit_affine(
    spots: Places, plane: Places, *, share: float, words: str
) -> tuple[AffineScale, NDArray[np.float64]]:
    """Fit a scale without perspective to places known in pixels and in mm.

    Returns
    -------
    AffineScale, array
        The scale, and (n, 2) how far the places lie from where they should. [mm].
    """
    terms = np.column_stack((spots, np.ones(len(spots))))
    factors = np.linalg.lstsq(terms, plane, rcond=None)[0]
    off = terms @ factors - plane
    (a, b), (c, d), (e, f) = factors.tolist()
    spread = float(np.sqrt((off**2).sum() / max(len(off) - 3, 1)))
    scale = AffineScale(
        words=words,
        matrix=((a, c, e), (b, d, f)),
        share=share,
        offset_mm=2.0 * spread / len(spots) ** 0.5,
        reach_mm=float(np.hypot(*np.ptp(plane, axis=0))),
    )
    return scale, off
