"""What a phone makes of a browser's JPEG is taken in at home, pixel for pixel the same."""

from __future__ import annotations

import io
import subprocess
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from crestrail.basis.errors import CrestrailError
from crestrail.services.photos import open_picture

MODULE = Path(__file__).resolve().parents[2] / "web" / "js" / "state" / "jpeg.js"
SCRIPT = f"""
import {{ readFileSync }} from 'node:fs';
import {{ imageOnly }} from {MODULE.as_uri()!r};
process.stdout.write(imageOnly(new Uint8Array(readFileSync(0))));
"""


def as_the_phone_sends_it(jpeg: bytes) -> bytes:
    """The bytes that the phone's own code leaves of a JPEG."""
    command = ["node", "--input-type=module", "-e", SCRIPT]
    return subprocess.run(command, input=jpeg, capture_output=True, check=True).stdout


def with_everything(mode: str = "RGB", **more: Any) -> bytes:
    """A JPEG with Exif, a position, XMP, a comment, a colour profile and a second picture."""
    exif = Image.Exif()
    exif[0x010E] = "a place"
    exif.get_ifd(0x8825)[1] = "N"
    image = Image.effect_mandelbrot((90, 60), (-2, -1, 1, 1), 40).convert(mode)
    out = io.BytesIO()
    extras = {"exif": exif, "xmp": b"<x/>", "comment": b"a comment", "icc_profile": b"p" * 70_000}
    image.save(out, "JPEG", **extras, **more)
    return out.getvalue() + out.getvalue()


@pytest.mark.parametrize(
    "jpeg",
    [
        with_everything(),
        with_everything("L"),
        with_everything("CMYK"),
        with_everything(progressive=True),
        with_everything(restart_marker_blocks=1),
    ],
    ids=["colour", "grey", "four inks", "several scans", "restarts"],
)
def test_what_the_phone_leaves_of_a_picture_is_accepted(jpeg: bytes) -> None:
    with pytest.raises(CrestrailError) as refused:
        open_picture(jpeg)
    assert refused.value.code == "photo_has_metadata"
    sent = as_the_phone_sends_it(jpeg)
    taken = open_picture(sent)
    assert taken.tobytes() == Image.open(io.BytesIO(jpeg)).tobytes()
    assert taken.info["icc_profile"] == b"p" * 70_000
    assert b"Exif" not in sent
    assert b"a comment" not in sent
