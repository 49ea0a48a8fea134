"""How long the drop plan and the whole answers take in a browser slowed to a quarter.

``python tests/bench/bench_asking.py`` prints median, 95% point and worst in milliseconds, of the
first call of each case and of a second one, with the factor that the browser was slowed by. The
named alternative of the drop plan is the same climb with every plan that is tried evaluated whole
("plain"); the ratio of the second calls' medians and the largest difference in value are printed.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from statistics import median

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from helpers import browser as browsers
from helpers.live import LiveServer

SLOWED = 4
VECTORS = Path(__file__).resolve().parents[1] / "vectors"
RUN = """async ({plans, asks, offers, books}) => {
  const { Board, allowed, bestPlan } = await import('/js/pricing/dropping.js');
  const { evaluate } = await import('/js/pricing/asking.js');
  const { answerAsking } = await import('/js/pricing/asking-answer.js');
  const { answerPieceOffer } = await import('/js/pricing/offer-answer.js');
  const timed = (list, run) => list.map((one) => {
    const begun = performance.now();
    run(one);
    return performance.now() - begun;
  });
  const marketOf = ({ on_sale: onSale, ...rest }) => ({ ...rest, onSale });
  const stepsOf = ({ rate }) => Array(4).fill(rate.horizon / 4);
  const plan = ({ market }) => bestPlan(new Board(marketOf(market)), stepsOf(market));
  const plain = ({ market: given }) => {
    const market = marketOf(given);
    const steps = stepsOf(market);
    const of = (offsets) => evaluate(market, offsets, steps);
    const better = (a, b) => b.value > a.value + 1e-9 * Math.abs(a.value);
    let best = null;
    for (const offset of allowed(market)) {
      const found = of(steps.map(() => offset));
      if (!best || better(best, found)) best = found;
    }
    for (let before = null; before !== best;) {
      before = best;
      steps.forEach((_, at) => {
        for (const offset of allowed(market)) {
          const offsets = best.offsets.with(at, offset);
          if (offsets.some((o, i) => i > 0 && o > offsets[i - 1])) continue;
          const found = of(offsets);
          if (better(best, found)) best = found;
        }
      });
    }
    return best;
  };
  const ask = ({ book, data }) => answerAsking(books[book], data);
  const offer = ({ book, data }) => answerPieceOffer(books[book], data);
  const round = () => ({
    plan: timed(plans, plan), plain: timed(plans, plain),
    asking: timed(asks, ask), offer: timed(offers, offer),
  });
  const apart = plans.map((one) => Math.abs(plan(one).value / plain(one).value - 1));
  return { rounds: [round(), round()], apart: Math.max(...apart) };
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
        found = page.evaluate(RUN, cases())
        for name, kinds in zip(("first", "again"), found["rounds"], strict=True):
            for what, times in kinds.items():
                times.sort()
                points = (times[len(times) // 2], times[int(len(times) * 0.95)], times[-1])
                print(f"{name} {what:7} n {len(times):3}", *(f"{t:7.1f}" for t in points))
        again = found["rounds"][1]
        print(f"plain / plan: {median(again['plain']) / median(again['plan']):.1f}")
        print(f"largest difference in value: {found['apart']:.1e}")


if __name__ == "__main__":
    main()
