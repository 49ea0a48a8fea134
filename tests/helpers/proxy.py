"""A small TCP proxy between a browser and a server, to spoil the network in named ways."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from types import TracebackType

_CHUNK = 65_536


class Proxy:
    """Passes connections on to ``port``; ``mode`` says what happens to those that come next.

    ``pass``: nothing. ``refuse``: closed at once. ``eat_reply``: the request arrives, the answer is
    thrown away and the connection cut. ``blackhole``: nothing is ever answered. ``cut:N``: the
    answer breaks off after N bytes. ``delay:MS``: the request is held up.
    ``requests`` counts the connections that carried something.
    """

    def __init__(self, port: int) -> None:
        self.target = port
        self.mode = "pass"
        self.requests = 0
        self._open: set[socket.socket] = set()
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listener.getsockname()[1]
        self.url = f"http://localhost:{self.port}"
        self._thread = threading.Thread(target=self._accept, daemon=True)

    def __enter__(self) -> Proxy:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        with contextlib.suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        self.cut_all()
        self._thread.join(timeout=5)

    def spoil(self, mode: str) -> None:
        """From now on in this mode, also for connections that the browser has kept open."""
        self.mode = mode
        self.cut_all()

    def cut_all(self) -> None:
        """Break every open connection."""
        for one in list(self._open):
            with contextlib.suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)

    def _accept(self) -> None:
        while True:
            try:
                client, _ = self._listener.accept()
            except OSError:
                return
            threading.Thread(target=self._serve, args=(client,), daemon=True).start()

    def _serve(self, client: socket.socket) -> None:
        self._open.add(client)
        try:
            with client, contextlib.suppress(OSError):
                self._talk(client, self.mode)
        finally:
            self._open.discard(client)

    def _talk(self, client: socket.socket, mode: str) -> None:
        if mode == "refuse":
            return
        if mode == "blackhole":
            while client.recv(_CHUNK):
                pass
            return
        if mode.startswith("delay:"):
            time.sleep(int(mode[6:]) / 1000)
        with socket.create_connection(("127.0.0.1", self.target)) as server:
            self._open.add(server)
            try:
                up = threading.Thread(target=self._copy, args=(client, server), daemon=True)
                up.start()
                self._answer(server, client, mode)
                with contextlib.suppress(OSError):
                    client.shutdown(socket.SHUT_RDWR)
                up.join(timeout=5)
            finally:
                self._open.discard(server)

    def _copy(self, source: socket.socket, sink: socket.socket) -> None:
        counted = False
        with contextlib.suppress(OSError):
            while data := source.recv(_CHUNK):
                self.requests += not counted
                counted = True
                sink.sendall(data)
            sink.shutdown(socket.SHUT_WR)

    def _answer(self, server: socket.socket, client: socket.socket, mode: str) -> None:
        left = int(mode[4:]) if mode.startswith("cut:") else None
        while data := server.recv(_CHUNK):
            if mode == "eat_reply":
                return
            part = data if left is None else data[:left]
            client.sendall(part)
            if left is not None:
                left -= len(part)
                if left <= 0:
                    return
