"""One price for several finds: one purchase, shared to the cent."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Page, expect

from helpers import browser as browsers
from helpers.at_the_sale import Thumb, records, told, write

pytest_plugins = ["helpers.at_the_sale_fixtures"]

KIND = "What is it?"
COSTS = """async (ids) => {
  const { pieceView } = await import('/js/state/pieces.js');
  const { household } = document.querySelector('crest-shell');
  return ids.map((id) => pieceView(household, id).cost);
}"""


def passed(page: Page, thumb: Thumb, kind: str, ask: str) -> dict[str, Any]:
    """A find that was looked at and passed; its piece."""
    thumb.chip(KIND, kind)
    thumb.ask(ask)
    thumb.button("Pass")
    expect(page.locator(".sale-again .row", has_text=f"they asked ${ask}")).to_be_visible()
    expect(page.locator("input[name=kind]:checked")).to_have_count(0)
    (piece,) = [p for p in records(page, "piece") if p.get("ask") == int(ask) * 100]
    return piece


def buying_with(page: Page, thumb: Thumb, kind: str, *others: str) -> Locator:
    """The sheet of what is bought, these others ticked with it and $50 put in."""
    thumb.chip(KIND, kind)
    thumb.button("Bought")
    dialog = page.get_by_role("dialog")
    thumb.tap(dialog.get_by_text("Together with others"))
    for label in others:
        thumb.tap(dialog.locator("label.chip", has_text=label).first)
    thumb.tap(dialog.get_by_role("textbox", name="Paid"))
    dialog.get_by_role("textbox", name="Paid").fill("50")
    expect(dialog.locator(".bought-split .row-end")).to_have_count(1 + len(others))
    return dialog


def shown_shares(dialog: Locator) -> list[int]:
    """The cents in the list of what each one costs."""
    amounts = dialog.locator(".bought-split .row-end").all_inner_texts()
    return [int(re.sub(r"[$.,]", "", amount)) for amount in amounts]


def test_two_passed_finds_and_a_third_for_one_price_are_one_purchase_shared_to_the_cent(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    others = [passed(page, thumb, "Bench", "31"), passed(page, thumb, "Armchair", "37")]
    before = {type: len(records(page, type)) for type in ("purchase", "prediction", "piece")}
    dialog = buying_with(page, thumb, "Stool", "asked $31", "asked $37")
    expect(dialog).to_contain_text("Shared by what each likely brings.")
    shares = shown_shares(dialog)
    assert sum(shares) == 5000
    assert len(set(shares)) == 3
    lot = dialog.get_by_role("region", name="All of them")
    expect(lot).to_contain_text(re.compile(r"Most to pay for all: \$\d+"))
    expect(lot).to_contain_text("to get back less cash than you put in")
    thumb.tap(lot.get_by_text("Workings"))
    expect(lot.get_by_role("row").last).to_contain_text("Most to pay")
    expect(dialog.locator(".bought-split .note", has_text="the most to pay")).to_have_count(3)
    assert browsers.axe_violations(page) == []
    thumb.button("Save as bought")
    told(page, "Bought.")

    (purchase,) = records(page, "purchase")[before["purchase"] :]
    assert purchase["total"] == 5000
    assert purchase.get("ask") is None, "what was asked is not known of all of them"
    pieces = [p for p in records(page, "piece") if p.get("purchase_id") == purchase["id"]]
    new = max(pieces, key=lambda piece: str(piece["id"]))
    assert {p["id"] for p in pieces} == {new["id"], *(o["id"] for o in others)}
    assert all(p.get("passed_at") is None for p in pieces)
    costs = page.evaluate(COSTS, [new["id"], others[1]["id"], others[0]["id"]])
    assert costs == shares, "the books have it as it was shown"
    frozen = records(page, "prediction")[before["prediction"] :]
    brings = {p["piece_id"]: p["answer"]["range"]["likely"] for p in frozen}
    assert {p["for_what"] for p in frozen} == {"bought"}
    assert brings == {p["id"]: p["share_weight"] for p in pieces}

    thumb.button("Undo")
    expect(page.get_by_role("radio", name="Stool")).to_be_checked()
    assert {type: len(records(page, type)) for type in before} == before
    again = {p["id"]: p for p in records(page, "piece")}
    assert all(again[other["id"]].get("passed_at") == other["passed_at"] for other in others)
    assert all(again[other["id"]].get("purchase_id") is None for other in others)


def test_what_cannot_be_priced_shares_equally_and_cents_left_over_are_given_out(
    sale: tuple[Page, Thumb],
) -> None:
    page, thumb = sale
    write(page, *(
        {"type": "piece", "now": True, "fields": {"title": title}}
        for title in ("Odd trunk", "Odd crate")
    ))  # fmt: skip
    dialog = buying_with(page, thumb, "Stool", "Odd trunk", "Odd crate")
    expect(dialog).to_contain_text("Shared equally")
    shares = shown_shares(dialog)
    assert sorted(shares) == [1666, 1667, 1667]
    thumb.button("Save as bought")
    told(page, "Bought.")
    purchase = max(records(page, "purchase"), key=lambda record: str(record["id"]))
    pieces = [p for p in records(page, "piece") if p.get("purchase_id") == purchase["id"]]
    assert len(pieces) == 3
    costs = page.evaluate(COSTS, [p["id"] for p in pieces])
    assert (sorted(costs), sum(costs)) == (sorted(shares), 5000)


def test_finds_of_another_day_and_bought_ones_are_not_offered(sale: tuple[Page, Thumb]) -> None:
    page, thumb = sale
    (purchase,) = write(page, {"type": "purchase", "now": True, "fields": {"total": 900}})
    old = {"at": "2026-01-02T10:00:00.000Z", "on": "2026-01-02"}
    write(
        page,
        {"type": "piece", "fields": {**old, "title": "Found in winter"}},
        {"type": "piece", "now": True, "fields": {"title": "Paid for", "purchase_id": purchase}},
        {"type": "piece", "now": True, "fields": {"title": "Still there"}},
    )
    thumb.chip(KIND, "Stool")
    thumb.button("Bought")
    fold = page.get_by_role("dialog").locator("details.more")
    expect(fold).to_contain_text("Still there")
    expect(fold).not_to_contain_text("Found in winter")
    expect(fold).not_to_contain_text("Paid for")
