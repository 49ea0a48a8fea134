"""Phones of one household on a server that all these tests share.

A test that kills, copies or restores its server takes `live_server` instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from helpers import browser as browsers
from helpers import household_page as pages
from helpers.camera import Camera, a_camera
from helpers.desk import Desk, DeskHome, furnished, open_desk
from helpers.proxy import Proxy
from helpers.scanning import added

Admit = Callable[..., Page]
"""``admit(context, shift=…, sync=…)``: a page of a phone newly paired."""


@pytest.fixture(scope="session")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """One server for all tests that leave it alone."""
    with open_desk(tmp_path_factory.mktemp("desk")) as opened:
        yield opened


@pytest.fixture
def home(desk: Desk) -> DeskHome:
    """A household of this test's own on the shared server, with what one starts with."""
    return furnished(desk)


@pytest.fixture(scope="module")
def page(desk: Desk, chromium: Browser) -> Iterator[Page]:
    """A phone of a household of its own, for all tests of a file."""
    with browsers.phone(chromium) as phone:
        page = phone.new_page()
        page.set_default_timeout(10_000)
        yield added(page, furnished(desk))


@pytest.fixture(scope="session")
def lens(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Camera]:
    """A browser with a camera; a test puts before it what it is to see."""
    with a_camera(playwright, tmp_path_factory.mktemp("camera")) as camera:
        yield camera


@pytest.fixture
def wire(desk: Desk) -> Iterator[Proxy]:
    """The household's server as the phones reach it."""
    with Proxy(desk.server.port) as proxy:
        yield proxy


@pytest.fixture
def admit(desk: Desk, wire: Proxy) -> Admit:
    """Pairs phones with a household of this test's own."""
    household = desk.household()

    def one(context: BrowserContext, **options: Any) -> Page:
        identity = desk.admit(context, wire.url, household)
        return pages.opened(context, wire.url, identity, **options)

    return one


@pytest.fixture
def first(phone: BrowserContext, admit: Admit) -> Page:
    """A phone that was paired and has everything of home's."""
    page = admit(phone)
    assert pages.sync(page)["state"] == "home"
    return page


@pytest.fixture
def second(second_phone: BrowserContext, admit: Admit) -> Page:
    """The second phone of the household."""
    page = admit(second_phone)
    assert pages.sync(page)["state"] == "home"
    return page
