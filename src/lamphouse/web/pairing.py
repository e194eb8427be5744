"""Pairing a phone: a code in a picture, good for one phone and a few minutes."""

from ipaddress import ip_address

import segno
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from lamphouse.web.keys import COOKIE, PAIRING_S, KeyRing
from lamphouse.web.showing import page, see_other, told
from lamphouse.web.workbench import Workbench


async def new_code(request: Request, bench: Workbench) -> Response:
    """Show a new code for one phone."""
    host = reachable(request.app.state.hosts)
    if host is None:
        return page("phone_code.html", picture="", address="", minutes=0)
    keys: KeyRing = request.app.state.keys
    address = f"http://{host}/pair/{keys.pairing_code(project=bench.id)}"
    picture = segno.make(address, error="m", micro=False).svg_inline(scale=5, border=4)
    return page(
        "phone_code.html",
        picture=Markup(picture),  # made here, of an address made here
        address=address,
        minutes=round(PAIRING_S / 60),
    )


async def forget(request: Request, bench: Workbench) -> Response:
    """Shut out the phones of a project."""
    keys: KeyRing = request.app.state.keys
    gone = keys.forget_phones(project=bench.id)
    return told(f"{gone} phone(s) shut out.", status=200)


def reachable(hosts: tuple[str, ...]) -> str | None:
    """Choose the address by which a phone can reach this machine; None without ``--network``."""
    for host in hosts:
        name = host.rsplit(":", maxsplit=1)[0]
        try:
            if not ip_address(name).is_loopback:
                return host
        except ValueError:
            continue
    return None


async def ask(request: Request) -> Response:
    """Ask before a code is used up: what shows a link first may open it too."""
    return page("pair.html", code=request.path_params["code"])


async def pair(request: Request) -> Response:
    """Give a phone its key."""
    keys: KeyRing = request.app.state.keys
    found = keys.pair(request.path_params["code"])
    if found is None:
        words = "This code is used up or too old; show a new one on the computer."
        return PlainTextResponse(words, status_code=403)
    key, holder = found
    answer = see_other(f"/p/{holder.project}/bench")
    answer.set_cookie(COOKIE, key, httponly=True, samesite="strict", path="/")
    return answer


ROUTES = [
    Route("/pair/{code}", ask),
    Route("/pair/{code}", pair, methods=["POST"]),
]
