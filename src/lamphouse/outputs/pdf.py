"""A pack's pages as one PDF: set by a typesetter from data, in our font only, the same bytes twice.

The layout stands in ``typst/``. Every word reaches it as data in JSON and is never read as markup,
so a part called ``#panic`` prints as itself. The typesetter sees its own folder and nothing else:
no system fonts, no packages, no network, no clock.
"""

import json
import re
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lamphouse.outputs.fonts import FOLDER, FONT

if TYPE_CHECKING:
    import typst

_LAYOUT = Path(__file__).parent / "typst"
_NOWHERE = _LAYOUT / "no-packages"
"""Where packages would be looked for; it does not exist."""
_LONG_WORD = re.compile(r"\S{20,}")
"""The layout breaks words of 28 signs and more; some are set with others close to them."""
_PICTURES = ("svg", "png")
"""Keys of what holds no words of the layout."""


class TypesetterWarning(RuntimeError):
    """The typesetter was not content with the layout: a fault of the program, not of the maker."""


def set_pages(document: Mapping[str, Any], *, day: date | None) -> bytes:
    """Set a document as a PDF.

    Parameters
    ----------
    document
        What ``typst/pack.typ`` reads: ``title``, ``project``, ``scale``, ``revision``, ``day``,
        ``paper`` and ``pages``.
    day
        The date of the document; None leaves it without one.

    Raises
    ------
    TypesetterWarning
        If the typesetter warns of anything.
    """
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC) if day else _epoch()
    made, warnings = _compiler(document, day).compile_with_warnings(format="pdf", timestamp=noon)
    if warnings or not isinstance(made, bytes):
        told = "; ".join(warning.message for warning in warnings)
        raise TypesetterWarning(told)
    return made


def page_numbers(document: Mapping[str, Any]) -> tuple[dict[str, int], int]:
    """Tell where in the PDF of a document its sheets and drawings stand.

    Parameters
    ----------
    document
        As for :func:`set_pages`.

    Returns
    -------
    dict of str to int
        The page that each sheet starts on, by its mark.
    int
        Pages in all.
    """
    starts = json.loads(_compiler(document, None).query("<started>", field="value"))
    numbers = {start["mark"]: start["page"] for start in starts if start["mark"]}
    return numbers, starts[0]["of"]


def self_test() -> str:
    """Set one page and tell what it was set with; raises when the installation is broken."""
    empty: dict[str, Any] = {
        "title": "Test",
        "project": "test",
        "scale": "",
        "revision": "",
        "day": "",
    }
    empty |= {"paper": {"width": 210, "height": 297}, "pages": []}
    set_pages(empty, day=None)
    return f"typst {version('typst')}, {FONT}"


def _compiler(document: Mapping[str, Any], day: date | None) -> "typst.Compiler":
    import typst

    dated = {
        **document,
        "date": [day.year, day.month, day.day] if day else None,
        "pages": [{**page, "long": _has_long_word(page)} for page in document.get("pages", ())],
    }
    return typst.Compiler(
        input=_LAYOUT / "pack.typ",
        root=_LAYOUT,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"pack": json.dumps(dated, sort_keys=True, allow_nan=False)},
        package_path=_NOWHERE,
        package_cache_path=_NOWHERE,
    )


def _has_long_word(value: Any) -> bool:
    """Tell whether a word of a page may be wider than its column."""
    if isinstance(value, str):
        return _LONG_WORD.search(value) is not None
    if isinstance(value, Mapping):
        return any(_has_long_word(part) for key, part in value.items() if key not in _PICTURES)
    return isinstance(value, Sequence) and any(map(_has_long_word, value))


@cache
def _fonts() -> "typst.Fonts":
    import typst

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[FOLDER]
    )


def _epoch() -> datetime:
    return datetime(1970, 1, 1, tzinfo=UTC)
