"""A PNG, JPEG or TIFF file as grey levels, refused when it cannot be trusted."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Finding
from lamphouse.record import Record
from lamphouse.trace import picture_rules
from lamphouse.trace.picture_header import AGAIN, Header, read_header
from lamphouse.trace.refused import TraceError, finding

Levels = NDArray[np.float32]
"""Brightness, (rows, columns), 0 black to 255 white; the upper row first, as cameras store it."""

MOST_BYTES = 400_000_000
_GREY_OF_BGR = (0.114, 0.587, 0.299)
"""Shares of blue, green and red in brightness [BT601]."""
_QUARTERS = {1: 0, 2: 0, 3: 2, 4: 2, 5: 1, 6: 3, 7: 3, 8: 1}
"""Quarter turns to the left for every Exif orientation, after the flip where there is one."""
_FLIPPED = (2, 4, 5, 7)
_NO_NEED = "look at the overlay; there is nothing to mend when it lies on the edge"


class Picture(Record):
    """A picture, turned as it is meant to be seen."""

    levels: Levels
    header: Header
    findings: tuple[Finding, ...] = ()
    """What was left out of account."""
    name: str = ""
    """Of the file."""


def load(data: bytes, *, name: str = "") -> Picture:
    """Unpack a picture file.

    Parameters
    ----------
    data
        The whole file.
    name
        Of the file, for what is told of it.

    Returns
    -------
    Picture
        Grey; colours are weighed by [BT601], colour profiles are not applied, transparent places
        are laid on white.

    Raises
    ------
    TraceError
        If the picture is broken, too large, or of another kind.
    """
    header, pixels = unpacked(data)
    told = []
    if header.has_profile:
        what = "the colour profile was not applied; edges lie at half level as stored"
        told.append(finding(picture_rules.left_out_of_file, what, remedy=_NO_NEED))
    if pixels.ndim == 3 and pixels.shape[2] in (2, 4):
        what = "transparent places were laid on white"
        told.append(finding(picture_rules.left_out_of_file, what, remedy=_NO_NEED))
    levels = turned(_grey(pixels), header.orientation)
    return Picture(levels=levels, header=header, findings=tuple(told), name=name)


def unpacked(data: bytes) -> tuple[Header, NDArray[np.generic]]:
    """Unpack a picture file as it is stored.

    Returns
    -------
    tuple
        Its header, and its pixels (rows, columns) or (rows, columns, channels), blue first.

    Raises
    ------
    TraceError
        If the picture is broken, too large, or of another kind.
    """
    if len(data) > MOST_BYTES:
        what = (
            f"the file has {len(data) // 1_000_000} MB; at most {MOST_BYTES // 1_000_000} are read"
        )
        remedy = "scan only the part, or save it as PNG"
        raise TraceError(picture_rules.too_large_a_picture, what, remedy=remedy)
    header = read_header(data)
    if not _has_its_end(data, header.kind):
        raise _broken()
    pixels = _decoded(data)
    if sorted(pixels.shape[:2]) != sorted((header.rows, header.columns)):
        what = "the picture is not as large as its header says"
        raise TraceError(picture_rules.no_picture, what, remedy=AGAIN)
    return header, pixels


def _has_its_end(data: bytes, kind: str) -> bool:
    """Tell whether the closing mark is there; decoders fill what is missing with grey."""
    if kind == "JPEG":
        return data.rfind(b"\xff\xd9") > data.rfind(b"\xff\xda") > 0
    return kind != "PNG" or data.rfind(b"IEND") > 0


def _decoded(data: bytes) -> NDArray[np.generic]:
    import cv2

    how = cv2.IMREAD_UNCHANGED | cv2.IMREAD_IGNORE_ORIENTATION
    quiet = cv2.utils.logging
    was = quiet.getLogLevel()
    quiet.setLogLevel(quiet.LOG_LEVEL_SILENT)
    try:
        pixels = cv2.imdecode(np.frombuffer(data, dtype=np.uint8), how)
    except cv2.error as fault:
        raise _broken() from fault
    finally:
        quiet.setLogLevel(was)
    if pixels is None:
        raise _broken()
    return np.asarray(pixels)


def _broken() -> TraceError:
    what = "the picture cannot be unpacked: it is broken, cut short or packed in an unusual way"
    remedy = "copy it again, or save it as PNG"
    return TraceError(picture_rules.no_picture, what, remedy=remedy)


def _grey(pixels: NDArray[np.generic]) -> Levels:
    import cv2

    full = {"uint8": 255.0, "uint16": 65535.0, "float32": 1.0}.get(pixels.dtype.name)
    if full is None or (pixels.ndim == 3 and pixels.shape[2] > 4):
        what = f"pixels of {pixels.dtype.name} in {pixels.shape[-1]} channels are not read"
        remedy = "save the picture with 8 or 16 bits a channel"
        raise TraceError(picture_rules.no_picture, what, remedy=remedy)
    channels = 1 if pixels.ndim == 2 else pixels.shape[2]
    if channels >= 3:
        weights = np.array([[*_GREY_OF_BGR, *[0.0] * (channels - 3)]], dtype=np.float32)
        grey = cv2.transform(pixels, weights.astype(np.float64))
    else:
        grey = pixels if channels == 1 and pixels.ndim == 2 else pixels[..., 0]
    levels = np.asarray(grey, dtype=np.float32) * np.float32(255.0 / full)
    if channels in (2, 4):
        share = pixels[..., -1].astype(np.float32) / np.float32(full)
        levels = levels * share + 255.0 * (1.0 - share)
    if not np.isfinite(levels).all():
        raise _broken()
    return levels


def turned(levels: Levels, orientation: int) -> Levels:
    """Turn a picture as it is meant to be seen."""
    if orientation in _FLIPPED:
        levels = levels[:, ::-1]
    return np.ascontiguousarray(np.rot90(levels, _QUARTERS[orientation]))
