"""``crestrail serve --lan`` as a person starts it, and a browser that trusts the household."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright

from helpers import browser as browsers
from helpers import story
from helpers.home_network import get
from helpers.lan_command import LanCommand
from helpers.scanning import CODE
from helpers.trust import home_that_trusts, launch_at_home

NAME = "tools.example.org"
SECONDS_TO_END = 20
"""The command gives calls that are under way five seconds; the rest is for a busy computer."""

FETCHED = """async ([path, method]) => {
  const answer = await fetch(path, { method });
  return [answer.status, (await answer.text()).split('\\n')[0]];
}"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[LanCommand]:
    """The command, running."""
    with LanCommand(tmp_path / "data", NAME) as command:
        yield command


@pytest.fixture
def trusting(playwright: Playwright, server: LanCommand, tmp_path: Path) -> Iterator[Browser]:
    """Chromium in which the authority is trusted that the command made."""
    home = home_that_trusts(tmp_path / "home", server.authority)
    browser = launch_at_home(playwright, home, NAME)
    yield browser
    browser.close()


def test_a_find_saved_while_the_command_was_stopped_goes_home_when_it_is_started_again(
    server: LanCommand, trusting: Browser
) -> None:
    with browsers.phone(trusting) as one, browsers.phone(trusting) as two:
        page = one.new_page()
        story.pair_by_link(page, server)
        assert page.url.startswith(f"{server.url}/")
        story.settled_offline(page)
        the_address_is_a_safe_one(page)
        stop_politely(server)

        page.reload()
        assert page.evaluate("() => fetch('/api/hello').then(() => false, () => true)")
        story.go(page, "sale")
        story.buy(page, "Bench", ask="20", paid="15")
        assert story.unsent(page) > 0
        server.start()
        story.everything_home(page)

        other = two.new_page()
        story.pair_by_link(other, server)
        assert story.one(other, "purchase")["total"] == 1500
        photo = story.one(other, "photo")["sha256"]
        assert other.evaluate(FETCHED, [f"/api/photos/{photo}", "GET"])[0] == 200
        localhost_leads_to_the_households_address(other, server)
        nothing_but_the_trust_page_crosses_in_plain(other, server)


def the_address_is_a_safe_one(page: Page) -> None:
    """Camera and worker are to be had, and the cookie stays under this very address."""
    assert page.evaluate("() => window.isSecureContext && Boolean(navigator.mediaDevices)")
    (cookie,) = page.context.cookies()
    assert str(cookie.get("name")).startswith("__Host-crestrail_")
    assert (cookie.get("secure"), cookie.get("httpOnly")) == (True, True)


def stop_politely(server: LanCommand) -> None:
    """SIGTERM ends it in time and in good order."""
    begun = time.monotonic()
    server.stop()
    assert time.monotonic() - begun < SECONDS_TO_END
    assert server.exit_code == 0, server.log
    assert "Traceback" not in server.log


def localhost_leads_to_the_households_address(page: Page, server: LanCommand) -> None:
    """A page opened under localhost is the household's, with the phone's data on it."""
    page.goto(f"{server.local}/#/pieces")
    page.wait_for_url(f"{server.url}/#/pieces")
    page.locator("screen-pieces a.row").wait_for()
    page.goto(f"{server.local}/t/{CODE}")
    page.wait_for_url(f"{server.url}/**")


def nothing_but_the_trust_page_crosses_in_plain(page: Page, server: LanCommand) -> None:
    """The plain listener has the page and the authority's certificate, and takes nothing."""
    page.goto(f"{server.trust_page}/")
    assert page.locator(".fingerprint").text_content()
    pem = get(server.port + 1, "GET", "/crestrail-authority.pem")[2]
    assert pem == server.authority.read_bytes()
    for path in ("/api/hello", "/sw.js", "/pair", "/js/main.js", f"/t/{CODE}"):
        answer = page.goto(server.trust_page + path)
        assert answer is not None
        assert answer.status == 404
    for path in ("/", "/api/sync", "/api/pair"):
        assert get(server.port + 1, "POST", path, body=b"")[0] in (404, 405)
    answer = page.goto(f"http://{NAME}:{server.port}/")
    assert answer is not None
    assert answer.status == 400
    assert "https only" in page.locator("body").inner_text()
