"""Which of today's finds to buy, several for one price, and what still goes into the car."""

from __future__ import annotations

from playwright.sync_api import Page, Route, expect

from helpers import browser as browsers
from helpers.at_the_sale import Thumb, later, records, told, write
from helpers.story import go

pytest_plugins = ["helpers.at_the_sale_fixtures"]

LONG = "Grandfatherclockcabinetwithoutaclockbutwithalldrawersandtwokeys, painted over twice"
TWICE = "button => { button.click(); button.click(); }"
NOTHING_STICKS_OUT = """() => [document.scrollingElement, document.querySelector('.shell-main')]
  .every((box) => box.scrollWidth <= box.clientWidth)"""


def gone(page: Page) -> None:
    """The server cannot be reached from now on."""

    def refuse(route: Route) -> None:
        route.abort()

    page.route("**/api/**", refuse)


def test_the_best_of_todays_finds_is_chosen_within_cash_and_bought_with_one_tap(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    go(page, "choose")
    expect(page.get_by_role("heading", name="Nothing to choose from yet")).to_be_visible()
    gone(page)
    write(page, {"type": "outing", "now": True, "fields": {"cash": 6000}})
    later(
        page,
        {"title": LONG, "likely": 20000, "ask": 3000},
        {"title": "Twin one", "likely": 15000, "ask": 2500},
        {"title": "Twin two", "likely": 16000, "ask": 2500},
        {"title": "Dear one", "likely": 9000, "ask": 8000},
        {"title": "Old paint", "kind": None, "likely": None},
    )
    buy = page.get_by_role("region", name="What to buy")
    expect(buy).to_contain_text("2 of 5")
    expect(buy).to_contain_text("Twin two")
    expect(buy).to_contain_text(LONG)
    expect(buy).to_contain_text("$55")
    expect(buy).to_contain_text("Nothing better is possible")
    leave = page.locator("section", has=page.get_by_role("heading", name="Leave"))
    expect(leave).to_contain_text("It needs $25, the others leave $5.")
    expect(leave).to_contain_text("over the most to pay for it")
    expect(leave).to_contain_text("What it brings is not known")
    page.wait_for_function(NOTHING_STICKS_OUT)
    assert browsers.axe_violations(page) == []

    page.get_by_label("Cash left").fill("90")
    expect(buy).to_contain_text("3 of 5")
    page.get_by_role("group", name=LONG).get_by_label("Price").fill("20")
    page.get_by_role("checkbox", name="Twin one").uncheck()
    expect(buy).to_contain_text("2 of 4")
    page.get_by_role("button", name="All 2 bought at these prices").evaluate(TWICE)
    told(page, "2 pieces bought.")
    totals = sorted(p["total"] for p in records(page, "purchase"))
    assert totals == [2000, 2500]
    bought = [p for p in records(page, "piece") if p.get("purchase_id")]
    assert {p["title"] for p in bought} == {LONG, "Twin two"}
    assert all(p.get("later_at") is None for p in bought)
    assert len([p for p in records(page, "prediction") if p["for_what"] == "bought"]) == 2
    expect(page.get_by_label("Cash left")).to_have_value("45")
    thumb.button("Undo")
    expect(buy).to_contain_text("2 of 4")
    assert records(page, "purchase") == []


def test_a_hard_choice_of_25_goes_on_beside_and_says_when_it_is_proven(
    sale: tuple[Page, Thumb],
) -> None:
    page, _ = sale
    gone(page)
    answers = page.evaluate(HARD)
    assert answers[0]["ok"]
    assert answers[0]["proven"] is False
    assert answers[0]["searching"] is True
    assert answers[-1]["searching"] is False
    assert answers[-1]["proven"] is True
    values = [answer["value"] for answer in answers]
    assert values == sorted(values)


def test_what_is_in_the_car_and_a_find_go_in_or_not_with_a_drawing_and_in_words(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    gone(page)
    (outing,) = write(page, {"type": "outing", "now": True, "fields": {"cash": 9000}})
    (paid,) = write(
        page,
        {"type": "purchase", "now": True, "fields": {"total": 500, "outing_id": outing}},
    )
    box = {"width_mm": 900, "depth_mm": 450, "height_mm": 700}
    write(page, {"type": "piece", "now": True,
                 "fields": {"title": "Low chest", "purchase_id": paid, **box}})  # fmt: skip
    (find,) = later(page, {"title": "Hall mirror"})
    go(page, "load")
    expect(page.get_by_text("Measure your car first")).to_be_visible()
    for label, inches in (
        ("Length of the hold", "60"),
        ("Width of the hold", "42"),
        ("Height of the hold", "32"),
        ("Width of the opening", "40"),
        ("Height of the opening", "30"),
    ):
        page.get_by_label(label).fill(inches)
    card = page.get_by_role("region", name="Does it go in")
    expect(card).to_contain_text("Not known yet")
    expect(card).to_contain_text("Without a size: Hall mirror.")
    mirror = page.get_by_role("group", name="Hall mirror")
    for label, inches in (("Width", "28 1/2"), ("Depth", "4"), ("Height", "50")):
        mirror.get_by_label(label, exact=True).fill(inches)
    expect(card.locator(".card-number")).to_have_text("Yes")
    expect(card.get_by_role("img", name="From above")).to_be_visible()
    expect(card.locator(".load-order li")).to_contain_text(
        ["Low chest: at the front", "Hall mirror:"]
    )
    page.wait_for_function(NOTHING_STICKS_OUT)
    assert browsers.axe_violations(page) == []
    mirror.get_by_label("Height", exact=True).blur()
    page.wait_for_function(
        "id => document.querySelector('crest-shell').household.get('piece', id).height_mm", arg=find
    )
    kept = next(p for p in records(page, "piece") if p["id"] == find)
    assert (kept["width_mm"], kept["depth_mm"], kept["height_mm"]) == (724, 102, 1270)

    thumb.tap(mirror.get_by_text("Must stay upright"))
    expect(card.locator(".card-number")).to_have_text("No")
    expect(card).to_contain_text(
        "Hall mirror is larger than the hold, whichever way it may travel."
    )
    mirror.get_by_label("Height", exact=True).fill("tall")
    expect(mirror.get_by_label("Height", exact=True)).to_have_attribute("aria-invalid", "true")
    assert records(page, "setting")[0]["car_length_mm"] == 1524


def test_the_size_of_the_find_on_the_pad_goes_with_it_and_not_to_the_next_one(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip("What is it?", "Stool")
    go(page, "load")
    find = page.locator(".load-sizes").first
    for label, inches in (("Width", "14"), ("Depth", "12"), ("Height", "18")):
        find.get_by_label(label, exact=True).fill(inches)
    find.get_by_text("Must stay upright").click()
    go(page, "sale")
    thumb.button("Later")
    told(page, "Left for later.")
    kept = max(records(page, "piece"), key=lambda piece: piece["id"])
    assert (kept["width_mm"], kept["depth_mm"], kept["height_mm"]) == (356, 305, 457)
    assert kept["travels_upright"] is True
    thumb.chip("What is it?", "Stool")
    go(page, "load")
    expect(page.locator(".load-sizes").first.get_by_label("Width", exact=True)).to_have_value("")


# More nodes than are looked at at once, fewer than the worker's first round: no clock decides.
HARD = """async () => {
  const { chooseBest } = await import('/js/state/choosing.js');
  const finds = Array.from({ length: 25 }, (_, i) => {
    const cash = 1000 + ((i * 7919) % 97) * 100;
    const minutes = 20 + ((i * 104729) % 56) * 5;
    const litres = 20 + ((i * 1299709) % 880);
    return { cash, minutes, litres, value: Math.round(cash / 2.5 + minutes * 12 + litres * 4) };
  });
  const limit = (name) => Math.floor(finds.reduce((sum, f) => sum + f[name], 0) * 0.2);
  const limits = { cash: limit('cash'), minutes: limit('minutes'), litres: limit('litres') };
  return new Promise((done) => {
    const said = [];
    const more = (answer) => {
      said.push(answer);
      if (!answer.searching) done(said);
    };
    more(chooseBest(finds, limits, more).answer);
  });
}"""
