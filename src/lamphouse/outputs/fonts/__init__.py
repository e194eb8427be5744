"""The one font of every sheet: its name, its files, and the signs it has.

Lamphouse Sans is a subset of an open font with the signs apart that look alike: ``0`` and ``O``,
``1``, ``l`` and ``I``. All figures are equally wide, so columns of numbers stand straight. The
licence lies beside it in ``LICENCE.txt``; ``packaging/make_font.py`` made it.
"""

from pathlib import Path

FONT = "Lamphouse Sans"
"""The family's name, for every format that names a font."""
FOLDER = Path(__file__).parent
"""Where the files are."""
_RANGES = (
    (0x0020, 0x007E),
    (0x00A0, 0x0148),
    (0x014A, 0x017F),
    (0x0218, 0x021B),
    (0x0386, 0x038A),
    (0x038C, 0x038C),
    (0x038E, 0x03A1),
    (0x03A3, 0x03CE),
    (0x0400, 0x045F),
    (0x0490, 0x0491),
    (0x1E80, 0x1E85),
    (0x1EF2, 0x1EF3),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2020, 0x2022),
    (0x2026, 0x2026),
    (0x2030, 0x2030),
    (0x2032, 0x2033),
    (0x2070, 0x2071),
    (0x2074, 0x2079),
    (0x2080, 0x2089),
    (0x20AC, 0x20AC),
    (0x2116, 0x2116),
    (0x2122, 0x2122),
    (0x2153, 0x2153),
    (0x215B, 0x215E),
    (0x2190, 0x2194),
    (0x2205, 0x2205),
    (0x2212, 0x2212),
    (0x221A, 0x221A),
    (0x221E, 0x221E),
    (0x2248, 0x2248),
    (0x2260, 0x2260),
    (0x2264, 0x2265),
    (0x25A0, 0x25A1),
    (0x25EF, 0x25EF),
    (0x2713, 0x2713),
    (0x2717, 0x2717),
)
"""First and last of every run of signs the font has."""


def font_bytes(*, bold: bool = False) -> bytes:
    """Read one weight of the font."""
    weight = "Bold" if bold else "Regular"
    return (FOLDER / f"LamphouseSans-{weight}.otf").read_bytes()


def lacking(text: str) -> tuple[str, ...]:
    """List the signs of a text that the font cannot print, each once, in order of appearance.

    Line ends are not signs.
    """
    unseen = dict.fromkeys(text)
    return tuple(sign for sign in unseen if sign not in "\n\r\t" and not _has(sign))


def _has(sign: str) -> bool:
    return any(first <= ord(sign) <= last for first, last in _RANGES)
