"""What the real client makes of the answers of the real server."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, Route

from helpers import household_page as pages
from helpers.proxy import Proxy


def put_in_outbox(page: Page, change: str) -> None:
    """Spoil the newest unsent change behind the back of the phone's own checks."""
    page.evaluate(
        f"""() => h.store.write(['outbox'], async (tx) => {{
          const entry = (await tx.objectStore('outbox').getAll()).at(-1);
          {change};
          await tx.objectStore('outbox').put(entry);
        }})"""
    )


def test_a_find_saved_on_one_phone_is_on_the_other(first: Page, second: Page) -> None:
    id = pages.save(first, "piece", title="Oak chair", likely=9000, low=6000, high=12000)
    before = pages.status(first)
    assert (before["unsent"], before["oldestUnsentAt"] is not None) == (1, True)
    after = pages.sync(first)
    assert (after["state"], after["unsent"], after["oldestUnsentAt"]) == ("home", 0, None)
    pages.sync(second)
    assert pages.row(second, "piece", id) == pages.row(first, "piece", id)


def test_i5_a_page_that_could_not_be_stored_does_not_move_the_cursor(
    first: Page, second: Page
) -> None:
    cursor = pages.meta(second, "cursor")
    for name in ("a", "b", "c"):
        pages.save(first, "piece", title=name)
    pages.sync(first)
    second.evaluate(
        """() => {
          window.put = IDBObjectStore.prototype.put;
          let count = 0;
          IDBObjectStore.prototype.put = function (...args) {
            if (this.name === 'records' && (count += 1) === 2) throw new Error('disk gone');
            return put.apply(this, args);
          };
        }"""
    )
    assert pages.sync(second)["state"] == "trouble"
    assert pages.meta(second, "cursor") == cursor
    assert [r for r in pages.stored(second, "records") if r["type"] == "piece"] == []
    second.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")
    assert pages.sync(second)["state"] == "home"
    assert pages.titles(second) == ["a", "b", "c"]


def test_i5_a_push_does_not_skip_what_others_wrote(first: Page, second: Page) -> None:
    for n in range(30):
        pages.save(second, "piece", title=f"other {n:02}")
    pages.sync(second)
    for n in range(30):
        pages.save(first, "piece", title=f"own {n:02}")
    pages.sync(first)
    pages.sync(second)
    assert len(pages.titles(first)) == 60
    assert pages.titles(first) == pages.titles(second)


def test_i6_an_edit_made_while_its_older_version_is_in_flight_survives(
    first: Page, second: Page, wire: Proxy
) -> None:
    id = pages.save(first, "piece", title="First")
    wire.spoil("delay:700")
    with first.expect_request("**/api/sync"):
        first.evaluate("() => { window.round = h.syncNow(); }")
    pages.save(first, "piece", id, title="Second")
    wire.mode = "pass"
    first.evaluate("() => window.round")
    found = pages.record(first, "piece", id)
    assert found is not None
    assert found["title"] == "Second"
    pages.sync(first)
    pages.sync(second)
    assert pages.titles(second) == ["Second"]
    assert pages.status(first)["unsent"] == 0


def test_i7_one_refused_change_is_set_aside_and_those_behind_it_go_on(
    first: Page, second: Page
) -> None:
    id = pages.save(first, "piece", title="Kept", count=4)
    pages.sync(first)
    pages.save(first, "piece", id, count=5)
    put_in_outbox(first, "entry.change.fields.count = -5")
    pages.save(first, "piece", title="Behind it")
    after = pages.sync(first)
    assert (after["state"], after["unsent"]) == ("home", 0)
    (refused,) = first.evaluate("() => h.refused()")
    assert refused["change"]["fields"] == {"count": -5}
    assert refused["details"][0]["path"] == "count"
    found = pages.record(first, "piece", id)
    assert found is not None
    assert found["count"] == 4, "the phone shows what home has"
    pages.sync(second)
    assert pages.titles(second) == ["Behind it", "Kept"]


def refuse_pages(page: Page, phone: BrowserContext, holding: str, message: str) -> None:
    """From now on every page of the outbox that holds this text is refused as a whole."""
    body = f'{{"code": "bad_field", "message": "{message}", "details": []}}'

    def answer(route: Route) -> None:
        if holding in (route.request.post_data or ""):
            route.fulfill(status=422, content_type="application/json", body=body)
        else:
            route.continue_()

    page.evaluate("() => { window.CompressionStream = undefined; }")
    phone.route("**/api/sync", answer)


@pytest.mark.parametrize("whole", [False, True], ids=["by outcome", "whole page"])
def test_i7_of_edits_that_travel_as_one_only_the_bad_one_is_set_aside(
    first: Page, phone: BrowserContext, whole: bool
) -> None:
    id = pages.save(first, "piece", title="Chest", count=4)
    pages.sync(first)
    pages.save(first, "piece", id, title="Oak chest")
    pages.save(first, "piece", id, count=5)
    put_in_outbox(first, "entry.change.fields.count = -5")
    pages.save(first, "piece", id, note="Left by the door")

    if whole:
        refuse_pages(first, phone, '"count":-5', "no minus")
    after = pages.sync(first)
    assert (after["state"], after["unsent"]) == ("home", 0)
    (refused,) = first.evaluate("() => h.refused()")
    assert refused["change"]["fields"] == {"count": -5}
    found = pages.record(first, "piece", id)
    assert found is not None
    assert (found["title"], found["count"], found["note"]) == ("Oak chest", 4, "Left by the door")


def test_i7_what_is_refused_falls_back_to_what_home_has_by_then(first: Page, second: Page) -> None:
    id = pages.save(first, "piece", title="Kept", count=4)
    pages.sync(first)
    pages.sync(second)
    pages.save(second, "piece", id, count=6)
    pages.sync(second)
    pages.save(first, "piece", id, count=5)
    put_in_outbox(first, "entry.change.fields.count = -5")
    pages.sync(first)
    assert pages.row(first, "piece", id) == pages.row(second, "piece", id)


def test_i7_a_whole_page_refused_is_halved_until_the_bad_change_is_alone(
    first: Page, phone: BrowserContext
) -> None:
    for n in range(5):
        pages.save(first, "piece", title=f"piece {n}")

    refuse_pages(first, phone, "piece 3", "no threes")
    after = pages.sync(first)
    assert (after["state"], after["unsent"]) == ("home", 0)
    (refused,) = first.evaluate("() => h.refused()")
    assert (refused["change"]["fields"]["title"], refused["message"]) == ("piece 3", "no threes")
    assert pages.titles(first) == ["piece 0", "piece 1", "piece 2", "piece 4"]


def test_i7_a_revoked_phone_keeps_its_unsent_work(first: Page, second: Page) -> None:
    pages.save(first, "piece", title="Not yet home")
    device = first.evaluate("() => h.device")
    second.evaluate("device => h.api(`/api/devices/${device}`, { method: 'DELETE' })", device)
    after = pages.sync(first)
    assert (after["state"], after["unsent"]) == ("revoked", 1)
    assert pages.titles(first) == ["Not yet home"]


@pytest.mark.parametrize("status", [400, 403, 404, 413, 429, 500, 502])
def test_i7_no_answer_of_another_kind_empties_the_queue(
    first: Page, phone: BrowserContext, status: int
) -> None:
    pages.save(first, "piece", title="Stays")
    first.evaluate("() => { h.engine.exchange.helloAt = -Infinity; }")
    phone.route(
        "**/api/**",
        lambda route: route.fulfill(status=status, content_type="text/html", body="<p>no</p>"),
    )
    assert pages.sync(first)["unsent"] == 1
    phone.unroute("**/api/**")
    assert pages.sync(first)["unsent"] == 0


def test_erasing_reaches_home_and_the_other_phone(first: Page, second: Page) -> None:
    id = pages.save(first, "inquiry", at="2026-05-01T10:00:00.000Z", on="2026-05-01", name="Ada")
    pages.sync(first)
    pages.sync(second)
    pages.save(second, "inquiry", id, contact="Ada's number")
    first.evaluate("id => h.erase('inquiry', id)", id)
    pages.sync(first)
    pages.sync(second)
    assert "Ada" not in str(pages.stored(second, "records")) + str(pages.stored(second, "outbox"))
    assert pages.sync(first)["unsent"] == 0
    assert pages.record(first, "inquiry", id) is None
