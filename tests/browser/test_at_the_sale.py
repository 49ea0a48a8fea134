"""At the sale, as a person does it: one hand, a real phone's windows, no signal."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

from PIL import Image
from playwright.sync_api import Page, expect

from crestrail.pricing.pad import price_find
from helpers import browser as browsers
from helpers.at_the_sale import (
    HouseholdPhone,
    Thumb,
    card,
    number,
    opened,
    records,
    told,
)  # fmt: skip

pytest_plugins = ["helpers.at_the_sale_fixtures"]

CHAIR, LOOKS, NEEDS, WRONG = "What is it?", "Looks", "Needs", "Anything wrong?"


def dollars(minor: int) -> str:
    """Whole dollars as the card writes them."""
    assert minor % 100 == 0
    return f"${minor // 100:,}"


def newest(page: Page, type: str) -> dict[str, Any]:
    """The record written last (ids rise with time)."""
    return max(records(page, type), key=lambda record: record["id"])


def piece_of(page: Page, **wanted: Any) -> dict[str, Any]:
    """The one piece with these values."""
    (found,) = [p for p in records(page, "piece") if all(p.get(k) == v for k, v in wanted.items())]
    return found


# --- the answer


def test_the_answer_stands_after_four_taps_and_the_ask(
    sale: tuple[Page, Thumb], sale_home: HouseholdPhone
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    thumb.chip(LOOKS, "Oak")
    thumb.chip(NEEDS, "Deep clean")
    before_ask = thumb.taps
    thumb.tap(page.get_by_label("They ask"))
    assert (before_ask, thumb.taps) == (3, 4)
    thumb.keys("10")

    book = page.request.get(f"{sale_home.server.url}/api/price-book").json()
    (step,) = [s for s in records(page, "step") if s["name"] == "Deep clean"]
    expected = price_find(book, {
        "kind": "bench", "traits": ["oak"], "count": 1, "ask": 1000,
        "steps": [{"step": step["slug"], "units": 1}],
    })  # fmt: skip
    assert expected["ok"]
    assert expected["most"] > 1000
    expect(number(page)).to_have_text(dollars(expected["most"]))
    at_ask = re.compile(rf"At (their )?\$10 you clear \${expected['atAsk']['clear'] / 100:.0f}")
    expect(card(page)).to_contain_text(at_ask)


def test_above_the_most_to_pay_the_card_says_by_how_much_and_pass_is_the_strong_button(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    most = int(number(page).inner_text().removeprefix("$"))
    thumb.ask(str(most + 12))
    expect(number(page)).to_have_text("$12")
    expect(card(page)).to_contain_text("Over by")
    expect(card(page)).to_contain_text(f"Most to pay ${most}")
    expect(card(page).locator(".sale-figure svg")).to_be_visible()
    expect(page.get_by_role("button", name="Pass")).to_have_class(re.compile(r"\bgo\b"))
    expect(page.get_by_role("button", name="Bought")).not_to_have_class(re.compile(r"\bgo\b"))


def test_a_deal_breaker_takes_the_place_of_the_number_and_says_why(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Armchair")
    thumb.chip(WRONG, "Live bugs")
    expect(number(page)).to_have_text("Walk away")
    expect(card(page)).not_to_contain_text("$")
    page.locator(".sale-form").evaluate("form => form.scrollTo(0, 0)")
    expect(card(page)).to_contain_text("Don't load it")
    expect(card(page)).to_contain_text("EPA")


def test_without_own_sales_the_number_is_called_a_guess(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    expect(card(page).get_by_text("guess", exact=True)).to_be_visible()
    thumb.button("Workings")
    expect(page.get_by_role("dialog")).to_contain_text("fewer than 20 sales of your own")


def test_the_workings_add_up_to_the_number(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Side chair")
    shown = number(page).inner_text()
    thumb.button("Workings")
    rows = page.get_by_role("dialog").locator(".waterfall td").all_inner_texts()
    cents = [round(float(re.sub(r"[$,+]", "", r).replace("−", "-")) * 100) for r in rows]
    assert sum(cents[:-1]) == cents[-1]
    assert f"${cents[-1] // 100}" == shown


def test_a_typed_price_overrules_the_past(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Stool")
    first = int(number(page).inner_text().removeprefix("$"))
    page.get_by_text("More: your own price").tap()
    page.get_by_label("What you think it brings").tap()
    thumb.keys("400")
    expect(number(page)).not_to_have_text(f"${first}")
    assert int(number(page).inner_text().removeprefix("$")) > 100
    expect(card(page)).to_contain_text("$400")


def test_a_kind_that_is_missing_is_added_with_what_it_brings(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.more(CHAIR)
    page.get_by_label("Search or add").fill("Hall tree")
    page.get_by_label("What does one usually bring").tap()
    thumb.keys("180")
    thumb.button("Add this kind")
    expect(page.get_by_role("radio", name="Hall tree")).to_be_checked()
    assert int(number(page).inner_text().removeprefix("$")) > 0


# --- deciding


def test_what_they_asked_and_what_was_paid_are_kept_apart_with_the_answer_of_that_moment(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    thumb.chip(NEEDS, "Deep clean")
    thumb.ask("20")
    thumb.button("Bought")
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("textbox", name="Paid")).to_have_value("20")
    thumb.tap(dialog.get_by_role("button", name="$5 less"))
    thumb.button("Save as bought")
    told(page, "Bought.")
    purchase = newest(page, "purchase")
    assert (purchase["ask"], purchase["total"]) == (2000, 1500)
    piece = piece_of(page, purchase_id=purchase["id"])
    assert (piece["kind"], piece["ask"]) == ("bench", 2000)
    (step,) = [s for s in records(page, "piece_step") if s["piece_id"] == piece["id"]]
    assert step["units"] == 1
    prediction = newest(page, "prediction")
    assert prediction["piece_id"] == piece["id"]
    assert prediction["for_what"] == "bought"
    assert prediction["inputs"]["ask"] == 2000
    assert prediction["answer"]["most"] > 0
    assert prediction["book"]


def test_a_free_find_to_be_fetched_later(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Rocking chair")
    thumb.button("Bought")
    page.get_by_label("I fetch it later").tap()
    page.get_by_label("Where", exact=True).fill("Blue house by the ford")
    thumb.button("It was free")
    told(page, "Bought.")
    purchase = newest(page, "purchase")
    assert purchase["total"] == 0
    assert purchase["fetch_where"] == "Blue house by the ford"


def test_bought_without_a_price_asks_for_it_and_keeps_the_rest(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Stool")
    thumb.button("Bought")
    thumb.button("Save as bought")
    paid = page.get_by_role("textbox", name="Paid")
    expect(paid).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_text("Put in what you paid, or say that it was free.")).to_be_visible()


def test_undo_takes_all_of_it_back_and_gives_the_find_back(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    before = {t: len(records(page, t)) for t in ("piece", "piece_step", "prediction")}
    thumb.chip(CHAIR, "Bench")
    thumb.chip(NEEDS, "Deep clean")
    thumb.button("Later")
    told(page, "Left for later.")
    expect(page.get_by_role("radio", name="Bench")).not_to_be_checked()
    thumb.button("Undo")
    expect(page.get_by_role("radio", name="Bench")).to_be_checked()
    assert {t: len(records(page, t)) for t in before} == before


def test_a_passed_find_is_brought_back_and_bought_as_the_same_piece(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Armchair")
    thumb.chip(LOOKS, "Walnut")
    thumb.ask("60")
    thumb.button("Pass")
    told(page, "Passed.")
    (passed,) = [p for p in records(page, "piece") if p.get("ask") == 6000]
    row = page.locator(".sale-again .row", has_text="they asked $60")
    thumb.tap(row.get_by_role("button", name="Bring back"))
    expect(page.get_by_role("checkbox", name="Walnut")).to_be_checked()
    thumb.button("Bought")
    thumb.button("Save as bought")
    told(page, "Bought.")
    (piece,) = [p for p in records(page, "piece") if p["id"] == passed["id"]]
    assert piece["purchase_id"]
    assert piece.get("passed_at") is None
    assert piece["traits"] == ["walnut"]


# --- what must not get lost


def test_a_half_typed_find_survives_a_closed_page(
    sale: tuple[Page, Thumb], sale_home: HouseholdPhone
) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    thumb.ask("25")
    shown = number(page).inner_text()
    again = page.context.new_page()
    page.goto("about:blank")
    opened(again, sale_home.server)
    expect(number(again)).to_have_text(shown)
    expect(again.get_by_label("They ask")).to_have_value("25")
    expect(again.get_by_role("radio", name="Bench")).to_be_checked()
    again.close()
    opened(page, sale_home.server)


def test_a_photo_is_kept_with_the_find(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    thumb.chip(CHAIR, "Bench")
    picture = BytesIO()
    Image.effect_noise((900, 700), 60).convert("RGB").save(picture, "JPEG")
    page.get_by_label("Photo").set_input_files(
        {"name": "find.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    )
    expect(page.get_by_role("img", name="Photo 1 of this find")).to_be_visible()
    page.reload()
    expect(page.get_by_role("img", name="Photo 1 of this find")).to_be_visible()
    thumb.button("Later")
    told(page, "Left for later.")
    photo = newest(page, "photo")
    assert photo["piece_id"] == newest(page, "piece")["id"]
    assert photo["purpose"] == "find"
    assert browsers.axe_violations(page) == []
