#!/usr/bin/env python3
"""Take the README's pictures from the invented household: run it beside `crestrail serve --sample`.

.venv/bin/python .ci/make_screenshots.py http://localhost:8471 PAIRING-CODE
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

OUT = Path(__file__).resolve().parent / "readme"
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}


def price_a_bench(page: Page) -> None:
    """Four taps and the ask."""
    for words in ("Bench", "Cane", "Deep clean", "Mend cane"):
        chip = page.get_by_text(words, exact=True).first
        if chip.count() and chip.is_visible():
            chip.click()
    page.get_by_label("They ask").first.click()
    for key in "15":
        page.get_by_role("button", name=key, exact=True).first.click()
    page.get_by_role("button", name=re.compile("^Done", re.IGNORECASE)).first.click()
    page.locator(".sale-form").evaluate("form => form.scrollTo(0, 0)")


def main(url: str, code: str) -> None:
    """Pair, then one picture a screen."""
    OUT.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        arguments = ["--no-sandbox", "--disable-gpu"]
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=arguments)
        page = browser.new_context(device_scale_factor=1, **PHONE).new_page()  # type: ignore[arg-type]
        page.goto(f"{url}/pair#{code}")
        page.get_by_role("button", name=re.compile("Add this")).first.click()
        page.wait_for_timeout(6000)
        for name, route in (("sale", "#/sale"), ("pieces", "#/pieces"), ("ledger", "#/ledger")):
            page.goto(f"{url}/{route}")
            page.wait_for_timeout(1200)
            if name == "sale":
                price_a_bench(page)
                page.wait_for_timeout(600)
            page.screenshot(path=OUT / f"{name}.png")
        browser.close()


if __name__ == "__main__":
    main(*sys.argv[1:3])
