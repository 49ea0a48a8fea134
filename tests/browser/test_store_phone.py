"""What a phone keeps by itself: durable, whole, and taken back on request."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page

from helpers import household_page as pages

WEB = Path(__file__).resolve().parents[2] / "web"


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", "default-src 'self'; img-src 'self' blob:")
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:
        pass


@pytest.fixture(scope="module")
def origin() -> Iterator[str]:
    """The client's files and no home at all."""
    handler = functools.partial(_Quiet, directory=WEB)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://localhost:{server.server_port}"
        server.shutdown()


@pytest.fixture
def page(phone: BrowserContext, origin: str) -> Page:
    """A phone with an empty household."""
    return pages.unpaired(phone, origin)


def reopened(page: Page) -> Page:
    page.reload()
    page.evaluate(pages.UNPAIRED)
    return page


def test_what_was_saved_is_there_after_the_page_is_opened_again(page: Page) -> None:
    id = pages.save(page, "piece", title="Oak chair", ask=2000)
    reopened(page)
    found = pages.record(page, "piece", id)
    assert found is not None
    assert (found["title"], found["ask"]) == ("Oak chair", 2000)
    assert pages.status(page)["unsent"] == 1


def test_record_and_outbox_entry_are_written_together_under_one_stamp(page: Page) -> None:
    id = pages.save(page, "piece", title="Stool", kind="chair")
    (entry,) = pages.stored(page, "outbox")
    assert entry["change"]["stamps"] == pages.row(page, "piece", id)["stamps"]
    assert len(set(entry["change"]["stamps"].values())) == 1
    assert set(entry["change"]["bases"].values()) == {None}


def test_a_group_is_sent_whole_with_the_stamp_of_what_was_seen(page: Page) -> None:
    id = pages.save(page, "piece", likely=9000, low=5000, high=14000)
    seen = pages.row(page, "piece", id)["stamps"]["estimate"]
    pages.save(page, "piece", id, likely=9500)
    change = pages.stored(page, "outbox")[-1]["change"]
    assert change["fields"] == {"likely": 9500, "low": 5000, "high": 14000}
    assert change["bases"] == {"estimate": seen}


def test_saving_what_stands_already_writes_nothing(page: Page) -> None:
    id = pages.save(page, "piece", title="Stool")
    pages.save(page, "piece", id, title="Stool", note=None)
    assert len(pages.stored(page, "outbox")) == 1


def test_undo_of_an_edit_writes_the_earlier_values_back(page: Page) -> None:
    id = pages.save(page, "piece", title="Before", likely=100, low=50, high=200)
    page.evaluate(
        """async id => {
          const { undo } = await h.write([
            { type: 'piece', id, fields: { title: 'After', likely: 150, note: 'scratched' } }]);
          await undo();
        }""",
        id,
    )
    found = pages.record(page, "piece", id)
    assert found is not None
    assert (found["title"], found["likely"], found["low"]) == ("Before", 100, 50)
    assert found["note"] is None


def test_undo_of_a_new_record_deletes_it(page: Page) -> None:
    page.evaluate(
        "async () => (await h.write([{type: 'spot', fields: {name: 'Shed'}}])).undo()",
    )
    assert page.evaluate("() => h.all('spot')") == []


def test_two_wishes_about_one_record_become_one_change(page: Page) -> None:
    page.evaluate(
        """() => { const id = h.newId(); return h.write([
          { type: 'spot', id, fields: { name: 'Shed' } },
          { type: 'spot', id, fields: { note: 'dry' } }]); }"""
    )
    (entry,) = pages.stored(page, "outbox")
    assert entry["change"]["fields"] == {"name": "Shed", "note": "dry"}


def test_a_value_that_home_would_refuse_is_refused_here_naming_the_field(page: Page) -> None:
    found = page.evaluate(
        """async () => {
          try { await h.write([
            { type: 'spot', fields: { name: 'Shed' } },
            { type: 'piece', fields: { ...h.when(), count: 0 } }]); }
          catch (error) { return { code: error.code, paths: error.details.map(d => d.path) }; }
        }"""
    )
    assert found == {"code": "bad_field", "paths": ["count"]}
    assert pages.stored(page, "records") == [], "nothing of a refused call is kept"


def test_indexes_follow_edits_and_deletions(page: Page) -> None:
    id = pages.save(page, "piece", kind="chair")
    pages.save(page, "piece", id, kind="table")
    found = page.evaluate("() => ['chair', 'table'].map(k => h.where('piece', 'kind', k).length)")
    assert found == [0, 1]
    pages.save(page, "piece", id, deleted=True)
    assert page.evaluate("() => h.where('piece', 'kind', 'table').length") == 0


def test_a_list_field_is_found_by_each_of_its_entries(page: Page) -> None:
    one, two = (pages.save(page, "piece", title=name) for name in ("a", "b"))
    page.evaluate(
        """ids => { const { at, on } = h.when(); return h.write([
          { type: 'stint', fields: { piece_ids: ids, started_at: at, on } }]); }""",
        [one, two],
    )
    found = page.evaluate(
        "ids => ids.map(id => h.where('stint', 'piece_ids', id).length)", [one, two]
    )
    assert found == [1, 1]


def test_subscribers_hear_the_types_after_the_commit(page: Page) -> None:
    heard = page.evaluate(
        """async () => {
          const heard = [];
          const stop = h.subscribe(types => heard.push(...types));
          await h.write([{ type: 'spot', fields: { name: 'Shed' } }]);
          stop();
          await h.write([{ type: 'piece', fields: h.when() }]);
          return heard;
        }"""
    )
    assert "spot" in heard
    assert "sync" in heard, "the count of unsent work changed"
    assert "piece" not in heard, "it no longer listens"


def test_another_tab_sees_a_write_at_once(page: Page, phone: BrowserContext, origin: str) -> None:
    other = pages.unpaired(phone, origin)
    id = pages.save(page, "piece", title="Seen by both")
    other.wait_for_function("id => h.get('piece', id)?.title === 'Seen by both'", arg=id)
    other.wait_for_function("() => h.sync.unsent === 1")
    pages.save(other, "piece", id, title="Changed there")
    page.wait_for_function("id => h.get('piece', id)?.title === 'Changed there'", arg=id)


def test_stamps_of_two_tabs_never_repeat(page: Page, phone: BrowserContext, origin: str) -> None:
    other = pages.unpaired(phone, origin)
    many = """() => { for (let i = 0; i < 25; i += 1)
      h.write([{ type: 'spot', fields: { name: `${i}` } }]); }"""
    page.evaluate(many)
    other.evaluate(many)
    page.wait_for_function("() => h.sync.unsent === 50")
    stamps = [e["change"]["stamps"]["name"] for e in pages.stored(page, "outbox")]
    assert len(set(stamps)) == 50
    assert stamps == sorted(stamps)


def test_a_closed_database_is_opened_again_under_the_app(page: Page) -> None:
    page.evaluate("async () => (await h.store.open()).close()")
    id = pages.save(page, "piece", title="Saved all the same")
    assert pages.record(page, "piece", id)
    reopened(page)
    assert pages.titles(page) == ["Saved all the same"]


def test_a_full_phone_says_so_and_nothing_half_written_is_left(
    page: Page, phone: BrowserContext
) -> None:
    cdp = phone.new_cdp_session(page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": page.evaluate("origin"), "quotaSize": 1})
    found = page.evaluate(
        """async () => {
          const fields = { ...h.when(), note: 'x'.repeat(3000) };
          try { await h.write([{ type: 'piece', fields }]); }
          catch ({ code, message }) {
            return [code, message, h.all('piece').length, h.sync.unsent];
          }
        }"""
    )
    assert found[0] == "disk_full"
    assert "phone is full" in found[1]
    assert found[2:] == [0, 0]
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": page.evaluate("origin")})
    assert pages.save(page, "piece", title="After making room")


def test_a_page_gone_in_the_middle_of_a_save_leaves_nothing_of_it(
    phone: BrowserContext, origin: str
) -> None:
    page = pages.unpaired(phone, origin)
    pages.save(page, "spot", name="Whole")
    page.evaluate(
        """() => { h.write(Array.from({ length: 3000 }, (_, i) =>
          ({ type: 'piece', fields: { ...h.when(), title: `half ${i}` } }))); }"""
    )
    page.close()
    again = pages.unpaired(phone, origin)
    counts = again.evaluate("() => [h.all('spot').length, h.all('piece').length, h.sync.unsent]")
    assert counts in ([1, 0, 1], [1, 3000, 3001]), "all of a save or nothing of it"


def test_a_draft_survives_the_page_and_goes_when_it_is_thrown_away(page: Page) -> None:
    page.evaluate("() => h.saveDraft('find', { ask: 4000, kind: 'chair' })")
    reopened(page)
    assert page.evaluate("() => h.draft('find')") == {"ask": 4000, "kind": "chair"}
    assert page.evaluate("() => h.hasDrafts()") is True
    page.evaluate("() => h.saveDraft('find', null)")
    assert page.evaluate("() => h.draft('find')") is None


def test_a_photo_is_made_small_without_metadata_and_named_by_its_bytes(page: Page) -> None:
    found = page.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = 4000; canvas.height = 1000;
          const big = await new Promise(done => canvas.toBlob(done, 'image/png'));
          const photo = await h.savePhoto(big);
          const kept = await h.store.read(['photo_blobs'],
            tx => tx.objectStore('photo_blobs').get(photo.sha256));
          const bytes = await kept.arrayBuffer();
          const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
          const hex = [...digest].map(b => b.toString(16).padStart(2, '0')).join('');
          const text = new TextDecoder('latin1').decode(bytes.slice(0, 200));
          const url = await h.photoUrl(photo.sha256, { thumb: true });
          const thumb = new Image();
          thumb.src = url;
          await thumb.decode();
          const exif = text.includes('Exif');
          return { photo, hex, type: kept.type, exif, thumb: thumb.naturalWidth };
        }"""
    )
    assert found["photo"] == {"sha256": found["hex"], "width": 1600, "height": 400}
    assert (found["type"], found["exif"], found["thumb"]) == ("image/jpeg", False, 320)
    assert pages.status(page)["photosUnsent"] == 1


def test_originals_that_are_home_make_room_and_their_thumbnails_stay(page: Page) -> None:
    left = page.evaluate(
        """async () => {
          const { makeRoom, markPhoto, PHOTO_STORES } = await import('/js/store/photos.js');
          const shas = [];
          for (const [i, colour] of ['red', 'green', 'blue'].entries()) {
            const canvas = document.createElement('canvas');
            canvas.width = canvas.height = 100;
            const paper = canvas.getContext('2d');
            paper.fillStyle = colour;
            paper.fillRect(0, 0, 100, 100);
            const blob = await new Promise(done => canvas.toBlob(done));
            shas.push((await h.pictures.save(blob, i)).sha256);
          }
          await h.store.write(PHOTO_STORES, tx => markPhoto(tx, shas[0], { state: 'home' }));
          const freed = await h.store.write(PHOTO_STORES, tx => makeRoom(tx, 1e9));
          return h.store.read(PHOTO_STORES, async tx => ({
            freed: freed > 0,
            originals: (await tx.objectStore('photo_blobs').getAllKeys()).length,
            unsentKept: !!(await tx.objectStore('photo_blobs').get(shas[1])),
            thumbs: (await tx.objectStore('photo_thumbs').getAllKeys()).length,
          }));
        }"""
    )
    assert left == {"freed": True, "originals": 2, "unsentKept": True, "thumbs": 3}


def test_erasing_leaves_the_id_only_and_nothing_of_the_values_to_send(page: Page) -> None:
    id = pages.save(page, "inquiry", at="2026-05-01T10:00:00.000Z", on="2026-05-01", name="Ada")
    page.evaluate("id => h.erase('inquiry', id)", id)
    assert pages.record(page, "inquiry", id) is None
    assert "Ada" not in str(pages.stored(page, "records"))
    assert "Ada" not in str(pages.stored(page, "outbox"))
