"""Going back for a find that was left: worth it or not, and what one finds there is kept."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from helpers import browser as browsers
from helpers.at_the_sale import Thumb, add_phone, records, told, write
from helpers.desk import Desk, furnished

TO_CHOOSE = """() => import('/js/screens/at-the-sale-together.js').then(({ furtherFinds }) =>
  furtherFinds(document.querySelector('crest-shell').household, null).map(one => one.title))"""
THERE = {"latitude": 40.05, "longitude": -90.0}


@pytest.fixture(scope="module")
def away(chromium: Browser, desk: Desk) -> Iterator[Page]:
    """A phone that knows where it is, and has no network after the first sync."""
    where = {"permissions": ["geolocation"], "geolocation": THERE}
    with browsers.phone(chromium, **where) as context:
        page = add_phone(context, furnished(desk))
        page.wait_for_function("() => navigator.serviceWorker.controller")
        context.set_offline(True)
        yield page


def left(page: Page, **fields: Any) -> str:
    """A find that was left for later just now."""
    (id,) = write(page, {"type": "piece", "now": True, "fields": {
        "kind": "desk", "title": "Desk by the gate", "ask": 1000, "count": 1,
        "later_at": "2026-05-02T10:00:00.000Z", **fields,
    }})  # fmt: skip
    return id


def row(page: Page, title: str) -> Locator:
    """The line of a find under "Passed and later"."""
    return page.locator(".sale-again li", has_text=title)


def test_a_sale_keeps_where_it_is_and_the_way_back_is_worked_out_from_there(away: Page) -> None:
    page, thumb = away, Thumb(away)
    thumb.button("Start an outing")
    page.get_by_label("Which sale").fill("Weir yard")
    page.get_by_text("Keep where it is").tap()
    thumb.button("Start")
    page.wait_for_function(
        "() => document.querySelector('crest-shell').household.all('stop')[0]?.latitude_udeg"
    )
    (stop,) = records(page, "stop")
    assert (stop["latitude_udeg"], stop["longitude_udeg"]) == (40_050_000, -90_000_000)
    piece = left(page, stop_id=stop["id"])
    page.context.set_geolocation({"latitude": 40.0, "longitude": -90.0})
    thumb.tap(row(page, "Desk by the gate").get_by_role("button", name="Go back?"))
    sheet = page.get_by_role("dialog", name="Go back for it?")
    expect(sheet).to_contain_text("Say how far it is")
    thumb.button("Use where I am")
    expect(sheet).to_contain_text("Go back: worth about $")
    sheet.get_by_text("Workings").tap()
    expect(sheet.get_by_role("row", name="Profit at their price")).to_be_visible()
    expect(sheet).to_contain_text("9 mi there and back, by the positions")
    assert browsers.axe_violations(page) == []
    page.get_by_label("Extra miles").fill("900")
    expect(sheet).to_contain_text("Not worth going back")
    page.get_by_label("Extra miles").fill("-3")
    expect(sheet).to_contain_text("0 or more")
    expect(page.get_by_label("Extra miles")).to_have_attribute("aria-invalid", "true")
    expect(sheet).to_contain_text("A way such as 4 or 4.5")
    page.get_by_label("Extra minutes").fill("1e9")
    expect(sheet).to_contain_text("Minutes such as 20, at most 6,000")
    assert browsers.barriers(page) == []
    page.get_by_label("Extra minutes").fill("35")
    page.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    thumb.tap(row(page, "Desk by the gate").get_by_role("button", name="Go back?"))
    expect(page.get_by_label("Extra minutes")).to_have_value("35")
    thumb.button("It was there")
    told(page, "Still there. Noted.")
    expect(page.get_by_label("They ask")).to_have_value("10")
    (visit,) = records(page, "visit")
    assert (visit["piece_id"], visit["found"]) == (piece, True)
    assert visit["seen_at"] <= visit["at"]


def test_a_find_that_was_gone_leaves_the_list_and_undo_brings_it_back(away: Page) -> None:
    page, thumb = away, Thumb(away)
    now = page.evaluate("() => document.querySelector('crest-shell').household.when().at")
    left(page, title="Chair under the porch", kind="side-chair", later_at=now)
    line = row(page, "Chair under the porch")
    thumb.tap(line.get_by_role("button", name="Go back?"))
    page.get_by_label("It closes at").fill("00:01")
    thumb.button("It was gone")
    told(page, "Gone. Noted.")
    expect(line).to_have_count(0)
    assert "Chair under the porch" not in page.evaluate(TO_CHOOSE)
    assert {v["found"] for v in records(page, "visit")} == {True, False}
    page.locator("crest-toast").get_by_role("button", name="Undo").tap()
    expect(line).to_be_visible()
    assert "Chair under the porch" in page.evaluate(TO_CHOOSE)
