"""A TCP relay between a browser and a server that can be cut, stand still and be mended."""

from __future__ import annotations

import contextlib
import socket
import threading


class Relay:
    """Passes on whatever comes between a browser and a server, until it is cut or stands still."""

    def __init__(self, port: int) -> None:
        self.to = port
        self.is_cut = False
        self.moves = threading.Event()  # not set: nothing comes through, and nobody is told
        self.moves.set()
        self.ends: list[socket.socket] = []
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        threading.Thread(target=self._take, daemon=True).start()

    def _take(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                near, _ = self.listener.accept()
                if self.is_cut:
                    near.close()
                    continue
                self.moves.wait()
                far = socket.create_connection(("127.0.0.1", self.to))
                self.ends += [near, far]
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._pass, args=(one, other), daemon=True).start()

    def _pass(self, one: socket.socket, other: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while content := one.recv(65_536):
                self.moves.wait()
                other.sendall(content)
        for end in (one, other):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def cut(self) -> None:
        """End every connection, and refuse new ones."""
        self.is_cut = True
        self.moves.set()
        for end in self.ends:
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()
        self.ends.clear()

    def stall(self) -> None:
        """Let nothing through any more: a network that is gone says nothing."""
        self.moves.clear()

    def mend(self) -> None:
        """Let everything through again."""
        self.is_cut = False
        self.moves.set()

    def close(self) -> None:
        """Let go of every socket: one that is left would be found open in another test."""
        with contextlib.suppress(OSError):
            self.listener.shutdown(socket.SHUT_RDWR)  # wakes the thread that waits there
        self.listener.close()
        self.cut()
