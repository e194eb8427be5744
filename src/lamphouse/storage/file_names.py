"""File names that every system takes, made from any words, and the check of those given."""

import re
import unicodedata
from collections.abc import Collection, Iterable

_SPELT = str.maketrans(
    {
        "ß": "ss",
        "æ": "ae",
        "ø": "o",
        "œ": "oe",
        "đ": "d",
        "ł": "l",
        "þ": "th",
        "\u03bc": "u",
        "ω": "ohm",
    }
)
_CYRILLIC = {
    **dict(
        enumerate(
            (
                *("a", "b", "v", "g", "d", "e", "zh", "z", "i", "i", "k", "l", "m", "n", "o", "p"),
                *("r", "s", "t", "u", "f", "kh", "ts", "ch", "sh", "shch", "ie", "y", "", "e"),
                *("iu", "ia"),
            ),
            start=0x0430,
        )
    ),
    0x0454: "ie",
    0x0456: "i",
    0x0491: "g",
}
"""Cyrillic letters without their marks as passports spell them: ICAO Doc 9303, from memory."""
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul"] + [f"{port}{n}" for port in ("com", "lpt") for n in range(10)]
)
"""Names that Windows keeps for devices, with any ending."""
_FORBIDDEN = re.compile(r'[<>:"\\|?*\x00-\x1f\x7f]')
"""Signs that some system refuses within a name."""
_LONGEST_BYTES = 255
"""Most bytes that common disks take in one name."""


def safe_name(words: str, *, taken: Collection[str] = (), longest: int = 60) -> str:
    """Make a file name, without ending, from any words.

    Parameters
    ----------
    words
        What the file is about, in any script.
    taken
        Names already given; compared without regard to capitals.
    longest
        Most signs in the name, at least 8.

    Returns
    -------
    str
        Small letters a to z, figures and single hyphens; never empty, never a device of Windows;
        with ``-2``, ``-3`` ... at its end where it would meet a taken one.

    Examples
    --------
    >>> safe_name("chart table / screen box / back")
    'chart-table-screen-box-back'
    >>> safe_name("../../etc/passwd")
    'etc-passwd'
    >>> safe_name("Con", taken={"con-piece"})
    'con-piece-2'
    """
    plain = unicodedata.normalize("NFKD", words.casefold().translate(_SPELT))
    bare = re.sub(r"[\u0300-\u036f]", "", plain).translate(_CYRILLIC)
    slug = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")
    slug = slug[:longest].strip("-") or "piece"
    if slug in _RESERVED:
        slug = f"{slug}-piece"
    given = {name.casefold() for name in taken}
    name, number = slug, 1
    while name in given:
        number += 1
        end = f"-{number}"
        name = slug[: longest - len(end)].strip("-") + end
    return name


def check_names(names: Iterable[str]) -> None:
    """Make sure that relative names stay inside their folder and are different on every system.

    Parameters
    ----------
    names
        Relative names with ``/`` between folders.

    Raises
    ------
    ValueError
        When a name is absolute, leads upwards, holds a sign or a word that some system refuses,
        meets another one but for its capitals, or is both a file and a folder.
    """
    files: set[str] = set()
    folders: set[str] = set()
    for name in names:
        parts = name.split("/")
        for part in parts:
            if not _is_sound(part):
                refused = f"{name!r} is no relative file name for every system"
                raise ValueError(refused)
        folded = [part.casefold() for part in parts]
        if "/".join(folded) in files:
            double = f"{name!r} meets another name but for its capitals"
            raise ValueError(double)
        files.add("/".join(folded))
        folders.update("/".join(folded[:depth]) for depth in range(1, len(folded)))
    if files & folders:
        both = f"{sorted(files & folders)[0]!r} is both a file and a folder"
        raise ValueError(both)


def _is_sound(part: str) -> bool:
    if part in ("", ".", "..") or part[-1] in ". " or part[0] == " ":
        return False
    if _FORBIDDEN.search(part) or len(part.encode("utf-8", "replace")) > _LONGEST_BYTES:
        return False
    return part.split(".")[0].rstrip().casefold() not in _RESERVED
