"""A PDF of labels as a printer draws it, read by a decoder that knows nothing of us."""

from __future__ import annotations

import subprocess
from io import BytesIO
from pathlib import Path

import zxingcpp
from PIL import Image

DPI = 300


def pages_of(pdf: bytes, folder: Path, dpi: int = DPI) -> list[Image.Image]:
    """The pages, drawn by poppler's pdftoppm."""
    path = folder / "sheet.pdf"
    path.write_bytes(pdf)
    subprocess.run(
        ["pdftoppm", "-r", str(dpi), "-gray", str(path), str(folder / "page")], check=True
    )
    return [Image.open(BytesIO(page.read_bytes())) for page in sorted(folder.glob("page-*.pgm"))]


def texts_on(pages: list[Image.Image]) -> list[str]:
    """What zxing-cpp reads on them, sorted."""
    return sorted(found.text for page in pages for found in zxingcpp.read_barcodes(page))
