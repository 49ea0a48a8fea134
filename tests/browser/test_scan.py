"""Scanning as a person does it: camera, picked picture, typed code; binding; checking a spot."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from crestrail.services.tags import tag_png, tag_url
from helpers import browser as browsers
from helpers import camera
from helpers.live import LiveServer

CODE = "K7M2Q9D46"
OTHER = "H4ZT8C2PA"
THIRD = "0000CHA1Q"
SHOWN = "K7M2-Q9D4-6"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[LiveServer]:
    """A household of its own for each test."""
    with LiveServer(tmp_path / "data") as live:
        yield live


def paired(context: BrowserContext, server: LiveServer) -> Page:
    """The app on a phone that was just added to the household."""
    page = context.new_page()
    answer = page.request.post(
        f"{server.url}/api/pair",
        data={"code": server.pairing_code(), "device": "00000000000000a1", "name": "phone"},
    )
    assert answer.ok, answer.text()
    page.goto(f"{server.url}/#/household")
    page.wait_for_function("() => document.querySelector('crest-shell')?.household")
    return page


def write(page: Page, *records: dict[str, object]) -> list[str]:
    """Save records as a screen would; their ids."""
    ids: list[str] = page.evaluate(
        """async (wanted) => {
          const { household } = document.querySelector('crest-shell');
          const moment = { at: household.now().toISOString(), on: household.today() };
          const changes = wanted.map(({ type, id, ...fields }) =>
            ({ type, id, fields: type === 'piece' ? { ...moment, ...fields } : fields }));
          return (await household.write(changes)).ids;
        }""",
        list(records),
    )
    return ids


def piece(title: str, bought: bool = True, **fields: object) -> dict[str, object]:
    """A piece in stock, or a find."""
    stock = {"opening_on": "2026-01-05", "opening_cost": 2000} if bought else {}
    return {"type": "piece", "kind": "side-table", "title": title, **stock, **fields}


def tag(code: str, piece_id: str) -> dict[str, object]:
    """A tag that is on a piece."""
    return {"type": "tag", "code": code, "piece_id": piece_id,
            "bound_at": "2026-02-01T10:00:00.000Z"}  # fmt: skip


def scan(page: Page, code: str = "") -> None:
    """Go to the scanner, and type a code there."""
    page.goto(page.url.split("#")[0] + "#/scan")
    if code:
        type_code(page, code)


def type_code(page: Page, code: str) -> None:
    """Type a code and look it up."""
    page.get_by_label("type the code").fill(code)
    page.get_by_role("button", name="Find it").click()


def picture(server: LiveServer, code: str = CODE) -> bytes:
    """The tag of a code."""
    return tag_png(tag_url(server.url, code), code)


def pick(page: Page, content: bytes, name: str = "tag.png", mime: str = "image/png") -> None:
    """Pick a picture from the phone."""
    file = {"name": name, "mimeType": mime, "buffer": content}
    page.get_by_label("Pick a picture").set_input_files(file)  # type: ignore[arg-type]


def as_png(image: object) -> bytes:
    """A picture as a PNG file."""
    out = BytesIO()
    image.save(out, "PNG")  # type: ignore[attr-defined]
    return out.getvalue()


def sound(page: Page, name: str, folder: Path) -> None:
    """No accessibility violation, in light and dark; pictures of both are kept for looking."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.screenshot(path=folder / f"{name}-{scheme}.png")
        assert browsers.axe_violations(page) == []
    page.emulate_media(color_scheme="light")


# --- through the camera


def test_a_tag_before_the_camera_shows_its_piece_and_what_comes_next(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    still = camera.still([(picture(server), (640, 360), 300)], turned=17)
    clip = camera.video(still, tmp_path)
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
        (table,) = write(page, piece("Oak side table"))
        write(page, tag(CODE, table))
        scan(page)
        card = page.get_by_role("region", name="Oak side table")
        expect(card.get_by_role("heading", name="Oak side table")).to_be_visible()
        first = card.get_by_role("link").first
        expect(first).to_have_text("Start work on it")
        expect(page.get_by_label("Camera")).to_be_hidden()
        sound(page, "piece", tmp_path)
        page.get_by_role("button", name="Scan the next").click()
        expect(card.get_by_role("heading", name="Oak side table")).to_be_visible()


def test_a_blank_tag_is_bound_by_scanning_and_comes_home(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    clip = camera.video(camera.still([(picture(server), (620, 380), 240)], turned=-9), tmp_path)
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
        (table,) = write(page, piece("Oak side table"))
        scan(page)
        expect(page.get_by_text("A tag that is on no piece yet")).to_be_visible()
        expect(page.get_by_text(SHOWN)).to_be_visible()
        sound(page, "blank", tmp_path)
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
    with browsers.launch(playwright) as another, browsers.phone(another) as phone:
        page = paired(phone, server)
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


def test_of_two_tags_in_view_the_one_aimed_at_is_read(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    tags = [(picture(server), (640, 360), 240), (picture(server, OTHER), (345, 130), 120)]
    clip = camera.video(camera.still(tags), tmp_path)
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
        scan(page)
        expect(page.get_by_text(SHOWN)).to_be_visible()


def test_two_tags_side_by_side_are_not_guessed_at(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    tags = [(picture(server), (500, 360), 200), (picture(server, OTHER), (780, 360), 200)]
    clip = camera.video(camera.still(tags), tmp_path)
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
        scan(page)
        expect(page.get_by_text("Several tags in view: bring one into the square")).to_be_visible()
        sound(page, "several", tmp_path)
        expect(page.get_by_text("A tag that is on no piece yet")).to_be_hidden()


def test_the_camera_stops_when_the_scanner_was_left_and_when_the_page_hides(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    clip = camera.video(camera.still([]), tmp_path)
    live = "() => document.querySelector('video')?.srcObject?.getTracks()[0].readyState === 'live'"
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
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


# --- without a camera


def test_a_phone_without_a_camera_says_so_and_goes_on(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = paired(phone, server)
    scan(page)
    expect(page.get_by_text("This device has no camera that can be used")).to_be_visible()
    sound(page, "no-camera", tmp_path)
    type_code(page, "k7m2 q9d4 6")
    expect(page.get_by_text(SHOWN)).to_be_visible()


def test_a_camera_that_was_denied_says_how_to_allow_it(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    with (
        browsers.launch(playwright, "--use-fake-device-for-media-stream") as chromium,
        browsers.phone(chromium) as phone,
    ):
        page = paired(phone, server)
        scan(page)
        expect(page.get_by_text("Crestrail may not use the camera")).to_be_visible()
        phone.grant_permissions(["camera"])
        page.get_by_role("button", name="Try the camera again").click()
        expect(page.get_by_text("Bring a tag into the square")).to_be_visible()


def test_a_picked_picture_is_read(server: LiveServer, phone: BrowserContext) -> None:
    page = paired(phone, server)
    scan(page)
    photo = camera.still([(picture(server), (300, 500), 180)], turned=33).resize((2600, 1462))
    pick(page, as_png(photo))
    expect(page.get_by_text(SHOWN)).to_be_visible()


@pytest.mark.parametrize(
    ("content", "words"),
    [("none", "No tag was found in that picture"), ("two", "There are 2 tags in that picture"),
     ("text", "could not be opened as a picture")],
)  # fmt: skip
def test_a_picture_that_cannot_be_read_says_why(
    server: LiveServer, phone: BrowserContext, content: str, words: str
) -> None:
    page = paired(phone, server)
    scan(page)
    two = [(picture(server), (400, 360), 240), (picture(server, OTHER), (900, 360), 240)]
    files = {
        "none": as_png(camera.still([])), "two": as_png(camera.still(two)), "text": b"no picture",
    }  # fmt: skip
    pick(page, files[content])
    expect(page.get_by_text(words)).to_be_visible()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{home}/t/K7M2Q9D45", "That tag could not be read right"),
        ("{home}/t/K7M2", "That tag could not be read right"),
        ("https://other.example/t/12", "It leads to other.example"),
        ("{home}/pair#AB-CDEF-GHJK", "That adds a phone, it is no tag"),
        ("javascript:alert(1)", "It holds some other text"),
        ("WIFI:S:garage;T:WPA;P:secret;;", "It holds some other text"),
    ],
)
def test_what_is_no_tag_of_ours_says_so_and_goes_nowhere(
    server: LiveServer, phone: BrowserContext, text: str, words: str
) -> None:
    page = paired(phone, server)
    scan(page)
    before = page.url
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    pick(page, tag_png(text.format(home=server.url), CODE))
    expect(page.get_by_text(words)).to_be_visible()
    assert page.url == before
    assert [url for url in asked if not url.startswith((server.url, "blob:"))] == []
    page.get_by_role("button", name="Scan the next").click()
    expect(page.get_by_text(words)).to_be_hidden()


def test_a_tag_printed_under_a_former_address_still_opens_its_piece(
    server: LiveServer, phone: BrowserContext
) -> None:
    page = paired(phone, server)
    (table,) = write(page, piece("Oak side table"))
    write(page, tag(CODE, table))
    scan(page)
    pick(page, tag_png(f"https://former.example/t/{CODE}", CODE))
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
    page.get_by_role("button", name="Scan the next").click()
    pick(page, tag_png(f"https://former.example/t/{OTHER}", OTHER))
    expect(page.get_by_text("Not a tag of this household")).to_be_visible()
    page.get_by_role("button", name="Use the code H4ZT-8C2P-A").click()
    expect(page.get_by_text("A tag that is on no piece yet")).to_be_visible()


def test_a_typed_code_is_checked_while_it_is_typed(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = paired(phone, server)
    (table,) = write(page, piece("Oak side table"))
    write(page, tag(CODE, table))
    scan(page)
    field = page.get_by_label("type the code")
    field.fill("K7M2")
    expect(page.get_by_text("4 of 9 so far")).to_be_visible()
    field.fill("K7M2-Q9D4-5")
    expect(page.get_by_text("does not fit the others")).to_be_visible()
    sound(page, "typed-wrong", tmp_path)
    page.get_by_role("button", name=SHOWN).click()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()


def test_a_code_bound_by_two_phones_shows_both_pieces(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = paired(phone, server)
    table, chair = write(page, piece("Oak side table"), piece("Cane chair"))
    write(page, tag(CODE, table), tag(CODE, chair))
    scan(page, CODE)
    expect(page.get_by_text("This tag is bound to 2 pieces")).to_be_visible()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
    expect(page.get_by_role("heading", name="Cane chair")).to_be_visible()
    sound(page, "two-bindings", tmp_path)
    page.get_by_role("button", name="Take the tag off Cane chair").click()
    expect(page.get_by_text("This tag is bound to")).to_be_hidden()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("This tag is bound to 2 pieces")).to_be_visible()


def test_a_blank_tag_begins_a_find(server: LiveServer, phone: BrowserContext) -> None:
    page = paired(phone, server)
    scan(page, CODE)
    page.get_by_role("button", name="New find with this tag").click()
    page.wait_for_url("**/#/pieces/*")
    scan(page, CODE)
    expect(
        page.get_by_role("region", name="Piece without a name").get_by_role("link").first
    ).to_have_text("Price this find")


def test_pieces_without_a_tag_come_first_and_can_be_searched(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = paired(phone, server)
    ids = write(page, *[piece(f"Chair {n:02}") for n in range(12)], piece("Desk, already tagged"))
    write(page, tag(OTHER, ids[-1]))
    scan(page, CODE)
    rows = page.locator("scan-bind .row-title")
    expect(rows).to_have_count(8)
    assert "Desk, already tagged" not in rows.all_inner_texts()
    page.get_by_label("Search your pieces").fill("desk")
    expect(rows).to_have_text(["Desk, already tagged"])
    expect(page.get_by_text("has a tag already")).to_be_visible()
    page.get_by_label("Search your pieces").fill("no such thing")
    expect(page.get_by_text("No piece of that name.")).to_be_visible()


# --- a tag's page, as the phone's own camera app opens it


def test_a_tag_opened_by_a_stranger_shows_its_code_in_large_letters(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = phone.new_page()
    page.goto(f"{server.url}/t/{CODE}")
    expect(page.get_by_text(SHOWN)).to_be_visible()
    expect(page.get_by_text("Open Crestrail from your home screen")).to_be_visible()
    sound(page, "landing", tmp_path)
    page.evaluate("() => navigator.serviceWorker.ready")
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    server.stop()
    page.goto(f"{server.url}/t/{OTHER}")
    expect(page.get_by_text("H4ZT-8C2P-A")).to_be_visible()


def test_a_wrong_code_in_the_address_is_called_wrong(
    server: LiveServer, phone: BrowserContext
) -> None:
    page = phone.new_page()
    page.goto(f"{server.url}/t/K7M2Q9D45")
    expect(page.get_by_text("This is not a tag’s code")).to_be_visible()


def test_a_tag_opened_where_the_household_is_shows_the_piece_offline_too(
    server: LiveServer, phone: BrowserContext
) -> None:
    page = paired(phone, server)
    (table,) = write(page, piece("Oak side table"))
    write(page, tag(CODE, table))
    page.evaluate("() => navigator.serviceWorker.ready")
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    server.stop()
    page.goto(f"{server.url}/t/{CODE}")
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()


# --- a stock check


def test_a_stock_check_tells_found_missing_and_what_belongs_elsewhere(
    server: LiveServer, phone: BrowserContext, tmp_path: Path
) -> None:
    page = paired(phone, server)
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
    page.screenshot(path=tmp_path / "flash.png")
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
    sound(page, "stock", tmp_path)

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


def test_a_stock_check_reads_the_camera_and_answers_over_the_whole_screen(
    server: LiveServer, playwright: Playwright, tmp_path: Path
) -> None:
    clip = camera.video(camera.still([(picture(server), (640, 360), 280)]), tmp_path)
    with camera.looking_at(playwright, clip) as chromium, browsers.phone(chromium) as phone:
        page = paired(phone, server)
        (garage,) = write(page, {"type": "spot", "name": "Garage"})
        (table,) = write(page, piece("Oak side table", spot_id=garage))
        write(page, tag(CODE, table))
        page.goto(f"{server.url}/#/scan")
        expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
        page.get_by_label("Stock check").check()
        page.get_by_label("Which spot?").select_option("Garage")
        box = page.locator(".scan-flash").bounding_box(timeout=10_000)
        assert box is not None
        assert (box["width"], box["height"]) == (390, 844)
        expect(page.get_by_text("1 of 1 found")).to_be_visible()


def test_a_stock_check_without_spots_says_what_to_do_first(
    server: LiveServer, phone: BrowserContext
) -> None:
    page = paired(phone, server)
    scan(page)
    page.get_by_label("Stock check").check()
    expect(page.get_by_text("No spots yet")).to_be_visible()
