"""The calls that print tags: what they answer, what they refuse and how they say it."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from webtest import TestApp

from crestrail.app import create_app
from crestrail.basis.ids import is_tag_code
from crestrail.config import Settings
from crestrail.services import devices, households
from crestrail.services.households import NewHousehold
from crestrail.store.db import db

HOME = "https://bench.example:8443"
ROUTER_GIVEN = "http://192.168.4.20:8470"
CODE = "K7M2Q9D46"


@contextmanager
def server(folder: Path, **settings: object) -> Iterator[TestApp]:
    """A server in a folder and one paired phone of its household."""
    kept = Settings(data=folder, **settings)  # type: ignore[arg-type]
    app = create_app(kept)
    now = kept.clock.now()
    with app.app_context():
        code = devices.make_code(households.create(NewHousehold({}), now), now).code
    phone = TestApp(app, extra_environ=_environ(kept.origin or ROUTER_GIVEN))
    phone.post_json("/api/pair", {"code": code, "device": "0123456789abcdef", "name": "phone"})
    try:
        yield phone
    finally:
        with app.app_context():
            db.engine.dispose()


def _environ(origin: str) -> dict[str, str]:
    scheme, host = origin.split("://")
    return {"HTTP_HOST": host, "wsgi.url_scheme": scheme}


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[TestApp]:
    """A phone of a household with an address of its own."""
    with server(tmp_path, origin=HOME, strict_host=True) as paired:
        yield paired


@pytest.fixture
def laptop(tmp_path: Path) -> Iterator[TestApp]:
    """A browser of a household that lives on this computer only."""
    with server(tmp_path, origin="http://localhost:8470") as paired:
        yield paired


def read(picture: Image.Image) -> list[str]:
    """What a decoder finds in a picture."""
    return sorted(found.text for found in zxingcpp.read_barcodes(picture.convert("L")))


def first_page(pdf: bytes) -> Image.Image:
    """The first page at 300 dpi."""
    drawn = subprocess.run(
        ["pdftoppm", "-r", "300", "-gray", "-singlefile", "-"],
        input=pdf, capture_output=True, check=True,
    ).stdout  # fmt: skip
    return Image.open(BytesIO(drawn))


def words(pdf: bytes) -> str:
    """The text on the pages."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True)
    return re.sub(r"\s+", " ", done.stdout.decode())


@pytest.mark.parametrize("asked", [CODE, "k7m2-q9d4-6", "K7M2-Q9D4-6"])
def test_one_tag_comes_as_a_picture_that_decodes_to_its_address(phone: TestApp, asked: str) -> None:
    answer = phone.get(f"/api/tags/{asked}.png")
    assert answer.content_type == "image/png"
    assert read(Image.open(BytesIO(answer.body))) == [f"{HOME}/t/{CODE}"]


@pytest.mark.parametrize(
    ("asked", "code"),
    [("K7M2Q9D45", "code_check"), ("K7M2", "code_length"), ("K7M2Q9D4!", "code_symbol")],
)
def test_a_wrong_code_is_refused_with_what_is_wrong(phone: TestApp, asked: str, code: str) -> None:
    answer = phone.get(f"/api/tags/{asked}.png", status=422).json
    assert answer["code"] == "bad_field"
    assert [(found["path"], found["code"]) for found in answer["details"]] == [("code", code)]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("layout", ["small", "wide", "large"])
def test_a_sheet_has_the_named_tags_and_blank_ones(phone: TestApp, paper: str, layout: str) -> None:
    body = {
        "tags": [{"code": "K7M2-Q9D4-6", "title": "Oak side table"}, {"code": "H4ZT8C2PA"}],
        "blank": 3, "paper": paper, "layout": layout,
    }  # fmt: skip
    answer = phone.post_json("/api/tag-sheets", body)
    assert answer.content_type == "application/pdf"
    assert "crestrail-tags.pdf" in answer.headers["Content-Disposition"]
    found = read(first_page(answer.body))
    assert len(found) == 5
    assert {f"{HOME}/t/{CODE}", f"{HOME}/t/H4ZT8C2PA"} <= set(found)
    assert all(is_tag_code(url.removeprefix(f"{HOME}/t/")) for url in found)
    said = words(answer.body)
    assert "K7M2-Q9D4-6" in said
    assert "Oak" in said
    assert "this computer only" not in said


def test_blank_tags_are_different_on_every_sheet(phone: TestApp) -> None:
    sheets = [phone.post_json("/api/tag-sheets", {"blank": 12}).body for _ in range(2)]
    found = [url for sheet in sheets for url in read(first_page(sheet))]
    assert len(set(found)) == 24


def test_tags_of_a_household_on_this_computer_only_say_so_on_the_sheet(laptop: TestApp) -> None:
    answer = laptop.post_json("/api/tag-sheets", {"tags": [{"code": CODE}]})
    assert read(first_page(answer.body)) == [f"http://localhost:8470/t/{CODE}"]
    assert "These tags work on this computer only" in words(answer.body)


def test_the_sheets_of_a_sample_household_are_marked_invented(tmp_path: Path) -> None:
    with server(tmp_path, origin="http://localhost:8471", sample=True) as paired:
        answer = paired.post_json("/api/tag-sheets", {"blank": 1})
    assert "Invented sample" in words(answer.body)


@pytest.mark.parametrize("origin", [ROUTER_GIVEN, ""])
def test_no_tags_under_a_number_that_the_router_may_change(tmp_path: Path, origin: str) -> None:
    with server(tmp_path, origin=origin) as paired:
        for answer in (
            paired.get(f"/api/tags/{CODE}.png", status=421),
            paired.post_json("/api/tag-sheets", {"blank": 1}, status=421),
        ):
            assert answer.json["code"] == "wrong_host"
            assert "192.168.4.20" in answer.json["details"][0]["message"]


def test_no_tags_are_printed_through_another_name_than_the_canonical_one(phone: TestApp) -> None:
    phone.extra_environ = _environ("https://other.example")
    assert phone.get(f"/api/tags/{CODE}.png", status=421).json["code"] == "wrong_host"


@pytest.mark.parametrize(
    ("body", "path"),
    [
        ({}, "tags"),
        ({"tags": []}, "tags"),
        ({"tags": "K7M2Q9D46"}, "tags"),
        ({"tags": [{"code": "K7M2Q9D45"}]}, "tags.0.code"),
        ({"tags": [{"code": CODE}, {"title": "x"}]}, "tags.1.code"),
        ({"tags": [{"code": CODE, "title": "x" * 201}]}, "tags.0.title"),
        ({"tags": [{"code": CODE, "title": "a\0b"}]}, "tags.0.title"),
        ({"tags": [{"code": CODE, "title": 7}]}, "tags.0.title"),
        ({"tags": [{"code": CODE}] * 301}, "tags"),
        ({"blank": 301}, "blank"),
        ({"blank": -1}, "blank"),
        ({"blank": "12"}, "blank"),
        ({"blank": 1, "paper": "a5"}, "paper"),
        ({"blank": 1, "layout": "huge"}, "layout"),
        ({"blank": 1, "paper": None}, "paper"),
    ],
)
def test_what_cannot_be_printed_names_the_field(
    phone: TestApp, body: dict[str, object], path: str
) -> None:
    answer = phone.post_json("/api/tag-sheets", body, status=422).json
    assert answer["code"] == "bad_field"
    assert path in [found["path"] for found in answer["details"]]
    assert all(len(found["message"]) > 5 for found in answer["details"])


def test_a_title_in_letters_the_font_lacks_leaves_the_code_in_letters(phone: TestApp) -> None:
    body = {"tags": [{"code": CODE, "title": "椅子"}]}
    answer = phone.post_json("/api/tag-sheets", body)
    assert "K7M2-Q9D4-6" in words(answer.body)
    assert "?" not in words(answer.body)


@pytest.mark.parametrize(("method", "path"), [("get", f"/api/tags/{CODE}.png"),
                                              ("post_json", "/api/tag-sheets")])  # fmt: skip
def test_strangers_print_nothing(phone: TestApp, method: str, path: str) -> None:
    phone.reset()
    assert getattr(phone, method)(path, status=401).json["code"] == "not_paired"
