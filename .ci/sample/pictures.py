"""Draws plain pictures of furniture: the photographs of the invented household."""

from __future__ import annotations

import hashlib
import io
import random
from collections.abc import Callable

from PIL import Image, ImageDraw

SIZE = (640, 480)
WOODS = ["#8a5a33", "#a9744a", "#6f4326", "#b98a5e", "#7d6a58", "#4d6b5b"]
WALLS = ["#efe6d6", "#e3e4dc", "#e9dfe0", "#dde3e6"]
FLOORS = ["#b9a88d", "#a79a86", "#c4b397"]


def _legs(draw: ImageDraw.ImageDraw, box: tuple[int, int, int, int], colour: str) -> None:
    left, top, right, bottom = box
    for x in (left, right - 16):
        draw.rectangle((x, top, x + 16, bottom), fill=colour, outline="#2b1d12")


def _chair(draw: ImageDraw.ImageDraw, colour: str) -> None:
    _legs(draw, (250, 270, 390, 410), colour)
    draw.rectangle((240, 250, 400, 275), fill=colour, outline="#2b1d12")
    draw.arc((240, 70, 400, 150), 180, 360, fill=colour, width=18)
    for x in (244, 290, 336, 384):
        draw.rectangle((x, 110, x + 12, 250), fill=colour, outline="#2b1d12")


def _table(draw: ImageDraw.ImageDraw, colour: str) -> None:
    draw.rectangle((140, 220, 500, 246), fill=colour, outline="#2b1d12")
    draw.rectangle((165, 246, 475, 276), fill=colour, outline="#2b1d12")
    _legs(draw, (165, 276, 475, 410), colour)


def _drawers(draw: ImageDraw.ImageDraw, colour: str) -> None:
    draw.rectangle((190, 120, 450, 400), fill=colour, outline="#2b1d12", width=3)
    for row in range(4):
        top = 132 + row * 66
        draw.rectangle((204, top, 436, top + 54), outline="#2b1d12", width=2)
        for x in (258, 370):
            draw.ellipse((x, top + 20, x + 14, top + 34), fill="#c9a45a", outline="#2b1d12")


def _bench(draw: ImageDraw.ImageDraw, colour: str) -> None:
    draw.rectangle((130, 260, 510, 290), fill="#c7a66a", outline="#2b1d12")
    draw.rectangle((130, 290, 510, 312), fill=colour, outline="#2b1d12")
    _legs(draw, (145, 312, 495, 410), colour)


def _mirror(draw: ImageDraw.ImageDraw, colour: str) -> None:
    draw.ellipse((220, 90, 420, 390), fill=colour, outline="#2b1d12", width=3)
    draw.ellipse((246, 118, 394, 362), fill="#cfe0e4", outline="#2b1d12", width=2)


def _shelves(draw: ImageDraw.ImageDraw, colour: str) -> None:
    draw.rectangle((200, 90, 440, 410), fill=colour, outline="#2b1d12", width=3)
    for row in range(4):
        draw.rectangle((216, 106 + row * 76, 424, 166 + row * 76), fill="#33251b")


SHAPES: dict[str, Callable[[ImageDraw.ImageDraw, str], None]] = {
    "chair": _chair, "table": _table, "drawers": _drawers, "bench": _bench,
    "mirror": _mirror, "shelves": _shelves,
}  # fmt: skip


def shape_of(kind: str) -> str:
    """Which drawing stands for a kind of furniture."""
    words = {
        "chair": "chair", "table": "table", "desk": "table", "dresser": "drawers",
        "nightstand": "drawers", "chest": "drawers", "bench": "bench", "stool": "bench",
        "mirror": "mirror", "book": "shelves", "cabinet": "shelves", "shelf": "shelves",
    }  # fmt: skip
    return next((shape for word, shape in words.items() if word in kind), "bench")


def draw_picture(kind: str, rng: random.Random) -> tuple[str, bytes]:
    """A JPEG without metadata, and its SHA-256."""
    image = Image.new("RGB", SIZE, rng.choice(WALLS))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 380, 640, 480), fill=rng.choice(FLOORS))
    SHAPES[shape_of(kind)](draw, rng.choice(WOODS))
    for _ in range(rng.randrange(3, 9)):
        x, y = rng.randrange(0, 640), rng.randrange(385, 478)
        draw.line((x, y, x + rng.randrange(20, 120), y), fill="#8d7f6a")
    draw.text((14, 456), "drawn, invented", fill="#2b1d12")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=72, optimize=True)
    return hashlib.sha256(out.getvalue()).hexdigest(), out.getvalue()
