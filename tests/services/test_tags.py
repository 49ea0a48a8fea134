"""Tags: the address they carry, the symbol, the words on a label, one tag as a picture."""

from __future__ import annotations

from io import BytesIO

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pyzbar import pyzbar

from crestrail.basis.errors import CrestrailError
from crestrail.services import label_text, tags

CODE = "K7M2Q9D46"
URL = f"https://workbench.example:8443/t/{CODE}"

MATRICES = st.integers(1, 9).flatmap(
    lambda side: st.lists(
        st.lists(st.booleans(), min_size=side, max_size=side), min_size=side, max_size=side
    )
)


def test_a_tag_carries_the_page_of_its_code_on_the_households_own_server() -> None:
    assert tags.tag_url("https://workbench.example:8443", CODE) == URL
    assert tags.tag_url("https://workbench.example:8443/", CODE) == URL


@pytest.mark.parametrize(
    ("canonical", "asked_at", "printed"),
    [
        ("https://bench.local:8443", "https://bench.local:8443", "https://bench.local:8443"),
        ("https://bench.local:8443", "http://127.0.0.1:8765", "https://bench.local:8443"),
        ("https://bench.local:8443", "https://192.168.4.20:8443", "https://bench.local:8443"),
    ],
)
def test_tags_carry_the_canonical_address_wherever_they_are_asked_for(
    canonical: str, asked_at: str, printed: str
) -> None:
    assert tags.origin_for_tags(canonical, asked_at) == tags.Origin(printed)


@pytest.mark.parametrize(
    ("canonical", "asked_at"),
    [
        (None, "http://localhost:8765"),
        (None, "http://127.0.0.1:8765"),
        (None, "http://[::1]:8765"),
        (None, "http://crestrail.localhost:8765"),
        ("http://localhost:8765", "http://localhost:8765"),
    ],
)
def test_a_household_on_this_computer_only_gets_tags_that_say_so(
    canonical: str | None, asked_at: str
) -> None:
    origin = tags.origin_for_tags(canonical, asked_at)
    assert origin.url == asked_at
    assert "this computer only" in origin.note
    assert "code typed in" in origin.note


@pytest.mark.parametrize(
    ("canonical", "asked_at"),
    [
        (None, "http://192.168.4.20:8765"),
        (None, "https://[fe80::1]:8443"),
        (None, "https://some-name.example"),
        ("https://192.168.4.20:8443", "https://192.168.4.20:8443"),
        (None, ""),
    ],
)
def test_no_tags_under_an_address_that_may_change(canonical: str | None, asked_at: str) -> None:
    with pytest.raises(CrestrailError) as refused:
        tags.origin_for_tags(canonical, asked_at)
    assert refused.value.code == "wrong_host"
    assert "for years" in refused.value.details[0]["message"]


@given(MATRICES)
def test_the_rectangles_cover_every_dark_module_once_and_no_light_one(
    matrix: list[list[bool]],
) -> None:
    covered = [[0] * len(matrix) for _ in matrix]
    for rect in tags.dark_rectangles(matrix):
        for y in range(rect.y, rect.y + rect.height):
            for x in range(rect.x, rect.x + rect.width):
                covered[y][x] += 1
    assert covered == [[int(dark) for dark in row] for row in matrix]


def test_merging_leaves_fewer_shapes_than_half_the_dark_modules() -> None:
    matrix = tags.qr_matrix(URL)
    assert len(tags.dark_rectangles(matrix)) < sum(map(sum, matrix)) / 2


def test_the_picture_of_a_tag_is_read_by_two_independent_decoders() -> None:
    picture = Image.open(BytesIO(tags.tag_png(URL, CODE))).convert("L")
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [URL]
    assert [found.data.decode() for found in pyzbar.decode(picture)] == [URL]


def test_the_picture_has_a_quiet_zone_of_four_modules_on_every_side() -> None:
    picture = Image.open(BytesIO(tags.tag_png(URL, CODE))).convert("L")
    modules = len(tags.qr_matrix(URL))
    side = (modules + 8) * tags.PIXELS_PER_MODULE
    upper = picture.crop((0, 0, side, side - 1)).point(lambda grey: 255 - grey).getbbox()
    quiet = 4 * tags.PIXELS_PER_MODULE
    assert upper == (quiet, quiet, side - quiet, side - quiet)
    letters = picture.crop((0, side, side, picture.height)).point(lambda grey: 255 - grey)
    left, top, right, bottom = letters.getbbox() or (0, 0, 0, 0)
    assert (right - left) > side / 2, "the code stands below in letters"
    assert left > 0, "no letter is cut off"
    assert right < side
    assert top > 0
    assert bottom < letters.height


def test_the_picture_prints_with_modules_of_half_a_millimetre() -> None:
    picture = Image.open(BytesIO(tags.tag_png(URL, CODE)))
    dots_per_mm = picture.info["dpi"][0] / 25.4
    assert tags.PIXELS_PER_MODULE / dots_per_mm == pytest.approx(0.5, abs=1e-3)


@pytest.mark.parametrize(
    ("title", "drawn"),
    [
        ("Oak side table", "Oak side table"),
        ("  Oak\n side\ttable ", "Oak side table"),
        ("Küchenstuhl, grün – „schön“", "Küchenstuhl, grün – „schön“"),
        ("Ścianka z Gdańska", "Scianka z Gdanska"),
        ("Cafe\u0301 table", "Café table"),
        ("Chair 椅子", "Chair ??"),
        ("Старый стол", ""),
        ("椅子", ""),
        ("", ""),
    ],
)
def test_letters_the_font_lacks_lose_their_accent_or_become_a_question_mark(
    title: str, drawn: str
) -> None:
    assert label_text.drawable(title) == drawn


@given(st.text(max_size=120), st.sampled_from([(22.0, 18.5), (23.0, 2.6), (40.0, 28.0)]))
def test_a_title_always_fits_its_room(title: str, room: tuple[float, float]) -> None:
    fitted = label_text.fit(title, label_text.PLAIN, room, 9)
    assert all(label_text.width(line, fitted.font, fitted.points) <= room[0] + 1e-9
               for line in fitted.lines)  # fmt: skip
    assert label_text.height(fitted) <= room[1] + 1e-9


def test_a_long_title_is_made_smaller_and_only_then_cut_with_an_ellipsis() -> None:
    title = "Set of six cane-seat dining chairs, ladder back, two with arms"
    roomy = label_text.fit(title, label_text.PLAIN, (22, 18.5), 9)
    assert " ".join(roomy.lines) == title
    assert roomy.points < 9
    tight = label_text.fit(title, label_text.PLAIN, (23, 2.6), 9)
    assert tight.lines[0].startswith("Set of six")
    assert tight.lines[0].endswith("…")
    assert len(tight.lines) == 1
