"""The answer of ``photo`` as records."""

from lamphouse.record import Record


class SpotLine(Record):
    """A place where an opening is not as predicted."""

    x_mm: float
    y_mm: float
    ratio: float
    """Measured over predicted there, 1 on the median of the opening; small spots are smoothed."""
    area_mm2: float


class PhotoOpeningLine(Record):
    """One opening as photographed, beside its prediction over the same places."""

    opening: str
    evenness: float | None
    """Darkest of 8 x 6 cells over their mean; None where too little of it can be read."""
    evenness_bar: float
    """What the place of the panel in the picture leaves open, and its rim that is not read."""
    predicted_evenness: float | None
    hot_spot: float | None
    """Brightest cell over the mean."""
    predicted_hot_spot: float | None
    beside_others: float | None
    """Its mean light beside all openings, over the same as predicted; None for one alone."""
    is_coloured: bool
    """Whether a camera weighs its light otherwise than the eye."""
    overexposed: float
    """Share of it."""
    read: float
    """Share of it that counts."""
    half_code: float
    """Half of it is stored brighter than this, 0 to 255."""
    spots: tuple[SpotLine, ...]
    """The worst first."""


class FaceLightLine(Record):
    """Light on the face of the panel, away from openings and strands."""

    x_mm: float
    y_mm: float
    share: float
    """Over the mean of the openings."""


class PhotoResult(Record):
    """The result of ``photo``."""

    panel: str
    pictures: tuple[str, ...]
    exposures: str
    place: str
    """How the panel was found."""
    pixel_mm: float
    """Size of a pixel on the panel."""
    off_mm: float
    """How far a place may be off."""
    openings: tuple[PhotoOpeningLine, ...]
    face_light: tuple[FaceLightLine, ...]
    overlay: str
    """The picture of measured, predicted and their ratio."""
