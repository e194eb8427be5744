"""Pictures as PNG: eight bits a channel, the size in millimetres and the colours declared.

The file is a plain chain of chunks [PNG]; the same pixels give the same bytes. Each line is written
as the difference from the line above it, which packs smooth gradients well. Colours are sRGB, or
those of P3, named by number [PNG] and, for programs that do not know the numbers, by primaries.
"""

import struct
import zlib
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

Greys = NDArray[np.uint8]

SIGNATURE = b"\x89PNG\r\n\x1a\n"
_GREY, _COLOUR = 0, 2
_DEFLATE, _ADAPTIVE, _WHOLE = 0, 0, 0
"""Packing, filtering, and no interlacing, as the header numbers them."""
_UP = 2
"""The filter that takes the line above off."""
_EFFORT = 4
_METRE = 1
_PERCEPTUAL = b"\0"
_P3 = bytes([12, 13, 0, 1])
"""Primaries, curve, no matrix, full range, by the code points of H.273."""
_P3_GAMMA = 45455
"""Of a curve near that of sRGB, 100000 standing for 1."""
_P3_XY = (31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000)
"""x and y of white, red, green and blue likewise [EG-432]."""


def encode(
    pixels: Greys, *, pixels_per_mm: float, words: Mapping[str, str], is_wide: bool = False
) -> bytes:
    """Write a picture.

    Parameters
    ----------
    pixels
        Greys (rows, columns), 0 black to 255 white, or colours (rows, columns, 3), by the curve of
        sRGB; the lowest row first, as everywhere else in the program.
    pixels_per_mm
        Fineness; a page that honours it shows the picture in its own size.
    words
        Texts by keyword, in ASCII, kept in the file.
    is_wide
        Whether the colours are those of P3.

    Returns
    -------
    bytes
        The file.
    """
    rows, columns = pixels.shape[:2]
    pitch = round(pixels_per_mm * 1000)
    kind = _GREY if pixels.ndim == 2 else _COLOUR
    shape = (columns, rows, 8, kind, _DEFLATE, _ADAPTIVE, _WHOLE)
    return SIGNATURE + b"".join(
        (
            _chunk(b"IHDR", struct.pack(">IIBBBBB", *shape)),
            *_colours(is_wide=is_wide),
            _chunk(b"pHYs", struct.pack(">IIB", pitch, pitch, _METRE)),
            *_texts(words),
            _chunk(b"IDAT", zlib.compress(_filtered(pixels), _EFFORT)),
            _chunk(b"IEND", b""),
        )
    )


def _colours(*, is_wide: bool) -> Iterator[bytes]:
    if is_wide:
        yield _chunk(b"cICP", _P3)
        yield _chunk(b"gAMA", struct.pack(">I", _P3_GAMMA))
        yield _chunk(b"cHRM", struct.pack(">8I", *_P3_XY))
    else:
        yield _chunk(b"sRGB", _PERCEPTUAL)


def _texts(words: Mapping[str, str]) -> Iterator[bytes]:
    for keyword, text in words.items():
        yield _chunk(b"tEXt", f"{keyword}\0{text}".encode("ascii", "replace"))


def _filtered(pixels: Greys) -> bytes:
    down = pixels[::-1].reshape(len(pixels), -1)
    lines = np.zeros((down.shape[0], down.shape[1] + 1), dtype=np.uint8)
    lines[:, 0] = _UP
    lines[:, 1:] = down
    lines[1:, 1:] -= down[:-1]  # modulo 256, as the filter wants it
    return lines.tobytes()


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
