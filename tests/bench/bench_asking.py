"""How long the drop plan and the whole answers take in a browser slowed to a quarter.

``python tests/bench/bench_asking.py`` prints median, 95% point and worst in milliseconds, of the
first call of each case and of a second one, with the factor that the browser was slowed by.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from helpers import browser as browsers
from helpers.live import LiveServer

SLOWED = 4
VECTORS = Path(__file__).resolve().parents[1] / "vectors"
RUN = """async ({plans, asks, offers, books}) => {
  const { Board, bestPlan } = await import('/js/pricing/dropping.js');
  const { answerAsking } = await import('/js/pricing/asking-answer.js');
  const { answerPieceOffer } = await import('/js/pricing/offer-answer.js');
  const timed = (list, run) => list.map((one) => {
    const begun = performance.now();
    run(one);
    return performance.now() - begun;
  });
  const plan = ({ market: { on_sale: onSale, ...rest } }) => bestPlan(
    new Board({ ...rest, onSale }), Array(4).fill(rest.rate.horizon / 4));
  const ask = ({ book, data }) => answerAsking(books[book], data);
  const offer = ({ book, data }) => answerPieceOffer(books[book], data);
  const round = () => ({
    plan: timed(plans, plan), asking: timed(asks, ask), offer: timed(offers, offer),
  });
  return [round(), round()];
}"""


def cases() -> dict[str, object]:
    """Every case of the vectors that has an answer."""
    asking = json.loads((VECTORS / "asking.json").read_text())
    offers = json.loads((VECTORS / "offers.json").read_text())["pieces"]
    return {
        "plans": asking["plans"],
        "asks": [c for c in asking["asks"] if c["answer"]["ok"]],
        "offers": [c for c in offers if c["answer"]["ok"]],
        "books": json.loads((VECTORS / "pricing_books.json").read_text()),
    }


def main() -> None:
    """Measure and print."""
    with (
        tempfile.TemporaryDirectory() as folder,
        LiveServer(Path(folder) / "data") as server,
        sync_playwright() as driver,
        browsers.phone(browsers.launch(driver)) as phone,
    ):
        page = phone.new_page()
        page.goto(f"{server.url}/manifest.webmanifest")
        wire = phone.new_cdp_session(page)
        wire.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        print(f"slowed {SLOWED} times; milliseconds: median, 95%, worst")
        for name, found in zip(("first", "again"), page.evaluate(RUN, cases()), strict=True):
            for what, times in found.items():
                times.sort()
                points = (times[len(times) // 2], times[int(len(times) * 0.95)], times[-1])
                print(f"{name} {what:7} n {len(times):3}", *(f"{t:7.1f}" for t in points))


if __name__ == "__main__":
    main()
