"""A spot checked against what should stand there, and a tag's page as a stranger sees it."""

from __future__ import annotations

from playwright.sync_api import BrowserContext, expect

from helpers import browser as browsers
from helpers import camera
from helpers.camera import Camera
from helpers.desk import DeskHome
from helpers.live import LiveServer
from helpers.scanning import (
    CODE,
    OTHER,
    SHOWN,
    THIRD,
    paired,
    picture,
    piece,
    scan,
    tag,
    type_code,
    write,
)


def test_a_tag_opened_by_a_stranger_shows_its_code_in_large_letters(
    live_server: LiveServer, phone: BrowserContext
) -> None:
    page = phone.new_page()
    page.goto(f"{live_server.url}/t/{CODE}")
    expect(page.get_by_text(SHOWN)).to_be_visible()
    expect(page.get_by_text("Open Crestrail from your home screen")).to_be_visible()
    assert browsers.barriers(page) == []
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    live_server.stop()
    page.goto(f"{live_server.url}/t/{OTHER}")
    expect(page.get_by_text("H4ZT-8C2P-A")).to_be_visible()


def test_a_wrong_code_in_the_address_is_called_wrong(home: DeskHome, phone: BrowserContext) -> None:
    page = phone.new_page()
    page.goto(f"{home.url}/t/K7M2Q9D45")
    expect(page.get_by_text("This is not a tag’s code")).to_be_visible()


def test_a_tag_opened_where_the_household_is_shows_the_piece_offline_too(
    live_server: LiveServer, phone: BrowserContext
) -> None:
    page = paired(phone, live_server)
    (table,) = write(page, piece("Oak side table"))
    write(page, tag(CODE, table))
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    live_server.stop()
    page.goto(f"{live_server.url}/t/{CODE}")
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()


def test_a_stock_check_tells_found_missing_and_what_belongs_elsewhere(
    home: DeskHome, phone: BrowserContext
) -> None:
    page = paired(phone, home)
    garage, shed = write(page, {"type": "spot", "name": "Garage, left wall"},
                         {"type": "spot", "name": "Shed"})  # fmt: skip
    table, chair, desk, _lamp = write(
        page, piece("Oak side table", spot_id=garage), piece("Cane chair", spot_id=garage),
        piece("Desk", spot_id=shed), piece("Lamp without a tag", spot_id=garage),
    )  # fmt: skip
    write(page, tag(CODE, table), tag(OTHER, chair), tag(THIRD, desk))
    scan(page)
    page.get_by_label("Stock check").check()
    page.get_by_label("Which spot?").select_option("Garage, left wall")
    expect(page.get_by_text("0 of 2 found")).to_be_visible()
    type_code(page, CODE)
    flash = page.locator(".scan-flash")
    expect(flash).to_contain_text("1 of 2")
    expect(flash).to_contain_text("Oak side table: stands here")
    expect(flash).to_be_hidden()
    type_code(page, CODE)
    expect(flash).to_contain_text("counted already")
    type_code(page, THIRD)
    expect(flash).to_contain_text("Desk: belongs elsewhere")
    expect(flash).to_be_hidden()
    type_code(page, "01234567B")
    expect(page.get_by_text("1 of 2 found, 1 from elsewhere")).to_be_visible()
    expect(page.get_by_role("heading", name="Missing so far (1)")).to_be_visible()
    expect(
        page.get_by_role("heading", name="Should stand here, but has no tag (1)")
    ).to_be_visible()
    assert browsers.barriers(page) == []

    page.reload()
    page.get_by_label("Stock check").check()
    expect(page.get_by_text("1 of 2 found, 1 from elsewhere")).to_be_visible()
    page.get_by_role("button", name="Let 1 piece stand here from now on").click()
    expect(page.get_by_text("2 of 3 found")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("1 of 2 found, 1 from elsewhere")).to_be_visible()
    page.get_by_role("button", name="Finish the check").click()
    expect(page.get_by_text("Checked: 1 of 2 found")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("1 of 2 found, 1 from elsewhere", exact=True)).to_be_visible()


SIZE_OF_THE_ANSWER = """() => {
  window.answered = new Promise((done) => {
    const seen = new MutationObserver(() => {
      const answer = document.querySelector('.scan-flash');
      if (!answer) return;
      seen.disconnect();
      const { width, height } = answer.getBoundingClientRect();
      done([width, height]);
    });
    seen.observe(document.body, { subtree: true, childList: true });
  });
}"""
"""Takes the measure of the answer when it comes: it goes again soon."""


def test_a_stock_check_reads_the_camera_and_answers_over_the_whole_screen(
    home: DeskHome, lens: Camera
) -> None:
    lens.show(camera.still([(picture(home), (640, 360), 280)]))
    with browsers.phone(lens.browser) as phone:
        page = paired(phone, home)
        (garage,) = write(page, {"type": "spot", "name": "Garage"})
        (table,) = write(page, piece("Oak side table", spot_id=garage))
        write(page, tag(CODE, table))
        page.goto(f"{home.url}/#/scan")
        expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
        page.get_by_label("Stock check").check()
        page.evaluate(SIZE_OF_THE_ANSWER)
        page.get_by_label("Which spot?").select_option("Garage")
        assert page.evaluate("() => window.answered") == [390, 844]
        expect(page.get_by_text("1 of 1 found")).to_be_visible()


def test_a_stock_check_without_spots_says_what_to_do_first(
    home: DeskHome, phone: BrowserContext
) -> None:
    page = paired(phone, home)
    scan(page)
    page.get_by_label("Stock check").check()
    expect(page.get_by_text("No spots yet")).to_be_visible()
