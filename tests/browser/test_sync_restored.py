"""The real client while its server is killed, copied and put back."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from helpers import browser as browsers
from helpers import household_page as pages
from helpers.live import LiveServer
from helpers.proxy import Proxy


@pytest.fixture
def home(live_server: LiveServer) -> Iterator[Proxy]:
    """The household's server as the phones reach it, whatever becomes of it."""
    with Proxy(live_server.port) as proxy:
        yield proxy


@pytest.fixture
def page(phone: BrowserContext, live_server: LiveServer, home: Proxy) -> Page:
    """A phone that was paired and has everything of home's."""
    page = pages.paired(phone, home.url, live_server.pairing_code())
    assert pages.sync(page)["state"] == "home"
    return page


@pytest.fixture
def other(second_phone: BrowserContext, live_server: LiveServer, home: Proxy) -> Page:
    """The second phone of the household."""
    page = pages.paired(second_phone, home.url, live_server.pairing_code())
    assert pages.sync(page)["state"] == "home"
    return page


def fresh_titles(chromium: Browser, live_server: LiveServer, url: str) -> list[str]:
    """What home tells a phone that knows nothing: the titles of all pieces."""
    with browsers.phone(chromium) as context:
        page = pages.paired(context, url, live_server.pairing_code())
        assert pages.sync(page)["state"] == "home"
        return pages.titles(page)


def test_a_server_killed_in_the_middle_of_a_push_loses_nothing_and_doubles_nothing(
    page: Page, chromium: Browser, live_server: LiveServer, home: Proxy
) -> None:
    page.evaluate(
        """() => { const note = 'x'.repeat(300);
          return h.write(Array.from({ length: 600 }, (_, i) =>
            ({ type: 'piece', fields: { ...h.when(), title: `piece ${i}`, note } }))); }"""
    )
    page.evaluate("() => { window.round = h.syncNow(); }")
    page.wait_for_function("() => h.sync.unsent < 600", timeout=30_000)
    live_server.kill()
    page.evaluate("() => window.round")
    left = pages.status(page)
    assert (left["state"], 0 < left["unsent"] < 600) == ("away", True)
    live_server.start()
    assert pages.sync(page)["unsent"] == 0
    found = fresh_titles(chromium, live_server, home.url)
    assert found == sorted(f"piece {i}" for i in range(600))


def test_i9_a_home_restored_from_an_older_copy_gets_back_what_it_lacks(
    page: Page, other: Page, chromium: Browser, live_server: LiveServer, home: Proxy, tmp_path: Path
) -> None:
    kept = pages.save(page, "piece", title="Before the copy")
    pages.sync(page)
    pages.sync(other)
    live_server.stop()
    shutil.copytree(live_server.data, tmp_path / "copy")
    live_server.start()
    pages.save(page, "piece", title="After the copy")
    pages.save(page, "piece", kept, note="changed after the copy")
    photo = page.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = canvas.height = 50;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
          return photo.sha256;
        }"""
    )
    pages.sync(page)
    live_server.stop()
    shutil.rmtree(live_server.data)
    shutil.copytree(tmp_path / "copy", live_server.data)
    live_server.start()
    pages.save(other, "piece", title="Written at the restored home")
    pages.sync(other)
    pages.save(page, "piece", kept, ask=700)

    after = pages.sync(page)
    assert (after["state"], after["unsent"], after["photosUnsent"]) == ("home", 0, 0)
    expected = ["After the copy", "Before the copy", "Written at the restored home"]
    assert fresh_titles(chromium, live_server, home.url) == expected
    pages.sync(other)
    found = pages.record(other, "piece", kept)
    assert found is not None
    assert (found["note"], found["ask"]) == ("changed after the copy", 700)
    assert other.evaluate("sha => h.photoUrl(sha)", photo), "the picture went home again"
    assert pages.stored(page, "refused") == []
