"""From what to ask to the sale, with the home computer gone: plan, drop, offer, sold."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from helpers import browser as browsers
from helpers import story
from helpers.desk import Desk, furnished
from helpers.scanning import paired, piece, write

ALL = "([type, id]) => document.querySelector('crest-shell').household.where(type, 'piece_id', id)"
SHIFT = """async ([id, on]) => {
  const { household } = document.querySelector('crest-shell');
  await household.write([{ type: 'asking_price', id, fields: {
    from_on: on, at: new Date(household.now() - 60000).toISOString() } }]);
}"""


@pytest.fixture(scope="module")
def page(desk: Desk, chromium: Browser) -> Iterator[Page]:
    """A phone that was paired and has no network any more."""
    with browsers.phone(chromium) as phone:
        page = paired(phone, furnished(desk))
        page.wait_for_function("() => document.querySelector('crest-shell').household.book")
        story.settled_offline(page)
        phone.set_offline(True)
        yield page


def facts(page: Page, type_name: str, id: str) -> list[dict[str, Any]]:
    """The facts of a type about a piece."""
    found: list[dict[str, Any]] = page.evaluate(ALL, [type_name, id])
    return found


def today(page: Page) -> date:
    """The household's day."""
    return date.fromisoformat(
        page.evaluate("() => document.querySelector('crest-shell').household.today()")
    )


def said(page: Page, text: str) -> None:
    """What the toast says."""
    expect(page.locator("crest-toast")).to_contain_text(text)


def test_several_planned_prices_that_are_due_are_one_line_that_opens(page: Page) -> None:
    days = [(today(page) - timedelta(days=ago)).isoformat() for ago in (9, 0)]
    at = [f"{day}T00:00:00.000Z" for day in days]
    pieces = write(page, piece("Desk"), piece("Stool"))
    prices = [(9000, False), (8000, True)]
    write(page, *[
        {"type": "asking_price", "piece_id": id, "amount": amount, "planned": planned,
         "from_on": day, "at": when}
        for id in pieces for (amount, planned), day, when in zip(prices, days, at, strict=True)
    ])  # fmt: skip
    story.go(page, "pieces")
    line = page.get_by_text("2 planned prices due")
    made = page.get_by_role("button", name="Asked $80 from today")
    expect(made).to_have_count(0)
    line.tap()
    expect(made).to_have_count(2)
    assert browsers.barriers(page) == []
    made.first.tap()
    said(page, "Asking $80")
    expect(line).to_have_count(0)
    page.get_by_role("button", name="Leave it at").tap()
    said(page, "stays as it is")
    expect(page.locator("drop-due .notice")).to_have_count(0)


def test_a_piece_is_listed_by_plan_dropped_bargained_over_and_sold(page: Page) -> None:
    (id,) = write(page, piece("Oak side table"))
    story.go(page, f"pieces/{id}?do=list")
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_role("region", name="What to ask")).to_contain_text("in 10")
    assert sheet.locator("tbody tr").count() > 2
    sheet.get_by_role("button", name="drop by plan").tap()
    said(page, "next drop")
    prices = sorted(facts(page, "asking_price", id), key=lambda price: price["from_on"])
    assert [price["planned"] for price in prices] == [False] + [True] * (len(prices) - 1)
    amounts = [price["amount"] for price in prices]
    assert amounts == sorted(amounts, reverse=True)
    assert all(amount % 500 == 0 for amount in amounts)
    (frozen,) = facts(page, "prediction", id)
    assert (frozen["for_what"], frozen["answer"]["ok"]) == ("asking", True)
    assert frozen["book"]
    assert [step["list"] for step in frozen["answer"]["plan"]["steps"]] == amounts

    page.evaluate(SHIFT, [prices[1]["id"], today(page).isoformat()])
    story.go(page, "pieces")
    page.get_by_role("button", name="Leave it at").tap()
    said(page, "stays as it is")
    page.get_by_role("button", name="Undo").tap()
    page.get_by_role("button", name="from today").tap()
    said(page, "from today")
    expect(page.locator("drop-due .notice")).to_have_count(0)
    dropped = story.one(page, "asking_price", id=prices[1]["id"])
    assert (dropped["planned"], dropped["from_on"]) == (False, today(page).isoformat())

    story.go(page, f"pieces/{id}")
    expect(page.get_by_text("Listed at")).to_contain_text(f"${amounts[1] // 100}")
    page.get_by_role("button", name="An offer").tap()
    page.get_by_label("They offer").fill(str(amounts[1] // 200))
    page.get_by_role("button", name="Save", exact=True).tap()
    advice = page.get_by_role("region", name="What to say")
    expect(advice).to_contain_text("waiting about")
    page.get_by_label("Say another amount").fill("41")
    page.get_by_role("button", name="Say $41").tap()
    said(page, "You said $41")
    page.get_by_role("button", name="What to say").tap()
    page.get_by_role("button", name="They agreed to $41").tap()
    expect(page.get_by_label("They pay", exact=True)).to_have_value("41")
    twice = "button => { button.click(); button.click(); }"
    page.get_by_role("button", name="Save the sale").evaluate(twice)
    said(page, "Sold for $41")
    (offer,) = facts(page, "offer", id)
    assert (offer["answer"], offer["counter"]) == ("taken", 4100)
    kinds = [prediction["for_what"] for prediction in facts(page, "prediction", id)]
    assert sorted(kinds) == ["asking", "offer", "offer"]
    assert [sale["price"] for sale in facts(page, "sale", id)] == [4100]


def test_a_price_of_ones_own_is_weighed_and_wrong_days_are_said(page: Page) -> None:
    (id,) = write(page, piece("Pine side table"))
    story.go(page, f"pieces/{id}?do=list")
    sheet = page.get_by_role("dialog")
    sheet.get_by_label("Asking price", exact=True).fill("500")
    expect(sheet.get_by_text("At $500 without drops")).to_contain_text("less than the plan")
    sheet.get_by_label("Chance to be sold by", exact=True).fill("2020-01-01")
    expect(sheet.get_by_text("The day you name")).to_contain_text("after the plan begins")
    expect(sheet.get_by_role("region", name="What to ask")).to_be_visible()
    later = (today(page) + timedelta(days=20)).isoformat()
    sheet.get_by_label("Chance to be sold by", exact=True).fill(later)
    expect(sheet.get_by_text("Sold by", exact=False).last).to_be_visible()
    sheet.get_by_label("Asking price", exact=True).fill("")
    sheet.get_by_role("button", name="Save", exact=True).tap()
    expect(sheet.get_by_text("What do you ask?")).to_be_visible()
    sheet.get_by_label("Asking price", exact=True).fill("0")
    sheet.get_by_role("button", name="Save", exact=True).tap()
    expect(sheet.get_by_text("Ask more than nothing")).to_be_visible()
    sheet.get_by_label("Asking price", exact=True).fill("45")
    for on, said_of_it in (("0001-01-01", "years back"), ("9999-12-31", "years ahead")):
        sheet.get_by_label("From", exact=True).fill(on)
        expect(sheet.get_by_text(said_of_it)).to_be_visible()
        sheet.get_by_role("button", name="Save", exact=True).tap()
    assert browsers.barriers(page) == []
    assert facts(page, "asking_price", id) == []


def test_the_workings_of_the_plan_and_of_an_offer_add_up_to_the_cent(page: Page) -> None:
    (id,) = write(page, piece("Ash side table"))
    story.go(page, f"pieces/{id}?do=list")
    sheet = page.get_by_role("dialog")
    sheet.get_by_text("Workings").tap()
    add_up(sheet, 1)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="An offer").tap()
    page.get_by_label("They offer").fill("30")
    page.get_by_role("button", name="Save", exact=True).tap()
    sheet.get_by_text("Workings").tap()
    add_up(sheet, 3)
    assert browsers.barriers(page) == []


def add_up(sheet: Locator, tables: int) -> None:
    """Every table of workings in the sheet sums to its last row."""
    found = sheet.locator("table.waterfall").all()
    assert len(found) == tables
    for table in found:
        *parts, worth = [cents(text) for text in table.locator("td").all_inner_texts()]
        assert sum(parts) == worth


def cents(text: str) -> int:
    """An amount as it is shown."""
    return round(float(re.sub(r"[$,+]", "", text.replace("−", "-"))) * 100)


def test_nothing_is_no_offer_and_an_answer_lies_between_offer_and_ask(page: Page) -> None:
    (id,) = write(page, piece("Beech side table"))
    asked = {"type": "asking_price", "piece_id": id, "at": "2026-01-05T10:00:00.000Z"}
    write(page, asked | {"amount": 7000, "from_on": "2026-01-05"})
    story.go(page, f"pieces/{id}")
    page.get_by_role("button", name="An offer").tap()
    page.get_by_label("They offer").fill("0")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_text("More than nothing")).to_be_visible()
    assert facts(page, "offer", id) == []
    page.get_by_label("They offer").fill("40")
    page.get_by_role("button", name="Save", exact=True).tap()
    counter = page.get_by_label("Say another amount")
    say = page.get_by_role("button", name="Say it")
    counter.fill("40")
    expect(page.get_by_text("They offer $40: say more than that, or take it.")).to_be_visible()
    expect(say).to_be_disabled()
    counter.fill("71")
    expect(page.get_by_text("You ask $70: say that or less.")).to_be_visible()
    expect(say).to_be_disabled()
    assert browsers.barriers(page) == []
    counter.fill("55")
    expect(page.get_by_role("button", name="Say $55")).to_be_enabled()


def test_an_offer_is_taken_and_promised_and_the_plan_given_up(page: Page) -> None:
    (id,) = write(page, piece("Elm side table"))
    later = (today(page) + timedelta(days=9)).isoformat()
    asked = {"type": "asking_price", "piece_id": id, "at": "2026-01-05T10:00:00.000Z"}
    write(
        page,
        asked | {"amount": 7000, "from_on": "2026-01-05"},
        asked | {"amount": 6000, "from_on": later, "planned": True},
    )
    story.go(page, f"pieces/{id}")
    expect(page.get_by_text("Then $60 from")).to_be_visible()
    page.get_by_role("button", name="An offer").tap()
    page.get_by_label("They offer").fill("68")
    page.get_by_role("button", name="Save", exact=True).tap()
    page.get_by_role("button", name="Take it, promise it").tap()
    expect(page.get_by_label("Terms")).to_have_value("Agreed on $68.")
    until = page.get_by_label("Until the evening of")
    usual = until.input_value()
    for day in ("2020-01-01", ""):
        until.fill(day)
        page.get_by_role("button", name="Save", exact=True).tap()
        expect(page.get_by_text("A day from today on")).to_be_visible()
    assert facts(page, "hold", id) == []
    until.fill(usual)
    page.get_by_role("button", name="Save", exact=True).tap()
    said(page, "on hold")
    page.get_by_role("button", name="Give up the plan").tap()
    said(page, "given up")
    assert [price["amount"] for price in facts(page, "asking_price", id)] == [7000]
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_text("Then $60 from")).to_be_visible()


def test_a_piece_of_no_kind_is_told_what_is_missing(page: Page) -> None:
    (id,) = write(page, piece("Something odd", kind=None))
    story.go(page, f"pieces/{id}?do=list")
    expect(page.get_by_text("Say what kind of piece it is first.")).to_be_visible()
    page.get_by_label("Asking price", exact=True).fill("20")
    page.get_by_role("button", name="Save", exact=True).tap()
    said(page, "The asking price is set.")
    assert facts(page, "prediction", id) == []


def test_with_large_text_no_word_or_amount_is_broken_in_two(page: Page) -> None:
    (id,) = write(page, piece("Plum side table"))
    story.go(page, f"pieces/{id}")
    page.evaluate("() => document.documentElement.style.setProperty('font-size', '200%')")
    page.get_by_role("button", name="An offer").tap()
    page.get_by_label("They offer").fill("30")
    page.get_by_role("button", name="Save", exact=True).tap()
    said(page, "written down")
    page.get_by_role("dialog").get_by_text("Workings").tap()
    assert page.evaluate(BROKEN, ".toast-text, dialog .table th, dialog .facts dd") == []
    page.evaluate("() => document.documentElement.style.removeProperty('font-size')")
    page.keyboard.press("Escape")


BROKEN = """(where) => [...document.querySelectorAll(where)].flatMap((box) => {
  const walker = document.createTreeWalker(box, NodeFilter.SHOW_TEXT);
  const broken = [];
  while (walker.nextNode()) {
    for (const word of walker.currentNode.data.matchAll(/\\S+/g)) {
      const range = document.createRange();
      range.setStart(walker.currentNode, word.index);
      range.setEnd(walker.currentNode, word.index + word[0].length);
      if (range.getClientRects().length > 1) broken.push(word[0]);
    }
  }
  return broken;
})"""
