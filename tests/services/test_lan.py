"""Phones on the home network: a name that stays, listeners that fail loudly, and upkeep.

Real sockets, real TLS and real multicast DNS on the loopback interface.
"""

from __future__ import annotations

import hashlib
import http.client
import json
import random
import socket
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar

import pytest
from werkzeug.test import Client
from zeroconf import IPVersion, ServiceInfo, Zeroconf

from crestrail.api import trust
from crestrail.basis.clock import FixedClock
from crestrail.lan import mdns, names
from crestrail.lan.loopback import leading_home
from crestrail.lan.serving import LanServer, trust_facts
from crestrail.lan.setup import LanSetup, LanWish, greeting, prepare
from crestrail.tls import CannotStart, leaf_ends
from helpers.trust import certificate_shown, free_ports

NOW = datetime(2026, 5, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)
LOOPBACK = ["127.0.0.1"]


def chance() -> random.Random:
    return random.Random(7)


def hello(environ: dict[str, Any], start_response: Any) -> list[bytes]:
    """A smallest app, that says by which scheme it was asked."""
    start_response("200 OK", [("Content-Type", "text/plain")])
    return [environ["wsgi.url_scheme"].encode()]


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


# The name


def test_the_first_start_makes_up_a_name_and_keeps_it_with_the_port(tmp_path: Path) -> None:
    first = names.settle(tmp_path / "lan.json", None, None, random.Random(1))
    again = names.settle(tmp_path / "lan.json", None, None, random.Random(2))
    assert first == again
    label = first.name.removeprefix("crestrail-").removesuffix(".local")
    assert len(label) == 4
    assert set(label) <= set(names.LETTERS)
    assert first.origin == f"https://{first.name}:{names.DEFAULT_PORT}"
    assert json.loads((tmp_path / "lan.json").read_text())["name"] == first.name


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("shed", "shed.local"),
        (" Shed.LOCAL. ", "shed.local"),
        ("tools.Example.org", "tools.example.org"),
        ("a" * 63, "a" * 63 + ".local"),
    ],
)
def test_a_name_may_be_chosen(tmp_path: Path, typed: str, kept: str) -> None:
    assert names.settle(tmp_path / "lan.json", typed, None, chance()).name == kept


@pytest.mark.parametrize(
    "typed",
    ["", ".", "two words", "-shed", "shed-", "späti", "a" * 64, "192.168.1.7", "a.b.local",
     "shed:80", "https://shed.local", "a..b", "*.example.org", "x." * 130 + "org"],
)  # fmt: skip
def test_what_cannot_be_a_name_is_refused_before_anything_is_kept(
    tmp_path: Path, typed: str
) -> None:
    with pytest.raises(CannotStart, match="letters, digits and hyphens"):
        names.settle(tmp_path / "lan.json", typed, None, chance())
    assert not (tmp_path / "lan.json").exists()


@pytest.mark.parametrize("port", [0, -1, 65535, 70000])
def test_a_port_without_a_neighbour_is_refused(tmp_path: Path, port: int) -> None:
    with pytest.raises(CannotStart, match="1 to 65534"):
        names.settle(tmp_path / "lan.json", None, port, chance())


@pytest.mark.parametrize(("name", "port"), [("other", None), (None, 9000), ("shed", 9000)])
def test_name_and_port_are_never_changed_in_passing(
    tmp_path: Path, name: str | None, port: int | None
) -> None:
    file = tmp_path / "lan.json"
    kept = names.settle(file, "shed", 8600, chance())
    with pytest.raises(CannotStart, match=r"https://shed\.local:8600"):
        names.settle(file, name, port, chance())
    assert names.settle(file, "SHED", 8600, chance()) == kept


def test_a_damaged_address_is_not_replaced_by_a_new_one(tmp_path: Path) -> None:
    file = tmp_path / "lan.json"
    file.write_text('{"name": "shed.lo')
    with pytest.raises(CannotStart, match="damaged"):
        names.settle(file, None, None, chance())
    assert file.read_text() == '{"name": "shed.lo'


def test_the_usual_https_port_is_left_out_of_the_origin() -> None:
    assert names.LanAddress("tools.example.org", 443, 444).origin == "https://tools.example.org"


# The announcement


T = TypeVar("T")


def aside(call: Callable[..., T], *args: Any, **options: Any) -> T:
    """Call in a thread of its own.

    Where browser tests ran before, an event loop lives in the main thread, and zeroconf would
    take it for its own.
    """
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(call, *args, **options).result()


def computer() -> Zeroconf:
    """Another computer on the network."""
    return aside(Zeroconf, interfaces=LOOPBACK, ip_version=IPVersion.V4Only)


@pytest.fixture
def neighbour() -> Iterator[Zeroconf]:
    zeroconf = computer()
    yield zeroconf
    aside(zeroconf.close)


def called(label: str, at: str) -> ServiceInfo:
    """What another computer announces that has the name."""
    return ServiceInfo(
        "_http._tcp.local.",
        f"its-{label}._http._tcp.local.",
        port=80,
        server=f"{label}.local.",
        parsed_addresses=[at],
    )


def address(label: str) -> names.LanAddress:
    return names.LanAddress(f"{label}.local", 8472, 8473)


def test_phones_find_the_name_and_no_longer_after_the_end(neighbour: Zeroconf) -> None:
    announcer = mdns.Announcer(address("crestrail-ttta"))
    assert aside(announcer.refresh, LOOPBACK)
    assert not announcer.refresh(LOOPBACK), "nothing new, nothing to announce"
    assert aside(mdns.others_with_name, neighbour, "crestrail-ttta.local", []) == LOOPBACK
    aside(announcer.close)
    later = computer()
    assert aside(mdns.others_with_name, later, "crestrail-ttta.local", []) == []
    aside(later.close)


def test_the_name_of_another_computer_is_not_taken_over(neighbour: Zeroconf) -> None:
    aside(neighbour.register_service, called("crestrail-tttb", "192.0.2.99"))
    announcer = mdns.Announcer(address("crestrail-tttb"))
    with pytest.raises(CannotStart, match=r"taken on this network by 192\.0\.2\.99"):
        aside(announcer.refresh, LOOPBACK)
    assert announcer.addresses == []


def test_the_computers_own_name_is_no_conflict(neighbour: Zeroconf) -> None:
    aside(neighbour.register_service, called("crestrail-ttte", "127.0.0.1"))
    announcer = mdns.Announcer(address("crestrail-ttte"))
    assert aside(announcer.refresh, LOOPBACK)
    aside(announcer.close)


def test_a_start_under_a_taken_name_gives_every_port_back(
    tmp_path: Path, neighbour: Zeroconf
) -> None:
    port = free_ports()
    setup = prepare(tmp_path, LanWish("crestrail-tttc", port), NOW, chance())
    aside(neighbour.register_service, called("crestrail-tttc", "192.0.2.98"))
    server = LanServer(hello, setup, FixedClock(NOW), addresses=lambda: LOOPBACK)
    with pytest.raises(CannotStart, match="is taken on this network"):
        aside(server.start)
    for freed in (port, port + 1):
        with socket.socket() as sock:
            sock.bind(("127.0.0.1", freed))


def test_a_new_address_from_the_router_is_announced(tmp_path: Path, said: list[str]) -> None:
    setup = prepare(tmp_path, LanWish("crestrail-tttd", free_ports()), NOW, chance())
    current: list[str] = []
    server = LanServer(hello, setup, FixedClock(NOW), said.append, addresses=lambda: current)
    aside(server.start)
    assert said == []
    current.append("127.0.0.1")
    aside(server.upkeep)
    assert said == ["crestrail-tttd.local is announced at 127.0.0.1."]
    aside(server.upkeep)
    assert len(said) == 1
    aside(server.stop)


# The listeners


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


# What plain http gives away


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LanSetup]:
    """One running server for all that is asked of the trust page."""
    wish = LanWish("tools.example.org", free_ports())
    setup = prepare(tmp_path_factory.mktemp("home"), wish, NOW, chance())
    with LanServer(hello, setup, FixedClock(NOW), lambda _line: None):
        yield setup


@pytest.fixture(scope="module")
def plain_port(home: LanSetup) -> int:
    return home.address.trust_port


def test_the_certificate_comes_in_both_forms_with_the_type_phones_install(
    home: LanSetup, plain_port: int
) -> None:
    der = ssl.PEM_cert_to_DER_cert(home.files.authority.read_text())
    for path, body in (
        ("/crestrail-authority.cer", der),
        ("/crestrail-authority.pem", home.files.authority.read_bytes()),
    ):
        status, headers, got = get(plain_port, "GET", path)
        assert (status, got) == (200, body)
        assert headers["content-type"] == "application/x-x509-ca-cert"
        assert path[1:] in headers["content-disposition"]
    assert hashlib.sha256(der).hexdigest() in "".join(home.fingerprint).replace(" ", "").lower()


def test_the_page_shows_the_fingerprint_and_allows_nothing_but_its_own_style(
    home: LanSetup, plain_port: int
) -> None:
    status, headers, body = get(plain_port, "GET", "/")
    page = body.decode()
    assert status == 200
    assert "\n".join(home.fingerprint) in page
    assert f'href="{home.origin}/"' in page
    assert "<script" not in page
    assert "style=" not in page
    assert "$" not in page
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert "strict-transport-security" not in headers


def test_the_page_knows_whether_the_phone_found_the_name(home: LanSetup, plain_port: int) -> None:
    host = f"{home.address.name}:{plain_port}"
    by_name = get(plain_port, "GET", "/", headers={"Host": host})[2].decode()
    by_number = get(plain_port, "GET", "/")[2].decode()
    assert "<p ><strong>&#10003; Yes." in by_name
    assert "<p hidden><strong>&#10003; Yes." in by_number
    assert f'href="http://{host}/"' in by_number


PATHS = [
    "/index.html", "/.", "/..", "/../", "/%2e%2e/", "/./crestrail-authority.cer",
    "/crestrail-authority.cer/", "/CRESTRAIL-AUTHORITY.CER",
    "/crestrail-authority.cer%00", "/authority.pem", "/authority-key.pem", "/server.pem",
    "/tls/authority-key.pem", "/../tls/authority-key.pem", "/..%2ftls%2fauthority-key.pem",
    "/api/hello", "/api/sync", "/api/pair", "/pair", "/t/ABCD", "/static/x", "/favicon.ico",
    "/.well-known/", "/sw.js", "/manifest.webmanifest", "/\u00e4", "/" + "a" * 5000,
]  # fmt: skip


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH"])
def test_every_other_path_is_refused_in_plain_words(plain_port: int, method: str) -> None:
    for path in PATHS:
        asked = path.encode("utf-8").decode("latin-1").replace("\u00c3\u00a4", "%C3%A4")
        status, headers, body = get(plain_port, method, asked)
        assert status == 404, (method, path)
        assert headers["content-type"] == "text/plain; charset=utf-8"
        assert b"There is nothing here" in body or method == "HEAD"


@pytest.mark.parametrize("path", ["/", "/crestrail-authority.cer", "/crestrail-authority.pem"])
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "BREW"])
def test_what_is_there_can_only_be_read(plain_port: int, method: str, path: str) -> None:
    status, headers, body = get(plain_port, method, path)
    assert (status, headers["allow"]) == (405, "GET, HEAD")
    assert b"only be read" in body


def test_head_says_the_same_as_get_without_the_body(plain_port: int) -> None:
    whole = get(plain_port, "GET", "/")
    head = get(plain_port, "HEAD", "/")
    assert head[0] == 200
    assert head[1]["content-length"] == whole[1]["content-length"]
    assert head[2] == b""


ODD = [
    b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 5000\r\n\r\n" + b"x" * 5000,
    b"POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nhello\r\n0\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: x\r\nX-Big: " + b"x" * 60_000 + b"\r\n\r\n",
    b"GET /" + b"a" * 60_000 + b" HTTP/1.1\r\nHost: x\r\n\r\n",
    b"GET / HTTP/1.1\r\n" + b"".join(b"X-%d: y\r\n" % n for n in range(4000)) + b"\r\n",
    b"GET //crestrail-authority.cer HTTP/1.1\r\nHost: x\r\n\r\n",
    b"GET http://bank.example/ HTTP/1.1\r\nHost: bank.example\r\n\r\n",
    b"CONNECT bank.example:443 HTTP/1.1\r\nHost: bank.example\r\n\r\n",
    b"OPTIONS * HTTP/1.1\r\nHost: x\r\n\r\n",
    b"GET / HTTP/9.9\r\n\r\n",
    b"GET\r\n\r\n",
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 200,
    b"\x00\xff\xfe\r\n\r\n",
]


@pytest.mark.parametrize("data", ODD, ids=lambda data: repr(data[:24]))
def test_odd_requests_get_a_refusal_and_the_page_goes_on_answering(
    plain_port: int, data: bytes
) -> None:
    try:
        answer = raw(plain_port, data)
    except ConnectionResetError:
        answer = b""
    first = answer.split(b"\r\n", 1)[0]
    assert answer == b"" or b" 4" in first or b" 505" in first, first
    assert b"PRIVATE KEY" not in answer
    assert get(plain_port, "GET", "/")[0] == 200


def test_only_three_answers_exist_and_none_holds_a_key(home: LanSetup) -> None:
    facts = trust_facts(home)
    assert b"PRIVATE" not in facts.pem + facts.der
    listener = trust.trust_app(facts)
    statuses = {}
    for path in ("/", trust.DER_PATH, trust.PEM_PATH, *PATHS):
        environ = {"PATH_INFO": path, "REQUEST_METHOD": "GET"}
        listener(environ, lambda status, _headers, at=path: statuses.update({at: status}))  # type: ignore[arg-type]
    found = [path for path, status in statuses.items() if status.startswith("200")]
    assert found == ["/", trust.DER_PATH, trust.PEM_PATH]


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
