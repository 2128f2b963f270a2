"""``levelhead open``: the app in the browser, for this machine or for devices beside it."""

from __future__ import annotations

import gc
import io
import socket
import sys
from argparse import Namespace
from contextlib import ExitStack
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from levelhead.cli.typed import book_of, gear_folder
from levelhead.gear.store import read_entries
from levelhead.web.access.passes import Passes, own_addresses
from levelhead.web.live.start import opened_show
from levelhead.web.serve import EVERYWHERE, HOST, address_of, listen, run, show_in_browser

if TYPE_CHECKING:
    from levelhead.show.opened.open_show import OpenShow

__all__ = ["open_app"]

_OBJECTS_BETWEEN_SWEEPS: Final = 50_000  # fewer than for a command: a page notices a long pause


def open_app(arguments: Namespace) -> None:
    """Serve until somebody ends it; says where.

    The address is told, and a browser opened on it, as soon as the show has been read: while the
    browser comes up, what serves the page is loaded; while it fetches the page, the rig is built.
    """
    gc.set_threshold(_OBJECTS_BETWEEN_SWEEPS, *gc.get_threshold()[1:])
    folder = gear_folder(arguments)
    if folder is not None:
        read_entries(folder)  # a folder that cannot be read is told before anything opens
    with ExitStack() as held:
        path = arguments.show
        opened = None if path is None else held.enter_context(opened_show(path))
        listener = listen(arguments.port, HOST if arguments.lan is None else EVERYWHERE)
        page = address_of(listener) + ("" if opened is None else "show")
        does = "levelhead answers" if opened is None else f"{path} is open"
        print(f"{does} at {page} (Ctrl+C ends it)", file=sys.stderr)
        passes = _passes(arguments.lan, listener.getsockname()[1])
        if passes is not None:
            print(_invitation(passes, page), file=sys.stderr)
        if not arguments.no_browser:
            show_in_browser(page)
        _serve(arguments, listener, opened, passes)


def _serve(
    arguments: Namespace, listener: socket.socket, opened: OpenShow | None, passes: Passes | None
) -> None:
    from levelhead.cli.press import Press
    from levelhead.web.app import create_app
    from levelhead.web.files.shelf import Shelf
    from levelhead.web.library import Library

    book, shelf = partial(book_of, arguments), Shelf(Path.cwd())
    app = create_app(
        Library(book), opened, shelf=shelf, book=book, gear=arguments.gear, passes=passes
    )
    app.state.press = Press()
    run(app, listener)
    print("Stopped; every step that was acknowledged is kept.", file=sys.stderr)


def _passes(lan: str | None, port: int) -> Passes | None:
    """Passes for other devices, if they were asked in; by the name that was given, if one was."""
    if lan is None:
        return None
    return Passes((*([lan] if lan else []), *own_addresses()), port)


def _invitation(passes: Passes, page: str) -> str:
    """Who can reach it now, and the code for those who may change the show."""
    import segno

    code = io.StringIO()
    segno.make(passes.address("change"), error="l").terminal(out=code, border=2, compact=True)
    devices = page.removesuffix("show") + "devices"
    return "\n".join(
        [
            "Devices in this network can come in with a pass, and nobody without one:",
            code.getvalue().rstrip("\n"),
            f"  may change the show   {passes.address('change')}",
            f"  may look only         {passes.address('look')}",
            f"Both codes stand at {devices}, on this machine alone.",
            "What goes over the network is not encrypted: use a network that you know.",
        ]
    )
