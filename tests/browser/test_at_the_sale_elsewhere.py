"""What similar pieces are asked or brought elsewhere, noted from the pad."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from helpers import browser as browsers
from helpers.at_the_sale import HouseholdPhone, Thumb, records, told

pytest_plugins = ["helpers.at_the_sale_fixtures"]

SYNC = "() => document.querySelector('crest-shell').household.syncNow()"


def opened_note(page: Page, thumb: Thumb) -> Locator:
    """The sheet of what was seen elsewhere, over the workings."""
    page.locator(".sale-form").evaluate("form => form.scrollTo(0, 0)")
    thumb.button("Workings")
    thumb.button("I saw one elsewhere")
    return page.get_by_role("dialog", name="Seen elsewhere")


def test_one_seen_elsewhere_is_noted_as_such_and_comes_back_in_the_book(
    sale: tuple[Page, Thumb], sale_home: HouseholdPhone
) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Bench")
    thumb.chip("Looks", "Oak")
    note = opened_note(page, thumb)
    workings = page.get_by_role("dialog", name="Workings")
    expect(note.get_by_label("What was it?")).to_have_value("bench")
    expect(note.get_by_role("checkbox", name="Oak")).to_be_checked()
    assert browsers.axe_violations(page) == []
    thumb.tap(note.locator("label.chip", has_text="Sold for"))
    note.get_by_label("Where").fill("The shop by the bridge")
    thumb.tap(note.get_by_label("Amount"))
    thumb.keys("320")
    thumb.tap(note.get_by_role("button", name="Save the note"))
    told(page, "Noted.")

    (seen,) = records(page, "seen_elsewhere")
    assert (seen["kind"], seen["traits"], seen["count"]) == ("bench", ["oak"], 1)
    assert (seen["amount"], seen["sold"]) == (32_000, True)
    assert seen["where"] == "The shop by the bridge"
    section = workings.locator("section", has_text="Seen elsewhere")
    expect(section).to_contain_text("1 of this kind, counted apart from your own sales")
    expect(section).to_contain_text("said to have brought, The shop by the bridge")
    expect(section).to_contain_text("$320")
    expect(workings).to_contain_text("None near enough yet.")
    assert records(page, "sale") == []

    page.evaluate(SYNC)
    book = page.request.get(f"{sale_home.server.url}/api/price-book").json()
    counts = book["counts"]
    assert (counts["seen_elsewhere"], counts["sales"], counts["kinds"]) == (1, 0, {})

    thumb.tap(workings.get_by_role("button", name="Undo"))
    page.wait_for_function(
        "() => !document.querySelector('crest-shell').household.all('seen_elsewhere').length"
    )
    thumb.tap(workings.get_by_role("button", name="Close"))
    expect(page.locator(".shell-toast crest-toast")).to_have_count(1)


def test_a_note_without_an_amount_asks_for_it_and_keeps_the_rest(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Bench")
    note = opened_note(page, thumb)
    note.get_by_label("Where").fill("A barn")
    thumb.tap(note.get_by_role("button", name="Save the note"))
    expect(note.get_by_text("Put in what it was asked at")).to_be_visible()
    expect(note.get_by_label("Amount")).to_have_attribute("aria-invalid", "true")
    expect(note.get_by_label("Where")).to_have_value("A barn")
    assert records(page, "seen_elsewhere") == []


def test_what_is_seen_of_another_kind_is_noted_there(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Bench")
    note = opened_note(page, thumb)
    note.get_by_label("What was it?").select_option(label="Stool")
    note.get_by_label("Amount").fill("45")
    thumb.tap(note.get_by_role("button", name="Save the note"))
    told(page, "Noted.")
    (seen,) = records(page, "seen_elsewhere")
    assert (seen["kind"], seen.get("sold")) == ("stool", False)
    expect(page.get_by_role("dialog", name="Workings")).to_contain_text(
        "None of this kind noted yet."
    )
