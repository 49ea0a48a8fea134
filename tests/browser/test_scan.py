"""Scanning with the camera of a phone: what it sees is read, bound and comes home."""

from __future__ import annotations

from playwright.sync_api import expect

from helpers import browser as browsers
from helpers import camera
from helpers.camera import Camera
from helpers.desk import DeskHome
from helpers.scanning import CODE, OTHER, SHOWN, paired, picture, piece, scan, tag, write


def test_a_tag_before_the_camera_shows_its_piece_and_what_comes_next(
    home: DeskHome, lens: Camera
) -> None:
    still = camera.still([(picture(home), (640, 360), 300)], turned=17)
    lens.show(still)
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        (table,) = write(page, piece("Oak side table"))
        write(page, tag(CODE, table))
        scan(page)
        card = page.get_by_role("region", name="Oak side table")
        expect(card.get_by_role("heading", name="Oak side table")).to_be_visible()
        first = card.get_by_role("link").first
        expect(first).to_have_text("Start work on it")
        expect(page.get_by_label("Camera")).to_be_hidden()
        assert browsers.barriers(page) == []
        page.get_by_role("button", name="Scan the next").click()
        expect(card.get_by_role("heading", name="Oak side table")).to_be_visible()


def test_a_blank_tag_is_bound_by_scanning_and_comes_home(home: DeskHome, lens: Camera) -> None:
    lens.show(camera.still([(picture(home), (620, 380), 240)], turned=-9))
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        (table,) = write(page, piece("Oak side table"))
        scan(page)
        expect(page.get_by_text("A tag that is on no piece yet")).to_be_visible()
        expect(page.get_by_text(SHOWN)).to_be_visible()
        assert browsers.barriers(page) == []
        page.get_by_role("button", name="Oak side table").click()
        expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
        page.get_by_role("button", name="Undo").click()
        expect(page.get_by_text("A tag that is on no piece yet")).to_be_visible()
        page.get_by_role("button", name="Oak side table").click()
        expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
        page.evaluate("() => document.querySelector('crest-shell').household.syncNow()")
        page.wait_for_function(
            "() => document.querySelector('crest-shell').household.sync.unsent === 0"
        )
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        page.wait_for_function(
            "code => document.querySelector('crest-shell').household"
            ".where('tag', 'code', code).length",
            arg=CODE,
        )
        bound = page.evaluate(
            "code => document.querySelector('crest-shell').household"
            ".where('tag', 'code', code).map((tag) => tag.piece_id)",
            CODE,
        )
        assert bound == [table]


def test_of_two_tags_in_view_the_one_aimed_at_is_read(home: DeskHome, lens: Camera) -> None:
    tags = [(picture(home), (640, 360), 240), (picture(home, OTHER), (345, 130), 120)]
    lens.show(camera.still(tags))
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        scan(page)
        expect(page.get_by_text(SHOWN)).to_be_visible()


def test_two_tags_side_by_side_are_not_guessed_at(home: DeskHome, lens: Camera) -> None:
    tags = [(picture(home), (500, 360), 200), (picture(home, OTHER), (780, 360), 200)]
    lens.show(camera.still(tags))
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        scan(page)
        expect(page.get_by_text("Several tags in view: bring one into the square")).to_be_visible()
        assert browsers.barriers(page) == []
        expect(page.get_by_text("A tag that is on no piece yet")).to_be_hidden()


def test_the_camera_stops_when_the_scanner_was_left_and_when_the_page_hides(
    home: DeskHome, lens: Camera
) -> None:
    lens.show(camera.still([]))
    live = "() => document.querySelector('video')?.srcObject?.getTracks()[0].readyState === 'live'"
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        scan(page)
        page.wait_for_function(live)
        page.evaluate(
            """() => {
              window.track = document.querySelector('video').srcObject.getTracks()[0];
              Object.defineProperty(document, 'hidden', { value: true, configurable: true });
              document.dispatchEvent(new Event('visibilitychange'));
            }"""
        )
        assert page.evaluate("() => window.track.readyState") == "ended"
        page.evaluate(
            """() => {
              delete document.hidden;
              document.dispatchEvent(new Event('visibilitychange'));
            }"""
        )
        page.wait_for_function(live)
