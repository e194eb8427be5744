"""Grey pictures as PNG: eight bits a pixel, the size in millimetres and the sRGB curve declared.

The file is a plain chain of chunks [PNG]; the same pixels give the same bytes. Each line is written
as the difference from the line above it, which packs smooth gradients well.
"""

import struct
import zlib
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

Greys = NDArray[np.uint8]

SIGNATURE = b"\x89PNG\r\n\x1a\n"
_GREY, _DEFLATE, _ADAPTIVE, _WHOLE = 0, 0, 0, 0
"""Colour type, packing, filtering, and no interlacing, as the header numbers them."""
_UP = 2
"""The filter that takes the line above off."""
_EFFORT = 6
_METRE = 1
_PERCEPTUAL = b"\0"


def encode(greys: Greys, *, pixels_per_mm: float, words: Mapping[str, str]) -> bytes:
    """Write a picture.

    Parameters
    ----------
    greys
        (rows, columns), 0 black to 255 white by the curve of sRGB; the lowest row first, as
        everywhere else in the program.
    pixels_per_mm
        Fineness; a page that honours it shows the picture in its own size.
    words
        Texts by keyword, in ASCII, kept in the file.

    Returns
    -------
    bytes
        The file.
    """
    rows, columns = greys.shape
    pitch = round(pixels_per_mm * 1000)
    shape = (columns, rows, 8, _GREY, _DEFLATE, _ADAPTIVE, _WHOLE)
    return SIGNATURE + b"".join(
        (
            _chunk(b"IHDR", struct.pack(">IIBBBBB", *shape)),
            _chunk(b"sRGB", _PERCEPTUAL),
            _chunk(b"pHYs", struct.pack(">IIB", pitch, pitch, _METRE)),
            *_texts(words),
            _chunk(b"IDAT", zlib.compress(_filtered(greys), _EFFORT)),
            _chunk(b"IEND", b""),
        )
    )


def _texts(words: Mapping[str, str]) -> Iterator[bytes]:
    for keyword, text in words.items():
        yield _chunk(b"tEXt", f"{keyword}\0{text}".encode("ascii", "replace"))


def _filtered(greys: Greys) -> bytes:
    down = greys[::-1]
    lines = np.zeros((down.shape[0], down.shape[1] + 1), dtype=np.uint8)
    lines[:, 0] = _UP
    lines[:, 1:] = down
    lines[1:, 1:] -= down[:-1]  # modulo 256, as the filter wants it
    return lines.tobytes()


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
