"""A phone whose clock is weeks ahead while it works without a network."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from playwright.sync_api import BrowserContext, Page, expect

from helpers import story
from helpers.desk import DeskHome
from helpers.scanning import paired

AHEAD = timedelta(days=40)


def test_a_find_saved_with_the_clock_40_days_ahead_comes_home_with_its_dates_put_right(
    phone: BrowserContext, second_phone: BrowserContext, home: DeskHome
) -> None:
    page, other = paired(phone, home), paired(second_phone, home)
    story.settled_offline(page)
    phone.set_offline(True)
    page = opened_ahead(page)
    story.go(page, "sale")
    story.buy(page, "Bench", ask="20", paid="15")
    wrong = story.one(page, "purchase")
    assert days_from_now(wrong["at"]) > 39

    page.clock.set_system_time(datetime.now(UTC))
    phone.set_offline(False)
    story.everything_home(page)
    story.everything_home(other)
    for one in (page, other):
        purchase = story.one(one, "purchase")
        assert abs(days_from_now(purchase["at"])) < 1 / 24
        assert purchase["on"] == one.evaluate(TODAY)
        assert purchase["total"] == 1500
        story.go(one, "household/looks")
        expect(one.locator("article").filter(has_text="clock").first).to_be_visible()
    a_later_edit_on_the_other_phone_counts(page, other)


TODAY = "() => document.querySelector('crest-shell').household.today()"


def opened_ahead(page: Page) -> Page:
    """The app closed, and opened again while the phone believes in a day to come."""
    ahead = page.context.new_page()
    ahead.clock.install(time=datetime.now(UTC) + AHEAD)
    ahead.goto(page.url)
    page.close()
    ahead.wait_for_function("() => document.querySelector('crest-shell')?.household?.book")
    return ahead


def days_from_now(at: str) -> float:
    """How far an instant is ahead of this computer's clock."""
    return (datetime.fromisoformat(at) - datetime.now(UTC)) / timedelta(days=1)


def a_later_edit_on_the_other_phone_counts(page: Page, other: Page) -> None:
    """The wrong clock's stamps win over nothing that was written after them."""
    id = story.one(page, "piece")["id"]
    other.evaluate(
        "id => document.querySelector('crest-shell').household"
        ".write([{ type: 'piece', id, fields: { title: 'Named later' } }])",
        id,
    )
    story.everything_home(other)
    story.everything_home(page)
    assert story.one(page, "piece")["title"] == "Named later"
