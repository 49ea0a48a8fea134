"""Two phones that were apart: nothing is lost, and a person decides what doesn't fit."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from helpers import browser as browsers
from helpers import story
from helpers.desk import DeskHome
from helpers.scanning import paired, piece, write


@pytest.fixture
def phones(home: DeskHome, chromium: Browser) -> Iterator[tuple[Page, Page]]:
    """Two phones of one household, both home and fit for work without a network."""
    with browsers.phone(chromium) as one, browsers.phone(chromium) as two:
        pages = paired(one, home), paired(two, home)
        for page in pages:
            story.settled_offline(page)
        yield pages


NOW = "() => document.querySelector('crest-shell').household.now().getTime()"
LATER = "past => document.querySelector('crest-shell').household.now().getTime() > past"


@contextmanager
def apart(*pages: Page) -> Iterator[None]:
    """No network while it lasts; then both come home, the first one once more."""
    for page in pages:
        page.context.set_offline(True)
    yield
    for page in pages:
        page.context.set_offline(False)
    for page in (*pages, *pages):
        story.everything_home(page)


def known_to_both(phones: tuple[Page, Page], **fields: object) -> str:
    """A piece in stock that both phones have."""
    first, second = phones
    (id,) = write(first, piece("Oak side table", **fields))
    story.everything_home(first)
    story.everything_home(second)
    return id


def edit(page: Page, id: str, **fields: Any) -> None:
    """Change a piece as its form does."""
    page.evaluate(
        "([id, fields]) => document.querySelector('crest-shell').household"
        ".write([{ type: 'piece', id, fields }])",
        [id, fields],
    )


def test_different_fields_of_one_piece_both_survive(phones: tuple[Page, Page]) -> None:
    id = known_to_both(phones)
    first, second = phones
    with apart(*phones):
        edit(first, id, title="Oak table with a drawer")
        edit(second, id, note="Left leg is loose")
    for page in phones:
        found = story.one(page, "piece", id=id)
        assert (found["title"], found["note"]) == ("Oak table with a drawer", "Left leg is loose")
        story.go(page, "household/looks")
        expect(page.get_by_text("Nothing needs settling")).to_be_visible()


def test_of_one_field_the_later_stands_and_the_other_can_be_taken(
    phones: tuple[Page, Page],
) -> None:
    id = known_to_both(phones)
    first, second = phones
    with apart(*phones):
        edit(first, id, title="Oak table")
        second.wait_for_function(LATER, arg=first.evaluate(NOW))
        edit(second, id, title="Ash table")
    for page in phones:
        assert story.one(page, "piece", id=id)["title"] == "Ash table"
        story.go(page, "household/looks")
        expect(page.locator("article")).to_contain_text("Ash table")
        expect(page.locator("article")).to_contain_text("Oak table")
    story.go(first, f"pieces/{id}")
    first.get_by_text("Every change, and what was overruled").tap()
    first.get_by_role("button", name="Ask home").tap()
    expect(first.locator("piece-history")).to_contain_text("title: Oak table")
    story.go(first, "household/looks")
    first.get_by_role("button", name="Take the other").tap()
    story.everything_home(first)
    story.everything_home(second)
    for page in phones:
        assert story.one(page, "piece", id=id)["title"] == "Oak table"
        story.go(page, "household/looks")
        expect(page.get_by_text("Nothing needs settling")).to_be_visible()


def test_what_is_typed_about_a_piece_that_the_other_deletes_stays_and_brings_it_back(
    phones: tuple[Page, Page],
) -> None:
    id = known_to_both(phones)
    first, second = phones
    story.go(first, f"pieces/{id}")
    first.get_by_role("button", name="Change what is written").tap()
    note = first.get_by_label("Note", exact=True)
    note.fill("The drawer sticks")
    edit(second, id, deleted=True)
    for page in (second, first):
        story.everything_home(page)
    expect(first.get_by_text("This piece was deleted meanwhile")).to_be_visible()
    expect(note).to_have_value("The drawer sticks")
    first.get_by_role("button", name="Save", exact=True).tap()
    expect(first.locator("crest-toast")).to_contain_text("Saved")
    story.everything_home(first)
    story.go(first, "household/looks")
    first.get_by_role("button", name="Bring it back").tap()
    expect(first.locator("crest-toast")).to_contain_text("Settled")
    assert story.one(first, "piece", id=id)["note"] == "The drawer sticks"


def test_a_piece_that_both_sold_is_flagged_and_not_summed(phones: tuple[Page, Page]) -> None:
    id = known_to_both(phones)
    first, second = phones
    with apart(*phones):
        for page, price in ((first, "50"), (second, "70")):
            story.go(page, f"pieces/{id}?do=sell")
            page.get_by_label("They pay", exact=True).fill(price)
            page.get_by_label("Fee", exact=True).fill("0")
            page.get_by_role("button", name="Save the sale").tap()
            expect(page.locator("crest-toast")).to_contain_text(f"Sold for ${price}")
    for page in phones:
        story.go(page, "ledger")
        card = page.get_by_role("region", name="All in all")
        expect(card.locator(".card-number")).to_have_text("$30")  # 50 less the 20 it cost
        expect(card).to_contain_text("In question (sold twice)")
        expect(card).to_contain_text("$70")
    story.go(second, "household/looks")
    second.get_by_role("button", name="The second sale counts").tap()
    story.everything_home(second)
    story.everything_home(first)
    for page in phones:
        story.go(page, "ledger")
        card = page.get_by_role("region", name="All in all")
        expect(card.locator(".card-number")).to_have_text("$50")
        expect(card).not_to_contain_text("In question")
