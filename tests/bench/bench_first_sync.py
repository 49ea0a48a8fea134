"""First sync of a phone through the real client: milliseconds, requests and bytes.

    .venv/bin/python tests/bench/bench_first_sync.py [records] [runs]

A phone pushes so many records of about 600 bytes, a second one pulls them, then 50 changes go the
same way, then nothing. Real server (SQLite), real Chromium, IndexedDB with strict durability,
loopback. Prints the median of the runs; each run has a household of its own.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from playwright.sync_api import Page, Request, sync_playwright

from helpers import browser as browsers
from helpers import household_page as pages
from helpers.desk import Desk, open_desk

FILL = """async count => {
  const note = 'A dresser with four drawers, dovetailed, one knob gone. '.repeat(5);
  const make = i => ({ type: 'piece', fields: { ...h.when(), title: `Piece ${i}`, kind: 'dresser',
    traits: ['oak', 'drawers'], ask: 4000 + i, likely: 9000, low: 6000, high: 13000, note } });
  await h.write(Array.from({ length: count }, (_, i) => make(i)));
}"""

EDIT = """async count => {
  const some = h.all('piece').slice(0, count);
  await h.write(some.map(({ id, ask }) => ({ type: 'piece', id, fields: { ask: ask + 500 } })));
}"""

ROUND = """async () => {
  const start = performance.now();
  await h.syncNow();
  if (h.sync.state !== 'home' || h.sync.unsent) throw new Error(JSON.stringify(h.sync));
  return performance.now() - start;
}"""


@dataclass
class Traffic:
    """What went over the wire since the last ``taken``."""

    requests: list[Request] = field(default_factory=list)

    def taken(self) -> tuple[int, int]:
        """(requests, bytes of bodies and heads both ways)."""
        sizes = [request.sizes() for request in self.requests]
        self.requests.clear()
        return len(sizes), sum(sum(size.values()) for size in sizes)


def watched(page: Page) -> Traffic:
    """Count the calls of a page."""
    traffic = Traffic()
    page.on("requestfinished", lambda request: traffic.requests.append(request))
    return traffic


def run(browser: Any, desk: Desk, count: int) -> dict[str, tuple[float, int, int]]:
    """One household: step -> (ms, requests, bytes)."""
    household, url = desk.household(), desk.server.url
    found = {}
    with browsers.phone(browser) as one, browsers.phone(browser) as two:
        phones = []
        for context in (one, two):
            page = pages.opened(context, url, desk.admit(context, url, household))
            page.evaluate(ROUND)
            phones.append((page, watched(page)))
        (push, out), (pull, into) = phones
        push.evaluate(FILL, count)
        found[f"push {count}"] = (push.evaluate(ROUND), *out.taken())
        found[f"pull {count}"] = (pull.evaluate(ROUND), *into.taken())
        push.evaluate(EDIT, 50)
        found["push 50"] = (push.evaluate(ROUND), *out.taken())
        found["pull 50"] = (pull.evaluate(ROUND), *into.taken())
        found["nothing new"] = (pull.evaluate(ROUND), *into.taken())
        assert pages.titles(pull) == pages.titles(push)
    return found


def main(count: int = 5000, runs: int = 3) -> None:
    """Print a table."""
    steps: dict[str, list[tuple[float, int, int]]] = defaultdict(list)
    with (
        tempfile.TemporaryDirectory() as folder,
        open_desk(Path(folder)) as desk,
        sync_playwright() as driver,
    ):
        browser = browsers.launch(driver)
        for _ in range(runs):
            for step, numbers in run(browser, desk, count).items():
                steps[step].append(numbers)
        browser.close()
    print(f"{'step':<14}{'ms':>9}{'requests':>10}{'kB':>9}   (median of {runs})")
    for step, rows in steps.items():
        ms, requests, size = (statistics.median(column) for column in zip(*rows, strict=True))
        print(f"{step:<14}{ms:>9.0f}{requests:>10.0f}{size / 1000:>9.1f}")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3]))
