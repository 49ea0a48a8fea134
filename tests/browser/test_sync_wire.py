"""The real client over a network that is spoilt on purpose, and beside its neighbours."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from helpers import household_page as pages
from helpers.desk import Desk
from helpers.live import LiveServer
from helpers.proxy import Proxy

Admit = Callable[..., Page]


def test_i11_the_queue_drains_by_itself_when_the_network_is_back(
    phone: BrowserContext, second: Page, admit: Admit, wire: Proxy
) -> None:
    page = admit(phone, sync=True)
    page.wait_for_function("() => h.sync.state === 'home'")
    wire.spoil("refuse")
    pages.save(page, "piece", title="Waits")
    page.wait_for_function("() => h.sync.state === 'away'")
    assert page.evaluate("() => navigator.onLine") is True
    found = pages.status(page)
    assert found["unsent"] == 1
    assert abs(found["oldestUnsentAt"] - time.time() * 1000) < 30_000
    wire.spoil("pass")
    page.wait_for_function("() => h.sync.state === 'home' && h.sync.unsent === 0", timeout=20_000)
    pages.sync(second)
    assert pages.titles(second) == ["Waits"]


def test_i11_a_network_that_swallows_everything_ends_in_away_not_in_waiting(
    first: Page, wire: Proxy
) -> None:
    pages.save(first, "piece", title="Waits")
    wire.spoil("blackhole")
    first.evaluate(
        "() => { const old = AbortSignal.timeout; AbortSignal.timeout = () => old(800); }"
    )
    start = time.monotonic()
    assert pages.sync(first)["state"] == "away"
    assert time.monotonic() - start < 10
    assert pages.status(first)["unsent"] == 1


def test_a_login_page_in_between_is_no_answer(first: Page, phone: BrowserContext) -> None:
    pages.save(first, "piece", title="Waits")
    phone.route(
        "**/api/**",
        lambda route: route.fulfill(status=200, content_type="text/html", body="<p>Sign in</p>"),
    )
    found = pages.sync(first)
    assert (found["state"], found["unsent"]) == ("away", 1)


def test_a_lost_answer_is_asked_again_and_written_once(
    first: Page, second: Page, wire: Proxy
) -> None:
    id = pages.save(first, "piece", title="Once", ask=1000)
    wire.spoil("eat_reply")
    lost = pages.sync(first)
    assert (lost["state"], lost["unsent"]) == ("away", 1)
    wire.spoil("pass")
    pages.save(first, "piece", id, note="written after the loss")
    assert pages.sync(first)["unsent"] == 0
    pages.sync(second)
    assert pages.titles(second) == ["Once"]
    found = second.evaluate("id => h.api(`/api/history/piece/${id}`)", id)
    assert sorted(e["group"] for e in found["entries"]) == ["ask", "note", "title", "when"]


@pytest.mark.parametrize("length", [1, 40, 300])
def test_an_answer_that_breaks_off_is_no_answer(first: Page, wire: Proxy, length: int) -> None:
    for n in range(40):
        pages.save(first, "piece", title=f"piece {n}", note="x" * 100)
    wire.spoil(f"cut:{length}")
    assert pages.sync(first)["unsent"] == 40
    wire.spoil("pass")
    assert pages.sync(first)["unsent"] == 0
    assert len(pages.titles(first)) == 40


def test_the_outbox_never_goes_to_another_household(
    first: Page, phone: BrowserContext, desk: Desk, wire: Proxy, tmp_path: Path
) -> None:
    pages.save(first, "piece", title="Ours")
    with LiveServer(tmp_path / "neighbour") as neighbour:
        wire.target = neighbour.port
        wire.cut_all()
        theirs = pages.paired(phone, wire.url, neighbour.pairing_code())
        first.evaluate("() => { h.engine.exchange.helloAt = -Infinity; }")
        found = pages.sync(first)
        assert (found["state"], found["unsent"]) == ("trouble", 1)
        assert "another household" in found["message"]
        pages.sync(theirs)
        assert pages.titles(theirs) == []
    wire.target = desk.server.port
    wire.cut_all()
    assert pages.sync(first)["unsent"] == 0


def test_two_tabs_sync_one_at_a_time_and_both_know_how_things_stand(
    first: Page, phone: BrowserContext, wire: Proxy
) -> None:
    tab = pages.opened(phone, wire.url)
    running = {"now": 0, "most": 0}

    def began(request: object) -> None:
        if str(request.url).endswith("/api/sync"):  # type: ignore[attr-defined]
            running["now"] += 1
            running["most"] = max(running["most"], running["now"])

    def ended(request: object) -> None:
        if str(request.url).endswith("/api/sync"):  # type: ignore[attr-defined]
            running["now"] -= 1

    for one in (first, tab):
        one.on("request", began)
        one.on("requestfinished", ended)
    for n in range(20):
        pages.save(first if n % 2 else tab, "piece", title=f"piece {n}")
    for one in (first, tab):
        one.evaluate("() => { window.round = h.syncNow(); }")
    for one in (first, tab):
        one.evaluate("() => window.round")
        one.wait_for_function("() => h.sync.unsent === 0 && h.sync.state === 'home'")
    assert running["most"] == 1
    assert pages.titles(tab) == pages.titles(first)
