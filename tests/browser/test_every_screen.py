"""Every screen, full and empty, light and dark, narrow: sound for everybody, nothing sticks out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect

from helpers import browser as browsers
from helpers import story
from helpers.desk import Desk, furnished
from helpers.sample_home import sample_served
from helpers.scanning import added, piece, write

PLACES = [
    "sale", "pieces", "scan", "work", "ledger", "household", "household/looks", "household/sync",
    "household/devices", "household/numbers", "household/scores", "household/kinds",
    "household/steps", "household/places", "household/opening", "household/tags",
    "household/wants", "household/moves",
    "choose", "load",
]  # fmt: skip
NOTHING_STICKS_OUT = """() => [document.scrollingElement, document.querySelector('.shell-main')]
  .every((box) => box.scrollWidth <= box.clientWidth)"""
SCROLLED = "() => document.querySelector('.shell-main').scrollTop"
STANDS_STILL = """() => new Promise((done) => {
  let frames = 4;
  const seen = new MutationObserver(() => (frames = 4));
  seen.observe(document, { subtree: true, childList: true, attributes: true });
  const look = () => {
    const drawn = [...document.images].every((picture) => picture.complete);
    if (drawn && frames-- <= 0) done(seen.disconnect());
    else requestAnimationFrame(look);
  };
  look();
})"""
LONG = "Grandfatherclockcabinetwithoutaclockbutwithalldrawersandtwokeys, painted over twice"


@contextmanager
def quiet(page: Page) -> Iterator[Page]:
    """The page; in the end its console holds no error, so no breach of the content policy.

    What has no address comes from axe-core, which tries inline styles, and not from the app.
    """
    said: list[str] = []

    def hear(line: ConsoleMessage) -> None:
        if line.type == "error" and line.location["url"]:
            said.append(line.text)

    page.on("console", hear)
    yield page
    assert said == []


DRAWN_IN = """() => {
  const canvas = document.querySelector('crest-plot canvas');
  if (!canvas?.width) return null;
  const probe = canvas.parentElement.appendChild(document.createElement('i'));
  probe.style.color = 'var(--plot-1)';
  const colour = getComputedStyle(probe).color;
  probe.remove();
  const wanted = colour.match(/\\d+/g).map(Number);
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  for (let i = 0; i < data.length; i += 4) {
    if (data[i + 3] === 255 && wanted.every((value, at) => data[i + at] === value)) return colour;
  }
  return null;
}"""
"""The colour of the first line, as soon as the plot is drawn in it."""


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory, chromium: Browser) -> Iterator[Page]:
    """A phone of the invented household."""
    with (
        sample_served(tmp_path_factory) as server,
        browsers.phone(chromium) as phone,
        quiet(phone.new_page()) as page,
    ):
        story.pair_by_link(page, server)
        page.wait_for_function(
            "() => document.querySelector('crest-shell').household.all('sale').length > 60"
        )
        yield page


@pytest.fixture(scope="module")
def fresh(desk: Desk, chromium: Browser) -> Iterator[Page]:
    """A phone of a household that has nothing yet."""
    with browsers.phone(chromium) as phone, quiet(phone.new_page()) as page:
        yield added(page, furnished(desk))


def sound(page: Page) -> None:
    """No accessibility violation in light and dark; no sideways scroll, also at 320 px."""
    page.evaluate(STANDS_STILL)
    assert browsers.barriers(page) == []
    for width in (320, 390):
        page.set_viewport_size({"width": width, "height": 844})
        page.wait_for_function(NOTHING_STICKS_OUT, timeout=4000)  # plots follow a moment later


def visit(page: Page, place: str) -> None:
    """Go there and wait until it is drawn."""
    story.go(page, place)
    page.locator(f"{element_of(place)} *").first.wait_for()


def element_of(place: str) -> str:
    """The element that draws what the address means."""
    screen, _, part = place.partition("/")
    if part:
        return f"household-{part}" if screen == "household" else "screen-piece article"
    return {"sale": "screen-at-the-sale"}.get(screen, f"screen-{screen}")


@pytest.mark.parametrize("place", PLACES)
def test_a_full_screen_is_sound(sample: Page, place: str) -> None:
    visit(sample, place)
    expect(sample.get_by_text("Invented sample")).to_be_visible()
    sound(sample)


def test_the_first_questions_are_asked_once(sample: Page) -> None:
    story.go(sample, "first-run")
    sample.wait_for_url("**/#/sale")


@pytest.mark.parametrize("place", [*PLACES, "first-run"])
def test_an_empty_screen_is_sound(fresh: Page, place: str) -> None:
    visit(fresh, place)
    sound(fresh)


@pytest.mark.parametrize("group", ["In hand", "Finds", "Gone"])
def test_a_piece_of_every_group_is_sound(sample: Page, group: str) -> None:
    visit(sample, "pieces")
    sample.get_by_text(group, exact=True).tap()
    sample.locator("a.row").first.tap()
    expect(sample.get_by_role("region", name="The piece")).to_be_visible()
    for more in sample.locator("details.more > summary").all():
        more.tap()
    sound(sample)


def test_a_piece_is_shown_from_its_top_and_the_list_stands_where_it_was_left(
    sample: Page,
) -> None:
    sample.set_viewport_size({"width": 390, "height": 664})
    visit(sample, "ledger")
    visit(sample, "pieces")
    row = sample.locator("a.row").nth(12)
    row.scroll_into_view_if_needed()
    left = sample.evaluate(SCROLLED)
    assert left > 300
    row.tap()
    expect(sample.get_by_role("region", name="The piece")).to_be_visible()
    sample.wait_for_function(f"() => ({SCROLLED})() === 0")
    sample.get_by_role("button", name="Back to Pieces").tap()
    sample.wait_for_function(f"() => ({SCROLLED})() === {left}")


def test_the_page_on_the_numbers_counts_the_sales_that_the_book_counts(sample: Page) -> None:
    visit(sample, "household/scores")
    found = sample.evaluate(
        "() => document.querySelector('crest-shell').household.book.corrections"
    )
    assert found["of"] >= 60
    said = f"{found['held']} of {found['of']} sales brought a price in the range shown"
    expect(sample.get_by_text(said)).to_be_visible()


def test_what_a_look_is_worth_is_said_in_money_of_the_kind_that_is_chosen(sample: Page) -> None:
    visit(sample, "household/moves")
    rows = sample.locator("household-moves .row-text")
    kind = sample.get_by_label("Of what a piece of this kind brings")

    def worth(name: str) -> int:
        kind.select_option(label=kind.locator("option", has_text=name).inner_text())
        words = rows.filter(has_text="Oak:").inner_text()
        found = re.match(r"Oak: [+−]?\u2060?\$(\d+), from \d+ of your sales", words)
        assert found, words
        return int(found[1])

    assert worth("Dresser") > worth("Stool")


@pytest.mark.parametrize("view", ["Months", "Years"])
def test_the_ledger_by_time_is_sound(sample: Page, view: str) -> None:
    visit(sample, "ledger")
    sample.get_by_text(view, exact=True).tap()
    sound(sample)


def test_a_plot_follows_the_light_while_it_is_open(sample: Page) -> None:
    visit(sample, "ledger")
    sample.get_by_text("Months", exact=True).tap()
    drawn = [sample.wait_for_function(DRAWN_IN).json_value()]
    sample.emulate_media(color_scheme="dark")
    drawn.append(sample.wait_for_function(DRAWN_IN).json_value())
    sample.emulate_media(color_scheme="light")
    drawn.append(sample.wait_for_function(DRAWN_IN).json_value())
    assert drawn[0] == drawn[2] != drawn[1]


def test_two_pieces_on_the_bench_are_sound(sample: Page) -> None:
    visit(sample, "work")
    for chip in sample.locator("label.chip").all()[:2]:
        chip.tap()
    expect(sample.get_by_role("heading", name="All 2 together")).to_be_visible()
    sound(sample)


@pytest.mark.parametrize(
    "sheet", ["Sold", "Asking price", "Somebody asked", "An offer", "Promise it"]
)
def test_a_sheet_of_selling_is_sound(sample: Page, sheet: str) -> None:
    visit(sample, "pieces")
    sample.get_by_text("In hand", exact=True).tap()
    sample.locator("a.row", has_text="Listed").first.tap()
    sample.get_by_role("button", name=sheet, exact=True).tap()
    expect(sample.get_by_role("dialog")).to_be_visible()
    for more in sample.locator("dialog details.more > summary").all():
        more.tap()
    sound(sample)
    sample.keyboard.press("Escape")


def test_the_answer_to_an_offer_is_sound(sample: Page) -> None:
    visit(sample, "pieces")
    sample.locator("a.row", has_text="Listed").first.tap()
    sample.get_by_role("button", name="An offer", exact=True).tap()
    sample.get_by_label("They offer").fill("40")
    sample.get_by_role("button", name="Save", exact=True).tap()
    expect(sample.get_by_role("region", name="What to say")).to_be_visible()
    sample.get_by_text("Workings").tap()
    sound(sample)
    sample.keyboard.press("Escape")


def test_a_wrong_amount_is_said_at_its_field_and_stays(sample: Page) -> None:
    visit(sample, "pieces")
    sample.get_by_text("In hand", exact=True).tap()
    sample.locator("a.row").first.tap()
    sample.get_by_role("button", name="Change what is written").tap()
    count = sample.get_by_label("How many in the set")
    count.fill("many")
    sample.get_by_role("button", name="Save", exact=True).tap()
    expect(count).to_have_attribute("aria-invalid", "true")
    expect(count).to_have_value("many")
    sound(sample)


def test_wrong_numbers_of_the_household_are_said_in_their_own_measure(fresh: Page) -> None:
    visit(fresh, "household/numbers")
    save = fresh.get_by_role("button", name="Save", exact=True)
    for label, text, said, form in (
        ("Chance of a loss you accept, %", "101", "At most 100", 0),
        ("Selling fee, % of the price", "-3", "A number such as 12.5, not below 0", 0),
        ("Time zone", "Mars/Base", "No time zone has this name", 2),
        ("Time zone", "", "No time zone has this name", 2),
        ("Room in the car, litres", "1.5", "A whole number such as 12", 2),
    ):
        fresh.get_by_label(label).fill(text)
        save.nth(form).tap()
        field = fresh.locator(".field", has=fresh.get_by_label(label))
        expect(field.locator(".field-error")).to_contain_text(said)
    sound(fresh)
    fresh.get_by_label("Time zone").fill("America/Chicago")
    fresh.get_by_label("Room in the car, litres").fill("1,400")
    save.nth(2).tap()
    expect(fresh.locator("crest-toast")).to_contain_text("Saved on this phone.")
    assert story.one(fresh, "setting")["load_litres"] == 1400


def test_before_any_sale_it_is_said_what_makes_looks_move_prices(fresh: Page) -> None:
    visit(fresh, "household/moves")
    expect(fresh.get_by_role("heading", name="Nothing moves your prices yet")).to_be_visible()
    expect(fresh.get_by_role("link", name="To the pad")).to_be_visible()


def test_long_names_stay_inside(fresh: Page) -> None:
    (id,) = write(fresh, piece(LONG))
    for place in ("pieces", f"pieces/{id}", "work", "household/tags"):
        visit(fresh, place)
        expect(fresh.get_by_text(LONG).first).to_be_attached()
        sound(fresh)


def test_nobody_loads_anything_from_elsewhere(sample: Page) -> None:
    asked: set[str] = set()
    sample.on("request", lambda request: asked.add(request.url))
    for place in PLACES:
        visit(sample, place)
    home = re.sub(r"/#.*", "", sample.url)
    assert all(url.startswith((home, "blob:", "data:")) for url in asked)
