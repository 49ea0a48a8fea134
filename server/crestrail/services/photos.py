"""Pictures: taken in only whole, true to their name, and without data about place or camera.

The bytes are never altered, since the picture is named by their hash; a picture that carries
more than an image is refused, and the phone makes it anew.
"""

from __future__ import annotations

import hashlib
import io
import re
import struct
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PIL import Image

from crestrail.basis.errors import CrestrailError
from crestrail.store.db import reading, writing
from crestrail.store.models import Photo
from crestrail.store.photos import PhotoFiles

MAX_BYTES = 8 * 1024 * 1024
MAX_PIXELS = 40_000_000
THUMB_EDGE = 320

_START = b"\xff\xd8"
_END = b"\xff\xd9"
_MARK = 0xFF
_SCAN = 0xDA
_FRAME = {0xC0, 0xC1, 0xC2}
_PLAIN = _FRAME | {0xC4, 0xDB, 0xDD, 0xE0, 0xEE}
"""Segments that only describe the image: frames, tables, restart interval, JFIF, Adobe."""
_COLOUR = 0xE2
_COLOUR_PROFILE = b"ICC_PROFILE\0"
_EXTRA = re.compile(rb"\xff[\xe1-\xed\xef\xfe]")


@dataclass(frozen=True, slots=True)
class Album:
    """The pictures of one household."""

    files: PhotoFiles
    household: str

    def take(self, sha256: str, content: bytes, now: datetime) -> None:
        """Keep a picture; again is harmless. Raises the ``photo_*`` errors."""
        if hashlib.sha256(content).hexdigest() != sha256:
            raise CrestrailError("photo_hash_mismatch")
        image = open_picture(content)
        thumb = _small(image)
        try:
            self.files.save(self.files.path(self.household, sha256), content)
            self.files.save(self.files.thumb_path(self.household, sha256), thumb)
        except OSError as error:
            raise CrestrailError("disk_full") from error
        self._remember(sha256, len(content), image.size, now)

    def find(self, sha256: str, thumb: bool = False) -> Path:
        """The file of a picture; ``not_found`` when this household has none of that name."""
        with reading() as session:
            known = session.get(Photo, (self.household, sha256)) is not None
        where = self.files.thumb_path if thumb else self.files.path
        path = where(self.household, sha256)
        if not known or not path.is_file():
            raise CrestrailError("not_found")
        return path

    def _remember(self, sha256: str, size: int, dimensions: tuple[int, int], now: datetime) -> None:
        width, height = dimensions
        with writing() as session:
            if session.get(Photo, (self.household, sha256)) is None:
                session.add(
                    Photo(
                        household_id=self.household,
                        sha256=sha256,
                        size=size,
                        width=width,
                        height=height,
                        stored_at=now,
                    )
                )


def open_picture(content: bytes) -> Image.Image:
    """The decoded picture; raises the ``photo_*`` errors for anything that is not plainly one."""
    if len(content) > MAX_BYTES:
        raise CrestrailError("photo_too_large", limit="8 MB")
    width, height = read_segments(content)
    if width * height > MAX_PIXELS:
        raise CrestrailError("photo_too_large", limit="40 megapixels")
    try:
        image = Image.open(io.BytesIO(content), formats=["JPEG"])
        image.load()
    except Exception as error:
        raise CrestrailError("photo_not_jpeg") from error
    if image.size != (width, height):
        raise CrestrailError("photo_not_jpeg")
    return image


def read_segments(content: bytes) -> tuple[int, int]:
    """Width and height, after a walk through the segments before the image.

    Raises ``photo_has_metadata`` where a segment does more than describe the image: Exif and
    XMP lie in APP1, captions in APP13 and comments, further pictures in APP2 or after the end;
    a colour profile (APP2, ICC) may stay. Segments: ITU-T T.81, annex B.
    """
    if not content.startswith(_START):
        raise CrestrailError("photo_not_jpeg")
    at, size = 2, (0, 0)
    while at + 4 <= len(content) and content[at] == _MARK:
        marker, body = content[at + 1], at + 4
        if marker == _MARK:
            at += 1
            continue
        if marker == _SCAN:
            _refuse_tail(content[at:])
            return size
        is_profile = marker == _COLOUR and content.startswith(_COLOUR_PROFILE, body)
        if marker not in _PLAIN and not is_profile:
            raise CrestrailError("photo_has_metadata")
        if marker in _FRAME:
            height, width = struct.unpack(">HH", content[body + 1 : body + 5].ljust(4, b"\0"))
            size = (width, height)
        at += 2 + max(2, int.from_bytes(content[at + 2 : body], "big"))
    raise CrestrailError("photo_not_jpeg")


def _refuse_tail(image: bytes) -> None:
    """From the first scan on: no application data, and nothing behind the end of the image.

    Entropy-coded data escapes 0xFF, so these byte pairs are markers there.
    """
    end = image.find(_END)
    if end < 0:
        raise CrestrailError("photo_not_jpeg")
    if image[end + 2 :].strip(b"\0") or _EXTRA.search(image):
        raise CrestrailError("photo_has_metadata")


def _small(image: Image.Image) -> bytes:
    small = image.convert("RGB")
    small.thumbnail((THUMB_EDGE, THUMB_EDGE))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=80)
    return out.getvalue()
