"""What a phone says when home's certificate may have run out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import BrowserContext, Page, Route

from helpers import household_page as pages
from helpers.proxy import Proxy

WORDS = (
    "The home computer's certificate may have run out. Start Crestrail on it: it renews itself. "
    "Then open this page again."
)


def answer_with_end(phone: BrowserContext, ends: str | None) -> None:
    """Home's own answer, but with this end of its certificate."""

    def answer(route: Route) -> None:
        response = route.fetch()
        route.fulfill(response=response, json=response.json() | {"certificate_ends": ends})

    phone.route("**/api/hello", answer)


@pytest.mark.parametrize(
    ("hours", "said"), [(-1, WORDS), (+1, ""), (None, "")], ids=["over", "good", "none"]
)
def test_a_phone_that_cannot_reach_home_names_a_certificate_that_is_over(
    first: Page, phone: BrowserContext, wire: Proxy, hours: int | None, said: str
) -> None:
    ends = hours and (datetime.now(UTC) + timedelta(hours=hours)).isoformat()
    answer_with_end(phone, ends or None)
    first.evaluate("() => { h.engine.exchange.helloAt = -Infinity; }")
    found = pages.sync(first)
    assert (found["state"], found["message"]) == ("home", "")
    phone.unroute("**/api/hello")
    wire.spoil("refuse")
    found = pages.sync(first)
    assert (found["state"], found["message"]) == ("away", said)
    wire.spoil("pass")
    found = pages.sync(first)
    assert (found["state"], found["message"]) == ("home", "")
