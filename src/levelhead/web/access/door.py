"""The door for other devices: a join page, a pass in a cookie, and nothing without it."""

from __future__ import annotations

import re
import secrets
from collections.abc import Container
from http import HTTPStatus
from http.cookies import CookieError, SimpleCookie
from itertools import count
from typing import Any, Final
from urllib.parse import parse_qs

from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import BaseRoute, Route
from starlette.types import ASGIApp, Receive, Scope, Send

from levelhead.show.opened.undoing import SHARED
from levelhead.web.access.guard import LOOPBACK_HOSTS
from levelhead.web.access.passes import COOKIE, NAME_COOKIE, Passes, Right
from levelhead.web.pages import rendered

__all__ = ["Door", "another_name", "door_routes", "person_of", "right_of"]

DESK: Final = "the desk"  # whoever sits at this machine and has given no name
GUEST: Final = "guest"  # another device without a name

LONGEST_NAME: Final = 40
_KEPT_S: Final = 16 * 3600  # from load-in to load-out
_OPEN: Final = ("/join/", "/static/")
_LOOKS: Final = frozenset({"GET", "HEAD"})
_NO_NAME: Final = re.compile(r"[^\w .'-]+")
_LARGEST_FORM: Final = 2_000


def right_of(scope: Scope) -> Right:
    """What whoever sent this may do; the machine itself may do all."""
    right: Right = scope.get("state", {}).get("right", "change")
    return right


def person_of(scope: Scope, headers: Headers) -> str:
    """Who this is: the name that the device gave, else the desk for this machine, else a guest.

    Undo goes by it: the same name on two devices is one person.
    """
    name = cleaned(_cookies(headers).get(NAME_COOKIE, ""))
    is_here = is_this_machine(scope, headers)
    if name and (is_here or not is_taken(name)):
        return name
    return DESK if is_here else GUEST


def is_taken(name: str) -> bool:
    """Whether a name means somebody in particular already."""
    return name.casefold() in {DESK, SHARED, GUEST}


def cleaned(name: str) -> str:
    """A name without anything that is no letter, figure or plain sign."""
    return " ".join(_NO_NAME.sub(" ", name).split())[:LONGEST_NAME]


def _cookies(headers: Headers) -> dict[str, str]:
    try:
        parsed = SimpleCookie(headers.get("cookie", ""))
    except CookieError:
        return {}
    return {name: each.value for name, each in parsed.items()}


class Door:
    """Lets in this machine and devices with a pass; marks what they may do."""

    def __init__(self, app: ASGIApp, passes: Passes | None) -> None:
        self.app, self.passes = app, passes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may come in."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        right = self._right(scope)
        if right is None and not str(scope["path"]).startswith(_OPEN):
            await _turned_away(scope, receive, send, "no-pass")
            return
        is_change = scope["type"] == "http" and scope["method"] not in _LOOKS
        if right == "look" and is_change and not str(scope["path"]).startswith(_MAY_BE_ASKED):
            await _turned_away(scope, receive, send, "look-only")
            return
        scope.setdefault("state", {})["right"] = right or "look"
        await self.app(scope, receive, send)

    def _right(self, scope: Scope) -> Right | None:
        headers = Headers(scope=scope)
        if is_this_machine(scope, headers):
            return "change"
        shown = _cookies(headers).get(COOKIE, "")
        return None if self.passes is None else self.passes.right_of(shown)


_MAY_BE_ASKED: Final = ("/join/", "/ask")  # a question changes nothing


def is_this_machine(scope: Scope, headers: Headers) -> bool:
    """Sent from here, to an address of here: a name that others use may be led here by anybody."""
    host = headers.get("host", "").rpartition(":")[0] or headers.get("host", "")
    client = scope.get("client")
    return host in LOOPBACK_HOSTS and (client is None or client[0] in _HERE)


_HERE: Final = frozenset({"127.0.0.1", "::1"})


async def _turned_away(scope: Scope, receive: Receive, send: Send, reason: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008, "reason": reason})
        return
    response: Response
    if reason == "no-pass" and "text/html" in Headers(scope=scope).get("accept", ""):
        response = rendered("no_pass.html")
        response.status_code = HTTPStatus.FORBIDDEN
    else:
        words = {
            "no-pass": "Refused: this device has no pass. Scan the code on the desk's screen.\n",
            "look-only": "Refused: this device may look, not change.\n",
        }
        response = PlainTextResponse(words[reason], HTTPStatus.FORBIDDEN)
    await response(scope, receive, send)


# ---------------------------------------------------------------- pages


def door_routes() -> list[BaseRoute]:
    """Join page of a device, and the page that shows the codes; passes are in ``app.state``."""
    return [
        Route("/join/{word}", join_page),
        Route("/join/{word}", joined, methods=["POST"]),
        Route("/devices", devices_page),
    ]


async def join_page(request: Request) -> Response:
    """What may be done with this pass; asks who it is."""
    right = _shown(request)
    if right is None:
        return _unknown_pass()
    return _asked_who(request, right)


def _asked_who(request: Request, right: Right, *, taken: str = "", known: str = "") -> Response:
    """The form; with a name that is levelhead's own, or that somebody here has already."""
    other = "" if not known else another_name(known, request.app.state.names)
    word = request.path_params["word"]
    return rendered("join.html", right=right, word=word, taken=taken, known=known, other=other)


async def joined(request: Request) -> Response:
    """Keep the pass on the device and go on to the show.

    Who comes with a name that another device has is asked whether it is the same person: undo goes
    by names.
    """
    right = _shown(request)
    if right is None:
        return _unknown_pass()
    body = (await request.body())[:_LARGEST_FORM].decode(errors="replace")
    fields = parse_qs(body)
    is_same = "same" in fields
    name = cleaned(fields.get("same" if is_same else "name", [""])[0])
    if is_taken(name):
        return _asked_who(request, right, taken=name)
    names: dict[str, str] = request.app.state.names
    own = cleaned(_cookies(request.headers).get(NAME_COOKIE, ""))
    if name.casefold() in names and name.casefold() != own.casefold() and not is_same:
        return _asked_who(request, right, known=names[name.casefold()])
    name = name or f"{GUEST} {secrets.token_hex(2)}"
    names.setdefault(name.casefold(), name)
    answer = RedirectResponse("/show", HTTPStatus.SEE_OTHER)
    kept: dict[str, Any] = {"max_age": _KEPT_S, "samesite": "strict", "httponly": True}
    answer.set_cookie(COOKIE, request.path_params["word"], **kept)
    answer.set_cookie(NAME_COOKIE, name, **kept)
    return answer


def another_name(name: str, names: Container[str]) -> str:
    """The same name with the first number that nobody has.

    Examples
    --------
    >>> another_name("Anna", {"anna", "anna 2"})
    'Anna 3'
    """
    stem = name[: LONGEST_NAME - 4].strip()
    return next(each for number in count(2) if (each := f"{stem} {number}").casefold() not in names)


async def devices_page(request: Request) -> Response:
    """Codes to scan, for whoever sits at this machine."""
    passes: Passes | None = request.app.state.passes
    if passes is None or not is_this_machine(request.scope, request.headers):
        return rendered("devices.html", passes=None, codes={})
    import segno

    codes = {
        right: segno.make(passes.address(right), error="m").svg_inline(scale=6, border=4)
        for right in passes.words
    }
    return rendered("devices.html", passes=passes, codes=codes)


def _shown(request: Request) -> Right | None:
    passes: Passes | None = request.app.state.passes
    return None if passes is None else passes.right_of(request.path_params["word"])


def _unknown_pass() -> Response:
    page = rendered("no_pass.html")
    page.status_code = HTTPStatus.FORBIDDEN
    return page
