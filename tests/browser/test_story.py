"""The main job, end to end, in one go: priced and saved with no signal, home by sync, sold."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright, expect

from crestrail.basis.rounding import half_up
from crestrail.services.tags import tag_png, tag_url
from helpers import browser as browsers
from helpers import camera, story
from helpers.live import LiveServer
from helpers.proxy import Proxy

CODE = "K7M2Q9D46"
PAID, PRICE, FEE = 1500, 6400, 300
SET_BACK_MINUTES = 40
"""The stint's start is moved back by so much: nobody waits for real."""


def test_a_find_goes_from_the_driveway_to_the_ledger(
    live_server: LiveServer, playwright: Playwright, chromium: Browser, tmp_path: Path
) -> None:
    tag = tag_png(tag_url(live_server.url, CODE), CODE)
    clip = camera.video(camera.still([(tag, (640, 360), 300)], turned=11), tmp_path)
    with (
        camera.looking_at(playwright, clip) as with_camera,
        browsers.phone(with_camera) as first,
        browsers.phone(chromium) as second,
    ):
        page = first.new_page()
        story.pair_by_link(page, live_server)
        story.settled_offline(page)
        live_server.kill()

        in_the_driveway(page)
        live_server.start()
        story.everything_home(page)
        expect(page.locator(".status-pill")).to_have_text(re.compile(r"^\s*Home"))

        other = second.new_page()
        story.pair_by_link(other, live_server)
        a_second_phone_shows_it(other, live_server)
        story.settled_offline(page)
        page = on_the_bench(page)
        sold(page)
        the_ledger_is_right_to_the_cent(page)


def in_the_driveway(page: Page) -> None:
    """With the server gone: reload, price, photograph, buy, bind a tag, pass on another."""
    page.reload()
    story.go(page, "sale")
    story.buy(page, "Bench", ask="20", paid="15")
    story.go(page, "scan")
    expect(page.get_by_text("A tag that is on no piece yet")).to_be_visible()
    page.locator("button.scan-choose").first.tap()
    expect(page.get_by_text("Start work on it")).to_be_visible()
    story.go(page, "sale")
    story.pass_on(page, "Side chair", ask="80")
    waiting = story.unsent(page)
    assert waiting > 0
    expect(page.locator(".status-pill")).to_contain_text(f"{waiting + 1} to send")  # and the photo


def a_second_phone_shows_it(page: Page, server: LiveServer) -> None:
    """Everything is there, and the picture at home holds no position."""
    purchase = story.one(page, "purchase")
    assert (purchase["total"], purchase["ask"]) == (PAID, 2000)
    piece = story.one(page, "piece", purchase_id=purchase["id"])
    assert story.one(page, "tag", code=CODE)["piece_id"] == piece["id"]
    assert story.one(page, "piece", kind="side-chair")["passed_at"]
    photo = story.one(page, "photo", piece_id=piece["id"])
    answer = page.request.get(f"{server.url}/api/photos/{photo['sha256']}")
    assert answer.ok
    assert b"Exif" not in answer.body()
    assert (photo["width"], photo["height"]) == (1600, 1067)
    story.go(page, "pieces")
    row = page.locator("screen-pieces a.row").first
    expect(row).to_contain_text("Bought")
    expect(row.locator("img")).to_be_visible()


def on_the_bench(page: Page) -> Page:
    """Scan it, time the work over a closed page, tick a step, ready; the page opened again."""
    story.go(page, "scan")
    page.get_by_role("link", name="Start work on it").tap()
    page.get_by_role("button", name="Start the timer").tap()
    expect(page.get_by_role("timer")).to_be_visible()
    stint = story.one(page, "stint")
    page.evaluate(
        """([id, started, minutes]) => document.querySelector('crest-shell').household.write([{
          type: 'stint', id, fields: { started_at:
            new Date(Date.parse(started) - minutes * 60000).toISOString() } }])""",
        [stint["id"], stint["started_at"], SET_BACK_MINUTES],
    )
    page = story.closed_and_opened(page)
    expect(page.get_by_role("timer")).to_contain_text(re.compile(r"^0:4\d:"))
    page.get_by_role("button", name="Stop", exact=True).tap()
    page.get_by_label("Add a step").select_option(index=1)
    page.locator(".tick").get_by_role("checkbox").check()
    expect(page.locator("crest-toast")).to_contain_text("is done")
    page.get_by_role("button", name="It is ready").tap()
    expect(page.locator("crest-toast")).to_contain_text("Ready")
    return page


def sold(page: Page) -> None:
    """List it, then sell it with a fee."""
    piece = story.one(page, "tag", code=CODE)["piece_id"]
    story.go(page, f"pieces/{piece}?do=list")
    page.get_by_label("Asking price").fill("70")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.locator("crest-toast")).to_contain_text("asking price is set")
    story.go(page, f"pieces/{piece}?do=sell")
    page.get_by_label("They pay", exact=True).fill("64")
    page.get_by_label("Fee", exact=True).fill("3")
    page.get_by_role("button", name="Save the sale").tap()
    expect(page.locator("crest-toast")).to_contain_text("Sold for $64")


def the_ledger_is_right_to_the_cent(page: Page) -> None:
    """What came in less what went out, and the pay of an hour, by arithmetic of our own."""
    stint = story.one(page, "stint")
    started, stopped = (
        datetime.fromisoformat(stint[name]).astimezone(UTC) for name in ("started_at", "stopped_at")
    )
    minutes = half_up(int((stopped - started).total_seconds()), 60)
    assert stint["minutes"] == minutes >= SET_BACK_MINUTES
    clear = PRICE - FEE - PAID
    an_hour = half_up(clear * 60, minutes)
    story.go(page, "ledger")
    line = page.locator("screen-ledger tbody tr").first
    cells = line.locator("td")
    expect(cells.nth(0)).to_have_text("$64")
    expect(cells.nth(2)).to_have_text(f"${clear // 100}")
    expect(cells.nth(3)).to_have_text(f"{minutes} min")
    whole, cents = divmod(an_hour, 100)
    expect(cells.nth(4)).to_have_text(f"${whole}.{cents:02d}" if cents else f"${whole}")


def test_a_push_cut_off_in_the_middle_arrives_once(
    live_server: LiveServer, chromium: Browser
) -> None:
    with browsers.phone(chromium) as context, Proxy(live_server.port) as wire:
        page = context.new_page()
        page.goto(f"{wire.url}/pair#{live_server.pairing_code()}")
        page.get_by_role("button", name=re.compile("Add this")).click()
        page.wait_for_function("() => document.querySelector('crest-shell')?.household?.book")
        story.settled_offline(page)
        wire.spoil("refuse")
        story.go(page, "sale")
        story.buy(page, "Bench", ask="20", paid="15")
        story.pass_on(page, "Side chair", ask="80")
        wire.spoil("eat_reply")
        page.evaluate("() => document.querySelector('crest-shell').household.syncNow()")
        assert story.unsent(page) > 0
        live_server.kill()
        live_server.start()
        wire.spoil("pass")
        story.everything_home(page)
    with browsers.phone(chromium) as context:
        other = context.new_page()
        story.pair_by_link(other, live_server)
        assert story.one(other, "purchase")["total"] == PAID
        assert story.one(other, "photo")["sha256"]
        assert len({p["kind"] for p in story_pieces(other)}) == len(story_pieces(other)) == 2


def story_pieces(page: Page) -> list[dict[str, str]]:
    """All live pieces on this phone."""
    found: list[dict[str, str]] = page.evaluate(
        "() => document.querySelector('crest-shell').household.all('piece')"
    )
    return found
