"""Receipts of tabs and cleared phones, a person forgotten, pictures that are not at home."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from helpers import browser as browsers
from helpers import story
from helpers.scanning import piece, write


def toast(page: Page, text: str) -> None:
    """The message bar says so."""
    expect(page.locator("crest-toast")).to_contain_text(text)


def test_two_tabs_never_give_the_same_receipt_and_a_cleared_phone_starts_another_series(
    page: Page,
) -> None:
    ids = write(page, *[piece(f"Stool {n}") for n in range(7)])
    other = page.context.new_page()
    other.goto(page.url)
    other.wait_for_function("() => document.querySelector('crest-shell')?.household")
    sell = """ids => import('/js/state/actions.js').then(({ sell }) => Promise.all(ids.map(id =>
      sell(document.querySelector('crest-shell').household, id, { price: 1000 }))))"""
    started = "ids => { window.selling = (" + sell + ")(ids); }"
    page.evaluate(started, ids[:3])
    other.evaluate(started, ids[3:6])
    for tab in (page, other):
        tab.evaluate("() => window.selling")
    other.wait_for_function(
        """ids => document.querySelector('crest-shell').household.all('sale')
          .filter(sale => ids.includes(sale.piece_id)).length === 6""",
        arg=ids,
    )
    mine = [s["receipt"] for s in records(other, "sale") if s["piece_id"] in ids]
    assert len(set(mine)) == 6, mine
    series = {receipt[:5] for receipt in mine}
    assert len(series) == 1, "one series a phone"
    numbers = sorted(int(receipt[5:]) for receipt in mine)
    assert numbers == list(range(numbers[0], numbers[0] + 6)), "without gaps"
    other.close()

    story.everything_home(page)
    page.evaluate(CLEARED)
    page.reload()
    page.wait_for_function("() => document.querySelector('crest-shell')?.household")
    page.evaluate(sell, ids[6:])
    (sale,) = [s for s in records(page, "sale") if s["piece_id"] == ids[6]]
    assert sale["receipt"][:5] not in series
    assert sale["receipt"].endswith("-0001")
    story.everything_home(page)
    assert len({s["receipt"] for s in records(page, "sale") if s["piece_id"] in ids}) == 7


def test_one_person_is_found_and_forgotten_everywhere(page: Page) -> None:
    when = {"at": "2026-05-01T10:00:00.000Z", "on": "2026-05-01"}
    (id,) = write(page, piece("Desk of a seller", note="Thea will call"))
    stop, sold = write(
        page,
        when | {"type": "stop", "name": "Thea's yard", "place": "Mill Lane 4"},
        when | {"type": "sale", "piece_id": id, "price": 9000, "buyer": "Thea"},
    )
    write(
        page,
        when | {"type": "payment", "piece_id": id, "sale_id": sold, "amount": 500},
        when | {"type": "want", "name": "Thea"},
        when | {"type": "want", "name": "Theodor"},
        {"type": "piece", "id": id, "stop_id": stop},
    )
    story.go(page, "household/wants")
    page.get_by_label("Name, number or street").fill("thea")
    section = page.locator("forget-person")
    expect(section).to_contain_text("4 entries")
    expect(section).to_contain_text("change them there")
    assert browsers.axe_violations(page) == []
    section.get_by_role("button", name="Forget in 3 entries").tap()
    section.get_by_role("button", name="Forget for good").tap()
    toast(page, "Forgotten in 3 entries")
    sale = story.one(page, "sale", piece_id=id)
    assert (sale["price"], sale.get("buyer"), sale["id"] == sold) == (9000, None, False)
    assert story.one(page, "payment", piece_id=id)["sale_id"] == sale["id"]
    seen = story.one(page, "stop", id=story.one(page, "piece", id=id)["stop_id"])
    assert (seen.get("name"), seen.get("place"), seen["on"]) == (None, None, "2026-05-01")
    assert [want["name"] for want in records(page, "want")] == ["Theodor"]
    story.everything_home(page)
    kept = page.evaluate(KEPT)
    assert kept.count("Thea") == 1, "the piece's own note, which a person changes"


def test_pictures_that_are_not_at_home_are_shown_and_tried_again_on_a_word(page: Page) -> None:
    page.evaluate(BROKEN)
    story.go(page, "household/sync")
    page.get_by_role("button", name="Send now").tap()
    expect(page.locator(".shell-head")).to_contain_text("2 photos not home")
    section = page.locator("household-pictures")
    expect(section).to_contain_text("Not accepted at home")
    expect(section).to_contain_text("Take it again if you can")
    assert browsers.axe_violations(page) == []
    puts: list[str] = []
    page.on("request", lambda r: puts.append(r.url) if r.method == "PUT" else None)
    page.evaluate(SYNC)
    assert puts == [], "not sent again by itself"
    section.get_by_role("button", name="Try again").tap()
    page.evaluate(SYNC)
    assert len(puts) == 1
    section.get_by_role("button", name="Take it off the list").tap()
    section.get_by_role("button", name="Throw the picture away").tap()
    section.get_by_role("button", name="Throw it away for good").tap()
    expect(section).to_be_empty()
    expect(page.locator(".shell-head")).not_to_contain_text("not home")


def test_a_change_that_home_refused_is_shown_with_its_values_until_seen_to(page: Page) -> None:
    page.evaluate(REFUSED)
    story.go(page, "household")
    story.go(page, "household/sync")
    refused = page.locator("household-sync li", has_text="Home says: The name is too long")
    expect(refused).to_contain_text("name: Behind the shed")
    refused.get_by_role("button", name="I have seen to it").tap()
    expect(refused).to_have_count(0)


def records(page: Page, type: str) -> list[dict[str, Any]]:
    """The live records of a type."""
    found: list[dict[str, Any]] = page.evaluate(
        "type => document.querySelector('crest-shell').household.all(type)", type
    )
    return found


CLEARED = """async () => {
  const { household } = document.querySelector('crest-shell');
  const name = household.store.name;
  household.close();
  await new Promise(done => { const r = indexedDB.deleteDatabase(name); r.onsuccess = done; });
  localStorage.clear();
}"""
KEPT = """() => { const { household } = document.querySelector('crest-shell');
  return household.store.read(['records', 'outbox'], async (tx) => JSON.stringify([
    await tx.objectStore('records').getAll(), await tx.objectStore('outbox').getAll()])); }"""
SYNC = "() => document.querySelector('crest-shell').household.syncNow()"
REFUSED = """() => { const { household } = document.querySelector('crest-shell');
  const change = { key: 'k', type: 'spot', id: household.newId(), stamps: {},
    fields: { name: 'Behind the shed' } };
  return household.store.write(['refused'], tx => tx.objectStore('refused').put({ key: 'k', change,
    code: 'bad_field', message: 'The name is too long', details: [], at: '' })); }"""
BROKEN = """() => document.querySelector('crest-shell').household.store.write(
  ['photos', 'photo_blobs'], async tx => {
    for (const [sha256, bytes] of [['ab'.repeat(32), 'no picture'], ['cd'.repeat(32), null]]) {
      const entry = { sha256, width: 1, height: 1, size: 5, at: 1, state: 'queued' };
      await tx.objectStore('photos').put(entry);
      const blob = new Blob([bytes ?? ''], { type: 'image/jpeg' });
      if (bytes) await tx.objectStore('photo_blobs').put(blob, sha256);
    }
  })"""
