"""Sheets of tags to print and cut out, as PDF: drawn as shapes, sharp on any printer.

Lengths are millimetres until the canvas, which counts in points. The symbol's modules are whole
dots of a 300 dpi printer where they are at least 0.5 mm wide: six dots are 0.508 mm. The inventor
of QR asks for at least four dots a module; GS1 General Specifications 5.12.3.1 for 0.396 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from io import BytesIO

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import FILL_NON_ZERO, Canvas

from crestrail.basis.errors import CrestrailError, detail
from crestrail.basis.ids import show_tag_code
from crestrail.services import label_text
from crestrail.services.tags import QUIET_MODULES, dark_rectangles, qr_matrix

DOT_MM = 25.4 / 300
GOOD_MODULE_MM = 0.5
LEAST_MODULE_MM = 0.396
MARGIN_MM = 10.0
FOOT_MM = 9.0
"""Room at the foot of the page for the measuring line and what has to be said."""

PAPERS: dict[str, tuple[float, float]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""Width and height in millimetres (ANSI A, ISO 216)."""


@dataclass(frozen=True, slots=True)
class Box:
    """A part of the label; x and y of its lower left corner, from the label's."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A size of label: the square for the symbol with its quiet zone, and room for words."""

    words: str
    width: float
    height: float
    symbol: Box
    code: Box
    title: Box
    title_points: float


LAYOUTS: dict[str, Layout] = {
    "small": Layout(
        "Small, 24 x 30 mm: for knobs, backs and undersides",
        24, 30, Box(0, 6, 24, 24), Box(0.5, 3.2, 23, 2.8), Box(0.5, 0.6, 23, 2.6), 6,
    ),
    "wide": Layout(
        "Wide, 50 x 30 mm: with room for the name",
        50, 30, Box(0, 1.5, 27, 27), Box(27, 22, 22, 5), Box(27, 2.5, 22, 18.5), 9,
    ),
    "large": Layout(
        "Large, 90 x 50 mm: to be read from across a garage",
        90, 50, Box(0, 1, 48, 48), Box(48, 36, 40, 9), Box(48, 5, 40, 28), 14,
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Label:
    """One label: the tag's code, what its symbol says, and a title (empty on a blank tag)."""

    code: str
    url: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """How labels go on paper; ``note`` stands at the foot of every page."""

    paper: str = "letter"
    layout: str = "wide"
    note: str = ""
    size: tuple[float, float] = field(init=False)
    form: Layout = field(init=False)

    def __post_init__(self) -> None:
        """Look both names up; error ``bad_field`` names the field and the choices."""
        wrong = [
            detail(name, "unknown_choice", choices=", ".join(known))
            for name, value, known in (
                ("paper", self.paper, list(PAPERS)),
                ("layout", self.layout, list(LAYOUTS)),
            )
            if value not in known
        ]
        if wrong:
            raise CrestrailError("bad_field", wrong)
        object.__setattr__(self, "size", PAPERS[self.paper])
        object.__setattr__(self, "form", LAYOUTS[self.layout])

    @property
    def grid(self) -> tuple[int, int]:
        """Columns and rows of labels on a page."""
        width, height = self.size
        return (
            int((width - 2 * MARGIN_MM) // self.form.width),
            int((height - 2 * MARGIN_MM - FOOT_MM) // self.form.height),
        )

    def corner(self, index: int) -> tuple[float, float]:
        """The lower left corner of the index-th label of a page, on whole printer dots."""
        columns, _ = self.grid
        row, column = divmod(index, columns)
        left = (self.size[0] - columns * self.form.width) / 2
        x = left + column * self.form.width
        y = self.size[1] - MARGIN_MM - (row + 1) * self.form.height
        return _whole_dots(x), _whole_dots(y)


def _whole_dots(length: float) -> float:
    return round(length / DOT_MM) * DOT_MM


def module_size(modules: int, room: float) -> float:
    """Width of a module in mm when a symbol of so many modules fills a square with its quiet zone.

    Error ``not_allowed`` when a phone could not read it: the address is too long for the label.
    """
    most = room / (modules + 2 * QUIET_MODULES)
    if most < LEAST_MODULE_MM:
        raise CrestrailError(
            "not_allowed",
            reason="the household's address is too long for this size of tag; take a larger one",
        )
    dots = math.floor(most / DOT_MM + 1e-9) * DOT_MM
    return dots if dots >= GOOD_MODULE_MM else min(most, max(dots, GOOD_MODULE_MM))


def sheet_pdf(labels: Sequence[Label], sheet: Sheet) -> bytes:
    """The labels as PDF, page after page; the same labels always give the same bytes."""
    out = BytesIO()
    canvas = Canvas(out, pagesize=tuple(side * mm for side in sheet.size), invariant=1)
    canvas.setTitle("Crestrail tags")
    canvas.setViewerPreference("PrintScaling", "None")
    columns, rows = sheet.grid
    per_page = columns * rows
    for start in range(0, len(labels), per_page):
        page = labels[start : start + per_page]
        _draw_cut_lines(canvas, sheet, len(page))
        for index, label in enumerate(page):
            canvas.saveState()
            canvas.translate(*(place * mm for place in sheet.corner(index)))
            _draw_label(canvas, label, sheet.form)
            canvas.restoreState()
        _draw_foot(canvas, sheet)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw_label(canvas: Canvas, label: Label, form: Layout) -> None:
    _draw_symbol(canvas, label.url, form.symbol)
    box = form.code
    code = label_text.fit(show_tag_code(label.code), label_text.BOLD, (box.width, box.height), 40)
    _draw_lines(canvas, code, box)
    room = (form.title.width, form.title.height)
    title = label_text.fit(label.title, label_text.PLAIN, room, form.title_points)
    _draw_lines(canvas, title, form.title)
    if not title.lines:
        _draw_writing_line(canvas, form.title)


def _draw_symbol(canvas: Canvas, url: str, box: Box) -> None:
    """All dark modules as one path: a renderer that smooths edges finds no seam inside it."""
    matrix = qr_matrix(url)
    size = module_size(len(matrix), box.width)
    inset = (box.width - size * len(matrix)) / 2
    left, top = _whole_dots(box.x + inset), _whole_dots(box.y + box.height - inset)
    path = canvas.beginPath()
    for rect in dark_rectangles(matrix):
        below = top - (rect.y + rect.height) * size
        path.rect(
            (left + rect.x * size) * mm, below * mm, rect.width * size * mm, rect.height * size * mm
        )
    canvas.drawPath(path, stroke=0, fill=1, fillMode=FILL_NON_ZERO)


def _draw_lines(canvas: Canvas, text: label_text.Fitted, box: Box) -> None:
    """Lines of text, the first at the upper edge of the box."""
    canvas.setFont(text.font, text.points)
    for number, line in enumerate(text.lines):
        below = (number * label_text.LEADING + label_text.ASCENT) * text.points
        canvas.drawString(box.x * mm, (box.y + box.height) * mm - below, line)


def _draw_writing_line(canvas: Canvas, box: Box) -> None:
    """A thin line on a tag without a title, for a word by hand."""
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(0.6)
    canvas.line(box.x * mm, (box.y + 0.4) * mm, (box.x + box.width) * mm, (box.y + 0.4) * mm)


def _draw_cut_lines(canvas: Canvas, sheet: Sheet, count: int) -> None:
    """Dashed lines along the edges of the labels that are there, each edge once."""
    canvas.setDash(1.5, 1.5)
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(0.45)
    width, height = sheet.form.width, sheet.form.height
    columns, _ = sheet.grid
    for index in range(count):
        x, y = sheet.corner(index)
        edges = [(x, y, x + width, y), (x + width, y, x + width, y + height)]
        if index < columns:
            edges.append((x, y + height, x + width, y + height))
        if index % columns == 0:
            edges.append((x, y, x, y + height))
        canvas.lines([tuple(place * mm for place in edge) for edge in edges])
    canvas.setDash()


def _draw_foot(canvas: Canvas, sheet: Sheet) -> None:
    """A line to measure the print by, and the note."""
    left, line_at = MARGIN_MM * mm, (MARGIN_MM + 5) * mm
    canvas.setLineWidth(0.6)
    canvas.setStrokeGray(0)
    canvas.lines([
        (left, line_at, left + 50 * mm, line_at),
        (left, line_at - 3, left, line_at + 3),
        (left + 50 * mm, line_at - 3, left + 50 * mm, line_at + 3),
    ])  # fmt: skip
    canvas.setFont(label_text.PLAIN, 8)
    canvas.drawString(
        left + 53 * mm, line_at - 3, "50 mm. Print at actual size (100 %), or the tags shrink."
    )
    if sheet.note:
        room = (sheet.size[0] - 2 * MARGIN_MM, 5.0)
        note = label_text.fit(sheet.note, label_text.BOLD, room, 8)
        _draw_lines(canvas, note, Box(MARGIN_MM, MARGIN_MM - 2.5, *room))
