"""Fixtures of the tests at the sale; a test module takes them by naming this as a plugin."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from helpers.at_the_sale import HouseholdPhone, Thumb, household_phone
from helpers.desk import Desk, furnished


@pytest.fixture(scope="module")
def sale_home(chromium: Browser, desk: Desk) -> Iterator[HouseholdPhone]:
    """One household and one phone for all tests of a module."""
    with household_phone(chromium, furnished(desk)) as phone:
        yield phone


@pytest.fixture
def sale(sale_home: HouseholdPhone) -> Iterator[tuple[Page, Thumb]]:
    """The phone on the pad, nothing typed yet."""
    with sale_home.page() as page:
        yield page, Thumb(page)
