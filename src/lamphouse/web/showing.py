"""Templates, and what they need everywhere."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse, JSONResponse, Response

from lamphouse import units
from lamphouse.findings import Finding, Severity
from lamphouse.web.drawn import inline

SEVERITY_SIGNS = {Severity.STOP: "■", Severity.WARN: "▲", Severity.NOTE: "●"}
"""Shape as well as colour says how much a finding matters."""
FONTS = {
    "fonts/regular.otf": "LamphouseSans-Regular.otf",
    "fonts/bold.otf": "LamphouseSans-Bold.otf",
}
"""The font of the sheets is the font of the page."""
_NAMED_PART = re.compile(r'<g id="[a-z]+" ')
MOST_NAME = 100
"""Signs of the name of a file that the page carries."""


@cache
def environment() -> Environment:
    """Make what turns templates into pages; everything from outside is escaped."""
    made = Environment(
        loader=PackageLoader("lamphouse.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["mm"] = units.show_both
    made.filters["weekday"] = lambda day: f"{date.fromisoformat(day):%A}"
    made.filters["ids"] = ids_of
    made.filters["digits"] = digits
    made.filters["milli"] = lambda value: digits(1000 * value)
    made.policies["json.dumps_kwargs"] = {"sort_keys": False}  # keys keep the maker's order
    made.globals["bare"] = bare
    made.globals["sign_of"] = SEVERITY_SIGNS.__getitem__
    made.globals["sign_named"] = {str(each): SEVERITY_SIGNS[each] for each in Severity}.__getitem__
    made.globals["inline"] = inline
    made.globals["static"] = "/static"
    return made


def digits(value: float, count: int = 3) -> str:
    """Give a number to some digits, never in powers of ten as ``1.26e+03``.

    >>> digits(1257.4), digits(104.2, 2), digits(0.0318)
    ('1260', '100', '0.0318')
    """
    return f"{float(f'{value:.{count}g}'):g}"


def ids_of(findings: Sequence[Finding], place: str) -> list[str]:
    """Name findings so that each stays itself on the page while others come and go.

    A name says the code, the item and, of findings that share both, which of them it is; figures
    in its words may change meanwhile.
    """
    met: Counter[tuple[str, str]] = Counter()
    names = []
    for one in findings:
        about = one.code, one.where.item
        met[about] += 1
        names.append(f"{place}-{one.code}-{quote(one.where.item, safe='')}-{met[about]}")
    return names


def bare(svg: str) -> Markup:
    """Give one of our own drawings without its XML line and the names of its parts."""
    return Markup(_NAMED_PART.sub("<g ", svg[svg.index("<svg") :]))


def page(
    template: str, *, status: int = 200, headers: Mapping[str, str] | None = None, **values: Any
) -> HTMLResponse:
    """Answer with a page."""
    text = environment().get_template(template).render(values)
    return HTMLResponse(text, status_code=status, headers=headers)


def told(words: str, *, status: int, **more: Any) -> JSONResponse:
    """Answer that something cannot be done: what, and what to do about it."""
    return JSONResponse({"message": words, **more}, status_code=status)


@cache
def lasting_static() -> str:
    """Give where the files of the page lie under a mark of their own: what it names never changes.

    A phone keeps them, and so shows its bench again while the network is gone.
    """
    mark = sha256()
    at = files("lamphouse.web")
    for folder in ("static", "templates"):
        for file in sorted(at.joinpath(folder).iterdir(), key=lambda one: one.name):
            if file.is_file():
                mark.update(file.name.encode() + file.read_bytes())
    return f"/static/v-{mark.hexdigest()[:16]}"


def static_file(name: str) -> bytes | None:
    """Read one file that the page carries; None when there is none of this name."""
    if name in FONTS:
        return files("lamphouse.outputs").joinpath("fonts", FONTS[name]).read_bytes()
    at = files("lamphouse.web").joinpath("static")
    for part in name.split("/"):
        if (
            not part
            or len(part) > MOST_NAME
            or part.startswith(".")
            or "\\" in part
            or "\0" in part
        ):
            return None
        at = at.joinpath(part)
    return at.read_bytes() if at.is_file() else None


def see_other(address: str) -> Response:
    """Send the browser on to another page."""
    return Response(status_code=303, headers={"Location": address})
