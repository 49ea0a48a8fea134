"""Finds that are hardly known, found again, or compared with what was sold."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from helpers import story
from helpers.at_the_sale import HouseholdPhone, Thumb, records, told, write

pytest_plugins = ["helpers.at_the_sale_fixtures"]


def the_piece(page: Page, **wanted: str) -> dict[str, Any]:
    """The one piece with these values."""
    (found,) = [p for p in records(page, "piece") if all(p.get(k) == v for k, v in wanted.items())]
    return found


@pytest.mark.parametrize("button", ["Pass", "Later"])
def test_nothing_is_kept_when_nothing_was_looked_at(sale: tuple[Page, Thumb], button: str) -> None:
    page, thumb = sale
    before = len(records(page, "piece"))
    thumb.button(button)
    told(page, "Nothing to keep yet")
    assert len(records(page, "piece")) == before


def test_a_find_of_which_only_the_name_is_known_is_kept_once_without_a_prediction(
    sale: tuple[Page, Thumb],
) -> None:
    page, _ = sale
    page.locator("#title").evaluate("field => (field.closest('details').open = true)")
    page.locator("#title").fill("Odd trunk by the shed")
    twice = "button => { button.click(); button.click(); }"
    page.get_by_role("button", name="Later", exact=True).evaluate(twice)
    told(page, "Left for later.")
    piece = the_piece(page, title="Odd trunk by the shed")
    assert piece["later_at"]
    assert piece.get("kind") is None
    assert [p for p in records(page, "prediction") if p["piece_id"] == piece["id"]] == []


@pytest.mark.parametrize("left", [False, True], ids=["still there", "gone elsewhere and back"])
def test_undo_leaves_a_find_begun_meanwhile_on_the_pad_and_says_where_the_other_one_is(
    sale: tuple[Page, Thumb], left: bool
) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Bench")
    thumb.chip("Looks", "Walnut")
    thumb.ask("47")
    thumb.button("Bought")
    thumb.button("Save as bought")
    told(page, "Bought.")
    purchases = len(records(page, "purchase"))
    if left:
        story.go(page, "pieces")
        story.go(page, "sale")
    thumb.chip("What is it?", "Armchair")
    thumb.button("Undo")
    told(page, "left for later")
    expect(page.get_by_role("radio", name="Armchair")).to_be_checked()
    assert len(records(page, "purchase")) == purchases - 1
    row = page.locator(".sale-again .row", has_text="they asked $47").first
    expect(row).to_contain_text("later")
    page.reload()
    expect(page.get_by_role("radio", name="Armchair")).to_be_checked()
    thumb.tap(row.get_by_role("button", name="Bring back"))
    expect(page.get_by_role("checkbox", name="Walnut")).to_be_checked()


def test_the_kinds_keep_their_places_until_the_day_is_over(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    chips = page.get_by_role("group", name="What is it?", exact=True).locator("label.chip")
    before = chips.all_inner_texts()
    for _ in range(2):
        thumb.chip("What is it?", before[-1])
        thumb.button("Pass")
        told(page, "Passed.")
        expect(page.get_by_role("radio", checked=True)).to_have_count(0)
        assert chips.all_inner_texts() == before
    slug = records(page, "piece")[-1]["kind"]
    past = {"kind": slug, "at": "2026-01-02T10:00:00.000Z", "on": "2026-01-02"}
    write(page, *[{"type": "piece", "fields": past}] * 9)
    expect(chips.first).to_have_text(before[-1])


def test_a_find_begun_is_left_for_later_when_others_are_brought_back(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    for kind, ask in (("Bench", "53"), ("Stool", "59")):
        thumb.chip("What is it?", kind)
        thumb.ask(ask)
        thumb.button("Pass")
        told(page, "Passed.")
    rows = page.locator(".sale-again .row")
    passed = [rows.filter(has_text=f"they asked ${ask}") for ask in ("53", "59")]
    thumb.chip("What is it?", "Armchair")
    thumb.ask("61")
    before = len(records(page, "piece"))
    thumb.tap(passed[0].get_by_role("button", name="Bring back"))
    told(page, "left for later")
    expect(page.get_by_role("radio", name="Bench")).to_be_checked()
    thumb.tap(passed[1].get_by_role("button", name="Bring back"))
    expect(page.get_by_role("radio", name="Stool")).to_be_checked()
    expect(rows.filter(has_text="they asked $61")).to_contain_text("later")
    expect(passed[0]).to_contain_text("passed"), "it was only looked at"
    assert len(records(page, "piece")) == before + 1
    thumb.button("Undo")
    expect(page.get_by_role("radio", name="Armchair")).to_be_checked()
    assert len(records(page, "piece")) == before


def test_undo_from_another_screen_gives_the_find_back_to_the_pad(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Stool")
    thumb.button("Pass")
    told(page, "Passed.")
    story.go(page, "pieces")
    thumb.button("Undo")
    expect(page.locator("crest-toast .toast")).to_have_count(0)
    story.go(page, "sale")
    expect(page.get_by_role("radio", name="Stool")).to_be_checked()


def test_the_page_of_a_find_leads_back_to_the_pad_with_all_that_was_said_of_it(
    sale: tuple[Page, Thumb], sale_home: HouseholdPhone
) -> None:
    page, thumb = sale
    (id,) = write(page, {"type": "piece", "now": True, "fields": {
        "kind": "bench", "traits": ["oak"], "ask": 1700, "count": 2,
    }})  # fmt: skip
    page.goto(f"{sale_home.server.url}/#/pieces/{id}")
    thumb.tap(page.get_by_role("link", name="Price this find"))
    expect(page.get_by_label("They ask")).to_have_value("17")
    expect(page.get_by_role("radio", name="Bench")).to_be_checked()
    expect(page.get_by_role("checkbox", name="Oak")).to_be_checked()
    assert page.url.endswith("#/sale"), "a reload keeps what is typed from now on"
    thumb.button("Pass")
    told(page, "Passed.")
    assert the_piece(page, id=id)["passed_at"]


def test_only_the_sale_that_counts_of_a_piece_is_compared(sale: tuple[Page, Thumb]) -> None:
    page, _ = sale
    ids = write(page, *[{"type": "piece", "now": True, "fields": {"kind": "stool"}}] * 2)
    kept, back = ids
    at = {"at": "2026-01-02T10:00:00.000Z", "on": "2026-01-02"}
    later = {"at": "2026-01-03T10:00:00.000Z", "on": "2026-01-03"}
    first, second, returned = write(
        page,
        {"type": "sale", "fields": {**at, "piece_id": kept, "price": 4100}},
        {"type": "sale", "fields": {**later, "piece_id": kept, "price": 4200}},
        {"type": "sale", "fields": {**at, "piece_id": back, "price": 4300}},
    )
    write(page, {"type": "return", "now": True, "fields": {
        "sale_id": returned, "refund": 4300, "back_in_stock": True,
    }})  # fmt: skip
    compared: list[str] = page.evaluate(OWN_SALES)
    assert first in compared
    assert second not in compared, "the second of two is in question"
    assert returned not in compared, "it came back"


OWN_SALES = """async () => {
  const { ownSales } = await import('/js/screens/at-the-sale-workings.js');
  return ownSales(document.querySelector('crest-shell').household).map((sale) => sale.id);
}"""
