"""The listeners on the home network: loud when they can't be had, patient, and kept in date.

Real sockets and real TLS.
"""

from __future__ import annotations

import http.client
import socket
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from werkzeug.test import Client

from crestrail.basis.clock import FixedClock
from crestrail.lan.loopback import leading_home
from crestrail.lan.serving import LanServer
from crestrail.lan.setup import LanSetup, LanWish, greeting, prepare
from crestrail.tls import CannotStart, leaf_ends
from helpers.home_network import DAY, NOW, chance, hello, raw
from helpers.ports import free_ports
from helpers.trust import certificate_shown


@pytest.fixture
def setup(tmp_path: Path) -> LanSetup:
    """A household with a domain of its own, so nothing is announced."""
    return prepare(tmp_path, LanWish("tools.example.org", free_ports()), NOW, chance())


@pytest.fixture
def said() -> list[str]:
    return []


Serve = Callable[..., LanServer]


@pytest.fixture
def serve(said: list[str]) -> Iterator[Serve]:
    """Starts servers and stops them after the test."""
    running: list[LanServer] = []

    def start(setup: LanSetup, clock: FixedClock | None = None, **options: Any) -> LanServer:
        server = LanServer(hello, setup, clock or FixedClock(NOW), said.append, **options)
        server.start()
        running.append(server)
        return server

    yield start
    for server in running:
        server.stop()


def over_https(setup: LanSetup) -> bytes:
    """What the app says to a client that trusts the authority, by name."""
    context = ssl.create_default_context(cafile=str(setup.files.authority))
    with (
        socket.create_connection(("127.0.0.1", setup.address.port), timeout=5) as plain,
        context.wrap_socket(plain, server_hostname=setup.address.name) as secure,
    ):
        secure.sendall(f"GET / HTTP/1.0\r\nHost: {setup.address.host}\r\n\r\n".encode())
        return b"".join(iter(lambda: secure.recv(4096), b""))


def test_the_app_answers_over_https_only(setup: LanSetup, serve: Serve) -> None:
    serve(setup)
    assert over_https(setup).endswith(b"https")
    answer = raw(setup.address.port, b"GET / HTTP/1.1\r\nHost: tools.example.org\r\n\r\n")
    assert answer.startswith(b"HTTP/1.1 400 ")
    head, _, words = answer.partition(b"\r\n\r\n")
    assert words == b"This port speaks https only: put https:// before the address.\r\n"
    assert f"Content-Length: {len(words)}".encode() in head


def test_a_silent_phone_keeps_nobody_waiting(setup: LanSetup, serve: Serve) -> None:
    serve(setup)
    silent = [socket.create_connection(("127.0.0.1", setup.address.port)) for _ in range(5)]
    try:
        begun = time.monotonic()
        assert over_https(setup).endswith(b"https")
        assert time.monotonic() - begun < 2
    finally:
        for sock in silent:
            sock.close()


@pytest.mark.parametrize("which", [0, 1], ids=["the app's port", "the trust page's port"])
def test_a_taken_port_stops_the_start(setup: LanSetup, serve: Serve, which: int) -> None:
    with socket.socket() as taken:
        taken.bind(("0.0.0.0", setup.address.port + which))
        taken.listen()
        with pytest.raises(CannotStart, match=f"port {setup.address.port + which} is taken"):
            serve(setup)
    serve(setup)


def test_the_certificate_is_renewed_while_running_without_dropping_anybody(
    setup: LanSetup, serve: Serve, said: list[str]
) -> None:
    clock = FixedClock(NOW)
    server = serve(setup, clock)
    before = certificate_shown(setup.address.port, setup.address.name)
    context = ssl.create_default_context(cafile=str(setup.files.authority))
    plain = socket.create_connection(("127.0.0.1", setup.address.port), timeout=5)
    with plain, context.wrap_socket(plain, server_hostname=setup.address.name) as kept:
        phone = http.client.HTTPConnection(setup.address.name)
        phone.sock = kept
        phone.request("GET", "/")
        assert phone.getresponse().read() == b"https"
        clock.advance(336 * DAY)
        server.upkeep()
        assert certificate_shown(setup.address.port, setup.address.name) == before
        clock.advance(timedelta(seconds=1))
        server.upkeep()
        after = certificate_shown(setup.address.port, setup.address.name)
        assert phone.sock is kept, "an open connection goes on"
        phone.request("GET", "/")
        assert phone.getresponse().read() == b"https"
    assert after != before
    assert leaf_ends(setup.files) == clock.now() + 396 * DAY
    assert len(said) == 1
    assert said[0].startswith("The certificate was renewed")


def test_trouble_while_running_is_said_once_and_stops_nothing(
    setup: LanSetup, serve: Serve, said: list[str]
) -> None:
    clock = FixedClock(NOW)
    server = serve(setup, clock)
    clock.advance(340 * DAY)
    setup.files.server.unlink()
    setup.files.folder.rename(setup.files.folder.with_name("away"))
    setup.files.folder.write_text("in the way")
    server.upkeep()
    server.upkeep()
    assert len(said) == 1
    assert said[0].startswith("Trouble on the home network")
    certificate_shown(setup.address.port, setup.address.name)


def test_the_terminal_says_where_a_new_phone_starts_and_what_to_compare(setup: LanSetup) -> None:
    lines = "\n".join(greeting(setup, ["192.0.2.7"], NOW))
    assert setup.origin in lines
    assert f"http://192.0.2.7:{setup.address.trust_port}/" in lines
    for line in setup.fingerprint:
        assert line in lines
    assert "runs out" not in lines
    assert "runs out" in "\n".join(greeting(setup, [], NOW + 3251 * DAY))


def test_many_phones_at_once_are_served(setup: LanSetup, serve: Serve) -> None:
    serve(setup)
    answers: list[bytes] = []
    threads = [
        threading.Thread(target=lambda: answers.append(over_https(setup))) for _ in range(20)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 20
    assert all(answer.endswith(b"https") for answer in answers)


# The computer's own browser


def test_pages_under_localhost_lead_to_the_households_address() -> None:
    led = Client(leading_home(hello, "https://shed.local:8472"))
    for path, target in [
        ("/", "/"),
        ("/?x=1", "/"),
        ("/pair", "/pair"),
        ("/t/ABCD-EFG*", "/t/ABCD-EFG*"),
        ("/t/%0d%0aX-Evil:%201", "/t/%0D%0AX-Evil%3A%201"),
        ("/t//evil.example/", "/t//evil.example/"),
    ]:
        answer = led.get(path)
        assert answer.status_code == 302
        assert answer.headers["Location"] == f"https://shed.local:8472{target}"
        assert "X-Evil" not in answer.headers


def test_calls_and_files_under_localhost_go_through_to_the_app() -> None:
    led = Client(leading_home(hello, "https://shed.local:8472"))
    for path in ("/api/hello", "/sw.js", "/js/main.js", "//evil.example", "/pairs"):
        assert led.get(path).text == "http"
    assert led.post("/").text == "http"
