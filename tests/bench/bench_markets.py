"""How well the book says what a piece brings, beside other ways, on hidden markets.

``python tests/bench/bench_markets.py [markets] [seed]`` prints the mean |log error|, how often the
80% range (10-90) held and its interval score (Gneiting & Raftery, JASA 102, 2007, 359-378; lower
is better), over all worlds and for each, on the same pieces for all. The last two rivals need
scikit-learn (``pip install -e ".[bench]"``), which nothing else here does.
"""

from __future__ import annotations

import math
import sys
import time
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from sklearn.linear_model import BayesianRidge

from bench.rivals import HUMAN, Answers, Guess, Way, ours, prices, table
from bench.worlds import WORLDS, Market, World
from crestrail.pricing.history import History, Thing
from crestrail.pricing.normal import Z90

SALES = (0, 3, 10, 30, 100, 300)
NEW = 60
OWN = "ours"
MEASURES = ("error", "inside", "score")
Cell = dict[str, list[float]]


def ridge(history: History, things: Sequence[Thing], above: bool) -> Answers:
    """scikit-learn's BayesianRidge with its own defaults; ``above``: of what lies above the
    person's typical price instead of the price."""
    if len(history.sales) < 2:
        return [None] * len(things)
    sold = [s.thing for s in history.sales]
    expected = {k.slug: math.log(k.typical_price or 1) for k in history.kinds}

    def base(many: Sequence[Thing]) -> np.ndarray:
        return np.array([expected[t.kind or ""] if above else 0.0 for t in many])

    model = BayesianRidge().fit(table(history, sold), prices(history) - base(sold))
    middle, spread = model.predict(table(history, things), return_std=True)
    middle = middle + base(things)
    return [
        Guess(float(m), float(m - Z90 * s), float(m + Z90 * s))
        for m, s in zip(middle, spread, strict=True)
    ]


WAYS: dict[str, Way] = {
    OWN: ours,
    **HUMAN,
    "BayesianRidge": lambda h, t: ridge(h, t, False),
    "BayesianRidge over typical": lambda h, t: ridge(h, t, True),
}


def score(guess: Guess, truth: float) -> dict[str, float]:
    """The measures of one guess."""
    found = {"error": abs(guess.middle - truth)}
    if guess.low is None or guess.high is None:
        return found
    missed = max(0.0, guess.low - truth) + max(0.0, truth - guess.high)
    found["inside"] = float(missed == 0.0)
    found["score"] = guess.high - guess.low + 2.0 / 0.2 * missed
    return found


def one_market(world: World, seed: int, ways: dict[str, Way]) -> dict[tuple[str, int], Cell]:
    """All measures of all ways in one market, for every number of own sales."""
    market = Market(world, seed)
    new = market.new(NEW)
    things, truth = [t for t, _ in new], [y for _, y in new]
    whole = market.past(max(SALES))
    order = market.rng.permutation(max(SALES))
    cells: dict[tuple[str, int], Cell] = {}
    for n in SALES:
        kept = sorted(order[:n])
        history = History(
            kinds=whole.kinds, traits=whole.traits, sales=tuple(whole.sales[i] for i in kept)
        )
        for name, way in ways.items():
            cell: Cell = defaultdict(list)
            for guess, y in zip(way(history, things), truth, strict=True):
                for measure, value in score(guess, y).items() if guess else ():
                    cell[measure].append(value)
            cells[name, n] = cell
    return cells


def collect(worlds: Sequence[World], markets: int, seed: int) -> dict[str, dict]:
    """World name -> (way, n) -> measure -> mean over its markets."""
    found = {}
    for w, world in enumerate(worlds):
        runs = [one_market(world, seed + 10_000 * w + i, WAYS) for i in range(markets)]
        found[world.name] = {
            key: {
                m: float(np.mean([np.mean(run[key][m]) for run in runs]))
                for m in MEASURES
                if runs[0][key][m]
            }
            for key in runs[0]
        }
    return found


def show(title: str, worlds: Sequence[dict], measure: str) -> None:
    """One table: a row a way, a column a number of sales; in brackets the ratio to ours."""
    print(f"\n{title}: {measure}")
    print(f"{'own sales':28}" + "".join(f"{n:>14}" for n in SALES))
    for name in WAYS:
        row = f"{name:28}"
        for n in SALES:
            got = [w[name, n].get(measure) for w in worlds]
            if any(g is None for g in got):
                row += f"{'-':>14}"
                continue
            mean, own = float(np.mean(got)), float(np.mean([w[OWN, n][measure] for w in worlds]))
            ratio = "" if name == OWN or measure == "inside" else f" ({mean / own:.2f})"
            row += f"{f'{mean:.3f}{ratio}':>14}"
        if "-" * 3 in row or any(c.isdigit() for c in row[28:]):
            print(row)


def main(markets: int = 40, seed: int = 1) -> None:
    """Draw, ask every way, print."""
    begun = time.perf_counter()
    found = collect(WORLDS, markets, seed)
    print(f"{markets} markets in each of {len(WORLDS)} worlds, {NEW} new pieces each,")
    print(f"seeds {seed} + 10,000 x world + market; {time.perf_counter() - begun:.0f} s")
    for measure in MEASURES:
        show("all worlds", list(found.values()), measure)
    for name, cells in found.items():
        for measure in MEASURES:
            show(name, [cells], measure)


if __name__ == "__main__":
    main(*(int(x) for x in sys.argv[1:]))
