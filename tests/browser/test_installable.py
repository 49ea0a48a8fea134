"""The app can be put on the home screen, by the browser's own judgement."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from helpers import browser as browsers
from helpers.desk import Desk
from helpers.live import LiveServer


@pytest.fixture(scope="module")
def profile(
    playwright: Playwright, desk: Desk, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    """The app in a profile that is kept, as on a phone (a private window installs nothing)."""
    context = playwright.chromium.launch_persistent_context(
        str(tmp_path_factory.mktemp("profile")), executable_path=browsers.CHROMIUM,
        args=browsers.LAUNCH_ARGS, **browsers.PHONE,
    )  # fmt: skip
    page = context.new_page()
    page.goto(desk.server.url)
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    yield page
    context.close()


@pytest.fixture
def page(profile: Page) -> Page:
    """The app as it opens."""
    profile.reload()
    profile.locator("crest-shell").wait_for()
    return profile


def manifest(page: Page) -> dict[str, Any]:
    """The manifest as the server sends it."""
    answer = page.request.get(page.url.rstrip("/") + "/manifest.webmanifest")
    assert answer.headers["content-type"].split(";")[0] == "application/manifest+json"
    found: dict[str, Any] = answer.json()
    return found


def test_the_browser_finds_nothing_that_keeps_the_app_off_the_home_screen(page: Page) -> None:
    session = page.context.new_cdp_session(page)
    found = session.send("Page.getInstallabilityErrors")
    assert found["installabilityErrors"] == []
    read = session.send("Page.getAppManifest")
    assert read["errors"] == []
    assert read["url"].endswith("/manifest.webmanifest")


def test_the_check_would_notice(page: Page) -> None:
    """A manifest without an icon is reported: an empty list above means something."""
    page.route(
        "**/broken.webmanifest",
        lambda route: route.fulfill(
            content_type="application/manifest+json",
            body='{"name": "x", "start_url": "/", "display": "standalone"}',
        ),
    )
    page.evaluate(
        "() => { document.querySelector('link[rel=manifest]').href = '/broken.webmanifest'; }"
    )
    session = page.context.new_cdp_session(page)
    found = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert "manifest-missing-suitable-icon" in [error["errorId"] for error in found]


def test_the_manifest_opens_the_app_by_itself_under_a_short_name(page: Page) -> None:
    said = manifest(page)
    assert said["display"] == "standalone"
    assert (said["id"], said["start_url"], said["scope"]) == ("/", "/", "/")
    assert len(said["short_name"]) <= 12, "launchers cut longer names"
    assert said["name"]


def test_every_icon_is_there_in_the_size_it_claims(page: Page) -> None:
    icons = manifest(page)["icons"]
    sizes = set()
    for icon in icons:
        answer = page.request.get(page.url.rstrip("/") + icon["src"])
        assert answer.status == 200, icon
        assert answer.headers["content-type"].split(";")[0] == icon["type"]
        if icon["type"] == "image/png":
            with Image.open(io.BytesIO(answer.body())) as image:
                assert f"{image.width}x{image.height}" == icon["sizes"]
            sizes.add((icon["sizes"], icon.get("purpose", "any")))
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= sizes


def test_an_iphone_finds_its_icon_and_title(page: Page) -> None:
    """Read by Safari from the page and not from the manifest."""
    link = page.locator('link[rel="apple-touch-icon"]').get_attribute("href")
    answer = page.request.get(page.url.rstrip("/") + str(link))
    with Image.open(io.BytesIO(answer.body())) as image:
        assert (image.width, image.height) == (180, 180)
        assert image.mode == "RGB" or image.getchannel("A").getextrema() == (255, 255)
    title = page.locator('meta[name="apple-mobile-web-app-title"]').get_attribute("content")
    assert title == manifest(page)["short_name"]


def test_everything_needed_offline_is_kept_at_the_first_visit(
    phone: BrowserContext, live_server: LiveServer
) -> None:
    page = phone.new_page()
    page.goto(live_server.url)
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    live_server.kill()
    fresh = phone.new_page()
    fresh.goto(live_server.url)
    expect(fresh).to_have_title("Add this phone · Crestrail")
    assert fresh.evaluate("() => fetch('/manifest.webmanifest').then(r => r.ok)")
