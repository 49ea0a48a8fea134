"""The main job as a person does it on the screens, step by step."""

from __future__ import annotations

import re
from contextlib import suppress
from io import BytesIO
from typing import Any

from PIL import Image
from playwright.sync_api import Locator, Page, expect

from helpers.at_the_sale import Thumb
from helpers.live import LiveServer

ORIENTATION, GPS_IFD, LATITUDE_REF = 0x0112, 0x8825, 1
"""Exif tags (from memory of the Exif standard): how the picture is turned, and where it was."""


def snapshot(width: int = 1800, height: int = 1200) -> bytes:
    """A JPEG as a phone's camera gives it: too large, with Exif and a position."""
    image = Image.effect_mandelbrot((width, height), (-2, -1, 1, 1), 40).convert("RGB")
    exif = Image.Exif()
    exif[ORIENTATION] = 1
    exif.get_ifd(GPS_IFD)[LATITUDE_REF] = "N"
    out = BytesIO()
    image.save(out, "JPEG", exif=exif)
    assert b"Exif\0\0" in out.getvalue()
    return out.getvalue()


def pair_by_link(page: Page, server: LiveServer) -> None:
    """Open the QR's link and tap once."""
    page.goto(f"{server.url}/pair#{server.pairing_code()}")
    page.get_by_role("button", name=re.compile("Add this")).click()
    page.wait_for_function("() => document.querySelector('crest-shell')?.household?.book")


def settled_offline(page: Page) -> None:
    """The worker has everything that a start without home needs."""
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")


def go(page: Page, place: str) -> None:
    """Another screen, by its address."""
    page.goto(re.sub(r"#.*|/pair.*", "", page.url).rstrip("/") + f"/#/{place}")


def closed_and_opened(page: Page) -> Page:
    """The same place on the same phone, after the app was closed."""
    url, context = page.url, page.context
    page.close()
    again = context.new_page()
    again.goto(url)
    return again


def buy(page: Page, kind: str, ask: str, paid: str) -> None:
    """Price it, take a photo, name what was paid."""
    thumb = Thumb(page)
    thumb.chip("What is it?", kind)
    thumb.ask(ask)
    assert thumb.taps - len(ask) <= 4, "at most four taps and the ask"
    expect(page.locator(".sale-card .card-number")).to_contain_text("$")
    picture = {"name": "IMG.jpg", "mimeType": "image/jpeg", "buffer": snapshot()}
    page.get_by_label("Photo").set_input_files(picture)  # type: ignore[arg-type]
    expect(page.get_by_role("img", name="Photo 1 of this find")).to_be_visible()
    page.get_by_role("button", name="Bought", exact=True).tap()
    sheet = page.get_by_role("dialog")
    sheet.get_by_role("textbox", name="Paid").fill(paid)
    sheet.get_by_role("button", name="Save as bought").tap()
    expect(page.locator("crest-toast")).to_contain_text("Bought")


def pass_on(page: Page, kind: str, ask: str) -> None:
    """Price a second find and leave it."""
    thumb = Thumb(page)
    thumb.chip("What is it?", kind)
    thumb.ask(ask)
    thumb.button("Pass")
    expect(page.locator("crest-toast")).to_contain_text("Pass")


def everything_home(page: Page) -> None:
    """Nothing waits on the phone any more."""
    page.evaluate("() => document.querySelector('crest-shell').household.syncNow()")
    page.wait_for_function(
        """() => { const { sync } = document.querySelector('crest-shell').household;
          return sync.unsent === 0 && sync.photosUnsent === 0 && sync.state === 'home'; }""",
        timeout=40_000,
    )


def unsent(page: Page) -> int:
    """How many changes wait."""
    count: int = page.evaluate("() => document.querySelector('crest-shell').household.sync.unsent")
    return count


def one(page: Page, type_name: str, **wanted: Any) -> dict[str, Any]:
    """The one live record of a type with these values."""
    found = [
        record
        for record in page.evaluate(
            "type => document.querySelector('crest-shell').household.all(type)", type_name
        )
        if all(record.get(name) == value for name, value in wanted.items())
    ]
    assert len(found) == 1, (type_name, wanted, found)
    record: dict[str, Any] = found[0]
    return record


def surely(target: Locator, outcome: Locator) -> None:
    """Tap until the outcome is there: a tap may miss what a closing number pad just moved."""
    for _ in range(3):
        if target.is_visible():
            target.tap()
        with suppress(AssertionError):
            expect(outcome).not_to_have_count(0, timeout=4000)
            return
    expect(outcome).not_to_have_count(0)
