"""Under localhost, while the household is on the home network: work that waits there goes home."""

from __future__ import annotations

import http.client
import json
import socket
import ssl
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crestrail.basis.clock import to_text
from crestrail.lan.setup import LanSetup, LanWish, prepare
from crestrail.serving import run_on_lan
from crestrail.tls import leaf_ends
from helpers.app import Client, Home, opened
from helpers.home_network import NOW, chance, get
from helpers.ports import free_port, free_ports

LOCAL = "http://localhost:8470"
NEIGHBOUR = "192.0.2.9"


class LeftAlone(Exception):
    """The end of a server's run in a test."""


@pytest.fixture
def setup(tmp_path: Path) -> LanSetup:
    """A household with a domain of its own, so nothing is announced."""
    return prepare(tmp_path, LanWish("tools.example.org", free_ports()), NOW, chance())


@pytest.fixture
def laptop(setup: LanSetup, tmp_path: Path) -> Iterator[Client]:
    """A browser that was paired under localhost before the household went on the network."""
    with opened(tmp_path) as before:
        was = before.pair()
        cookies = dict(was.web.cookies)
    with opened(tmp_path, household=was.household, origin=setup.origin, strict_host=True) as home:
        client = Client(home, was.device, was.household)
        for name, value in cookies.items():
            client.web.set_cookie(name, value)
        yield client


def call(
    client: Client, method: str, path: str, origin: str = LOCAL, **more: Any
) -> tuple[int, Any, list[str]]:
    """Status, body and cookies that are set, for a call with the laptop's plain cookie."""
    peer = more.pop("peer", "127.0.0.1")
    cookie = "; ".join(f"{name}={value}" for name, value in client.web.cookies.items())
    answer = client.home.app.test_client(use_cookies=False).open(
        path, method=method, base_url=origin, headers={"Cookie": cookie},
        environ_base={"REMOTE_ADDR": peer}, **more,
    )  # fmt: skip
    return answer.status_code, answer.get_json(silent=True), answer.headers.getlist("Set-Cookie")


@pytest.mark.parametrize("origin", [LOCAL, "http://127.0.0.1:8470", "http://localhost"])
def test_unsent_work_under_localhost_is_taken_with_the_cookie_of_before(
    laptop: Client, origin: str
) -> None:
    spot = laptop.change("spot", {"name": "Barn"})
    status, body, cookies = call(laptop, "POST", "/api/sync", origin, json=laptop.envelope([spot]))
    assert (status, [one["outcome"] for one in body["outcomes"]]) == (200, ["applied"])
    assert len(cookies) == 1
    assert cookies[0].startswith("crestrail_")
    assert "Secure" not in cookies[0]
    assert call(laptop, "GET", "/api/hello", origin)[1]["device"] == laptop.device
    assert call(laptop, "GET", "/api/price-book", origin)[0] == 200
    photo = f"/api/photos/{'0' * 64}"
    put = call(laptop, "PUT", photo, origin, data=b"no picture", content_type="image/jpeg")
    assert put[1]["code"] == "photo_hash_mismatch"


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("POST", "/api/pair"),
        ("POST", "/api/pairing-codes"),
        ("GET", "/api/tags/ABCDEFGH.png"),
        ("POST", "/api/tag-sheets"),
        ("DELETE", "/api/devices/0000000000000000"),
    ],
)
def test_nothing_else_is_done_under_localhost(laptop: Client, method: str, path: str) -> None:
    status, body, _ = call(laptop, method, path, json={})
    assert (status, body["code"]) == (421, "wrong_host")


@pytest.mark.parametrize(
    ("origin", "peer"),
    [
        (LOCAL, NEIGHBOUR),
        (LOCAL, ""),
        ("http://localhost.example.org:8470", "127.0.0.1"),
        ("https://localhost:8470", "127.0.0.1"),
        ("http://tools.example.org:8470", "127.0.0.1"),
    ],
)
def test_a_call_from_elsewhere_that_says_localhost_is_refused(
    laptop: Client, origin: str, peer: str
) -> None:
    answer = call(laptop, "POST", "/api/sync", origin, json=laptop.envelope(), peer=peer)
    assert (answer[0], answer[1]["code"]) == (421, "wrong_host")
    assert call(laptop, "GET", "/api/hello", origin, peer=peer)[1]["device"] is None


def test_a_page_of_another_local_server_can_send_nothing(laptop: Client) -> None:
    cookie = "; ".join(f"{name}={value}" for name, value in laptop.web.cookies.items())
    answer = laptop.home.app.test_client(use_cookies=False).post(
        "/api/sync", base_url=LOCAL, json=laptop.envelope(),
        headers={"Cookie": cookie, "Origin": "http://localhost:3000"},
    )  # fmt: skip
    assert answer.get_json()["code"] == "not_allowed"


def test_hello_tells_the_end_of_the_certificate_that_it_was_asked_under(
    setup: LanSetup, tmp_path: Path
) -> None:
    with opened(tmp_path, origin=setup.origin, certificate_ends=setup.certificate_ends) as home:
        client = home.app.test_client()
        over_https = client.get("/api/hello", base_url=setup.origin).get_json()
        assert over_https["certificate_ends"] == to_text(leaf_ends(setup.files))
        assert client.get("/api/hello", base_url=LOCAL).get_json()["certificate_ends"] is None
        setup.files.server.unlink()
        without = client.get("/api/hello", base_url=setup.origin)
        assert (without.status_code, without.get_json()["certificate_ends"]) == (200, None)


# The listener


def run(home: Home, setup: LanSetup, port: int, meanwhile: Any) -> None:
    """Serve as ``crestrail serve --lan`` does, until ``meanwhile`` has been called."""

    def greet() -> None:
        meanwhile()
        raise LeftAlone

    with pytest.raises(LeftAlone):
        run_on_lan(home.app, setup, greet, port)


def https_answers(setup: LanSetup) -> bool:
    context = ssl.create_default_context(cafile=str(setup.files.authority))
    address = ("127.0.0.1", setup.address.port)
    with (
        socket.create_connection(address, timeout=5) as plain,
        context.wrap_socket(plain, server_hostname=setup.address.name) as secure,
    ):
        phone = http.client.HTTPConnection(setup.address.name)
        phone.sock = secure
        phone.request("GET", "/api/hello")
        return bool(json.loads(phone.getresponse().read())["app"] == "crestrail")


def test_localhost_is_served_beside_the_network_and_ends_with_it(
    laptop: Client, setup: LanSetup
) -> None:
    port = free_port()
    seen: dict[str, Any] = {}

    def meanwhile() -> None:
        seen["page"] = get(port, "GET", "/")
        cookie = "; ".join(f"{name}={value}" for name, value in laptop.web.cookies.items())
        headers = {"Cookie": cookie, "Content-Type": "application/json"}
        spot = laptop.change("spot", {"name": "Barn"})
        body = json.dumps(laptop.envelope([spot]))
        seen["sync"] = get(port, "POST", "/api/sync", body=body, headers=headers)
        seen["https"] = https_answers(setup)

    begun = time.monotonic()
    run(laptop.home, setup, port, meanwhile)
    assert time.monotonic() - begun < 30
    assert seen["page"][0] == 302
    assert seen["page"][1]["location"] == f"{setup.origin}/"
    assert seen["sync"][0] == 200
    assert json.loads(seen["sync"][2])["outcomes"][0]["outcome"] == "applied"
    assert seen["https"]
    with pytest.raises(ConnectionRefusedError):
        get(port, "GET", "/api/hello")


def test_a_taken_port_of_localhost_is_said_in_one_line_and_the_network_served(
    laptop: Client, setup: LanSetup, capsys: pytest.CaptureFixture[str]
) -> None:
    answered: list[bool] = []
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        run(laptop.home, setup, port, lambda: answered.append(https_answers(setup)))
    lines = [line for line in capsys.readouterr().out.splitlines() if "Going on without" in line]
    assert answered == [True]
    assert len(lines) == 1
    assert f"port {port} is taken" in lines[0]
