"""Years of buying by the most to pay, beside two rules of thumb and a buyer who knows it all.

``python tests/bench/bench_year.py [runs] [seed] [years] [habits]`` prints ratios to the most to
pay with 95% bootstrap intervals over the runs, and what was promised beside what came of it. Each
run is a market and a person of their own who starts without a sale and refits every four weeks.
``habits`` is how many of the ways of selling to go through; about 2 s a run and way.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bench.worlds import WORLDS
from bench.years import (
    FINDS,
    HABITS,
    OUTING_HOURS,
    OUTINGS,
    TERMS,
    FindOf,
    Habit,
    Year,
    as_find,
    history_on,
    on,
)
from crestrail.pricing.book import build_book
from crestrail.pricing.pad import price_find

REFIT_DAYS = 28
BOOTSTRAPS = 2000
STOCK = (0, 5, 20, 60, 150, 10_000)
"""Bounds of own sales by which promises are counted."""
OURS, KNOWING = "the most to pay", "knows it all"
Rule = Callable[["Person", FindOf], bool]


@dataclass(slots=True)
class Promise:
    """What the pad said at the ask paid, and what came of it."""

    sales: int
    profit: float
    loss: float
    unsold: float
    find: FindOf


@dataclass(slots=True)
class Person:
    """One who buys by a rule: what they bought and know."""

    year: Year
    bought: list[FindOf] = field(default_factory=list)
    book: dict[str, Any] = field(default_factory=dict)
    medians: dict[str, float] = field(default_factory=dict)
    promises: list[Promise] = field(default_factory=list)

    def learn(self, day: int, with_book: bool) -> None:
        """Look back once a month: the book, or the median of each kind sold three times."""
        history = history_on(self.year, self.bought, day)
        if with_book:
            self.book = build_book(history, TERMS, on(day))
            return
        brought = defaultdict(list)
        for sale in history.sales:
            brought[sale.thing.kind or ""].append(sale.price / sale.thing.count)
        self.medians = {k: float(np.median(v)) for k, v in brought.items() if len(v) >= 3}

    def thinks(self, find: FindOf) -> float:
        """What a person without the book thinks a find brings."""
        typical = {k.slug: float(k.typical_price or 1) for k in self.year.kinds}
        kind = find.thing.kind or ""
        return self.medians.get(kind, typical[kind]) * find.thing.count


def by_most(person: Person, find: FindOf) -> bool:
    """Buy what is asked no more for than the pad says, and note what it promises."""
    answer = price_find(person.book, as_find(find))
    if find.ask > answer["most"]:
        return False
    at, chances = answer["atAsk"], answer["chances"]
    sales = person.book["counts"]["sales"]
    person.promises.append(
        Promise(sales, at["profit"], at["lossChance"], chances["unsold"], find)
    )  # fmt: skip
    return True


def by_third(person: Person, find: FindOf) -> bool:
    """A third of what one thinks it brings."""
    return find.ask <= person.thinks(find) / 3.0


def by_double(person: Person, find: FindOf) -> bool:
    """At least double one's money: ask and supplies."""
    return find.ask + find.supplies <= person.thinks(find) / 2.0


def by_book_third(person: Person, find: FindOf) -> bool:
    """A third of what the book thinks it brings."""
    return find.ask <= price_find(person.book, as_find(find))["range"]["likely"] / 3.0


def by_book_double(person: Person, find: FindOf) -> bool:
    """At least double one's money by what the book thinks it brings."""
    likely = price_find(person.book, as_find(find))["range"]["likely"]
    return find.ask + find.supplies <= likely / 2.0


def by_knowing(person: Person, find: FindOf) -> bool:
    """Buy what turns out to leave the least profit wanted."""
    return find.profit >= TERMS.min_profit


RULES: dict[str, tuple[Rule, bool]] = {
    OURS: (by_most, True),
    "a third": (by_third, False),
    "double your money": (by_double, False),
    "a third of the book's": (by_book_third, True),
    "double, by the book": (by_book_double, True),
    KNOWING: (by_knowing, False),
}


def live(year: Year, rule: Rule, with_book: bool) -> Person:
    """Go through the finds, deciding by the rule."""
    person, last = Person(year), -REFIT_DAYS
    for day, finds in groupby(year.finds, key=lambda f: f.day):
        if day - last >= REFIT_DAYS:
            person.learn(day, with_book)
            last = day
        person.bought += [f for f in finds if rule(person, f)]
    return person


def sums(person: Person, years: int) -> np.ndarray:
    """By year: clear, hours at work, profit, pieces bought."""
    found = np.zeros((years, 4))
    for f in person.bought:
        found[f.day // 365] += (f.clear, f.hours, f.profit, 1.0)
    return found


def measures(total: np.ndarray, runs: float) -> dict[str, float]:
    """What a year came to, from sums over ``runs`` years."""
    clear, hours, profit, pieces = total / runs
    out = OUTINGS * OUTING_HOURS
    return {
        "clear an hour, outings too": clear / (hours + out),
        "clear an hour of work": clear / max(1e-9, hours),
        "profit a year": profit - TERMS.wage_per_hour * out,
        "profit a year but for outings": profit,
        "pieces": pieces,
    }


def interval(top: np.ndarray, own: np.ndarray, name: str, seed: int) -> tuple[float, float, float]:
    """Ratio to ours with a 95% bootstrap interval over the runs, drawn in pairs."""
    rng, n = np.random.default_rng(seed), len(top)

    def ratio(at: np.ndarray) -> float:
        return measures(top[at].sum(0), n)[name] / measures(own[at].sum(0), n)[name]

    drawn = [ratio(rng.integers(0, n, n)) for _ in range(BOOTSTRAPS)]
    low, high = np.quantile(drawn, (0.025, 0.975))
    return ratio(np.arange(n)), float(low), float(high)


def show_rules(found: dict[str, np.ndarray], year: int, seed: int) -> None:
    """One year's ratios, a row a rule."""
    own = found[OURS][:, year]
    base = measures(own.sum(0), len(own))
    print(f"\nyear {year + 1}: " + ", ".join(f"{k} {v:,.0f}" for k, v in base.items()))
    for name, runs in found.items():
        cells = ""
        for measure in base:
            mid, low, high = interval(runs[:, year], own, measure, seed)
            cells += f"  {mid:5.2f} ({low:5.2f}-{high:5.2f})"
        print(f"  {name:22}{cells}")


def show_promises(promises: list[Promise]) -> None:
    """Promised and realised, by the number of own sales behind the promise."""
    print(f"\n{'own sales':>12} {'bought':>7} {'profit said':>12} {'came':>7} {'said/came':>9}"
          f" {'loss said':>10} {'came':>6} {'unsold said':>12} {'came':>6}")  # fmt: skip
    for low, high in pairwise(STOCK):
        chosen = [p for p in promises if low <= p.sales < high]
        if len(chosen) < 50:
            continue
        said, came = (float(np.mean(x)) / 100.0 for x in (
            [p.profit for p in chosen], [p.find.profit for p in chosen]))  # fmt: skip
        lost = np.mean([p.find.cash < p.find.ask for p in chosen])
        unsold = np.mean([p.find.brought is None for p in chosen])
        print(f"{f'{low}-{high - 1}':>12} {len(chosen):>7} {said:>12.1f} {came:>7.1f}"
              f" {said / came:>9.2f} {np.mean([p.loss for p in chosen]):>10.3f} {lost:>6.3f}"
              f" {np.mean([p.unsold for p in chosen]):>12.3f} {unsold:>6.3f}")  # fmt: skip


def run(habit: Habit, runs: int, seed: int, years: int) -> None:
    """Everything for one way of selling."""
    begun = time.perf_counter()
    found, promises = defaultdict(list), []
    for i in range(runs):
        year = Year(WORLDS[i % len(WORLDS)], habit, seed + i, years)
        for name, (rule, with_book) in RULES.items():
            person = live(year, rule, with_book)
            found[name].append(sums(person, years))
            promises += person.promises
    print(f"\n== {habit.name}: {runs} runs of {years} years, {OUTINGS * FINDS} finds a year, "
          f"seeds {seed} to {seed + runs - 1}, bootstrap seed {seed}; "
          f"{time.perf_counter() - begun:.0f} s")  # fmt: skip
    for at in range(years):
        show_rules({k: np.array(v) for k, v in found.items()}, at, seed)
    show_promises(promises)


def main(runs: int = 210, seed: int = 1, years: int = 2, habits: int = len(HABITS)) -> None:
    """The first ways of selling."""
    for habit in HABITS[:habits]:
        run(habit, runs, seed, years)


if __name__ == "__main__":
    main(*(int(x) for x in sys.argv[1:]))
