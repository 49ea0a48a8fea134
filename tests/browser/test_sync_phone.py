"""The real client against the real server, over a network that is spoilt on purpose."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Route

from helpers import household_page as pages
from helpers.desk import Desk, open_desk
from helpers.live import LiveServer
from helpers.proxy import Proxy

YEAR = 365 * 24 * 3600 * 1000


Admit = Callable[..., Page]
"""``admit(context, shift=…, sync=…)``: a page of a phone newly paired."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """One server for all tests that leave it alone."""
    with open_desk(tmp_path_factory.mktemp("desk")) as opened:
        yield opened


@pytest.fixture
def home(desk: Desk) -> Iterator[Proxy]:
    """The household's server as the phones reach it."""
    with Proxy(desk.server.port) as proxy:
        yield proxy


@pytest.fixture
def admit(desk: Desk, home: Proxy) -> Admit:
    """Pairs phones with a household of this test's own."""
    household = desk.household()

    def one(context: BrowserContext, **options: Any) -> Page:
        identity = desk.admit(context, home.url, household)
        return pages.opened(context, home.url, identity, **options)

    return one


@pytest.fixture
def page(phone: BrowserContext, admit: Admit) -> Page:
    """A phone that was paired and has everything of home's."""
    page = admit(phone)
    assert pages.sync(page)["state"] == "home"
    return page


@pytest.fixture
def other(second_phone: BrowserContext, admit: Admit) -> Page:
    """The second phone of the household."""
    page = admit(second_phone)
    assert pages.sync(page)["state"] == "home"
    return page


def put_in_outbox(page: Page, change: str) -> None:
    """Spoil the newest unsent change behind the back of the phone's own checks."""
    page.evaluate(
        f"""() => h.store.write(['outbox'], async (tx) => {{
          const entry = (await tx.objectStore('outbox').getAll()).at(-1);
          {change};
          await tx.objectStore('outbox').put(entry);
        }})"""
    )


def test_a_find_saved_on_one_phone_is_on_the_other(page: Page, other: Page) -> None:
    id = pages.save(page, "piece", title="Oak chair", likely=9000, low=6000, high=12000)
    before = pages.status(page)
    assert (before["unsent"], before["oldestUnsentAt"] is not None) == (1, True)
    after = pages.sync(page)
    assert (after["state"], after["unsent"], after["oldestUnsentAt"]) == ("home", 0, None)
    pages.sync(other)
    assert pages.row(other, "piece", id) == pages.row(page, "piece", id)


def test_i5_a_page_that_could_not_be_stored_does_not_move_the_cursor(
    page: Page, other: Page
) -> None:
    cursor = pages.meta(other, "cursor")
    for name in ("a", "b", "c"):
        pages.save(page, "piece", title=name)
    pages.sync(page)
    other.evaluate(
        """() => {
          window.put = IDBObjectStore.prototype.put;
          let count = 0;
          IDBObjectStore.prototype.put = function (...args) {
            if (this.name === 'records' && (count += 1) === 2) throw new Error('disk gone');
            return put.apply(this, args);
          };
        }"""
    )
    assert pages.sync(other)["state"] == "trouble"
    assert pages.meta(other, "cursor") == cursor
    assert [r for r in pages.stored(other, "records") if r["type"] == "piece"] == []
    other.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")
    assert pages.sync(other)["state"] == "home"
    assert pages.titles(other) == ["a", "b", "c"]


def test_i5_a_push_does_not_skip_what_others_wrote(page: Page, other: Page) -> None:
    for n in range(30):
        pages.save(other, "piece", title=f"other {n:02}")
    pages.sync(other)
    for n in range(30):
        pages.save(page, "piece", title=f"own {n:02}")
    pages.sync(page)
    pages.sync(other)
    assert len(pages.titles(page)) == 60
    assert pages.titles(page) == pages.titles(other)


def test_i6_an_edit_made_while_its_older_version_is_in_flight_survives(
    page: Page, other: Page, home: Proxy
) -> None:
    id = pages.save(page, "piece", title="First")
    home.spoil("delay:1200")
    page.evaluate("() => { window.round = h.syncNow(); }")
    page.wait_for_timeout(500)
    pages.save(page, "piece", id, title="Second")
    home.mode = "pass"
    page.evaluate("() => window.round")
    found = pages.record(page, "piece", id)
    assert found is not None
    assert found["title"] == "Second"
    pages.sync(page)
    pages.sync(other)
    assert pages.titles(other) == ["Second"]
    assert pages.status(page)["unsent"] == 0


def test_i7_one_refused_change_is_set_aside_and_those_behind_it_go_on(
    page: Page, other: Page
) -> None:
    id = pages.save(page, "piece", title="Kept", count=4)
    pages.sync(page)
    pages.save(page, "piece", id, count=5)
    put_in_outbox(page, "entry.change.fields.count = -5")
    pages.save(page, "piece", title="Behind it")
    after = pages.sync(page)
    assert (after["state"], after["unsent"]) == ("home", 0)
    (refused,) = page.evaluate("() => h.refused()")
    assert refused["change"]["fields"] == {"count": -5}
    assert refused["details"][0]["path"] == "count"
    found = pages.record(page, "piece", id)
    assert found is not None
    assert found["count"] == 4, "the phone shows what home has"
    pages.sync(other)
    assert pages.titles(other) == ["Behind it", "Kept"]


def test_i7_what_is_refused_falls_back_to_what_home_has_by_then(page: Page, other: Page) -> None:
    id = pages.save(page, "piece", title="Kept", count=4)
    pages.sync(page)
    pages.sync(other)
    pages.save(other, "piece", id, count=6)
    pages.sync(other)
    pages.save(page, "piece", id, count=5)
    put_in_outbox(page, "entry.change.fields.count = -5")
    pages.sync(page)
    assert pages.row(page, "piece", id) == pages.row(other, "piece", id)


def test_i7_a_whole_page_refused_is_halved_until_the_bad_change_is_alone(
    page: Page, phone: BrowserContext
) -> None:
    for n in range(5):
        pages.save(page, "piece", title=f"piece {n}")

    def no_three(route: Route) -> None:
        if "piece 3" in (route.request.post_data or ""):
            body = '{"code": "bad_field", "message": "no threes", "details": []}'
            route.fulfill(status=422, content_type="application/json", body=body)
        else:
            route.continue_()

    page.evaluate("() => { window.CompressionStream = undefined; }")
    phone.route("**/api/sync", no_three)
    after = pages.sync(page)
    assert (after["state"], after["unsent"]) == ("home", 0)
    (refused,) = page.evaluate("() => h.refused()")
    assert (refused["change"]["fields"]["title"], refused["message"]) == ("piece 3", "no threes")
    assert pages.titles(page) == ["piece 0", "piece 1", "piece 2", "piece 4"]


def test_i7_a_revoked_phone_keeps_its_unsent_work(page: Page, other: Page) -> None:
    pages.save(page, "piece", title="Not yet home")
    device = page.evaluate("() => h.device")
    other.evaluate("device => h.api(`/api/devices/${device}`, { method: 'DELETE' })", device)
    after = pages.sync(page)
    assert (after["state"], after["unsent"]) == ("revoked", 1)
    assert pages.titles(page) == ["Not yet home"]


@pytest.mark.parametrize("status", [400, 403, 404, 413, 429, 500, 502])
def test_i7_no_answer_of_another_kind_empties_the_queue(
    page: Page, phone: BrowserContext, status: int
) -> None:
    pages.save(page, "piece", title="Stays")
    page.evaluate("() => { h.engine.exchange.helloAt = -Infinity; }")
    phone.route(
        "**/api/**",
        lambda route: route.fulfill(status=status, content_type="text/html", body="<p>no</p>"),
    )
    assert pages.sync(page)["unsent"] == 1
    phone.unroute("**/api/**")
    assert pages.sync(page)["unsent"] == 0


def test_i11_the_queue_drains_by_itself_when_the_network_is_back(
    phone: BrowserContext, other: Page, admit: Admit, home: Proxy
) -> None:
    page = admit(phone, sync=True)
    page.wait_for_function("() => h.sync.state === 'home'")
    home.spoil("refuse")
    pages.save(page, "piece", title="Waits")
    page.wait_for_function("() => h.sync.state === 'away'")
    assert page.evaluate("() => navigator.onLine") is True
    found = pages.status(page)
    assert found["unsent"] == 1
    assert abs(found["oldestUnsentAt"] - time.time() * 1000) < 30_000
    home.spoil("pass")
    page.wait_for_function("() => h.sync.state === 'home' && h.sync.unsent === 0", timeout=20_000)
    pages.sync(other)
    assert pages.titles(other) == ["Waits"]


def test_i11_a_network_that_swallows_everything_ends_in_away_not_in_waiting(
    page: Page, home: Proxy
) -> None:
    pages.save(page, "piece", title="Waits")
    home.spoil("blackhole")
    page.evaluate(
        "() => { const old = AbortSignal.timeout; AbortSignal.timeout = () => old(800); }"
    )
    start = time.monotonic()
    assert pages.sync(page)["state"] == "away"
    assert time.monotonic() - start < 10
    assert pages.status(page)["unsent"] == 1


def test_a_login_page_in_between_is_no_answer(page: Page, phone: BrowserContext) -> None:
    pages.save(page, "piece", title="Waits")
    phone.route(
        "**/api/**",
        lambda route: route.fulfill(status=200, content_type="text/html", body="<p>Sign in</p>"),
    )
    found = pages.sync(page)
    assert (found["state"], found["unsent"]) == ("away", 1)


def test_a_lost_answer_is_asked_again_and_written_once(
    page: Page, other: Page, home: Proxy
) -> None:
    id = pages.save(page, "piece", title="Once", ask=1000)
    home.spoil("eat_reply")
    lost = pages.sync(page)
    assert (lost["state"], lost["unsent"]) == ("away", 1)
    home.spoil("pass")
    pages.save(page, "piece", id, note="written after the loss")
    assert pages.sync(page)["unsent"] == 0
    pages.sync(other)
    assert pages.titles(other) == ["Once"]
    found = other.evaluate("id => h.api(`/api/history/piece/${id}`)", id)
    assert sorted(e["group"] for e in found["entries"]) == ["ask", "note", "title", "when"]


@pytest.mark.parametrize("length", [1, 40, 300])
def test_an_answer_that_breaks_off_is_no_answer(page: Page, home: Proxy, length: int) -> None:
    for n in range(40):
        pages.save(page, "piece", title=f"piece {n}", note="x" * 100)
    home.spoil(f"cut:{length}")
    assert pages.sync(page)["unsent"] == 40
    home.spoil("pass")
    assert pages.sync(page)["unsent"] == 0
    assert len(pages.titles(page)) == 40


@pytest.mark.parametrize("shift", [5 * YEAR, -5 * YEAR, 36 * 3600 * 1000])
def test_i10_a_wrong_clock_neither_loses_edits_nor_wins_for_ever(
    phone: BrowserContext, other: Page, admit: Admit, shift: int
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
    assert found["on"] == page.evaluate("() => h.today()")
    stint = page.evaluate("() => h.all('stint')[0]")
    assert stint["started_at"] == stint["stopped_at"]
    assert abs(page.evaluate("at => Date.parse(at)", stint["started_at"]) - now) < 60_000
    looks = page.evaluate("() => h.all('look').map(l => [l.reason, l.about_type]).sort()")
    assert looks == [["time_corrected", "piece"], ["time_corrected", "stint"]]

    pages.sync(other)
    assert pages.row(other, "piece", id) == pages.row(page, "piece", id)
    assert len(other.evaluate("() => h.all('look')")) == 2
    pages.save(other, "piece", id, title="Edited later, with a right clock")
    pages.sync(other)
    pages.sync(page)
    assert pages.titles(page) == ["Edited later, with a right clock"]
    pages.save(page, "piece", id, title="And edited again")
    pages.sync(page)
    pages.sync(other)
    assert pages.titles(other) == ["And edited again"]


def test_i10_a_clock_set_right_between_two_edits_keeps_their_order(
    phone: BrowserContext, admit: Admit, other: Page
) -> None:
    page = admit(phone, shift=5 * YEAR)
    id = pages.save(page, "piece", title="In the wrong year")
    page.evaluate("() => { h.env.wall = h.clock.wall = () => Date.now(); }")
    pages.save(page, "piece", id, title="Set right")
    assert pages.sync(page)["unsent"] == 0
    pages.sync(other)
    assert pages.titles(other) == ["Set right"]
    found = pages.record(other, "piece", id)
    assert found is not None
    assert page.evaluate("at => Date.parse(at)", found["at"]) < (time.time() + 60) * 1000


def test_the_outbox_never_goes_to_another_household(
    page: Page, phone: BrowserContext, desk: Desk, home: Proxy, tmp_path: Path
) -> None:
    pages.save(page, "piece", title="Ours")
    with LiveServer(tmp_path / "neighbour") as neighbour:
        home.target = neighbour.port
        home.cut_all()
        theirs = pages.paired(phone, home.url, neighbour.pairing_code())
        page.evaluate("() => { h.engine.exchange.helloAt = -Infinity; }")
        found = pages.sync(page)
        assert (found["state"], found["unsent"]) == ("trouble", 1)
        assert "another household" in found["message"]
        pages.sync(theirs)
        assert pages.titles(theirs) == []
    home.target = desk.server.port
    home.cut_all()
    assert pages.sync(page)["unsent"] == 0


def test_two_tabs_sync_one_at_a_time_and_both_know_how_things_stand(
    page: Page, phone: BrowserContext, home: Proxy
) -> None:
    tab = pages.opened(phone, home.url)
    running = {"now": 0, "most": 0}

    def began(request: object) -> None:
        if str(request.url).endswith("/api/sync"):  # type: ignore[attr-defined]
            running["now"] += 1
            running["most"] = max(running["most"], running["now"])

    def ended(request: object) -> None:
        if str(request.url).endswith("/api/sync"):  # type: ignore[attr-defined]
            running["now"] -= 1

    for one in (page, tab):
        one.on("request", began)
        one.on("requestfinished", ended)
    for n in range(20):
        pages.save(page if n % 2 else tab, "piece", title=f"piece {n}")
    for one in (page, tab):
        one.evaluate("() => { window.round = h.syncNow(); }")
    for one in (page, tab):
        one.evaluate("() => window.round")
        one.wait_for_function("() => h.sync.unsent === 0 && h.sync.state === 'home'")
    assert running["most"] == 1
    assert pages.titles(tab) == pages.titles(page)


def test_photos_go_home_after_the_records_and_are_fetched_by_the_other_phone(
    page: Page, phone: BrowserContext, other: Page
) -> None:
    calls: list[str] = []
    page.on("request", lambda request: calls.append(request.url.split("/api/")[-1].split("/")[0]))
    sha = page.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = 300; canvas.height = 200;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
          return photo.sha256;
        }"""
    )
    after = pages.sync(page)
    assert (after["photosUnsent"], after["unsent"]) == (0, 0)
    assert calls.index("sync") < calls.index("photos")
    pages.sync(other)
    assert other.evaluate("() => h.all('photo')[0].sha256") == sha
    assert other.evaluate("sha => h.photoUrl(sha)", sha)
    assert other.evaluate("sha => h.photoUrl(sha, { thumb: true })", sha)


def test_a_photo_that_home_refuses_is_said_and_holds_up_nothing(page: Page) -> None:
    page.evaluate(
        """() => h.store.write(['photos', 'photo_blobs'], async tx => {
          const sha256 = 'ab'.repeat(32);
          const entry = { sha256, width: 1, height: 1, size: 5, at: 1, state: 'queued' };
          const blob = new Blob(['bytes'], { type: 'image/jpeg' });
          await tx.objectStore('photos').put(entry);
          await tx.objectStore('photo_blobs').put(blob, sha256);
        })"""
    )
    pages.save(page, "piece", title="Goes on")
    after = pages.sync(page)
    assert (after["unsent"], after["photosUnsent"]) == (0, 1)
    (entry,) = pages.stored(page, "photos")
    assert entry["trouble"]


def test_everything_saved_to_a_file_comes_home_through_another_phone(
    page: Page, other: Page, home: Proxy
) -> None:
    pages.save(page, "piece", title="At home already")
    pages.sync(page)
    home.spoil("refuse")
    pages.save(page, "piece", title="Only on this phone")
    page.evaluate(
        """async () => {
          const canvas = document.createElement('canvas');
          canvas.width = canvas.height = 60;
          const photo = await h.savePhoto(await new Promise(done => canvas.toBlob(done)));
          await h.write([{ type: 'photo', fields: { at: h.when().at, ...photo } }]);
        }"""
    )
    text = page.evaluate("async () => (await h.saveEverything()).text()")
    home.spoil("pass")
    bring = "text => h.bringHome(new Blob([text]))"
    assert other.evaluate(bring, text) == {"changes": 3, "photos": 1}
    assert other.evaluate(bring, text) == {"changes": 0, "photos": 0}, "twice does no harm"
    after = pages.sync(other)
    assert (after["unsent"], after["photosUnsent"]) == (0, 0)
    assert pages.titles(other) == ["At home already", "Only on this phone"]
    assert pages.sync(page)["unsent"] == 0
    assert pages.stored(page, "refused") == pages.stored(other, "refused") == []


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "bad_json"),
        ("holiday pictures", "bad_json"),
        ('{"crestrail_rescue": 1, "household": "another", "device": "x"}\n', "other_household"),
    ],
)
def test_a_file_of_another_kind_or_household_is_refused(page: Page, text: str, code: str) -> None:
    found = page.evaluate(
        "async t => { try { await h.bringHome(new Blob([t])); } catch (e) { return e.code; } }",
        text,
    )
    assert found == code
    assert pages.status(page)["unsent"] == 0


def test_erasing_reaches_home_and_the_other_phone(page: Page, other: Page) -> None:
    id = pages.save(page, "inquiry", at="2026-05-01T10:00:00.000Z", on="2026-05-01", name="Ada")
    pages.sync(page)
    pages.sync(other)
    pages.save(other, "inquiry", id, contact="Ada's number")
    page.evaluate("id => h.erase('inquiry', id)", id)
    pages.sync(page)
    pages.sync(other)
    assert "Ada" not in str(pages.stored(other, "records")) + str(pages.stored(other, "outbox"))
    assert pages.sync(page)["unsent"] == 0
    assert pages.record(page, "inquiry", id) is None
