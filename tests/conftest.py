"""Fixtures shared by all tests; see tests/helpers for what they are made of."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, BrowserContext, Playwright, sync_playwright

from helpers import browser as browsers

pytest_plugins = ["helpers.fixtures_server"]

settings.register_profile(
    "crestrail", deadline=None, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("crestrail")


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The Playwright driver, once a run."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """One Chromium for all tests that need no special switches."""
    browser = browsers.launch(playwright)
    yield browser
    browser.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[BrowserContext]:
    """A phone at 390x844 with storage of its own."""
    with browsers.phone(chromium) as context:
        yield context


@pytest.fixture
def second_phone(chromium: Browser) -> Iterator[BrowserContext]:
    """Another phone of the household."""
    with browsers.phone(chromium) as context:
        yield context
