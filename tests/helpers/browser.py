"""Real Chromium as a phone in one hand: launch arguments, phone contexts, axe and screenshots.

Chromium comes from the system (`CRESTRAIL_CHROMIUM` or /usr/bin/chromium); nothing is downloaded.
"""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Playwright

CHROMIUM = os.environ.get("CRESTRAIL_CHROMIUM", "/usr/bin/chromium")
TOOLS = Path(__file__).resolve().parents[2] / ".tools"
LAUNCH_ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-dev-shm-usage",
]  # fmt: skip
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
}
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RULES_OF_COLOUR = ["color-contrast", "link-in-text-block"]


def launch(playwright: Playwright, *extra: str, **options: Any) -> Browser:
    """Start Chromium; `extra` are further command-line switches (fake camera, resolver rules)."""
    return playwright.chromium.launch(
        executable_path=CHROMIUM, args=[*LAUNCH_ARGS, *extra], **options
    )


@contextmanager
def phone(browser: Browser, **options: Any) -> Iterator[BrowserContext]:
    """A phone of its own (own storage). Fails when a page of it reports an uncaught error."""
    context = browser.new_context(**{**PHONE, **options})
    errors: list[str] = []
    context.on("weberror", lambda e: errors.append(str(e.error)))
    try:
        yield context
    finally:
        context.close()
    assert not errors, f"uncaught errors in the page: {errors}"


def kill_renderers(browser_pid: int | None = None) -> int:
    """SIGKILL every renderer of Chromium started by this process tree; returns how many."""
    found = subprocess.run(
        ["pgrep", "-P", str(browser_pid), "-f", "type=renderer"]
        if browser_pid
        else ["pgrep", "-f", "chromium.*--type=renderer"],
        capture_output=True, text=True, check=False,
    ).stdout.split()  # fmt: skip
    for pid in found:
        os.kill(int(pid), 9)
    return len(found)


def axe_violations(page: Page, rules: list[str] | None = None) -> list[str]:
    """What axe-core finds wrong on the page as it stands, one line a finding.

    ``rules`` are the ids of axe-core's rules to try, all of ``AXE_TAGS`` when none are named.
    """
    if not page.evaluate("() => Boolean(window.axe)"):
        page.evaluate((TOOLS / "node_modules/axe-core/axe.min.js").read_text())
    only = {"type": "rule", "values": rules} if rules else {"type": "tag", "values": AXE_TAGS}
    violations = page.evaluate(
        """async (runOnly) =>
          (await axe.run(document, { runOnly, resultTypes: ['violations'] })).violations""",
        only,
    )
    return [
        f"{v['id']} ({v['impact']}): {v['help']}: "
        + json.dumps([n["html"][:160] for n in v["nodes"][:3]])
        for v in violations
    ]


def barriers(page: Page) -> list[str]:
    """What axe-core finds wrong in light and in dark, where only the colours differ."""
    page.emulate_media(color_scheme="dark")
    dark = axe_violations(page, RULES_OF_COLOUR)
    page.emulate_media(color_scheme="light")
    return dark + axe_violations(page)
