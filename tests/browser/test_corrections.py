"""What was written down wrong is put right: a price, a day, minutes; and trouble is said."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from helpers import story
from helpers.scanning import piece, write


def test_a_sale_of_another_day_and_a_wrong_price_are_put_right(page: Page) -> None:
    (id,) = write(page, piece("Oak side table"))
    story.go(page, f"pieces/{id}?do=sell")
    page.get_by_label("They pay", exact=True).fill("640")
    page.get_by_label("Fee", exact=True).fill("0")
    page.get_by_label("Day", exact=True).fill("2026-05-02")
    page.get_by_role("button", name="Save the sale").tap()
    expect(page.locator("crest-toast")).to_contain_text("Sold for $640")
    sale = story.one(page, "sale", piece_id=id)
    assert (sale["on"], sale["at"][:10]) == ("2026-05-02", "2026-05-02")

    page.get_by_text("Put money or minutes right").tap()
    page.get_by_role("button", name="Sold for $640").tap()
    page.get_by_role("dialog").get_by_label("Price").fill("64")
    page.get_by_role("dialog").get_by_label("Day", exact=True).fill("2026-04-30")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.locator("crest-toast")).to_contain_text("Put right")
    corrected = story.one(page, "sale", piece_id=id)
    assert (corrected["price"], corrected["on"]) == (6400, "2026-04-30")
    assert corrected["receipt"] == sale["receipt"]


def test_a_voided_sale_is_out_of_the_books_and_keeps_its_number(page: Page) -> None:
    (id,) = write(page, piece("Pine stool"))
    story.go(page, f"pieces/{id}?do=sell")
    page.get_by_label("They pay", exact=True).fill("30")
    page.get_by_role("button", name="Save the sale").tap()
    expect(page.locator("crest-toast")).to_contain_text("Sold for $30")
    number = story.one(page, "sale", piece_id=id)["receipt"]
    page.get_by_text("Put money or minutes right").tap()
    page.get_by_role("button", name="Sold for $30").tap()
    page.get_by_role("button", name="Void this sale").tap()
    expect(page.locator("crest-toast")).to_contain_text("A receipt keeps its number")
    page.get_by_role("button", name="Sold", exact=True).tap()
    page.get_by_label("They pay", exact=True).fill("28")
    page.get_by_role("button", name="Save the sale").tap()
    expect(page.locator("crest-toast")).to_contain_text("Sold for $28")
    assert int(story.one(page, "sale", piece_id=id)["receipt"][-4:]) == int(number[-4:]) + 1


def test_a_deposit_is_held_for_the_buyer_until_the_sale(page: Page) -> None:
    (id,) = write(page, piece("Tall mirror"))
    story.go(page, f"pieces/{id}")
    page.get_by_role("button", name="Deposit").tap()
    page.get_by_label("Amount").fill("20")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.locator("crest-toast")).to_contain_text("in the books")
    story.go(page, "ledger")
    card = page.get_by_role("region", name="All in all")
    expect(card).to_contain_text("Deposits held for buyers")


def test_trouble_that_no_screen_caught_is_said(page: Page) -> None:
    story.go(page, "pieces")
    page.evaluate(
        """() => void document.querySelector('crest-shell').household
          .write([{ type: 'spot', fields: { name: 7 } }])"""
    )
    expect(page.locator("crest-toast")).to_contain_text("That did not work")


def test_a_piece_is_kept_and_comes_back_into_stock(page: Page) -> None:
    (id,) = write(page, piece("Round hall mirror"))
    story.go(page, f"pieces/{id}")
    page.get_by_label("Leaves without a sale").select_option("kept")
    expect(page.get_by_role("region", name="The piece")).to_contain_text("Kept")
    page.get_by_label("Leaves without a sale").select_option("")
    expect(page.get_by_role("region", name="The piece")).to_contain_text("Bought")
    page.get_by_label("Leaves without a sale").select_option("given")
    expect(page.get_by_role("region", name="The piece")).to_contain_text("Let go")
    found = story.one(page, "piece", id=id)
    assert (found["kept_at"], found["let_go_how"]) == (None, "given")
