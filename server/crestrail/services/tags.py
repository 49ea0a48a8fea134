"""QR labels: the address a tag carries, its symbol, and one tag as a picture.

The symbol is made by `qrcode` after ISO/IEC 18004: error correction M (about 15 % of the
codewords may be lost, enough for a scratched label, and small enough for 24 mm), with the
quiet zone of four modules on every side that the standard asks for.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from urllib.parse import urlsplit

import qrcode
import reportlab
from PIL import Image, ImageDraw, ImageFont

from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import show_tag_code

QUIET_MODULES = 4
"""Light modules on every side of a symbol (ISO/IEC 18004)."""

PIXELS_PER_MODULE = 10
PIXELS_PER_MM = 20
"""The picture says of itself that a module is 0.5 mm wide when printed at actual size."""

FONTS = Path(reportlab.__file__).parent / "fonts"
"""The fonts that travel with reportlab: free to embed, the same on every computer."""

HERE_ONLY = (
    "These tags work on this computer only: a phone's camera app cannot open them. "
    "Crestrail's own scanner reads them, and so does the code typed in."
)

Matrix = tuple[tuple[bool, ...], ...]


@dataclass(frozen=True, slots=True)
class Rect:
    """Dark modules as one rectangle; modules from the upper left corner of the symbol."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Origin:
    """The address that goes on tags, and what has to be said about it (or an empty text)."""

    url: str
    note: str = ""


def tag_url(origin: str, code: str) -> str:
    """What a tag's symbol says: the page of the code on the household's own server."""
    return f"{origin.rstrip('/')}/t/{code}"


def is_loopback(host: str) -> bool:
    """Whether a host name means the computer itself."""
    if host == "localhost" or host.endswith(".localhost"):
        return True
    return _is_address(host) and ipaddress.ip_address(host).is_loopback


def _is_address(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def origin_for_tags(canonical: str | None, asked_at: str) -> Origin:
    """The address to print on tags, which stay on furniture for years.

    ``canonical`` is the household's own address where one is set, ``asked_at`` the address under
    which the sheet was asked for. A household that lives on this computer only gets tags that say
    so. Error ``wrong_host``: the address may change or means another thing on each computer.
    """
    url = (canonical or asked_at).rstrip("/")
    host = urlsplit(url).hostname or ""
    if is_loopback(host):
        return Origin(url, HERE_ONLY)
    if canonical is None or _is_address(host):
        why = f"Tags stay on furniture for years; {host or 'this address'} may not be right then."
        raise CrestrailError(
            "wrong_host",
            [{"path": "origin", "code": "wrong_host", "message": why}],
            origin="the household's own name (serve --lan gives it one)",
        )
    return Origin(url)


def qr_matrix(text: str) -> Matrix:
    """The modules of the smallest symbol that holds a text, dark is true, no quiet zone.

    A symbol of version v has 4 v + 17 modules on a side.
    """
    symbol = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=0)
    symbol.add_data(text, optimize=0)
    symbol.make(fit=True)
    return tuple(tuple(bool(module) for module in row) for row in symbol.modules)


def dark_rectangles(matrix: Sequence[Sequence[bool]]) -> list[Rect]:
    """The dark modules as few rectangles that do not overlap: runs, merged downwards.

    Few shapes keep a sheet of labels small and leave no seams for a renderer to show.
    """
    done: list[Rect] = []
    growing: dict[tuple[int, int], Rect] = {}
    for y, row in enumerate(matrix):
        runs = _runs(row)
        done += [rect for run, rect in growing.items() if run not in runs]
        growing = {
            run: Rect(run[0], growing[run].y, run[1], y + 1 - growing[run].y)
            if run in growing
            else Rect(run[0], y, run[1], 1)
            for run in runs
        }
    return done + list(growing.values())


def _runs(row: Sequence[bool]) -> list[tuple[int, int]]:
    """Start and length of every run of dark modules in a row."""
    runs: list[tuple[int, int]] = []
    start: int | None = None
    for x, dark in enumerate([*row, False]):
        if dark and start is None:
            start = x
        elif not dark and start is not None:
            runs.append((start, x - start))
            start = None
    return runs


def tag_png(url: str, code: str) -> bytes:
    """One tag as a PNG in black and white: its symbol, and the code in letters below."""
    matrix = qr_matrix(url)
    side = (len(matrix) + 2 * QUIET_MODULES) * PIXELS_PER_MODULE
    font = ImageFont.truetype(str(FONTS / "VeraBd.ttf"), side // 10)
    picture = Image.new("1", (side, side + side // 7), 1)
    draw = ImageDraw.Draw(picture)
    for rect in dark_rectangles(matrix):
        x, y = (PIXELS_PER_MODULE * (QUIET_MODULES + place) for place in (rect.x, rect.y))
        right, below = x + rect.width * PIXELS_PER_MODULE, y + rect.height * PIXELS_PER_MODULE
        draw.rectangle((x, y, right - 1, below - 1), fill=0)
    draw.text((side // 2, side + side // 14), show_tag_code(code), fill=0, font=font, anchor="mm")
    out = BytesIO()
    per_inch = PIXELS_PER_MM * 25.4
    picture.save(out, "PNG", dpi=(per_inch, per_inch))
    return out.getvalue()
