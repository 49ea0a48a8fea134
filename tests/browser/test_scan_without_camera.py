"""Picked pictures and typed codes, and what is said when there is no camera or no tag of ours."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from crestrail.services.tags import tag_png
from helpers import browser as browsers
from helpers import camera, story
from helpers.desk import Desk, DeskHome, furnished
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
    tag,
    type_code,
    write,
)

EMPTY = """async () => {
  const { household } = document.querySelector('crest-shell');
  const all = ['piece', 'tag'].flatMap((type) =>
    household.all(type).map(({ id }) => ({ type, id })));
  if (all.length) {
    await household.write(all.map((one) => ({ ...one, fields: { deleted: true } })));
  }
}"""


@pytest.fixture(scope="module")
def home(desk: Desk) -> DeskHome:
    """One household for all these tests."""
    return furnished(desk)


@pytest.fixture(scope="module")
def one_page(home: DeskHome, chromium: Browser) -> Iterator[Page]:
    """One phone without a camera for all these tests."""
    with browsers.phone(chromium) as phone:
        yield paired(phone, home)


@pytest.fixture
def page(one_page: Page) -> Page:
    """The phone away from the scanner, with no piece and no tag on it."""
    one_page.evaluate(EMPTY)
    story.go(one_page, "household")
    one_page.locator("screen-household").wait_for()
    return one_page


def test_a_phone_without_a_camera_says_so_and_goes_on(page: Page) -> None:
    scan(page)
    expect(page.get_by_text("This device has no camera that can be used")).to_be_visible()
    assert browsers.barriers(page) == []
    type_code(page, "k7m2 q9d4 6")
    expect(page.get_by_text(SHOWN)).to_be_visible()


def test_a_camera_that_was_denied_says_how_to_allow_it(
    home: DeskHome, playwright: Playwright
) -> None:
    with (
        browsers.launch(playwright, "--use-fake-device-for-media-stream") as chromium,
        browsers.phone(chromium) as phone,
    ):
        page = paired(phone, home)
        scan(page)
        expect(page.get_by_text("Crestrail may not use the camera")).to_be_visible()
        phone.grant_permissions(["camera"])
        page.get_by_role("button", name="Try the camera again").click()
        expect(page.get_by_text("Bring a tag into the square")).to_be_visible()


def test_a_picked_picture_is_read(home: DeskHome, page: Page) -> None:
    scan(page)
    photo = camera.still([(picture(home), (300, 500), 180)], turned=33).resize((2600, 1462))
    pick(page, as_png(photo))
    expect(page.get_by_text(SHOWN)).to_be_visible()


@pytest.mark.parametrize(
    ("content", "words"),
    [("none", "No tag was found in that picture"), ("two", "There are 2 tags in that picture"),
     ("text", "could not be opened as a picture")],
)  # fmt: skip
def test_a_picture_that_cannot_be_read_says_why(
    home: DeskHome, page: Page, content: str, words: str
) -> None:
    scan(page)
    two = [(picture(home), (400, 360), 240), (picture(home, OTHER), (900, 360), 240)]
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
    home: DeskHome, page: Page, text: str, words: str
) -> None:
    scan(page)
    before = page.url
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    pick(page, tag_png(text.format(home=home.url), CODE))
    expect(page.get_by_text(words)).to_be_visible()
    assert page.url == before
    assert [url for url in asked if not url.startswith((home.url, "blob:"))] == []
    page.get_by_role("button", name="Scan the next").click()
    expect(page.get_by_text(words)).to_be_hidden()


def test_a_tag_printed_under_a_former_address_still_opens_its_piece(page: Page) -> None:
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


def test_a_typed_code_is_checked_while_it_is_typed(page: Page) -> None:
    (table,) = write(page, piece("Oak side table"))
    write(page, tag(CODE, table))
    scan(page)
    field = page.get_by_label("type the code")
    field.fill("K7M2")
    expect(page.get_by_text("4 of 9 so far")).to_be_visible()
    field.fill("K7M2-Q9D4-5")
    expect(page.get_by_text("does not fit the others")).to_be_visible()
    assert browsers.barriers(page) == []
    page.get_by_role("button", name=SHOWN).click()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()


def test_a_code_bound_by_two_phones_shows_both_pieces(page: Page) -> None:
    table, chair = write(page, piece("Oak side table"), piece("Cane chair"))
    write(page, tag(CODE, table), tag(CODE, chair))
    scan(page, CODE)
    expect(page.get_by_text("This tag is bound to 2 pieces")).to_be_visible()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
    expect(page.get_by_role("heading", name="Cane chair")).to_be_visible()
    assert browsers.barriers(page) == []
    page.get_by_role("button", name="Take the tag off Cane chair").click()
    expect(page.get_by_text("This tag is bound to")).to_be_hidden()
    expect(page.get_by_role("heading", name="Oak side table")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("This tag is bound to 2 pieces")).to_be_visible()


def test_a_blank_tag_begins_a_find(page: Page) -> None:
    scan(page, CODE)
    page.get_by_role("button", name="New find with this tag").click()
    page.wait_for_url("**/#/pieces/*")
    scan(page, CODE)
    expect(
        page.get_by_role("region", name="Piece without a name").get_by_role("link").first
    ).to_have_text("Price this find")


def test_pieces_without_a_tag_come_first_and_can_be_searched(page: Page) -> None:
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
