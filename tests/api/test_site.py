"""The client's files, and what every answer carries."""

from __future__ import annotations

import gzip
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers import app as apps
from helpers.app import Home

INDEX = "<!doctype html><title>Crestrail</title>" + " " * 1000


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Home]:
    """A home with a small client."""
    web = tmp_path / "web"
    (web / "js").mkdir(parents=True)
    (web / "index.html").write_text(INDEX)
    (web / "sw.js").write_text("// worker")
    (web / "js" / "main.js").write_text("export const a = 1;")
    (web / "manifest.webmanifest").write_text("{}")
    (tmp_path / "secret.txt").write_text("secret")
    with apps.opened(tmp_path / "data", web=web) as home:
        yield home


@pytest.mark.parametrize("path", ["/", "/pair", "/t/ABCD-EFGH-J", "/index.html"])
def test_the_one_page_answers_to_every_address_of_the_client(site: Home, path: str) -> None:
    assert site.app.test_client().get(path, buffered=True).text == INDEX


@pytest.mark.parametrize(
    ("path", "type"),
    [
        ("/js/main.js", "text/javascript"),
        ("/sw.js", "text/javascript"),
        ("/manifest.webmanifest", "application/manifest+json"),
        ("/", "text/html"),
    ],
)
def test_files_have_their_type_and_are_asked_for_again(site: Home, path: str, type: str) -> None:
    browser = site.app.test_client()
    answer = browser.get(path, buffered=True)
    assert answer.mimetype == type
    assert answer.headers["Cache-Control"] == "no-cache"
    tag = answer.headers["ETag"]
    assert browser.get(path, headers={"If-None-Match": tag}, buffered=True).status_code == 304


@pytest.mark.parametrize(
    "path", ["/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/js", "/nothing", "/.env"]
)
def test_nothing_outside_the_client_is_served(site: Home, path: str) -> None:
    answer = site.app.test_client().get(path, buffered=True)
    assert (answer.status_code, answer.json["code"]) == (404, "unknown_call")


@pytest.mark.parametrize("path", ["/", "/js/main.js", "/api/hello", "/api/devices", "/nothing"])
def test_every_answer_forbids_what_pages_need_not_do(site: Home, path: str) -> None:
    headers = site.app.test_client().get(path, buffered=True).headers
    policy = dict(p.split(" ", 1) for p in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'self'"
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert (policy["object-src"], policy["frame-ancestors"]) == ("'none'", "'none'")
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "camera=(self)" in headers["Permissions-Policy"]


def test_answers_are_compressed_for_those_who_can_read_them(site: Home) -> None:
    browser = site.app.test_client()
    packed = browser.get("/", headers={"Accept-Encoding": "gzip"}, buffered=True)
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data).decode() == INDEX
    assert "Content-Encoding" not in browser.get("/", buffered=True).headers


def test_bodies_may_be_compressed(site: Home) -> None:
    phone = site.pair()
    body = json.dumps(phone.envelope([phone.change("spot", {"name": "Barn"})])).encode()
    headers = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
    answer = phone.web.post("/api/sync", gzip.compress(body), headers=headers)
    assert answer.json["outcomes"][0]["outcome"] == "applied"


def test_answers_of_the_api_are_never_stored(site: Home) -> None:
    assert site.app.test_client().get("/api/hello").headers["Cache-Control"] == "no-store"


def test_forwarded_headers_are_believed_only_when_told(tmp_path: Path) -> None:
    forwarded = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "crest.example"}
    for proxies, origin in ((0, "http://localhost"), (1, "https://crest.example")):
        with apps.opened(tmp_path / str(proxies), behind_proxy=proxies) as home:
            answer = home.app.test_client().get("/api/hello", headers=forwarded)
            assert answer.json["origin"] == origin
