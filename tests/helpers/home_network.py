"""A smallest app on the home network, and requests to it byte by byte."""

from __future__ import annotations

import http.client
import random
import socket
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

NOW = datetime(2026, 5, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)
T = TypeVar("T")


def chance() -> random.Random:
    return random.Random(7)


def hello(environ: dict[str, Any], start_response: Any) -> list[bytes]:
    """A smallest app, that says by which scheme it was asked."""
    start_response("200 OK", [("Content-Type", "text/plain")])
    return [environ["wsgi.url_scheme"].encode()]


def aside(call: Callable[..., T], *args: Any, **options: Any) -> T:
    """Call in a thread of its own.

    Where browser tests ran before, an event loop lives in the main thread, and zeroconf would
    take it for its own.
    """
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(call, *args, **options).result()


def get(port: int, method: str, path: str, **options: Any) -> tuple[int, dict[str, str], bytes]:
    """One plain http request to this computer."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        connection.request(method, path, **options)
        answer = connection.getresponse()
        return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
    finally:
        connection.close()


def raw(port: int, data: bytes) -> bytes:
    """What comes back for bytes as they are."""
    with socket.create_connection(("127.0.0.1", port), timeout=5) as sock:
        sock.sendall(data)
        with suppress(OSError):
            sock.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: sock.recv(4096), b""))
