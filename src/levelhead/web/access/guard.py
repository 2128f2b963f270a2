"""Who may talk to the app: pages that it served itself, on this machine, and nobody else.

A page from anywhere can make a browser send requests to 127.0.0.1. Browsers say where a request
comes from; everything that does not come from our own page is refused, and what we send may load
nothing from elsewhere and run no script but our files.
"""

from __future__ import annotations

from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK_HOSTS: Final = ("127.0.0.1", "localhost")

SECURITY_HEADERS: Final = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        "connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "same-origin",  # no-referrer would take the origin from our own forms
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-cache",
}


def is_own(headers: Headers, *, scheme: str, method: str) -> bool:
    """Whether a request comes from our own page, or from no page at all (typed, command line).

    ``Origin`` decides where it is sent; ``Sec-Fetch-Site`` catches what carries none, such as an
    image or a script that another page embeds. Following a link to the app is allowed: it only
    reads, and the page it came from sees nothing.
    """
    origin = headers.get("origin")
    if origin is not None:
        return origin == f"{scheme}://{headers.get('host', '')}"
    if headers.get("sec-fetch-site") in {None, "same-origin", "none"}:
        return True
    is_link = headers.get("sec-fetch-mode") == "navigate"
    return is_link and method == "GET" and headers.get("sec-fetch-dest") == "document"


class OwnPagesOnly:
    """Refuses foreign requests and sockets; adds the security headers to every response."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what is ours."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        scheme = str(scope["scheme"]).replace("ws", "http")
        headers = Headers(scope=scope)

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(SECURITY_HEADERS)
            await send(message)

        if is_own(headers, scheme=scheme, method=scope.get("method", "GET")):
            await self.app(scope, receive, send_guarded)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            refusal = PlainTextResponse("Refused: this request comes from another page.\n", 403)
            await refusal(scope, receive, send_guarded)
