"""Serve the app: on this machine only, unless other devices were asked in."""

from __future__ import annotations

import contextlib
import signal
import socket
import threading
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

from levelhead.errors import LevelheadError

if TYPE_CHECKING:
    from starlette.applications import Starlette

__all__ = ["EVERYWHERE", "HOST", "address_of", "listen", "run", "serve", "show_in_browser"]

HOST: Final = "127.0.0.1"
EVERYWHERE: Final = "0.0.0.0"  # noqa: S104 - what ``--lan`` asks for
LARGEST_MESSAGE: Final = 4_000_000  # bytes of a socket; the page's own limit is lower
GRACE_S: Final = 2  # open connections may not hold up Ctrl+C
PING_S: Final = 10.0  # a phone that went away without a word is missed within two of these
HIGHEST_PORT: Final = 65_535


def listen(port: int, host: str = HOST) -> socket.socket:
    """A socket that already takes connections, of this machine's own; port 0 finds a free one.

    Raises
    ------
    LevelheadError
        The port is taken, forbidden or no port at all.
    """
    refusal = LevelheadError(
        f"port {port} cannot be used",
        where=host,
        expected=f"a free port up to {HIGHEST_PORT}",
        remedy="Close whatever uses it, name another one, or 0 for any free one.",
    )
    if not 0 <= port <= HIGHEST_PORT:
        raise refusal
    try:
        listener = socket.create_server((host, port))
    except OSError as error:
        raise refusal from error
    # connections inherit it; else the second half of an answer waits 40 ms for the first to be told
    listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return listener


def address_of(listener: socket.socket) -> str:
    """What to type into the browser."""
    return f"http://{HOST}:{listener.getsockname()[1]}/"


def serve(app: Starlette, port: int = 0, *, open_browser: bool = False) -> None:
    """Serve until interrupted; the browser opens on the page if asked to."""
    listener = listen(port)
    if open_browser:
        show_in_browser(address_of(listener))
    run(app, listener)


def show_in_browser(page: str) -> None:
    """Open a browser on a page of a socket that listens: it waits until it is served."""
    # a text browser would hold this thread until it is closed
    threading.Thread(target=webbrowser.open, args=(page,), daemon=True).start()


def run(app: Starlette, listener: socket.socket) -> None:
    """Serve on a socket that listens already, so that its address can be told beforehand."""
    import uvicorn

    config = uvicorn.Config(
        app,
        log_level="warning",
        timeout_graceful_shutdown=GRACE_S,
        server_header=False,
        ws="websockets-sansio",
        ws_ping_interval=PING_S,
        ws_ping_timeout=PING_S,
        ws_max_size=LARGEST_MESSAGE,
    )
    # Ctrl+C is the usual way to end it
    with listener, _ended_by_terminate(), contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[listener])


@contextmanager
def _ended_by_terminate() -> Iterator[None]:
    """SIGTERM ends it as Ctrl+C does: shows are closed, semaphores of the solving process let go.

    The server takes the signal, shuts down, and raises it once more for whoever stands outside;
    there the system's own answer would end the program before anything is put away.
    """
    if threading.current_thread() is not threading.main_thread():
        yield  # signals belong to the main thread
        return

    def interrupt(_signal: int, _frame: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, interrupt)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
