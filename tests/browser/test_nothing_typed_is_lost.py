"""Work that could get lost between a person's thumb and home, and does not."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from helpers import household_page as pages
from helpers import story

FORM = """async id => {
  await import('/js/screens/record-form.js');
  const form = document.createElement('record-form');
  const fields = [{ name: 'name', label: 'Name', as: 'text' },
    { name: 'note', label: 'Note', as: 'long' }];
  Object.assign(form, { household: h, recordType: 'want', record: h.get('want', id), fields });
  document.body.replaceChildren(form);
  await form.updateComplete;
}"""

FULL = """() => {
  window.full = true;
  const { delete: gone, put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.delete = function (...args) {
    if (this.name === 'photo_blobs') window.full = false;
    return gone.apply(this, args);
  };
  IDBObjectStore.prototype.put = function (...args) {
    if (window.full && this.name === 'records') throw new DOMException('', 'QuotaExceededError');
    return put.apply(this, args);
  };
}"""

REFUSED = """async () => {
  try { await h.write([{ type: 'piece', fields: h.when() }]); } catch (error) { return error.code; }
}"""

PICTURE = """async () => {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = 100;
  canvas.getContext('2d').fillRect(10, 10, 50, 50);
  return (await h.savePhoto(await new Promise(done => canvas.toBlob(done)))).sha256;
}"""


def want(page: Page, name: str) -> str:
    return pages.save(page, "want", at="2026-05-01T10:00:00.000Z", on="2026-05-01", name=name)


def looks(page: Page, id: str) -> list[tuple[str, str]]:
    found = page.evaluate("id => h.where('look', 'about_id', id)", id)
    return [(look["reason"], look["about_group"]) for look in found]


def test_what_came_while_a_form_was_open_is_contested_not_overruled_unseen(
    first: Page, second: Page
) -> None:
    id = want(first, "Ilse")
    pages.sync(first)
    pages.sync(second)
    first.evaluate(FORM, id)
    first.fill("#want-name", "Ilse R.")
    pages.save(second, "want", id, name="Ilse from the ferry", note="not on Mondays")
    pages.sync(second)
    pages.sync(first)
    first.click("button.go")
    first.wait_for_function("id => h.get('want', id).name === 'Ilse R.'", arg=id)
    pages.sync(first)
    assert looks(first, id) == [("both_edited", "name")]
    found = pages.record(first, "want", id)
    assert found is not None
    assert found["note"] == "not on Mondays", "a field that was not typed in is left alone"


def test_a_form_over_what_was_erased_meanwhile_keeps_what_was_typed_and_says_why(
    first: Page, second: Page
) -> None:
    id = want(first, "Ilse")
    pages.sync(first)
    pages.sync(second)
    first.evaluate(FORM, id)
    first.fill("#want-note", "rings on Friday")
    second.evaluate("id => h.erase('want', id)", id)
    pages.sync(second)
    pages.sync(first)
    first.click("button.go")
    first.wait_for_selector("text=erased for good")
    assert first.input_value("#want-note") == "rings on Friday"
    assert pages.status(first)["unsent"] == 0, "nothing is called saved that is not"


def test_a_full_phone_gives_up_a_picture_for_a_price_but_only_one_that_is_at_home(
    first: Page,
) -> None:
    sha256 = first.evaluate(PICTURE)
    first.evaluate(FULL)
    assert first.evaluate(REFUSED) == "disk_full"
    assert len(pages.stored(first, "photo_blobs")) == 1
    first.evaluate("() => { window.full = false; }")
    assert pages.sync(first)["photosUnsent"] == 0
    first.evaluate("() => { window.full = true; }")
    id = pages.save(first, "piece", title="Oak chair", ask=2000)
    assert pages.record(first, "piece", id)
    assert pages.stored(first, "photo_blobs") == []
    assert first.evaluate("sha => h.photoUrl(sha)", sha256), "home still has it"


def test_a_connection_to_the_database_that_was_lost_in_the_background_is_made_anew(
    first: Page,
) -> None:
    """What WebKit does to a page in the background: every transaction fails from then on."""
    first.evaluate(
        """async () => {
          const db = await h.store.open();
          db.transaction = () => { throw new DOMException('Connection lost', 'UnknownError'); };
        }"""
    )
    id = pages.save(first, "piece", title="Saved all the same")
    assert pages.record(first, "piece", id)
    assert pages.sync(first)["unsent"] == 0


def test_a_number_half_typed_stays_when_the_screen_is_drawn_anew(page: Page) -> None:
    story.go(page, "household/tags")
    number = page.get_by_role("spinbutton", name="Blank tags")
    number.fill("3")
    page.evaluate(
        """async () => {
          const screen = document.querySelector('household-tags');
          screen.requestUpdate();
          await screen.updateComplete;
        }"""
    )
    expect(number).to_have_value("3")
    expect(page.get_by_role("button", name="Make a sheet of 3 tags")).to_be_visible()
