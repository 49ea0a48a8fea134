"""What a person types where finds are chosen and loaded: read rightly, kept, said when wrong."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from helpers import browser as browsers
from helpers.at_the_sale import Thumb, later, records, told, write
from helpers.story import go

pytest_plugins = ["helpers.at_the_sale_fixtures"]

CAR = ("Length of the hold", "Width of the hold", "Height of the hold", "Width of the opening")


@pytest.fixture
def choice(sale: tuple[Page, Thumb]) -> tuple[Page, Locator]:
    """Two finds to choose from, and the card with the choice."""
    page, _ = sale
    for piece in records(page, "piece"):
        write(page, {"type": "piece", "id": piece["id"], "fields": {"deleted": True}})
    later(
        page,
        {"title": "Tall stool", "likely": 15000, "ask": 2500},
        {"title": "Low stool", "likely": 16000, "ask": 3000},
    )
    page.evaluate("() => document.querySelector('crest-shell').household.saveDraft('choose', null)")
    go(page, "choose")
    card = page.get_by_role("region", name="What to buy")
    expect(card).to_contain_text("2 of 2")
    return page, card


def test_a_comma_groups_thousands_and_what_is_no_number_is_said_and_left_out(
    choice: tuple[Page, Locator],
) -> None:
    page, card = choice
    room = page.get_by_label("Room left in the car, litres")
    room.fill("1,000")
    expect(card).to_contain_text("2 of 2")
    room.fill("some")
    expect(page.get_by_text("Litres are a number such as 350.")).to_be_visible()
    expect(card).to_contain_text("Found without the limit that cannot be read.")
    hours = page.get_by_label("Hours of work left")
    for text in ("-5", "1e5", "0x10", "1:30"):
        hours.fill(text)
        expect(page.get_by_text("Hours are a number such as 3.5.")).to_be_visible()
    assert browsers.barriers(page) == []
    hours.fill("0")
    expect(card.get_by_role("status")).to_have_text("None of them fits what you have.")


def test_with_no_find_ticked_it_says_what_to_do(choice: tuple[Page, Locator]) -> None:
    page, _ = choice
    for name in ("Tall stool", "Low stool"):
        page.get_by_role("checkbox", name=name).uncheck()
    expect(page.get_by_text("No find is ticked")).to_be_visible()


def test_few_own_sales_are_called_a_guess_and_what_is_worth_nothing_says_why(
    choice: tuple[Page, Locator],
) -> None:
    page, card = choice
    expect(card.get_by_text("guess", exact=True)).to_be_visible()
    later(page, {"title": "Cheap stool", "likely": 500, "ask": 100})
    leave = page.locator("section", has=page.get_by_role("heading", name="Leave"))
    expect(leave).to_contain_text(re.compile("pay for your time|costs more than"))


def test_of_too_many_finds_it_says_how_many_to_untick(choice: tuple[Page, Locator]) -> None:
    page, card = choice
    later(page, *({"title": f"Stool {i}", "likely": 9000, "ask": 500} for i in range(25)))
    expect(page.get_by_text("Untick 2 of the 27 below.")).to_be_visible()
    for name in ("Tall stool", "Low stool"):
        page.get_by_role("checkbox", name=name).uncheck()
    expect(card).to_contain_text("of 25")


def test_what_was_typed_and_ticked_is_there_again_and_what_was_bought_is_taken_off(
    choice: tuple[Page, Locator],
) -> None:
    page, card = choice
    page.get_by_label("Cash left").fill("90")
    page.get_by_label("Hours of work left").fill("40")
    page.get_by_role("group", name="Low stool").get_by_label("Price").fill("20")
    page.get_by_role("checkbox", name="Tall stool").uncheck()
    go(page, "pieces")
    go(page, "choose")
    expect(page.get_by_label("Cash left")).to_have_value("90")
    expect(card).to_contain_text("1 of 1")
    expect(card).to_contain_text("$20")
    page.get_by_role("button", name="Bought at this price").tap()
    told(page, "1 piece bought.")
    expect(page.get_by_label("Cash left")).to_have_value("70")
    assert 30 < float(page.get_by_label("Hours of work left").input_value()) < 40
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_label("Cash left")).to_have_value("90")
    expect(page.get_by_label("Hours of work left")).to_have_value("40")


def test_the_workings_of_a_choice_add_up_to_the_cent(choice: tuple[Page, Locator]) -> None:
    page, card = choice
    card.get_by_text("Workings").tap()
    tables = [
        [cents(cell) for cell in table.locator("td").all_inner_texts()]
        for table in card.locator("table").all()
    ]
    assert len(tables) == 3
    assert all(clear + time == profit for clear, time, profit in tables)
    *each, together = tables
    assert [sum(column) for column in zip(*each, strict=True)] == together
    assert browsers.barriers(page) == []


def cents(text: str) -> int:
    """An amount to the cent as it is shown."""
    return round(float(text.replace("−", "-").replace("$", "").replace(",", "")) * 100)


def test_the_cars_measures_stay_open_while_the_last_one_is_typed(
    choice: tuple[Page, Locator],
) -> None:
    page, _ = choice
    go(page, "load")
    for label in CAR:
        page.get_by_label(label).fill("50")
    last = page.get_by_label("Height of the opening")
    last.focus()
    last.press_sequentially("30")
    expect(last).to_have_value("30")
    expect(last).to_be_focused()
    last.fill("3o")
    expect(page.get_by_text("One measure cannot be read")).to_be_visible()
    last.fill("30")
    page.get_by_label("Length of the hold").fill("5")
    stool = page.get_by_role("group", name="stool").first
    for side in ("Width", "Depth", "Height"):
        stool.get_by_label(side, exact=True).fill("20")
    card = page.get_by_role("region", name="Does it go in")
    expect(card).to_contain_text("is larger than the hold")
