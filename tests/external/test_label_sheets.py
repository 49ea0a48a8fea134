"""Printed tags against the standard and against decoders that know nothing of us.

Sources: ISO/IEC 18004 (4 v + 17 modules a side, quiet zone of 4 modules, capacities, recovery
levels); GS1 General Specifications 5.12.3.1 (a module of 0.396 to 0.990 mm; a symbol of 29 modules
with its quiet zone is (29 + 8) x 0.396 = 14.652 mm wide); decoders zxing-cpp and pyzbar (ZBar),
both on pages drawn by poppler's pdftoppm at 300 dpi.
"""

from __future__ import annotations

import random
import re
import subprocess
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import new_tag_code
from crestrail.services import label_sheets as sheets
from crestrail.services import tags
from helpers.label_pages import DPI, pages_of, texts_on

ORIGIN = "https://workbench.local:8443"
TITLES = ["Oak side table", "", "Set of six cane-seat dining chairs, ladder back, two with arms"]

CAPACITY_M = [14, 26, 42, 62, 84, 106]
"""Bytes that a symbol of version 1 to 6 holds at level M (ISO/IEC 18004, table of capacities)."""

WIDTHS_MM = {21: 11.484, 25: 13.068, 29: 14.652, 33: 16.236, 37: 17.82, 41: 19.404}
"""Width with quiet zone at modules of 0.396 mm, by modules a side (from GS1, as above)."""


def _labels(count: int) -> list[sheets.Label]:
    """So many labels with codes of their own, the same at every run."""
    counted = random.Random(7)
    codes = [new_tag_code(counted.randbytes) for _ in range(count)]
    return [
        sheets.Label(code, tags.tag_url(ORIGIN, code), TITLES[k % len(TITLES)])
        for k, code in enumerate(codes)
    ]


def _rows_of(page: Image.Image, sheet: sheets.Sheet) -> list[Image.Image]:
    """The page cut along its rows of labels: ZBar loses itself on a page of 64 symbols."""
    columns, rows = sheet.grid
    per_mm = DPI / 25.4
    lower = [(sheet.size[1] - sheet.corner(row * columns)[1]) * per_mm for row in range(rows)]
    tall = sheet.form.height * per_mm
    return [page.crop((0, round(y - tall), page.width, round(y))) for y in lower]


def _words(pdf: bytes) -> str:
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True)
    return done.stdout.decode()


@pytest.mark.parametrize("paper", sheets.PAPERS)
@pytest.mark.parametrize("layout", sheets.LAYOUTS)
def test_every_label_of_a_sheet_is_read_by_two_decoders(
    paper: str, layout: str, tmp_path: Path
) -> None:
    sheet = sheets.Sheet(paper, layout)
    columns, rows = sheet.grid
    labels = _labels(columns * rows + 1)
    pages = pages_of(sheets.sheet_pdf(labels, sheet), tmp_path)
    urls = sorted(label.url for label in labels)
    assert len(set(urls)) == len(labels)
    assert len(pages) == 2
    assert texts_on(pages) == urls
    strips = [strip for page in pages for strip in _rows_of(page, sheet)]
    assert sorted(f.data.decode() for strip in strips for f in pyzbar.decode(strip)) == urls


@pytest.mark.parametrize("paper", sheets.PAPERS)
@pytest.mark.parametrize("layout", sheets.LAYOUTS)
def test_a_printed_symbol_has_its_quiet_zone_and_modules_of_half_a_millimetre(
    paper: str, layout: str, tmp_path: Path
) -> None:
    sheet = sheets.Sheet(paper, layout)
    (label,) = _labels(1)
    (page,) = pages_of(sheets.sheet_pdf([label], sheet), tmp_path, dpi=600)
    modules = len(tags.qr_matrix(label.url))
    module_px = sheets.module_size(modules, sheet.form.symbol.width) / 25.4 * 600
    (found,) = zxingcpp.read_barcodes(page)
    x, y = found.position.top_left.x, found.position.top_left.y
    quiet = round(4 * module_px)
    # the window of the symbol and its quiet zone holds the symbol's dark modules and nothing else
    window = page.crop((x - quiet, y - quiet, x + round((modules + 4) * module_px),
                        y + round((modules + 4) * module_px)))  # fmt: skip
    dark = window.point(lambda grey: 255 if grey < 128 else 0).getbbox()
    assert dark is not None
    side = dark[2] - dark[0]
    assert min(dark[0], dark[1]) == pytest.approx(quiet, abs=3)
    assert window.width - dark[2] == pytest.approx(quiet, abs=3)
    assert window.height - dark[3] == pytest.approx(quiet, abs=3)
    assert side / 600 * 25.4 / modules >= 0.499
    assert side / 600 * 25.4 / modules == pytest.approx(module_px / 600 * 25.4, abs=0.005)
    assert 0.396 <= side / 600 * 25.4 / modules <= 1.01 or layout == "large"


@pytest.mark.parametrize("dpi", [97, 211, 300])
def test_dark_areas_have_no_seams_where_rectangles_meet(dpi: int, tmp_path: Path) -> None:
    sheet = sheets.Sheet("a4", "large")
    (label,) = _labels(1)
    (page,) = pages_of(sheets.sheet_pdf([label], sheet), tmp_path, dpi)
    matrix = tags.qr_matrix(label.url)
    box = sheet.form.symbol
    size = sheets.module_size(len(matrix), box.width)
    x, y = sheet.corner(0)
    inset = (box.width - size * len(matrix)) / 2
    per_mm = dpi / 25.4
    seams = 0
    pixels = page.load()
    assert pixels is not None
    for row in range(len(matrix) - 1):
        for column in range(len(matrix) - 1):
            block = (matrix[row][column], matrix[row][column + 1],
                     matrix[row + 1][column], matrix[row + 1][column + 1])  # fmt: skip
            if not all(block):
                continue
            middle_x = (x + box.x + inset + (column + 1) * size) * per_mm
            below = y + box.y + box.height - inset - (row + 1) * size
            middle_y = (sheet.size[1] - below) * per_mm
            for across in (-1, 0):
                for down in (-1, 0):
                    seams += pixels[int(middle_x) + across, int(middle_y) + down] > 8
    assert seams == 0


@pytest.mark.parametrize("version", range(1, 7))
def test_versions_hold_the_bytes_and_have_the_modules_that_the_standard_says(version: int) -> None:
    full, over = "a" * CAPACITY_M[version - 1], "a" * (CAPACITY_M[version - 1] + 1)
    assert len(tags.qr_matrix(full)) == 4 * version + 17
    assert len(tags.qr_matrix(over)) == 4 * (version + 1) + 17


def test_the_symbol_is_made_at_recovery_level_m() -> None:
    """zxing-cpp reads the level from the format bits."""
    picture = Image.new("1", (41 * 8, 41 * 8), 1)
    matrix = tags.qr_matrix(f"{ORIGIN}/t/K7M2Q9D46")
    for y, row in enumerate(matrix):
        for x, dark in enumerate(row):
            if dark:
                picture.paste(0, ((x + 4) * 8, (y + 4) * 8, (x + 5) * 8, (y + 5) * 8))
    (found,) = zxingcpp.read_barcodes(picture.convert("L"))
    assert found.ec_level == "M"


@pytest.mark.parametrize(("modules", "width"), WIDTHS_MM.items())
def test_a_symbol_that_just_fits_is_as_wide_as_the_published_tables_say(
    modules: int, width: float
) -> None:
    assert sheets.module_size(modules, width + 1e-9) == pytest.approx(0.396, abs=1e-6)
    with pytest.raises(CrestrailError, match="take a larger one"):
        sheets.module_size(modules, width - 0.01)


@pytest.mark.parametrize("modules", [25, 29, 33, 37, 41])
def test_modules_are_whole_printer_dots_where_half_a_millimetre_fits(modules: int) -> None:
    dots = sheets.module_size(modules, 24) / (25.4 / 300)
    if modules <= 37:
        assert dots == pytest.approx(round(dots))
        assert dots >= 6
    else:
        assert sheets.module_size(modules, 24) == pytest.approx(24 / (modules + 8))


def test_the_sheet_says_code_title_scale_and_note_in_letters_that_can_be_searched() -> None:
    (label,) = _labels(1)
    words = _words(sheets.sheet_pdf([label], sheets.Sheet("letter", "wide", "A note of ours.")))
    assert f"{label.code[:4]}-{label.code[4:8]}-{label.code[8]}" in words
    assert "Oak side table" in re.sub(r"\s+", " ", words)
    assert "actual size" in words
    assert "A note of ours." in words


def test_the_measuring_line_is_fifty_millimetres_long(tmp_path: Path) -> None:
    (page,) = pages_of(sheets.sheet_pdf(_labels(1), sheets.Sheet("a4", "wide")), tmp_path)
    y = round((297 - 15) / 25.4 * DPI)
    row = page.crop((0, y, page.width // 2, y + 1)).point(lambda grey: 255 if grey < 128 else 0)
    left, _, right, _ = row.getbbox() or (0, 0, 0, 0)
    start = left
    while row.getpixel((start, 0)):
        start += 1
    assert (start - left) / DPI * 25.4 == pytest.approx(50, abs=0.3)
    assert right >= start


@pytest.mark.parametrize(("paper", "size"), [("letter", (612, 792)), ("a4", (595.28, 841.89))])
def test_pages_have_the_size_of_the_paper_and_are_printed_unscaled(
    paper: str, size: tuple[float, float]
) -> None:
    pdf = sheets.sheet_pdf(_labels(1), sheets.Sheet(paper, "small"))
    box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+)", pdf)
    assert box is not None
    assert tuple(map(float, box.groups())) == pytest.approx(size, abs=0.01)
    assert b"/PrintScaling /None" in pdf


def test_the_same_labels_give_the_same_bytes() -> None:
    sheet = sheets.Sheet("a4", "small")
    assert sheets.sheet_pdf(_labels(3), sheet) == sheets.sheet_pdf(_labels(3), sheet)


def test_an_unknown_paper_or_layout_is_refused_by_name() -> None:
    with pytest.raises(CrestrailError) as refused:
        sheets.Sheet("a5", "huge")
    assert [d["path"] for d in refused.value.details] == ["paper", "layout"]
    assert "letter, a4" in refused.value.details[0]["message"]
