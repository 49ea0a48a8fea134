"""What a household needs beside the main job: checks before paying, recalls, sets that are divided,
records joined, supplies used, cash put in, things left running."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page, expect

from helpers import browser as browsers
from helpers import story
from helpers.at_the_sale import Thumb
from helpers.scanning import piece, write


def toast(page: Page, text: str) -> None:
    """The message bar says so."""
    expect(page.locator("crest-toast")).to_contain_text(text)


def undo(page: Page) -> None:
    """Take back what was just done."""
    page.locator("crest-toast").get_by_role("button", name="Undo").tap()


# --- before paying, before listing


def test_what_to_check_stands_behind_one_line_and_notes_a_flaw(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 664})
    story.go(page, "sale")
    Thumb(page).more("What is it?")
    page.get_by_role("dialog").locator("label.chip", has_text="Dresser").tap()
    checks = page.locator(".sale-checks")
    line = checks.locator("summary")
    expect(line).to_contain_text("Check before paying")
    expect(line).to_contain_text("that would stop the deal")
    line.focus()
    page.keyboard.press("Enter")
    box = page.locator(".sale-card").bounding_box()
    assert box is not None
    assert 0 <= box["y"] < box["y"] + box["height"] < 664, "the answer stays in sight"
    headings = checks.get_by_role("heading").all_inner_texts()
    assert headings == ["Walk away if you find it", "Then check this"]
    first = checks.get_by_role("group").first
    expect(first).to_contain_text("take a picture and check recalls")
    expect(checks.locator("li").first).to_contain_text("Consumer Product Safety Commission")
    first.get_by_role("checkbox", name="Recalled").check()
    expect(page.get_by_role("region", name="Answer")).to_contain_text("Walk away")
    wrong = page.get_by_role("group", name="Anything wrong?")
    expect(wrong.get_by_role("checkbox", name="Recalled")).to_be_checked()
    first.get_by_role("checkbox", name="Recalled").uncheck()
    assert browsers.axe_violations(page) == []
    page.set_viewport_size({"width": 390, "height": 844})


def test_a_class_that_is_recalled_often_is_not_listed_in_silence(page: Page) -> None:
    chest, other = write(
        page, piece("Oak chest", kind="dresser"), piece("Known recall", flaws=["recalled"])
    )
    story.go(page, f"pieces/{chest}?do=list")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("Recalls not checked")
    expect(dialog).to_contain_text("does not make a piece safe")
    expect(dialog.get_by_label("Asking price")).to_have_count(0)
    dialog.get_by_role("button", name="List without checking").tap()
    expect(dialog).to_contain_text("Recalls: not checked")
    expect(dialog.get_by_role("textbox", name="Asking price")).to_be_visible()
    dialog.get_by_role("button", name="Close").first.tap()
    page.get_by_role("button", name="Asking price").tap()
    dialog.get_by_role("button", name="Checked today").tap()
    dialog.get_by_role("textbox", name="Asking price").fill("120")
    dialog.get_by_role("button", name="Save", exact=True).tap()
    toast(page, "The asking price is set")
    today = page.evaluate("() => document.querySelector('crest-shell').household.today()")
    assert story.one(page, "piece", id=chest)["recalls_checked_on"] == today
    expect(page.get_by_role("region", name="The piece")).to_contain_text("checked on")

    story.go(page, f"pieces/{other}?do=list")
    expect(dialog).to_contain_text("It is not listed while this is written")
    expect(dialog.get_by_role("textbox", name="Asking price")).to_have_count(0)
    dialog.get_by_role("button", name="Close").first.tap()


# --- one record that is two pieces, two that are one


def test_two_of_four_chairs_are_split_off_with_their_share_of_the_cost(page: Page) -> None:
    (id,) = write(page, piece("Pine chairs", kind="side-chair", count=4, opening_cost=4001))
    story.go(page, f"pieces/{id}")
    page.get_by_text("Divide it, or join two records").tap()
    page.get_by_role("button", name="Split off some of these").tap()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("The tag and the photos stay with the set")
    dialog.get_by_role("button", name="One more").tap()
    expect(dialog).to_contain_text("$20.01")
    expect(dialog).to_contain_text("$20.00")
    dialog.get_by_label("Worth of those split off").fill("nothing")
    expect(dialog.get_by_role("button", name="Split off 2")).to_be_disabled()
    dialog.get_by_label("Worth of those split off").fill("3")
    dialog.get_by_label("Worth of those that stay").fill("1")
    expect(dialog).to_contain_text("$30.01")
    assert browsers.axe_violations(page) == []
    dialog.get_by_role("button", name="Split off 2").tap()
    toast(page, "2 split off")
    card = page.get_by_role("region", name="The piece")
    expect(card).to_contain_text("Cost$30.01")
    split = story.one(page, "split", parent_id=id)
    child = story.one(page, "piece", id=split["child_id"])
    assert (child["count"], child["kind"], story.one(page, "piece", id=id)["count"]) == (
        2, "side-chair", 2,
    )  # fmt: skip
    undo(page)
    page.wait_for_url(f"**/pieces/{id}")
    expect(card).to_contain_text("Cost$40.01")
    assert story.one(page, "piece", id=id)["count"] == 4


def test_two_records_of_one_piece_are_joined_and_told_apart_again(page: Page) -> None:
    earlier = {"at": "2026-01-05T10:00:00.000Z", "on": "2026-01-05"}
    (older,) = write(page, piece("Red stool", bought=False, **earlier))
    (newer,) = write(page, piece("Stool, red"))
    story.go(page, f"pieces/{newer}")
    card = page.get_by_role("region", name="The piece")
    expect(card).to_contain_text("Bought")
    page.get_by_text("Divide it, or join two records").tap()
    page.get_by_role("button", name="Same piece as").tap()
    dialog = page.get_by_role("dialog")
    dialog.get_by_label("It is the same piece as").select_option(older)
    expect(dialog).to_contain_text("stands for both")
    dialog.get_by_role("button", name="They are the same piece").tap()
    toast(page, "Both are “Red stool” now")
    page.wait_for_url(f"**/pieces/{older}")
    expect(card).to_contain_text("Bought")
    expect(card).to_contain_text("Cost$20")
    expect(page.get_by_text("stands for others of the same piece")).to_be_visible()
    story.go(page, f"pieces/{newer}")
    expect(card).to_contain_text("Same as another")
    page.get_by_role("button", name="They are different pieces").tap()
    toast(page, "different pieces again")
    expect(card).to_contain_text("Bought")


# --- work, cash, what was left running


def test_supplies_used_on_a_piece_are_shown_with_their_cost_and_posted_nowhere(page: Page) -> None:
    id, _ = write(
        page,
        piece("Waxed bench"),
        {"type": "supply", "name": "Wax", "unit": "ml", "cost": 1299, "milliunits": 473_000},
    )
    before = totals(page)
    story.go(page, f"pieces/{id}")
    page.get_by_role("button", name="Supplies used").tap()
    dialog = page.get_by_role("dialog")
    dialog.get_by_label("How much").fill("60")
    dialog.get_by_role("button", name="Save", exact=True).tap()
    what = dialog.get_by_label("What", exact=True)
    expect(what).to_have_accessible_description("Choose what was used.")
    assert records(page, "supply_use") == []
    what.select_option(label="Wax (ml)")
    dialog.get_by_role("button", name="Save", exact=True).tap()
    toast(page, "Written down")
    use = story.one(page, "supply_use", piece_id=id)
    assert use["cost"] == 165  # 12.99 * 60 / 473 = 1.6477..., half up
    page.get_by_text("Supplies used: $1.65").tap()
    expect(page.get_by_text("the books don't take it off a second time").first).to_be_visible()
    assert totals(page) == before
    page.get_by_role("button", name="Wax, 60 ml").tap()
    dialog.get_by_label("How much").fill("30")
    dialog.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_text("Supplies used: $0.82")).to_be_visible()
    page.get_by_role("button", name="Wax, 30 ml").tap()
    dialog.get_by_role("button", name="It was not used").tap()
    toast(page, "Taken off the piece")
    undo(page)
    expect(page.get_by_text("Supplies used: $0.82")).to_be_visible()


def test_cash_is_put_in_and_taken_out_and_the_figure_is_explained(page: Page) -> None:
    story.go(page, "ledger")
    before = totals(page)["cash"]
    page.get_by_text("Where the cash figure comes from").tap()
    dialog = page.get_by_role("dialog")
    for way, amount, line in (("in", "50", "Put in $50"), ("out", "12.50", "Taken out $12.50")):
        page.get_by_role("button", name="Cash put in or taken out").tap()
        dialog.get_by_label("Which way").select_option(way)
        dialog.get_by_role("textbox", name="Amount").fill(amount)
        dialog.get_by_label("What for").fill("change for the sale")
        dialog.get_by_role("button", name="Save", exact=True).tap()
        expect(page.get_by_role("button", name=line)).to_be_visible()
    assert sorted(move["amount"] for move in records(page, "cash_move")) == [-1250, 5000]
    assert totals(page)["cash"] == before + 3750
    parts = page.locator("ledger-cash dl")
    expect(parts).to_contain_text(re.compile(r"Put in, less taken out\s*\$37\.50"))
    undo(page)
    expect(parts).to_contain_text(re.compile(r"Put in, less taken out\s*\$50\.00"))
    page.get_by_role("button", name="Put in $50").tap()
    dialog.get_by_label("Which way").select_option("out")
    dialog.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_role("button", name="Taken out $50")).to_be_visible()
    assert totals(page)["cash"] == before - 5000
    assert browsers.axe_violations(page) == []


TAPPED_ELSEWHERE = """() => {
  const waiting = [];
  const wait = window.setTimeout;
  window.setTimeout = (work, ms) => (ms === 80 ? waiting.push(work) : wait(work, ms));
  const say = name => document.body.dispatchEvent(new PointerEvent(name, { bubbles: true }));
  const ask = document.querySelector('#ask');
  const open = () => ask.closest('crest-money-input').padOpen;
  const seen = [];
  try {
    ask.focus();
    say('pointerdown');
    ask.blur();
    waiting.shift()();
    seen.push(['pressed', open()]);
    say('pointerup');
    waiting.shift()();
    seen.push(['lifted, its click not there yet', open()]);
    while (waiting.length) waiting.shift()();
    seen.push(['over', open()]);
  } finally {
    window.setTimeout = wait;
  }
  return seen;
}"""
"""A long tap on something else while the number pad is open, its waits run by hand."""


def test_the_number_pad_moves_nothing_before_the_tap_that_left_it_is_over(page: Page) -> None:
    story.go(page, "sale")
    page.get_by_label("They ask").wait_for()
    assert page.evaluate(TAPPED_ELSEWHERE) == [
        ["pressed", True],
        ["lifted, its click not there yet", True],
        ["over", False],
    ]


def test_an_outing_and_a_timer_left_over_night_are_asked_about(page: Page) -> None:
    (id,) = write(page, piece("Left on the bench"))
    began, last = "2026-05-02T13:00:00.000Z", "2026-05-02T14:10:00.000Z"
    outing, _, stint = write(
        page,
        {"type": "outing", "at": began, "on": "2026-05-02"},
        {"type": "stop", "at": last, "on": "2026-05-02", "name": "Mill Lane"},
        {"type": "stint", "piece_ids": [id], "started_at": last, "on": "2026-05-02"},
    )
    story.go(page, "sale")
    line = page.locator("left-running details")
    expect(line).to_contain_text("Still out?")
    line.locator("summary").tap()
    page.get_by_label("It ended at").fill("2026-05-01T10:00")
    page.get_by_role("button", name="End the outing then").tap()
    expect(line).to_contain_text("between its beginning and now")
    local = page.evaluate(
        """at => new Date(Date.parse(at) - new Date(at).getTimezoneOffset() * 60000)
          .toISOString().slice(0, 16)""",
        "2026-05-02T15:00:00.000Z",
    )
    page.get_by_label("It ended at").fill(local)
    page.get_by_label("Miles driven").fill("10")
    page.get_by_role("button", name="End the outing then").tap()
    toast(page, "The outing is over")
    over = story.one(page, "outing", id=outing)
    assert (over["ended_at"], over["distance_m"]) == ("2026-05-02T15:00:00.000Z", 16_093)
    expect(line).to_contain_text("Still working?")

    story.go(page, f"work?piece={id}")
    prompt = page.locator("work-timer left-running details")
    prompt.locator("summary").tap()
    assert browsers.axe_violations(page) == []
    prompt.get_by_role("button", name="Stop the timer then").tap()
    toast(page, "The timer is stopped")
    assert story.one(page, "stint", id=stint)["minutes"] == 60, "an hour, where nothing says more"


def records(page: Page, type: str) -> list[dict[str, Any]]:
    """The live records of a type."""
    found: list[dict[str, Any]] = page.evaluate(
        "type => document.querySelector('crest-shell').household.all(type)", type
    )
    return found


def totals(page: Page) -> dict[str, Any]:
    """The household's sums."""
    found: dict[str, Any] = page.evaluate(
        """() => import('/js/state/pieces.js').then(({ booksOf }) =>
          booksOf(document.querySelector('crest-shell').household).totals)"""
    )
    return found
