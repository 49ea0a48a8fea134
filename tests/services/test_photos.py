"""Pictures: whole, true to their name, and without data about place or camera."""

from __future__ import annotations

import hashlib
import io
import struct
from typing import Any

import pytest
from PIL import Image

from helpers.app import Client, Home


def jpeg(size: tuple[int, int] = (900, 600), **more: Any) -> bytes:
    out = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert("RGB").save(out, "JPEG", **more)
    return out.getvalue()


def png() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (9, 9)).save(out, "PNG")
    return out.getvalue()


def with_segment(marker: int, body: bytes) -> bytes:
    """A picture with one more segment behind its start."""
    plain = jpeg()
    return plain[:2] + bytes([0xFF, marker]) + struct.pack(">H", len(body) + 2) + body + plain[2:]


def said_to_be(width: int, height: int) -> bytes:
    """A picture whose frame header lies about its size."""
    plain = bytearray(jpeg())
    at = plain.index(b"\xff\xc0")
    plain[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(plain)


def with_exif() -> bytes:
    exif = Image.Exif()
    exif[0x010E] = "a place"
    return jpeg(exif=exif)


def put(client: Client, content: bytes, name: str = "", **headers: str) -> Any:
    name = name or hashlib.sha256(content).hexdigest()
    headers = {"Content-Type": "image/jpeg"} | headers
    return client.web.put(f"/api/photos/{name}", content, headers=headers, expect_errors=True)


@pytest.mark.parametrize(
    "content",
    [jpeg(), jpeg(progressive=True), jpeg(quality=5), jpeg(icc_profile=b"x" * 200),
     jpeg((1, 1)), jpeg() + b"\0\0"],
)  # fmt: skip
def test_a_plain_picture_comes_back_byte_for_byte(any_home: Home, content: bytes) -> None:
    client = any_home.pair()
    for _ in range(2):
        assert put(client, content).status_int == 200
    name = hashlib.sha256(content).hexdigest()
    found = client.web.get(f"/api/photos/{name}")
    assert found.body == content
    assert found.headers["Content-Type"] == "image/jpeg"
    assert "immutable" in found.headers["Cache-Control"]


def test_the_small_picture_has_320_pixels_at_most(home: Home) -> None:
    client = home.pair()
    content = jpeg((900, 600))
    put(client, content)
    thumb = client.web.get(f"/api/photos/{hashlib.sha256(content).hexdigest()}/thumb").body
    assert Image.open(io.BytesIO(thumb)).size == (320, 213)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (with_exif(), "photo_has_metadata"),
        (with_segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x/>"), "photo_has_metadata"),
        (with_segment(0xED, b"Photoshop 3.0\0"), "photo_has_metadata"),
        (with_segment(0xFE, b"a comment"), "photo_has_metadata"),
        (with_segment(0xE2, b"MPF\0"), "photo_has_metadata"),
        (jpeg() + jpeg(), "photo_has_metadata"),
        (jpeg() + b"trailer", "photo_has_metadata"),
        (jpeg()[:-2], "photo_not_jpeg"),
        (jpeg()[:300], "photo_not_jpeg"),
        (png(), "photo_not_jpeg"),
        (b"", "photo_not_jpeg"),
        (b"\xff\xd8\xff\xd9", "photo_not_jpeg"),
        (said_to_be(60000, 60000), "photo_too_large"),
        (said_to_be(0, 0), "photo_not_jpeg"),
    ],
)
def test_anything_else_is_refused_by_its_fault(home: Home, content: bytes, code: str) -> None:
    client = home.pair()
    answer = put(client, content)
    assert answer.json["code"] == code
    name = hashlib.sha256(content).hexdigest()
    assert client.web.get(f"/api/photos/{name}", expect_errors=True).status_int == 404


def test_a_wrong_name_type_or_size_is_refused(home: Home) -> None:
    client = home.pair()
    assert put(client, jpeg(), "0" * 64).json["code"] == "photo_hash_mismatch"
    wrong = put(client, jpeg(), **{"Content-Type": "image/png"})
    assert wrong.json["code"] == "wrong_content_type"
    large = jpeg() + b"\0" * (8 * 1024 * 1024)
    assert put(client, large).json["code"] in ("photo_too_large", "too_large")


def test_a_large_picture_of_many_pixels_is_refused_before_it_is_decoded(home: Home) -> None:
    bomb = said_to_be(6400, 6400)
    assert put(home.pair(), bomb).json["code"] == "photo_too_large"


def test_erasing_the_last_record_of_a_picture_removes_its_files(home: Home) -> None:
    client = home.pair()
    content = jpeg()
    sha256 = hashlib.sha256(content).hexdigest()
    put(client, content)
    fields = {"at": "2026-05-01T12:00:00.000Z", "sha256": sha256}
    first, second = client.change("photo", fields), client.change("photo", fields)
    client.sync([first, second])
    path = home.app.extensions["crestrail_photos"].path(home.household, sha256)
    client.sync([client.erasure("photo", first["id"])])
    assert path.exists()
    client.sync([client.erasure("photo", second["id"])])
    assert not path.exists()
    assert client.web.get(f"/api/photos/{sha256}", expect_errors=True).status_int == 404
