"""What a household writes down besides buying: lists, a return, labels, and a phone that goes."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect

from helpers import story
from helpers.at_the_sale import Thumb, card, told
from helpers.desk import DeskHome
from helpers.label_pages import pages_of, texts_on
from helpers.scanning import paired, piece, write

BLANK = 3


def test_a_household_keeps_its_lists_takes_a_piece_back_prints_labels_and_parts_with_a_phone(
    home: DeskHome, phone: BrowserContext, second_phone: BrowserContext, tmp_path: Path
) -> None:
    page, other = paired(phone, home), paired(second_phone, home)
    the_lists_are_filled(page)
    the_pad_says_who_waits(page)
    desk = story.one(page, "piece", title="Corner desk")["id"]
    a_piece_is_found_again(page, desk)
    a_sale_that_goes_later_comes_back_and_is_sold_again(page, desk)
    the_ledger_knows(page)
    every_label_can_be_read(page, home, desk, tmp_path)
    story.everything_home(page)
    a_removed_phone_keeps_its_unsent_work_and_hands_it_over(page, other, tmp_path)


def adds(page: Page, what: str, chosen: dict[str, str] | None = None, **typed: str) -> None:
    """A line of a list, through its sheet."""
    page.get_by_role("button", name=f"Add {what}", exact=True).tap()
    sheet = page.get_by_role("dialog")
    for label, value in typed.items():
        sheet.get_by_label(label, exact=True).fill(value)
    for label, value in (chosen or {}).items():
        sheet.get_by_label(label, exact=True).select_option(value)
    sheet.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_role("dialog")).to_have_count(0)


def the_lists_are_filled(page: Page) -> None:
    """Where things stand, what gets used up, who waits, what was there before, what was paid."""
    story.go(page, "household/places")
    adds(page, "a spot", Name="Garage left", **{"Room, litres": "900"})
    adds(page, "a supply", Name="Shellac", **{
        "Measured in": "ml", "Price of a pack": "12.50", "How much is in a pack": "473",
    })  # fmt: skip
    expect(page.get_by_role("button", name="Shellac")).to_contain_text("$12.50 for 473 ml")
    assert story.one(page, "spot", name="Garage left")["litres"] == 900
    assert story.one(page, "supply", name="Shellac")["milliunits"] == 473_000
    story.go(page, "household/wants")
    adds(page, "somebody who waits", {"Kind": "Desk"}, **{
        "First name": "Rosa", "Would pay up to": "160",
    })  # fmt: skip
    story.go(page, "household/opening")
    adds(page, "a piece you already had", {"Kind": "Desk"}, **{
        "What is it": "Corner desk", "What it cost": "40",
    })  # fmt: skip
    expect(page.get_by_role("button", name="Corner desk")).to_contain_text("cost $40")
    story.go(page, "ledger")
    adds(page, "an expense", {"What for": "Supplies"}, Amount="12.50", Note="Shellac")
    assert story.one(page, "expense")["amount"] == 1250


def the_pad_says_who_waits(page: Page) -> None:
    """Such a kind at a sale brings up the want."""
    story.go(page, "sale")
    thumb = Thumb(page)
    thumb.more("What is it?")
    page.get_by_role("dialog").locator("label.chip", has_text="Desk").first.tap()
    expect(page.get_by_text("Rosa is waiting for one")).to_be_visible()
    expect(card(page)).to_contain_text("$")


def a_piece_is_found_again(page: Page, desk: str) -> None:
    """By a word, and by where it stands."""
    write(page, piece("Cane chair"))
    story.go(page, f"pieces/{desk}")
    page.locator("piece-work").get_by_label("Stands in").select_option("Garage left")
    story.go(page, "pieces")
    rows = page.locator("screen-pieces a.row .row-title")
    expect(rows).to_have_count(2)
    page.get_by_label("Standing in").select_option("Garage left")
    expect(rows).to_have_text(["Corner desk"])
    page.get_by_label("Standing in").select_option("No spot said")
    expect(rows).to_have_text(["Cane chair"])
    page.get_by_label("Search").fill("corner")
    expect(rows).to_have_text(["Corner desk"])
    page.get_by_label("Search").fill("wardrobe")
    expect(page.get_by_text("Nothing by that name")).to_be_visible()


def sold(page: Page, price: str, left: str) -> None:
    """The sheet of a sale."""
    page.get_by_role("button", name="Sold", exact=True).tap()
    page.get_by_label("They pay", exact=True).fill(price)
    page.get_by_label("Fee", exact=True).fill("0")
    chip = page.get_by_role("dialog").locator("label.chip", has_text=left)
    story.surely(chip, chip.locator("input:checked"))
    said = page.locator("crest-toast", has_text=f"Sold for ${price}")
    story.surely(page.get_by_role("button", name="Save the sale"), said)


def a_sale_that_goes_later_comes_back_and_is_sold_again(page: Page, desk: str) -> None:
    """Paid, handed over, taken back with part of the money, and gone for good."""
    story.go(page, f"pieces/{desk}")
    facts = page.locator("piece-selling")
    sold(page, "90", "Paid, goes later")
    expect(facts).to_contain_text("not yet")
    page.get_by_role("button", name="Handed over", exact=True).tap()
    told(page, "Handed over.")
    expect(facts).not_to_contain_text("not yet")
    page.get_by_role("button", name="It came back").tap()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_label("Money given back")).to_have_value("90")
    sheet.get_by_label("Money given back").fill("85")
    sheet.get_by_role("button", name="Save", exact=True).tap()
    told(page, "The return is in the books.")
    sold(page, "70", "Handed over now")
    expect(page.get_by_role("region", name="The piece")).to_contain_text("Sold")
    expect(facts).to_contain_text("$70")


def the_ledger_knows(page: Page) -> None:
    """90 - 85 + 70 came in and 40 was the cost; the expense is earned by nothing yet."""
    story.go(page, "ledger")
    total = page.get_by_role("region", name="All in all")
    expect(total).to_contain_text("Cash")
    expect(total.locator(".card-number")).to_have_text("$22.50")  # 5 + 70 - 40 - 12.50


def every_label_can_be_read(page: Page, home: DeskHome, desk: str, folder: Path) -> None:
    """A sheet of blank tags and one for a piece, saved and decoded."""
    chair = story.one(page, "piece", title="Cane chair")["id"]
    story.go(page, "household/tags")
    page.get_by_role("spinbutton", name="Blank tags").fill(str(BLANK))
    page.get_by_role("spinbutton", name="Blank tags").press("Tab")
    for label in ("Cane chair", "A4"):
        chip = page.locator("label.chip", has_text=label)
        story.surely(chip, chip.locator("input:checked"))
    page.get_by_role("button", name=f"Make a sheet of {BLANK + 1} tags").tap()
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the sheet").tap()
    assert saved.value.suggested_filename == "crestrail-tags.pdf"
    read = texts_on(pages_of(saved.value.path().read_bytes(), folder))
    codes = [re.fullmatch(rf"{home.url}/t/([0-9A-Z]{{9}})", text) for text in read]
    assert len({found[1] for found in codes if found}) == BLANK + 1
    assert f"{home.url}/t/{story.one(page, 'tag', piece_id=chair)['code']}" in read


def a_removed_phone_keeps_its_unsent_work_and_hands_it_over(
    page: Page, other: Page, folder: Path
) -> None:
    """Renamed and removed from another phone, it says so; its work comes home as a file."""
    other.context.set_offline(True)
    write(other, piece("Only on the other phone"))
    story.go(page, "household/devices")
    line = page.locator("li.device", has_not_text="this one").filter(has_not_text="removed")
    line.get_by_role("button", name="Rename").tap()
    page.get_by_label("Name of this phone").fill("Old phone")
    page.get_by_role("button", name="Save the name").tap()
    page.locator("li.device", has_text="Old phone").get_by_role("button", name="Remove").tap()
    told(page, "Old phone is removed.")
    expect(page.locator("li.device", has_text="Old phone")).to_contain_text("removed")

    other.context.set_offline(False)
    other.evaluate("() => document.querySelector('crest-shell').household.syncNow()")
    expect(other.locator(".status-pill")).to_contain_text("Removed at home")
    assert story.unsent(other) == 1
    story.go(other, "household/sync")
    with other.expect_download() as saved:
        other.get_by_role("button", name="Save everything on this phone to a file").tap()
    file = folder / saved.value.suggested_filename
    saved.value.save_as(file)

    story.go(page, "household/sync")
    page.get_by_label("Bring a file home").set_input_files(file)
    told(page, "Took in 1 change and 0 photos.")
    story.everything_home(page)
    assert story.one(page, "piece", title="Only on the other phone")
