"""Phones with a wrong clock, pictures, and files carried home."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page

from helpers import household_page as pages
from helpers.proxy import Proxy

Admit = Callable[..., Page]
YEAR = 365 * 24 * 3600 * 1000


@pytest.mark.parametrize("shift", [5 * YEAR, -5 * YEAR, 36 * 3600 * 1000])
def test_i10_a_wrong_clock_neither_loses_edits_nor_wins_for_ever(
    phone: BrowserContext, second: Page, admit: Admit, shift: int
) -> None:
    page = admit(phone, shift=shift)
    id = pages.save(page, "piece", title="Written with a wrong clock")
    page.evaluate(
        """id => { const { at, on } = h.when(); return h.write([{ type: 'stint', fields:
          { piece_ids: [id], started_at: at, on, stopped_at: at, minutes: 0 } }]); }""",
        id,
    )
    assert pages.sync(page)["unsent"] == 0
    assert abs(page.evaluate("() => h.now().getTime() - h.env.wall()") + shift) < 5000
    found = pages.record(page, "piece", id)
    assert found is not None
    now = time.time() * 1000
    assert abs(page.evaluate("at => Date.parse(at)", found["at"]) - now) < 60_000
    own_day = "at => new Intl.DateTimeFormat('en-CA').format(new Date(at))"
    assert found["on"] == page.evaluate(own_day, found["at"]), "home's zone was not known yet"
    stint = page.evaluate("() => h.all('stint')[0]")
    assert stint["started_at"] == stint["stopped_at"]
    assert abs(page.evaluate("at => Date.parse(at)", stint["started_at"]) - now) < 60_000
    looks = page.evaluate("() => h.all('look').map(l => [l.reason, l.about_type]).sort()")
    assert looks == [["time_corrected", "piece"], ["time_corrected", "stint"]]

    pages.sync(second)
    assert pages.row(second, "piece", id) == pages.row(page, "piece", id)
    assert len(second.evaluate("() => h.all('look')")) == 2
    pages.save(second, "piece", id, title="Edited later, with a right clock")
    pages.sync(second)
    pages.sync(page)
    assert pages.titles(page) == ["Edited later, with a right clock"]
    pages.save(page, "piece", id, title="And edited again")
    pages.sync(page)
    pages.sync(second)
    assert pages.titles(second) == ["And edited again"]


def test_i10_a_clock_set_right_between_two_edits_keeps_their_order(
    phone: BrowserContext, admit: Admit, second: Page
) -> None:
    page = admit(phone, shift=5 * YEAR)
    id = pages.save(page, "piece", title="In the wrong year")
    page.evaluate("() => { h.env.wall = h.clock.wall = () => Date.now(); }")
    pages.save(page, "piece", id, title="Set right")
    assert pages.sync(page)["unsent"] == 0
    pages.sync(second)
    assert pages.titles(second) == ["Set right"]
    found = pages.record(second, "piece", id)
    assert found is not None
    assert page.evaluate("at => Date.parse(at)", found["at"]) < (time.time() + 60) * 1000


def test_photos_go_home_after_the_records_and_are_fetched_by_the_other_phone(
    first: Page, phone: BrowserContext, second: Page
) -> None:
    calls: list[str] = []
    first.on("request", lambda request: calls.append(request.url.split("/api/")[-1].split("/")[0]))
    sha = first.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = 300; canvas.height = 200;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
          return photo.sha256;
        }"""
    )
    after = pages.sync(first)
    assert (after["photosUnsent"], after["unsent"]) == (0, 0)
    assert calls.index("sync") < calls.index("photos")
    pages.sync(second)
    assert second.evaluate("() => h.all('photo')[0].sha256") == sha
    assert second.evaluate("sha => h.photoUrl(sha)", sha)
    assert second.evaluate("sha => h.photoUrl(sha, { thumb: true })", sha)


def test_a_photo_that_home_refuses_is_said_and_holds_up_nothing(first: Page) -> None:
    first.evaluate(
        """() => h.store.write(['photos', 'photo_blobs'], async tx => {
          const sha256 = 'ab'.repeat(32);
          const entry = { sha256, width: 1, height: 1, size: 5, at: 1, state: 'queued' };
          const blob = new Blob(['bytes'], { type: 'image/jpeg' });
          await tx.objectStore('photos').put(entry);
          await tx.objectStore('photo_blobs').put(blob, sha256);
        })"""
    )
    pages.save(first, "piece", title="Goes on")
    after = pages.sync(first)
    assert (after["unsent"], after["photosUnsent"], after["photosTroubled"]) == (0, 0, 1)
    (entry,) = pages.stored(first, "photos")
    assert entry["state"] == "refused"
    assert entry["trouble"]
    puts: list[str] = []
    first.on("request", lambda request: puts.append(request.method))
    assert pages.sync(first)["photosTroubled"] == 1
    assert "PUT" not in puts, "it is not sent again unless a person says so"


def test_a_photo_whose_bytes_are_gone_is_lost_and_never_called_home(first: Page) -> None:
    shot = """async () => {
      const canvas = document.createElement('canvas');
      canvas.width = canvas.height = 40;
      const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
      await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
      return photo.sha256; }"""
    gone = """sha => h.store.write(['photo_blobs'],
      tx => tx.objectStore('photo_blobs').delete(sha))"""
    queued = "sha => h.pictures.mark(sha, { state: 'queued' })"
    sha = first.evaluate(shot)
    first.evaluate(gone, sha)
    after = pages.sync(first)
    assert (after["photosUnsent"], after["photosTroubled"]) == (0, 1)
    assert [entry["state"] for entry in pages.stored(first, "photos")] == ["lost"]
    first.evaluate("sha => h.pictures.forget(sha)", sha)

    sha = first.evaluate(shot)
    pages.sync(first)
    first.evaluate(gone, sha)
    first.evaluate(queued, sha)
    after = pages.sync(first)
    assert (after["photosUnsent"], after["photosTroubled"]) == (0, 0), "home has it"


def test_an_erased_photo_takes_its_bytes_along_on_every_phone(first: Page, second: Page) -> None:
    id, sha = first.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = canvas.height = 50;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          const { ids } = await h.write([{ type: 'photo',
            fields: { at: h.when().at, ...photo } }]);
          return [ids[0], photo.sha256]; }"""
    )
    pages.sync(first)
    pages.sync(second)
    assert second.evaluate("sha => h.photoUrl(sha, { thumb: true })", sha)
    first.evaluate("id => h.erase('photo', id)", id)
    for page in (first, second):
        pages.sync(page)
        for store in ("photos", "photo_blobs", "photo_thumbs"):
            assert pages.stored(page, store) == [], store
        assert page.evaluate("sha => h.photoUrl(sha)", sha) is None


def test_everything_saved_to_a_file_comes_home_through_another_phone(
    first: Page, second: Page, wire: Proxy
) -> None:
    pages.save(first, "piece", title="At home already")
    pages.sync(first)
    wire.spoil("refuse")
    pages.save(first, "piece", title="Only on this phone")
    first.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = canvas.height = 60;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
        }"""
    )
    first.evaluate(
        """async () => {
          const change = { key: 'k1', type: 'spot', id: h.newId(), fields: {}, stamps: {} };
          await h.store.write(['refused'], tx => tx.objectStore('refused').put(
            { key: 'k1', change, code: 'bad_field', message: 'why', details: [], at: '' }));
          await h.saveDraft('at-the-sale', { note: 'half typed' });
          await h.saveDraft('both', 'of the first');
        }"""
    )
    second.evaluate("() => h.saveDraft('both', 'of the second')")
    text = first.evaluate("async () => (await h.saveEverything()).text()")
    wire.spoil("pass")
    bring = "text => h.bringHome(new Blob([text]))"
    brought = second.evaluate(bring, text)
    assert brought == {"changes": 3, "photos": 1, "refused": 1, "drafts": 1, "left": 1}
    again = second.evaluate(bring, text)
    assert (again["changes"], again["photos"], again["refused"]) == (0, 0, 0), "no harm done"
    assert second.evaluate("() => h.draft('at-the-sale')") == {"note": "half typed"}
    assert second.evaluate("() => h.draft('both')") == "of the second"
    assert [one["message"] for one in pages.stored(second, "refused")] == ["why"]
    after = pages.sync(second)
    assert (after["unsent"], after["photosUnsent"]) == (0, 0)
    assert pages.titles(second) == ["At home already", "Only on this phone"]
    assert pages.sync(first)["unsent"] == 0
    assert len(pages.stored(first, "refused")) == len(pages.stored(second, "refused")) == 1


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "bad_json"),
        ("holiday pictures", "bad_json"),
        ('{"crestrail_rescue": 1, "household": "another", "device": "x"}\n', "other_household"),
    ],
)
def test_a_file_of_another_kind_or_household_is_refused(first: Page, text: str, code: str) -> None:
    found = first.evaluate(
        "async t => { try { await h.bringHome(new Blob([t])); } catch (e) { return e.code; } }",
        text,
    )
    assert found == code
    assert pages.status(first)["unsent"] == 0
