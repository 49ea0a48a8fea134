"""People are forgotten on the screens: here, at home, on the other phone."""

from __future__ import annotations

from playwright.sync_api import BrowserContext, Page, expect

from helpers import story
from helpers.desk import DeskHome
from helpers.scanning import paired, piece, write

WHEN = {"at": "2026-05-01T10:00:00.000Z", "on": "2026-05-01"}
OVER, AHEAD = "2026-05-03T10:00:00.000Z", "2126-05-03T10:00:00.000Z"
KEPT = """() => { const { household } = document.querySelector('crest-shell');
  return household.store.read(['records', 'outbox'], async (tx) => JSON.stringify([
    await tx.objectStore('records').getAll(), await tx.objectStore('outbox').getAll()])); }"""


def names(page: Page, *people: str) -> list[str]:
    """Those of the people that anything stored on the phone names."""
    kept = page.evaluate(KEPT)
    return [person for person in people if person in kept]


def offers(page: Page) -> list[dict[str, int]]:
    """The offers on the phone."""
    found: list[dict[str, int]] = page.evaluate(
        "() => document.querySelector('crest-shell').household.all('offer')"
    )
    return found


def test_forgetting_the_people_of_a_piece_takes_out_whatever_no_longer_counts(
    phone: BrowserContext, second_phone: BrowserContext, home: DeskHome
) -> None:
    page = paired(phone, home)
    (table,) = write(page, piece("A side table"))
    about = WHEN | {"piece_id": table}
    write(
        page,
        about | {"type": "inquiry", "name": "Asker", "contact": "Asker's number"},
        about | {"type": "hold", "name": "Released", "until_at": AHEAD, "released_at": OVER},
        about | {"type": "hold", "name": "Overdue", "until_at": OVER},
        about | {"type": "hold", "name": "Holding", "until_at": AHEAD},
        about | {"type": "offer", "amount": 900, "answer": "declined", "note": "Decliner"},
        about | {"type": "offer", "amount": 1100, "note": "Bidder"},
    )
    (sold,) = write(
        page,
        about
        | {"type": "sale", "price": 1500, "buyer": "Buyer", "handover": "pickup"}
        | {"note": "Buyer's street", "receipt": "K7KQ-0003"},
    )
    write(page, about | {"type": "payment", "amount": 500, "sale_id": sold, "note": "Payer"})
    story.everything_home(page)
    story.go(page, f"pieces/{table}")
    expect(page.get_by_text("a promise that still holds keeps its name")).to_be_visible()
    named = story.one(page, "sale")["id"]
    page.get_by_role("button", name="Forget the people who asked").tap()
    expect(page.locator("crest-toast")).to_contain_text("Forgot 7 entries about people")
    story.everything_home(page)

    other = paired(second_phone, home)
    story.everything_home(other)
    everybody = (
        "Asker", "Released", "Overdue", "Holding", "Decliner", "Bidder", "Buyer", "Payer",
    )  # fmt: skip
    for one in (page, other):
        assert names(one, *everybody) == ["Holding"]
        sale = story.one(one, "sale")
        assert (sale["price"], sale["receipt"], sale.get("buyer")) == (1500, "K7KQ-0003", None)
        assert story.one(one, "payment")["sale_id"] == sale["id"], "it follows the sale"
        assert sorted(offer["amount"] for offer in offers(one)) == [1100]
    trace = page.request.get(f"{home.url}/api/history/sale/{named}")
    assert "Buyer" not in trace.text(), "an erased record has no history"

    page.get_by_role("button", name="Forget the people who asked").tap()
    expect(page.locator("crest-toast")).to_contain_text("Nothing about people")


def test_somebody_who_waits_is_forgotten_at_the_second_tap(
    phone: BrowserContext, second_phone: BrowserContext, home: DeskHome
) -> None:
    page = paired(phone, home)
    write(
        page,
        WHEN | {"type": "want", "name": "Waiter", "contact": "Waiter's number"},
        WHEN | {"type": "want", "name": "Patient"},
    )
    story.everything_home(page)
    story.go(page, "household/wants")
    dialog = page.get_by_role("dialog")
    page.get_by_role("button", name="Waiter").tap()
    dialog.get_by_role("button", name="Forget this person").tap()
    dialog.get_by_role("button", name="Close").first.tap()
    page.get_by_role("button", name="Waiter").tap()
    dialog.get_by_role("button", name="Forget this person").tap()
    assert names(page, "Waiter", "Patient") == ["Waiter", "Patient"]
    dialog.get_by_role("button", name="Forget for good").tap()
    expect(page.locator("crest-toast")).to_contain_text("Forgotten")
    story.everything_home(page)

    other = paired(second_phone, home)
    story.everything_home(other)
    for one in (page, other):
        assert names(one, "Waiter", "Patient") == ["Patient"]
