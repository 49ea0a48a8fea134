"""Words on a label: which letters can be drawn, and how a long title is made to fit.

The font is Bitstream Vera, which reportlab brings along and which is embedded in the sheet. It has
the letters of western European languages. Where it lacks a letter with an accent the plain letter
stands in; any other letter it lacks becomes a question mark, and a title of which less than half
can be drawn is left out: the code in letters always stands on the label.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

PLAIN = "CrestrailLabel"
BOLD = "CrestrailLabelBold"
LEADING = 1.2
ASCENT = 0.8
LEAST_POINTS = 5.5
POINTS_STEP = 0.5
ELLIPSIS = "…"


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines of text and the size at which they fit."""

    lines: tuple[str, ...]
    font: str
    points: float


@cache
def _font(name: str) -> TTFont:
    """The font of a name, made known to reportlab at its first use."""
    font = TTFont(name, "VeraBd.ttf" if name == BOLD else "Vera.ttf")
    pdfmetrics.registerFont(font)
    return font


def width(text: str, font: str, points: float) -> float:
    """Width of a line of text in millimetres."""
    return float(_font(font).stringWidth(text, points) / mm)


def height(text: Fitted) -> float:
    """Height of lines of text in millimetres."""
    gaps = max(0, len(text.lines) - 1) * LEADING
    return float((gaps + min(1, len(text.lines))) * text.points / mm)


def drawable(text: str, font: str = PLAIN) -> str:
    """The text on one line with letters that the font has; empty when too few are left."""
    has = _font(font).face.charToGlyph
    drawn: list[str] = []
    lost = 0
    for letter in unicodedata.normalize("NFC", " ".join(text.split())):
        known = letter if ord(letter) in has else _plain(letter, has)
        lost += not known
        drawn.append(known or "?")
    return "" if 2 * lost > len(drawn) else "".join(drawn)


def _plain(letter: str, has: dict[int, int]) -> str:
    """A letter without its accents, or an empty text when the font lacks that too."""
    parts = unicodedata.normalize("NFKD", letter)
    return "".join(part for part in parts if ord(part) in has)


def fit(text: str, font: str, room: tuple[float, float], points: float) -> Fitted:
    """Lines that fit in a room of width and height in millimetres.

    The largest size from ``points`` downwards at which the whole text fits; at the smallest size
    what is too much is cut off and marked with an ellipsis.
    """
    words = drawable(text, font)
    size = points
    while size > LEAST_POINTS:
        lines = _wrap(words, font, room[0], size)
        if len(lines) <= _lines_in(room[1], size):
            return Fitted(tuple(lines), font, size)
        size -= POINTS_STEP
    most = max(1, _lines_in(room[1], LEAST_POINTS))
    lines = _wrap(words, font, room[0], LEAST_POINTS)
    if len(lines) > most:
        lines = [*lines[: most - 1], _cut(lines[most - 1], font, room[0])]
    return Fitted(tuple(lines), font, LEAST_POINTS)


def _lines_in(tall: float, points: float) -> int:
    return int((tall * mm / points - 1) // LEADING + 1)


def _wrap(text: str, font: str, room: float, points: float) -> list[str]:
    """Break at spaces, and inside a word only where it alone is wider than the room."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and width(joined, font, points) <= room:
            lines[-1] = joined
        else:
            lines += _pieces(word, font, room, points)
    return lines


def _pieces(word: str, font: str, room: float, points: float) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and width(pieces[-1] + letter, font, points) > room:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def _cut(line: str, font: str, room: float) -> str:
    while line and width(line + ELLIPSIS, font, LEAST_POINTS) > room:
        line = line[:-1]
    return line.rstrip() + ELLIPSIS
