"""Picked pictures and typed codes, and what is said when there is no camera or no tag of ours."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Playwright, expect

from crestrail.services.tags import tag_png
from helpers import browser as browsers
from helpers import camera
from helpers.live import LiveServer
from helpers.scanning import (
    CODE,
    OTHER,
    SHOWN,
    as_png,
    paired,
    pick,
    picture,
    piece,
    scan,
    sound,
    tag,
    type_code,
    write,
)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[LiveServer]:
    """A household of its own for each test."""
    with LiveServer(tmp_path / "data") as live:
        yield live


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
