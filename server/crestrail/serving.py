"""Running the server and telling the person where it is."""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from types import FrameType
from typing import TYPE_CHECKING

import qrcode
from flask import Flask

from crestrail.config import Settings
from crestrail.lan.listeners import HomeServer, take_port
from crestrail.lan.loopback import leading_home
from crestrail.lan.mdns import lan_addresses
from crestrail.lan.serving import LanServer
from crestrail.lan.setup import LanSetup, greeting
from crestrail.pricing import defaults
from crestrail.services import households
from crestrail.services.devices import NewCode
from crestrail.services.households import NewHousehold, Seed
from crestrail.tls import CannotStart

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

THREADS = 8
SECONDS_TO_END = 5
ORIGIN_FILE = "origin"
_ANY = ("127.0.0.1", "::1", "localhost", "0.0.0.0", "::")


@dataclass(frozen=True, slots=True)
class Listening:
    """The address and port that the server listens on."""

    host: str
    port: int

    @property
    def local_origin(self) -> str:
        """The origin for a browser on the same machine."""
        return f"http://{'localhost' if self.host in _ANY else self.host}:{self.port}"


def first_household(app: Flask) -> str:
    """Make the household of a new server."""
    settings: Settings = app.extensions["crestrail"]
    wanted = NewHousehold({"household_name": "Our household"}, starting_seeds())
    return households.create(wanted, settings.clock.now())


def starting_seeds() -> list[Seed]:
    """The kinds, traits and steps that a household starts with and changes to its own."""
    return [
        *(("kind", fields) for fields in defaults.starting_kinds()),
        *(("trait", fields) for fields in defaults.starting_traits()),
        *(("step", fields) for fields in defaults.starting_steps()),
    ]


def keep_origin(settings: Settings) -> None:
    """Note where the server is, so that ``crestrail pair`` can tell."""
    (settings.data / ORIGIN_FILE).write_text(settings.origin)


def kept_origin(settings: Settings) -> str:
    """The origin that a server last ran under with this data; the setting wins."""
    file = settings.data / ORIGIN_FILE
    return settings.origin or (file.read_text().strip() if file.is_file() else "")


def show_code(origin: str, code: NewCode) -> None:
    """Print the address, the pairing code and its QR."""
    url = f"{origin}/pair#{code.shown}"
    print(f"\nCrestrail is at {origin}\n")
    print(f"Pair a browser or phone within ten minutes, once:\n  {url}\n  code {code.shown}\n")
    drawing = qrcode.QRCode(border=2)
    drawing.add_data(url)
    drawing.print_ascii(out=sys.stdout, invert=True)
    print(flush=True)


def run_here(app: Flask, listening: Listening, greet: Callable[[], None]) -> None:
    """Serve on one address until told to stop; ``greet`` is called once the port is ours.

    Raises CannotStart when the port is taken. The web server has a thread of its own, because
    a signal ends the main thread wherever it stands: there it must hold no lock of the server's.
    """
    server = _plain_listener(app, app, listening)
    try:
        greet()
        with _serving(server):
            threading.Event().wait()
    finally:
        server.stop()


def run_on_lan(app: Flask, setup: LanSetup, greet: Callable[[], None], local_port: int) -> None:
    """Serve the home network over https until told to stop; raises CannotStart.

    This computer's own browser is answered under localhost as well, at ``local_port``.
    """
    clock = app.extensions["crestrail"].clock
    with LanServer(app, setup, clock), _on_this_computer(app, setup, local_port):
        print(*greeting(setup, lan_addresses(), clock.now()), sep="\n")
        greet()
        threading.Event().wait()


@contextmanager
def _on_this_computer(app: Flask, setup: LanSetup, port: int) -> Iterator[None]:
    """Answer localhost as well; without it, and saying so, where its port can't be had."""
    led = leading_home(app, setup.origin)
    try:
        if port in (setup.address.port, setup.address.trust_port):
            raise CannotStart(f"port {port} is the household's own.")
        server = _plain_listener(app, led, Listening("127.0.0.1", port))
    except CannotStart as reason:
        print(f"Going on without http://localhost:{port}: {reason}", flush=True)
        yield
        return
    with _serving(server):
        yield


def _plain_listener(app: Flask, answers: WSGIApplication, listening: Listening) -> HomeServer:
    """A plain http server for ``answers`` with the limits of ``app``; its port is taken."""
    server = HomeServer((listening.host, listening.port), answers, numthreads=THREADS)
    server.max_request_body_size = app.config["MAX_CONTENT_LENGTH"]
    take_port(server)
    return server


@contextmanager
def _serving(server: HomeServer) -> Iterator[None]:
    """Serve in a thread of its own meanwhile."""
    thread = threading.Thread(target=server.serve, name="http", daemon=True)
    try:
        thread.start()
        yield
    finally:
        server.stop()
        thread.join(timeout=SECONDS_TO_END)


def stop_on_signal() -> None:
    """Let a polite request to end (SIGTERM) tidy up like Ctrl-C does."""
    signal.signal(signal.SIGTERM, _leave)


def _leave(_number: int, _frame: FrameType | None) -> None:
    raise SystemExit(0)
