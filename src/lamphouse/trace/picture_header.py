"""Size, fineness and turn of a picture, read from its first bytes before anything is unpacked.

A small file can unpack into more memory than a machine has; so the size is believed only as far
as the header says it, and a picture above the limit is never handed to the decoder.
"""

import struct
from collections.abc import Iterator

from lamphouse.record import Record, replace
from lamphouse.trace import picture_rules
from lamphouse.trace.refused import TraceError

MOST_PIXELS = 100_000_000
"""An A3 page at 600 dpi is 70 million pixels."""
MOST_SIDE = 40_000
LEAST_SIDE = 40
INCH_MM = 25.4
_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8\xff"
_TIFF = (b"II*\x00", b"MM\x00*")
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""JPEG markers that carry the size of the picture [T81]."""
_NO_LENGTH = frozenset(range(0xD0, 0xD8)) | {0x01}
_WIDTH, _HEIGHT, _ORIENTATION = 256, 257, 274
_X_RESOLUTION, _Y_RESOLUTION, _RESOLUTION_UNIT = 282, 283, 296
_EXIF, _FOCAL_35 = 34665, 41989
_EXPOSURE, _F_NUMBER, _SENSITIVITY = 33434, 33437, 34855
"""Tags of TIFF 6.0 and of Exif [EXIF]."""
_PER_INCH, _PER_CM = 2, 3
_MOST_TAGS = 512
AGAIN = "copy or save the picture again"
"""What helps when a file is broken."""


class Header(Record):
    """What a picture file says of itself."""

    kind: str
    """``PNG``, ``JPEG`` or ``TIFF``."""
    columns: int
    rows: int
    dpi: tuple[float, float] | None = None
    """Pixels per inch along columns and rows; None when the file does not say."""
    orientation: int = 1
    """How to turn the picture, 1 to 8 as in [EXIF]."""
    focal_35_mm: float | None = None
    """Focal length as on 35 mm film, when the camera wrote it."""
    exposure_s: float | None = None
    """How long the picture was exposed, when the camera wrote it."""
    f_number: float | None = None
    sensitivity: float | None = None
    """ISO speed, likewise."""
    has_profile: bool = False
    """Whether it carries a colour profile."""


def read_header(data: bytes) -> Header:
    """Read the header of a picture.

    Parameters
    ----------
    data
        The whole file, or at least its beginning.

    Raises
    ------
    TraceError
        If the file is none of PNG, JPEG and TIFF, is cut short, or is too large or too small.
    """
    try:
        if data.startswith(_PNG):
            header = _png(data)
        elif data.startswith(_JPEG):
            header = _jpeg(data)
        elif data[:4] in _TIFF:
            header = replace(_tagged(data, Header(kind="TIFF", columns=0, rows=0)), kind="TIFF")
        else:
            what = "the file is no PNG, JPEG or TIFF picture" if data else "the file is empty"
            remedy = "save the scan or photograph as PNG, TIFF or JPEG"
            raise TraceError(picture_rules.no_picture, what, remedy=remedy)
    except (struct.error, IndexError) as fault:
        what = "the picture's header is cut short or broken"
        raise TraceError(picture_rules.no_picture, what, remedy=AGAIN) from fault
    return _of_sound_size(header)


def _of_sound_size(header: Header) -> Header:
    columns, rows = header.columns, header.rows
    size = f"{columns} x {rows} pixels"
    if columns * rows > MOST_PIXELS or max(columns, rows) > MOST_SIDE:
        what = f"the picture has {size}; at most {MOST_PIXELS // 1_000_000} million are read"
        remedy = "scan only the part, or at a lower resolution"
        raise TraceError(picture_rules.too_large_a_picture, what, remedy=remedy)
    if min(columns, rows) < LEAST_SIDE:
        what = f"the picture has {size}; each side needs at least {LEAST_SIDE}"
        remedy = "use the scan itself, not its thumbnail"
        raise TraceError(picture_rules.too_small_a_picture, what, remedy=remedy)
    return header


def _dpi(across: float, down: float, *, per_mm: float) -> tuple[float, float] | None:
    """Give both in pixels per inch; None where a file writes nonsense."""
    found = (across * per_mm * INCH_MM, down * per_mm * INCH_MM)
    return found if all(1.0 < one < 100_000.0 for one in found) else None


def _png(data: bytes) -> Header:
    columns, rows = struct.unpack(">II", data[16:24])
    header = Header(kind="PNG", columns=columns, rows=rows)
    place = 8
    while place + 12 <= len(data):
        (length,) = struct.unpack_from(">I", data, place)
        kind, body = data[place + 4 : place + 8], place + 8
        if kind == b"IDAT":
            break
        if kind == b"pHYs":
            across, down, unit = struct.unpack_from(">IIB", data, body)
            if unit == 1:
                header = replace(header, dpi=_dpi(across, down, per_mm=1e-3))
        elif kind == b"iCCP":
            header = replace(header, has_profile=True)
        elif kind == b"eXIf":
            header = _tagged(data[body : body + length], header)
        place = body + length + 4
    return header


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Give markers with their bodies up to the first frame."""
    place = 2
    while place + 4 <= len(data):
        if data[place] != 0xFF:
            return
        marker = data[place + 1]
        if marker == 0xFF or marker in _NO_LENGTH:
            place += 1 if marker == 0xFF else 2
            continue
        (length,) = struct.unpack_from(">H", data, place + 2)
        yield marker, data[place + 4 : place + 2 + length]
        place += 2 + max(length, 2)


def _jpeg(data: bytes) -> Header:
    header = Header(kind="JPEG", columns=0, rows=0)
    for marker, body in _jpeg_segments(data):
        if marker in _FRAMES:
            rows, columns = struct.unpack_from(">HH", body, 1)
            return replace(header, columns=columns, rows=rows)
        if marker == 0xE0 and body.startswith(b"JFIF\0"):
            unit, across, down = struct.unpack_from(">BHH", body, 7)
            per_mm = {1: 1.0 / INCH_MM, 2: 0.1}.get(unit)
            if per_mm and not header.dpi:
                header = replace(header, dpi=_dpi(across, down, per_mm=per_mm))
        elif marker == 0xE1 and body.startswith(b"Exif\0\0"):
            header = _tagged(body[6:], header)
        elif marker == 0xE2 and body.startswith(b"ICC_PROFILE\0"):
            header = replace(header, has_profile=True)
    what = "the JPEG ends before its size is told"
    raise TraceError(picture_rules.no_picture, what, remedy=AGAIN)


def _tagged(data: bytes, header: Header) -> Header:
    """Add what a block of tags says: the beginning of a TIFF, or the Exif block of another."""
    order = "<" if data[:2] == b"II" else ">"
    (first,) = struct.unpack_from(order + "I", data, 4)
    tags = dict(_tags(data, first, order))
    if _EXIF in tags:
        tags.update(_tags(data, int(tags[_EXIF]), order))
    if not header.columns:
        header = replace(header, columns=int(tags.get(_WIDTH, 0)), rows=int(tags.get(_HEIGHT, 0)))
    per_mm = {_PER_INCH: 1.0 / INCH_MM, _PER_CM: 0.1}.get(int(tags.get(_RESOLUTION_UNIT, 2)))
    if per_mm and not header.dpi and _X_RESOLUTION in tags and _Y_RESOLUTION in tags:
        dpi = _dpi(tags[_X_RESOLUTION], tags[_Y_RESOLUTION], per_mm=per_mm)
        header = replace(header, dpi=dpi)
    turn = int(tags.get(_ORIENTATION, 1))
    focal = tags.get(_FOCAL_35, 0.0)
    return replace(
        header,
        orientation=turn if 1 <= turn <= 8 else 1,
        focal_35_mm=focal if focal > 0.0 else None,
        exposure_s=_told(tags.get(_EXPOSURE)),
        f_number=_told(tags.get(_F_NUMBER)),
        sensitivity=_told(tags.get(_SENSITIVITY)),
    )


def _told(value: float | None) -> float | None:
    """Give a setting that a camera can have; None where it wrote nonsense."""
    return value if value is not None and 1e-6 <= value <= 1e7 else None


def _tags(data: bytes, place: int, order: str) -> Iterator[tuple[int, float]]:
    """Give the tags of one directory that hold a single number."""
    (count,) = struct.unpack_from(order + "H", data, place)
    for index in range(min(count, _MOST_TAGS)):
        entry = place + 2 + 12 * index
        tag, kind, many = struct.unpack_from(order + "HHI", data, entry)
        if many != 1:
            continue
        if kind == 3:
            yield tag, float(struct.unpack_from(order + "H", data, entry + 8)[0])
        elif kind == 4:
            yield tag, float(struct.unpack_from(order + "I", data, entry + 8)[0])
        elif kind == 5:
            (where,) = struct.unpack_from(order + "I", data, entry + 8)
            above, below = struct.unpack_from(order + "II", data, where)
            yield tag, above / below if below else 0.0
