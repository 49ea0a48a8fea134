"""What the household says over plain http: the trust page, the certificate, and nothing else."""

from __future__ import annotations

import hashlib
import ssl
from collections.abc import Iterator

import pytest

from crestrail.api import trust
from crestrail.basis.clock import FixedClock
from crestrail.lan.serving import LanServer, trust_facts
from crestrail.lan.setup import LanSetup, LanWish, prepare
from helpers.home_network import NOW, chance, get, hello, raw
from helpers.ports import free_ports


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
