"""Draw the app's icons: the crest rail of a chair back, on bottle green, as SVG and PNG.

Run `.venv/bin/python .ci/make_icons.py` after changing the drawing; the files are committed.
The picture is described once, in a square of 512, and drawn four times as large before it is
reduced, so that the PNGs are smooth. Maskable icons keep to the inner circle of 80% of the width
(W3C, Web Application Manifest, "Icon masks and safe zone").
"""

from __future__ import annotations

import math
from pathlib import Path

from PIL import Image, ImageDraw

OUT = Path(__file__).resolve().parents[1] / "web/icons"
GROUND = "#1d5a45"
WOOD = "#f6e7c4"
SIZE = 512
FINER = 4
SAFE = 0.78
POSTS = ((128, 150, 34, 268), (384, 150, 34, 268))
SPINDLES = ((200, 214, 18, 166), (256, 206, 18, 174), (312, 214, 18, 166))
SEAT = (112, 372, 288, 34)

Point = tuple[float, float]


def rail(steps: int = 48) -> list[Point]:
    """The outline of the crest rail: a wide arch above, a flatter one below."""
    along = [i / steps for i in range(steps + 1)]
    top = [(78 + 356 * t, 168 - 74 * math.sin(math.pi * t) ** 0.9) for t in along]
    under = [(78 + 356 * t, 232 - 40 * math.sin(math.pi * t)) for t in reversed(along)]
    return top + under


def svg() -> str:
    """The drawing as SVG text."""
    outline = " ".join(f"{x:.1f},{y:.1f}" for x, y in rail())
    bars = "".join(
        f'<rect x="{x - w / 2:g}" y="{y}" width="{w}" height="{h}" rx="{w / 2:g}"/>'
        for x, y, w, h in (*POSTS, *SPINDLES)
    )
    x, y, w, h = SEAT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE} {SIZE}">'
        f'<rect width="{SIZE}" height="{SIZE}" rx="96" fill="{GROUND}"/>'
        f'<g fill="{WOOD}"><polygon points="{outline}"/>{bars}'
        f'<rect x="{x}" y="{y}" width="{w}" height="{h}" rx="{h / 2:g}"/></g></svg>\n'
    )


def png(size: int, maskable: bool) -> Image.Image:
    """The drawing as a picture of `size` pixels; a maskable one fills the square."""
    big = size * FINER
    unit = big / SIZE
    image = Image.new("RGBA", (big, big), GROUND if maskable else (0, 0, 0, 0))
    pen = ImageDraw.Draw(image)
    if not maskable:
        pen.rounded_rectangle((0, 0, big - 1, big - 1), radius=96 * unit, fill=GROUND)
    shrink = SAFE if maskable else 1.0

    def place(x: float, y: float) -> Point:
        return ((x - 256) * shrink + 256) * unit, ((y - 256) * shrink + 256) * unit

    pen.polygon([place(x, y) for x, y in rail()], fill=WOOD)
    seat_x, seat_y, seat_w, seat_h = SEAT
    seat = (seat_x + seat_w / 2, seat_y, seat_w, seat_h)
    for x, y, w, h in (*POSTS, *SPINDLES, seat):
        corners = (*place(x - w / 2, y), *place(x + w / 2, y + h))
        pen.rounded_rectangle(corners, radius=min(w, h) / 2 * shrink * unit, fill=WOOD)
    return image.resize((size, size), Image.Resampling.LANCZOS)


def main() -> None:
    """Write every icon."""
    OUT.mkdir(parents=True, exist_ok=True)
    (OUT / "icon.svg").write_text(svg())
    for size in (192, 512):
        png(size, maskable=False).save(OUT / f"icon-{size}.png", optimize=True)
        png(size, maskable=True).save(OUT / f"maskable-{size}.png", optimize=True)
    png(180, maskable=True).convert("RGB").save(OUT / "apple-touch-180.png", optimize=True)


if __name__ == "__main__":
    main()
