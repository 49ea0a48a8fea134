"""The pad's screen: what it shows of an outing, and that it can be read and used by everybody."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from helpers import browser as browsers
from helpers.at_the_sale import (
    Thumb,
    card,
    number,
    records,
    told,
    write,
)

pytest_plugins = ["helpers.at_the_sale_fixtures"]

CHAIR, NEEDS, WRONG = "What is it?", "Needs", "Anything wrong?"
WINDOWS: dict[str, Any] = {
    "phone": {"width": 390, "height": 844},
    "phone with browser bars": {"width": 390, "height": 664},
    "turned phone": {"width": 844, "height": 390},
    "small phone": {"width": 320, "height": 568},
    "laptop": {"width": 1280, "height": 800},
}
LARGE_TEXT = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync('html { font-size: 200%; }');
  document.adoptedStyleSheets = [sheet];
}"""


# --- the outing, and who waits


def test_an_outing_shows_cash_hours_and_room_run_down_with_what_is_bought(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    setting = {"type": "setting", "id": page.evaluate(HOUSEHOLD_ID)}
    write(page, {**setting, "fields": {"load_litres": 1000}})
    thumb.button("Start an outing")
    page.get_by_label("Cash you take along").tap()
    thumb.keys("90")
    page.get_by_label("Hours of work you can take on").fill("3.5")
    page.get_by_label("Which sale").fill("Mill Lane 4")
    page.get_by_label("It closes at").fill("15:30")
    thumb.button("Start")
    told(page, "Off you go.")
    line = page.locator(".outing-line")
    expect(line).to_have_text(re.compile(r"Cash \$90 · Work 0 min · Room all of it"))
    thumb.chip(CHAIR, "Armchair")
    expect(card(page)).not_to_contain_text("You have")
    thumb.chip(NEEDS, "Deep clean")
    thumb.ask("45")
    thumb.button("Bought")
    thumb.button("Save as bought")
    expect(line).to_contain_text("Cash $45")
    expect(line).not_to_contain_text("Work 0 min")
    expect(line).to_contain_text("Room about half")  # an armchair takes 500 of the 1,000 litres
    line.tap()
    facts = page.get_by_role("dialog").locator(".facts")
    expect(facts).to_contain_text("Mill Lane 4")
    expect(facts).to_contain_text(re.compile(r"Work taken on\s*(?!0 min)[\w ]+ of 3 h 30"))
    expect(facts).to_contain_text("about half")
    page.get_by_role("dialog").get_by_role("button", name="Close").tap()
    thumb.chip(CHAIR, "Armchair")
    most = int(number(page).inner_text().removeprefix("$"))
    assert most > 45
    expect(card(page)).to_contain_text("You have $45.")
    (stop,) = [s for s in records(page, "stop") if s["name"] == "Mill Lane 4"]
    (bought,) = [p for p in records(page, "purchase") if p["total"] == 4500]
    assert bought["stop_id"] == stop["id"]
    line.tap()
    page.get_by_label("Miles driven").fill("12.5")
    thumb.button("End the outing")
    expect(line).to_contain_text("Start an outing")
    (outing,) = [o for o in records(page, "outing") if o["id"] == stop["outing_id"]]
    assert outing["distance_m"] == 20_117  # 12.5 miles of 1,609.344 m (NIST SP 811, appendix B)
    assert outing["ended_at"]
    write(page, {**setting, "fields": {"load_litres": None}})


def test_somebody_waiting_for_such_a_piece_is_named(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    fields = {"kind": "desk", "traits": [], "limit": 16_000, "name": "Rosa"}
    write(page, {"type": "want", "now": True, "fields": fields})
    thumb.more(CHAIR)
    page.get_by_role("dialog").locator("label.chip", has_text="Desk").tap()
    expect(page.get_by_text("Rosa is waiting for one")).to_be_visible()
    expect(page.get_by_text("up to $160 · asked just now")).to_be_visible()


def test_the_number_is_covered_until_it_is_held(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    shown = number(page).inner_text()
    thumb.button("Cover the number")
    expect(card(page)).not_to_contain_text("$")
    holder = page.get_by_role("button", name="Hold to see")
    holder.focus()
    page.keyboard.down("Space")
    expect(number(page)).to_have_text(shown)
    page.keyboard.up("Space")
    expect(card(page)).not_to_contain_text("$")
    page.reload()
    expect(page.get_by_role("button", name="Hold to see")).to_be_visible()


# --- for everybody


def nothing_chosen(page: Page, thumb: Thumb) -> None:
    """The screen as it opens."""


def priced(page: Page, thumb: Thumb) -> None:
    """A number, and the ask below it."""
    thumb.chip(CHAIR, "Bench")
    thumb.chip(NEEDS, "Deep clean")
    thumb.ask("5")


def over(page: Page, thumb: Thumb) -> None:
    """The ask above the most to pay."""
    thumb.chip(CHAIR, "Armchair")
    thumb.ask("500")


def walk_away(page: Page, thumb: Thumb) -> None:
    """A deal-breaker."""
    thumb.chip(CHAIR, "Armchair")
    thumb.chip(WRONG, "Live bugs")


def typing(page: Page, thumb: Thumb) -> None:
    """The number pad up."""
    thumb.chip(CHAIR, "Bench")
    page.get_by_label("They ask").tap()


def whole_list(page: Page, thumb: Thumb) -> None:
    """The sheet of kinds."""
    thumb.more(CHAIR)


def buying(page: Page, thumb: Thumb) -> None:
    """The sheet that asks what was paid."""
    thumb.chip(CHAIR, "Bench")
    thumb.button("Bought")


def setting_out(page: Page, thumb: Thumb) -> None:
    """The sheet of the outing."""
    page.locator(".outing-line").tap()


STATES = [nothing_chosen, priced, over, walk_away, typing, whole_list, buying, setting_out]


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.__name__)
def test_no_state_of_the_pad_has_an_accessibility_violation(
    sale: tuple[Page, Thumb], state: Callable[[Page, Thumb], None]
) -> None:
    page, thumb = sale
    state(page, thumb)
    assert browsers.barriers(page) == []


@pytest.mark.parametrize("text", ["100%", "200%"])
@pytest.mark.parametrize("window", WINDOWS.values(), ids=WINDOWS.keys())
def test_whatever_has_the_focus_can_be_seen_and_nothing_scrolls_sideways(
    sale: tuple[Page, Thumb], window: Any, text: str
) -> None:
    page, thumb = sale
    page.set_viewport_size(window)
    if text == "200%":
        page.evaluate(LARGE_TEXT)
    thumb.chip(CHAIR, "Bench")
    assert page.evaluate(SIDEWAYS) == []
    assert page.evaluate(OBSCURED) == []


SIDEWAYS = """() => [document.scrollingElement, ...document.querySelectorAll('main, .sale-form')]
  .filter((box) => box.scrollWidth > box.clientWidth + 1)
  .map((box) => `${box.className || box.localName}: ${box.scrollWidth} in ${box.clientWidth}`)"""

OBSCURED = """async () => {
  const frame = () => new Promise(requestAnimationFrame);
  const standsStill = async (target) => {  // the pad comes and goes, and things scroll to meet it
    const types = Boolean(target.closest('crest-money-input'));
    const padded = () => Boolean(document.querySelector('crest-number-pad .pad')) === types;
    let before = '';
    for (let same = 0; same < 2; ) {
      await frame();
      const now = JSON.stringify(target.getBoundingClientRect());
      same = padded() && now === before ? same + 1 : 0;
      before = now;
    }
  };
  const hidden = [];
  const all = document.querySelectorAll(
    'main :is(button:enabled, input, textarea, summary, a[href])');
  for (const target of all) {
    if (!target.checkVisibility({ visibilityProperty: true })) continue;
    target.focus();
    await standsStill(target);
    const box = (target.closest('.chip, .photo-button') ?? target).getBoundingClientRect();
    const points = [0.25, 0.5, 0.75].map((part) =>
      document.elementFromPoint(box.left + box.width / 2, box.top + box.height * part));
    const own = target.closest('.chip, .photo-button') ?? target;
    if (!points.some((found) => found && (own.contains(found) || found.contains(own)))) {
      hidden.push(`${target.localName} ${target.id} ${own.textContent.trim().slice(0, 30)}`);
    }
  }
  return hidden;
}"""

SMALL = """(least) => [...document.querySelectorAll('main :is(button, a[href], .chip, summary)')]
  .filter((target) => target.checkVisibility())
  .map((target) => [target.textContent.trim() || target.ariaLabel, target.getBoundingClientRect()])
  .filter(([, box]) => box.height < least || box.width < least)
  .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""


def test_every_target_is_large_enough_for_a_thumb(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    assert page.evaluate(SMALL, 44) == []
    for name in ("Pass", "Later", "Bought"):
        box = page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box
        assert box["height"] >= 52


def test_the_whole_job_goes_by_keyboard(sale: tuple[Page, Thumb]) -> None:
    page, _ = sale
    page.set_viewport_size(WINDOWS["laptop"])
    page.get_by_role("radio", name="Side chair").focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowRight")
    kind = page.locator("input[name=kind]:checked").get_attribute("value")
    assert kind != "side-chair"
    page.get_by_label("They ask").focus()
    page.keyboard.type("41.50")
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("textbox", name="They ask")).to_have_value("45")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Later").focus()
    page.keyboard.press("Enter")
    told(page, "Left for later.")
    (left,) = [p for p in records(page, "piece") if p.get("ask") == 4500 and p.get("later_at")]
    assert left["kind"] == kind


def test_the_number_is_read_out_once_it_stands_still(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    spoken = page.locator("crest-live-region [role=status]")
    expect(spoken).to_contain_text(f"Most to pay {number(page).inner_text()}")


def test_the_bar_changes_sides_for_a_left_hand(sale: tuple[Page, Thumb]) -> None:
    page, _ = sale
    bought = page.get_by_role("button", name="Bought")
    right = bought.bounding_box()
    setting = {"type": "setting", "id": page.evaluate(HOUSEHOLD_ID), "fields": {"hand": "left"}}
    write(page, setting)
    expect(page.locator(".shell")).to_have_attribute("data-hand", "left")
    left = bought.bounding_box()
    assert right
    assert left
    assert left["x"] < 60 < right["x"]
    write(page, {**setting, "fields": {"hand": "right"}})


HOUSEHOLD_ID = "() => document.querySelector('crest-shell').household.id"
