"""How long a phone takes with the server gone: milliseconds of main thread at 4x slowed CPU.

    .venv/bin/python tests/bench/bench_phone.py [sales] [rounds]

A real household with so many sold pieces (5,000 unless told otherwise) whose book the real server
fitted; then the server ends, Chromium's CPU is slowed four times through CDP, and are measured:
a key on the pad from the press to the drawn answer (with the layout), the same with the workings
open beside it, and the best of 25 finds. Each with the named alternative of the same run. CDP does
not slow workers, so what goes on beside in a worker is not measured. Nothing is asserted.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from playwright.sync_api import Page, sync_playwright

from helpers import browser as browsers
from helpers.at_the_sale import add_phone
from helpers.live import LiveServer

SLOWER = 4

FILL = """async ({ from, count }) => {
  const { household: h } = document.querySelector('crest-shell');
  const kinds = h.all('kind').filter((kind) => kind.typical_price);
  const traits = h.all('trait').map(({ slug }) => slug);
  const day = 86_400_000, now = h.now().getTime();
  const made = [];
  for (let i = from; i < from + count; i += 1) {
    const roll = (n) => (Math.imul(i + 1, 2654435761 ^ (n * 40503)) >>> 8) % n;
    const kind = kinds[roll(kinds.length)];
    const sold = new Date(now - (3 + roll(900)) * day);
    const seen = new Date(sold.getTime() - (5 + roll(60)) * day);
    const at = (date) => ({ at: date.toISOString(), on: date.toISOString().slice(0, 10) });
    const piece_id = h.newId();
    const price = Math.round(kind.typical_price * (0.6 + roll(90) / 100));
    made.push({ type: 'piece', id: piece_id, fields: { ...at(seen), kind: kind.slug,
      title: `Piece ${i}`, count: 1, finished_grade: 3 + roll(3), opening_on: at(seen).on,
      traits: traits.filter((_, k) => roll(k + 5) === 0).slice(0, 4) } });
    made.push({ type: 'sale', fields: { ...at(sold), piece_id, price } });
  }
  await h.write(made);
}"""

BOOKED = """async (sales) => {
  const { household: h } = document.querySelector('crest-shell');
  for (let i = 0; i < 60; i += 1) {
    await h.syncNow();
    if (h.sync.unsent === 0 && h.book?.counts.sales >= sales * 0.99) return h.book.counts.sales;
    await new Promise((done) => setTimeout(done, 500));
  }
  return h.book?.counts.sales ?? 0;
}"""

KEYS = """async ({ rounds }) => {
  const screen = document.querySelector('screen-at-the-sale');
  const field = document.querySelector('#ask').closest('crest-money-input');
  const times = [];
  for (let i = 0; i < rounds; i += 1) {
    await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
    const start = performance.now();
    field.press(String(1 + (i % 9)));
    if (field.value > 99_000) field.press('clear');
    await screen.updateComplete;
    screen.getBoundingClientRect();
    times.push(performance.now() - start);
    if (i % 4 === 3) { field.value = null; field.text = ''; }
  }
  return times;
}"""

ALL_ANEW = """async ({ rounds }) => {
  const { nearestSales } = await import('/js/pricing/comps.js');
  const { priceFind } = await import('/js/pricing/pad.js');
  const { household: h } = document.querySelector('crest-shell');
  const kind = h.all('kind').find(({ typical_price }) => typical_price).slug;
  const times = [];
  for (let i = 0; i < rounds; i += 1) {
    const start = performance.now();
    const pieces = new Map(h.all('piece').map((piece) => [piece.id, piece]));
    const sales = h.all('sale').map((sale) => {
      const piece = pieces.get(sale.piece_id);
      return { id: sale.id, price: sale.price, kind: piece.kind, traits: piece.traits ?? [],
        count: 1, grade: piece.finished_grade, ageDays: 100 };
    });
    nearestSales({ kind, traits: [], count: 1, grade: 4 }, sales);
    priceFind(h.book, { kind, ask: 100 * i });
    times.push(performance.now() - start);
  }
  return times;
}"""

CHOICES = """async ({ rounds, count, how }) => {
  const { answerChoice } = await import('/js/pricing/choosing.js');
  const brute = (finds, limits) => {
    let best = 0;
    for (let mask = 0; mask < 2 ** finds.length; mask += 1) {
      let [value, cash, minutes, litres] = [0, 0, 0, 0];
      for (let i = 0; i < finds.length; i += 1) {
        if ((mask >> i) & 1) {
          value += finds[i].value; cash += finds[i].cash;
          minutes += finds[i].minutes; litres += finds[i].litres;
        }
      }
      if (cash <= limits.cash && minutes <= limits.minutes && litres <= limits.litres) {
        best = Math.max(best, value);
      }
    }
    return { value: best, proven: true };
  };
  const [times, unproven] = [[], []];
  for (let i = 0; i < rounds; i += 1) {
    let state = 20261125 + i * 7919;
    const roll = (n) => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return (state >>> 8) % n;
    };
    const finds = Array.from({ length: count }, () => {
      const [cash, minutes, litres] = [500 + roll(11500), 20 + roll(280), 20 + roll(880)];
      const value = i % 2 ? 500 + roll(14500)
        : Math.max(100, Math.round(cash * 0.4 + minutes * 15 + litres * 4) + roll(1600) - 800);
      return { value, cash, minutes, litres };
    });
    const share = 0.3 + roll(40) / 100;
    const limits = Object.fromEntries(['cash', 'minutes', 'litres'].map((k) => (
      [k, Math.round(finds.reduce((sum, f) => sum + f[k], 0) * share)])));
    const start = performance.now();
    const answer = how === 'brute' ? brute(finds, limits) : answerChoice(finds, limits);
    times.push(performance.now() - start);
    if (!answer.proven) unproven.push(i);
  }
  return { times, unproven: unproven.length };
}"""


def row(name: str, times: list[float]) -> float:
    """Prints one line; the median."""
    ordered = sorted(times)
    middle, late = median(ordered), ordered[int(0.95 * (len(ordered) - 1))]
    print(f"{name:<58}{middle:>9.1f}{late:>9.1f}{ordered[-1]:>9.1f}")
    return middle


def prepared(page: Page, sales: int) -> int:
    """The household's past, sent home and back as a book; how many sales are behind it."""
    for start in range(0, sales, 1000):
        page.evaluate(FILL, {"from": start, "count": min(1000, sales - start)})
    return int(page.evaluate(BOOKED, sales))


def choices(page: Page, rounds: int) -> None:
    """The best of 25, and of 16 beside brute force."""
    of_25: Any = page.evaluate(CHOICES, {"rounds": rounds, "count": 25, "how": "search"})
    row(f"best of 25 finds ({of_25['unproven']} of {rounds} go on in a worker)", of_25["times"])
    few = {"rounds": 6, "count": 16}
    ours = row("best of 16 finds", page.evaluate(CHOICES, {**few, "how": "search"})["times"])
    all_ = row("  every subset of 16", page.evaluate(CHOICES, {**few, "how": "brute"})["times"])
    print(f"  every subset / ours: {all_ / ours:.0f}")


def main(sales: int = 5000, rounds: int = 60) -> None:
    """Print a table."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        browser = browsers.launch(driver)
        with browsers.phone(browser) as context:
            with LiveServer(Path(folder) / "data") as server:
                page = add_phone(context, server)
                page.set_default_timeout(120_000)
                behind = prepared(page, sales)
            print(f"{behind} sales behind the book, the server gone, CPU slowed {SLOWER}x")
            print(f"{'milliseconds':<58}{'median':>9}{'95%':>9}{'max':>9}")
            page.locator(".sale-form label.chip").first.tap()
            cdp = context.new_cdp_session(page)
            cdp.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            key = row("a key on the pad", page.evaluate(KEYS, {"rounds": rounds}))
            anew = row("  looking through every sale anew", page.evaluate(ALL_ANEW, {"rounds": 20}))
            print(f"  anew / a key: {anew / key:.1f}")
            page.set_viewport_size({"width": 1280, "height": 800})
            row("a key with the workings beside", page.evaluate(KEYS, {"rounds": rounds}))
            choices(page, rounds)
        browser.close()


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3]))
