"""The home network in a real browser: what it trusts, what it refuses, and the page that helps.

The name is led to this computer by Chromium's resolver rules; trust is a real NSS database.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright
from playwright.sync_api import Error as BrowserError

from crestrail import tls
from crestrail.basis.clock import FixedClock
from crestrail.lan.serving import LanServer
from crestrail.lan.setup import LanSetup, LanWish, prepare
from helpers import browser as browsers
from helpers import lan
from helpers.lan import Household
from helpers.ports import free_ports
from helpers.trust import home_that_trusts, launch_at_home

NAME = "tools.example.org"
DAY = timedelta(days=1)


def now() -> datetime:
    """Chromium judges certificates by the computer's own clock, so here it is the real one."""
    return datetime.now(UTC)


def hello(_environ: dict[str, Any], start_response: Any) -> list[bytes]:
    start_response("200 OK", [("Content-Type", "text/html")])
    return [b"<!doctype html><title>home</title>"]


@dataclass
class Home:
    """A running server on the home network and what it was set up with."""

    setup: LanSetup
    server: LanServer

    def show(self, certificate_and_key: tuple[Any, Any]) -> None:
        """Let the server show another certificate than its own from now on."""
        tls.keep_leaf(self.setup.files, *certificate_and_key)
        self.server.show_kept_certificate()

    @property
    def trust_page(self) -> str:
        return f"http://127.0.0.1:{self.setup.address.trust_port}/"


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Home]:
    """A household with a domain of its own, on this computer."""
    setup = prepare(tmp_path / "data", LanWish(NAME, free_ports()), now(), random.Random(1))
    server = LanServer(hello, setup, FixedClock(now()), lambda _line: None)
    server.start()
    yield Home(setup, server)
    server.stop()


@pytest.fixture
def trusting(playwright: Playwright, home: Home, tmp_path: Path) -> Iterator[Browser]:
    """Chromium in which the household's authority is trusted."""
    folder = home_that_trusts(tmp_path / "home", home.setup.files.authority)
    browser = launch_at_home(playwright, folder, NAME, "other.example.org")
    yield browser
    browser.close()


def refusal(browser: Browser, url: str) -> str:
    """The code with which the browser refuses to open a page, empty where it opens."""
    with browsers.phone(browser) as phone:
        try:
            phone.new_page().goto(url)
        except BrowserError as error:
            return error.message.split("net::")[1].split(" ")[0].split("\n")[0]
    return ""


def test_a_browser_that_trusts_the_authority_opens_the_app(home: Home, trusting: Browser) -> None:
    assert refusal(trusting, f"{home.setup.origin}/") == ""


def test_a_browser_that_does_not_refuses(
    playwright: Playwright, home: Home, tmp_path: Path
) -> None:
    browser = launch_at_home(playwright, home_that_trusts(tmp_path / "home"), NAME)
    try:
        assert refusal(browser, f"{home.setup.origin}/") == "ERR_CERT_AUTHORITY_INVALID"
    finally:
        browser.close()


def test_another_households_authority_is_no_use(home: Home, trusting: Browser) -> None:
    home.show(tls.make_leaf(tls.make_authority(NAME, now()), NAME, now()))
    assert refusal(trusting, f"{home.setup.origin}/") == "ERR_CERT_AUTHORITY_INVALID"


@pytest.mark.parametrize("days", [-400, +400], ids=["expired", "not yet valid"])
def test_a_certificate_out_of_its_time_is_refused(home: Home, trusting: Browser, days: int) -> None:
    home.show(tls.make_leaf(home.setup.authority, NAME, now() + days * DAY))
    assert refusal(trusting, f"{home.setup.origin}/") == "ERR_CERT_DATE_INVALID"


def test_the_certificate_does_not_do_for_another_name(home: Home, trusting: Browser) -> None:
    other = f"https://other.example.org:{home.setup.address.port}/"
    assert refusal(trusting, other) == "ERR_CERT_COMMON_NAME_INVALID"


def test_the_browser_holds_the_authority_to_its_one_name(home: Home, trusting: Browser) -> None:
    home.show(tls.make_leaf(home.setup.authority, "other.example.org", now()))
    other = f"https://other.example.org:{home.setup.address.port}/"
    assert refusal(trusting, other) == "ERR_CERT_INVALID"


def test_a_renewed_certificate_is_taken_without_a_word(home: Home, trusting: Browser) -> None:
    with browsers.phone(trusting) as phone:
        page = phone.new_page()
        page.goto(home.setup.origin)
        home.show(tls.make_leaf(home.setup.authority, NAME, now()))
        page.reload()
        assert page.title() == "home"


# Under other addresses than the household's own


@pytest.fixture
def household(tmp_path: Path) -> Iterator[Household]:
    """A household with the real client, under the name."""
    with lan.household(tmp_path / "household", NAME) as home:
        yield home


@pytest.mark.parametrize(
    "origin",
    ["http://localhost:8470", "https://localhost:8472", "https://192.0.2.7:8472", f"http://{NAME}"],
)
def test_under_another_address_nothing_is_paired_and_no_tag_printed(
    household: Household, origin: str
) -> None:
    for path in ("/api/pair", "/api/pairing-codes", "/api/tag-sheets"):
        status, body = household.call(origin, path)
        assert (status, body["code"]) == (421, "wrong_host")
        assert household.setup.origin in body["message"]
        assert household.call(household.setup.origin, path)[1]["code"] != "wrong_host"


def test_a_forged_host_header_is_no_way_round(household: Household) -> None:
    status, body = household.call(household.setup.origin, "/api/pair", host="localhost:8472")
    assert (status, body["code"]) == (421, "wrong_host")


def test_no_answer_binds_the_browser_to_https_for_the_whole_name(household: Household) -> None:
    """The trust page is under the same name by plain http, and is needed just then."""
    client = household.app.test_client()
    for path in ("/", "/sw.js", "/api/hello", "/nothing"):
        with client.get(path, base_url=household.setup.origin) as answer:
            assert answer.status_code in (200, 404)
        assert "Strict-Transport-Security" not in answer.headers


# The trust page


@pytest.fixture(params=["light", "dark"])
def trust_page(chromium: Browser, home: Home, request: pytest.FixtureRequest) -> Iterator[Page]:
    """The trust page on a phone, by light and by dark."""
    with browsers.phone(chromium, color_scheme=request.param) as phone:
        page = phone.new_page()
        page.goto(home.trust_page)
        yield page


def test_the_trust_page_has_no_barrier_and_fits_a_phone(trust_page: Page) -> None:
    trust_page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
    assert browsers.axe_violations(trust_page) == []
    for width in (320, 390):
        trust_page.set_viewport_size({"width": width, "height": 700})
        overflow = trust_page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert overflow == 0, width
    small = trust_page.evaluate(
        "[...document.querySelectorAll('.go, summary')]"
        ".filter(e => e.getBoundingClientRect().height < 44).map(e => e.textContent)"
    )
    assert small == []


def test_the_trust_page_is_styled_and_works_without_scripts(chromium: Browser, home: Home) -> None:
    with browsers.phone(chromium, java_script_enabled=False) as phone:
        page = phone.new_page()
        problems: list[str] = []
        page.on("console", lambda message: problems.append(message.text))
        page.goto(home.trust_page)
        page.get_by_text("iPhone or iPad").click()
        link = page.get_by_role("link", name="Get the certificate", exact=True)
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= 52
        with page.expect_download() as download:
            link.click()
        assert download.value.suggested_filename == "crestrail-authority.cer"
        assert page.locator(".fingerprint").inner_text().splitlines() == home.setup.fingerprint
        assert problems == []


def test_the_trust_page_says_when_the_phone_found_the_name(home: Home, trusting: Browser) -> None:
    with browsers.phone(trusting) as phone:
        page = phone.new_page()
        page.goto(home.trust_page)
        assert not page.get_by_text("Yes.").is_visible()
        page.get_by_role("link", name="Open this page by name").click()
        page.wait_for_url(f"http://{NAME}:*/")
        assert page.get_by_text("Yes.").is_visible()
        assert not page.get_by_role("link", name="Open this page by name").is_visible()
