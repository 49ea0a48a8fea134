"""What the tests of the scanner share: a paired phone, pieces and tags, pictures to pick."""

from __future__ import annotations

from io import BytesIO

from playwright.sync_api import BrowserContext, Page

from crestrail.services.tags import tag_png, tag_url
from helpers.desk import DeskHome
from helpers.live import LiveServer

CODE = "K7M2Q9D46"
OTHER = "H4ZT8C2PA"
THIRD = "0000CHA1Q"
SHOWN = "K7M2-Q9D4-6"


def paired(context: BrowserContext, home: LiveServer | DeskHome) -> Page:
    """The app on a phone that was just added to the household."""
    return added(context.new_page(), home)


def added(page: Page, home: LiveServer | DeskHome) -> Page:
    """The page, once its phone was added to the household."""
    home.admit(page.context)
    page.goto(f"{home.url}/#/household")
    page.wait_for_function("() => document.querySelector('crest-shell')?.household")
    return page


def write(page: Page, *records: dict[str, object]) -> list[str]:
    """Save records as a screen would; their ids."""
    ids: list[str] = page.evaluate(
        """async (wanted) => {
          const { household } = document.querySelector('crest-shell');
          const moment = { at: household.now().toISOString(), on: household.today() };
          const changes = wanted.map(({ type, id, ...fields }) =>
            ({ type, id, fields: type === 'piece' ? { ...moment, ...fields } : fields }));
          return (await household.write(changes)).ids;
        }""",
        list(records),
    )
    return ids


def piece(title: str, bought: bool = True, **fields: object) -> dict[str, object]:
    """A piece in stock, or a find."""
    stock = {"opening_on": "2026-01-05", "opening_cost": 2000} if bought else {}
    return {"type": "piece", "kind": "side-table", "title": title, **stock, **fields}


def tag(code: str, piece_id: str) -> dict[str, object]:
    """A tag that is on a piece."""
    return {"type": "tag", "code": code, "piece_id": piece_id,
            "bound_at": "2026-02-01T10:00:00.000Z"}  # fmt: skip


def scan(page: Page, code: str = "") -> None:
    """Go to the scanner, and type a code there."""
    page.goto(page.url.split("#")[0] + "#/scan")
    if code:
        type_code(page, code)


def type_code(page: Page, code: str) -> None:
    """Type a code and look it up."""
    page.get_by_label("type the code").fill(code)
    page.get_by_role("button", name="Find it").click()


def picture(home: LiveServer | DeskHome, code: str = CODE) -> bytes:
    """The tag of a code."""
    return tag_png(tag_url(home.url, code), code)


def pick(page: Page, content: bytes, name: str = "tag.png", mime: str = "image/png") -> None:
    """Pick a picture from the phone."""
    file = {"name": name, "mimeType": mime, "buffer": content}
    page.get_by_label("Pick a picture").set_input_files(file)  # type: ignore[arg-type]


def as_png(image: object) -> bytes:
    """A picture as a PNG file."""
    out = BytesIO()
    image.save(out, "PNG")  # type: ignore[attr-defined]
    return out.getvalue()
