"""How well the chance to sell is foretold from a log of so many listings.

``python tests/bench/bench_selling.py [markets] [seed]`` prints, for sellers of several habits, the
mean chance said and true to sell by day 14 and 45 at one price: the person's own ask, which misses
the going price by 25%, and the book's likely price; and the chance to stand unsold over the whole
time under the seller's own habit (what the pad says). The truth is computed from the hidden rates.
"""

from __future__ import annotations

import math
import sys
from collections import defaultdict
from pathlib import Path

import numpy as np
from scipy.special import ndtr

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bench.worlds import WORLDS, kind_index
from bench.years import FINDS, TERMS, FindOf, Habit, Year, history_on, on
from crestrail.pricing.asking import Market, Plan, chances_by
from crestrail.pricing.book import build_book
from crestrail.pricing.fit_selling import OMEGA, PLAN
from crestrail.pricing.linear import model_from
from crestrail.pricing.resale import Looks, predict
from crestrail.pricing.selling import rate_of, unsold_days

LISTINGS = (0, 20, 60, 150)
DAYS = (14.0, 45.0)
NEW = 60
SELLERS = (
    Habit("drops by plan"),
    Habit("drops by plan, noisy asks", miss=0.50),
    Habit("never drops, 10% over", plan=(0.10,) * 4),
    Habit("quick, 15% under", plan=(-0.15,) * 4),
    Habit("drops by plan, slow market", slow=2.0),
)
Sums = dict[str, list[tuple[float, float]]]


def true_left(year: Year, find: FindOf, offsets: tuple[float, ...], step: float) -> float:
    """The chance that a piece asked at these offsets from its true going price stands unsold."""
    rate = 2.0 / float(year.true_days[kind_index(find.thing)])
    return math.exp(-rate * step * sum(float(ndtr(-o / OMEGA)) for o in offsets))


def one_market(habit: Habit, seed: int, n: int, found: Sums) -> None:
    """Learn from ``n`` listings, foretell the next pieces."""
    year = Year(WORLDS[seed % len(WORLDS)], habit, seed, 1)
    day = 7 * (n // FINDS) + 60
    past, new = year.finds[:n], year.finds[n : n + NEW]
    book = build_book(history_on(year, past, day), TERMS, on(day))
    sell, model = book["sell"], model_from(book["price"])
    rng = np.random.default_rng([seed, 2])
    for f in new:
        looks = Looks(f.thing.kind, f.thing.traits, f.thing.count, f.thing.grade or 4)
        resale = predict(model, looks, book["price"]["v0"])
        assert resale is not None
        rate = rate_of(sell, f.thing.kind)
        market = Market(resale, rate, sell["omega"], 0.0, 0.0, 0.0, 0.0)
        missed = float(rng.normal(0.0, 0.25))
        for who, offset in (("own ask", f.worth + missed - resale.mu), ("book's", 0.0)):
            over = offset + resale.mu - f.worth
            plan = Plan((offset,), (max(DAYS),), (), 0.0, 0.0, 0.0)
            for days, said in zip(DAYS, chances_by(market, plan, DAYS), strict=True):
                found[f"{who} by {days:.0f}"].append(
                    (said, 1.0 - true_left(year, f, (over,), days))
                )
        missed = float(rng.normal(0.0, habit.miss))
        asks = tuple(missed + o for o in habit.plan)
        left = true_left(year, f, asks, rate.horizon / len(PLAN))
        found["unsold"].append((unsold_days(rate, sell)[0], left))


def main(markets: int = 60, seed: int = 1) -> None:
    """A row a habit and size of the log."""
    print(f"{markets} markets each, seeds {seed} to {seed + markets - 1}, {NEW} new pieces each")
    for habit in SELLERS:
        for n in LISTINGS:
            found: Sums = defaultdict(list)
            for i in range(markets):
                one_market(habit, seed + i, n, found)
            means = {k: np.mean(v, axis=0) for k, v in found.items()}
            cells = "".join(f"{f'{said:.3f} / {true:.3f}':>18}" for said, true in means.values())
            if n == LISTINGS[0]:
                print(f"\n{habit.name:28}" + "".join(f"{name:>18}" for name in means))
            print(f"{f'{n} listings, said / true':28}{cells}")


if __name__ == "__main__":
    main(*(int(x) for x in sys.argv[1:]))
