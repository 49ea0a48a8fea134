"""Other ways to say what a piece will bring, each from the same own sales.

All work on logs of minor units. Those that people use by hand think per piece, so they divide by
the number of pieces; the regressions have it as a column. ``None`` stands for "no idea".
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from bench.worlds import AS_OF
from crestrail.pricing.fit_resale import price_part
from crestrail.pricing.history import History, Sale, Thing
from crestrail.pricing.linear import model_from
from crestrail.pricing.normal import Z90
from crestrail.pricing.resale import Looks, predict

NEAREST = 5


@dataclass(frozen=True, slots=True)
class Guess:
    """The middle of what it may bring and, where the way has one, the 10% and 90% points."""

    middle: float
    low: float | None = None
    high: float | None = None


Answers = list[Guess | None]
Way = Callable[[History, Sequence[Thing]], Answers]


def ours(history: History, things: Sequence[Thing]) -> Answers:
    """The price book's own answer, rounded as it is shipped."""
    part = price_part(history, AS_OF, 0.05)
    model = model_from(part)
    found: Answers = []
    for x in things:
        got = predict(model, Looks(x.kind, x.traits, x.count, x.grade or 4), part["v0"])
        assert got is not None
        found.append(Guess(got.mu, got.mu - Z90 * got.s, got.mu + Z90 * got.s))
    return found


def typical(history: History, things: Sequence[Thing]) -> Answers:
    """The person's typical price times the number of pieces."""
    prices = {k.slug: k.typical_price or 1 for k in history.kinds}
    return [Guess(math.log(prices[x.kind or ""] * x.count)) for x in things]


def each(sale: Sale) -> float:
    """The log of what one piece of a sale brought."""
    return math.log(sale.price / sale.thing.count)


def median_of_kind(history: History, things: Sequence[Thing]) -> Answers:
    """The median of one's own sales of the kind, of all where there is none."""
    if not history.sales:
        return [None] * len(things)
    everything = float(np.median([each(s) for s in history.sales]))
    found: Answers = []
    for x in things:
        same = [each(s) for s in history.sales if s.thing.kind == x.kind]
        middle = float(np.median(same)) if same else everything
        found.append(Guess(middle + math.log(x.count)))
    return found


def unlike(one: Thing, other: Thing) -> float:
    """How unlike two pieces are: another kind counts 3, a trait that only one has counts 1."""
    apart = len(set(one.traits) ^ set(other.traits)) + abs((one.grade or 4) - (other.grade or 4))
    return apart + (0.0 if one.kind == other.kind else 3.0)


def last_similar(history: History, things: Sequence[Thing]) -> Answers:
    """The most alike of one's last ten sales of the kind; of all where there is none."""
    if not history.sales:
        return [None] * len(things)
    found: Answers = []
    for x in things:
        same = [s for s in history.sales if s.thing.kind == x.kind] or list(history.sales)
        recent = sorted(same, key=lambda s: s.on, reverse=True)[:10]
        alike = min(recent, key=lambda s: (unlike(s.thing, x), AS_OF - s.on))
        found.append(Guess(each(alike) + math.log(x.count)))
    return found


def nearest(history: History, things: Sequence[Thing]) -> Answers:
    """The mean (of logs) of the five most alike of all own sales."""
    if not history.sales:
        return [None] * len(things)
    found: Answers = []
    for x in things:
        alike = sorted(history.sales, key=lambda s: unlike(s.thing, x))[:NEAREST]
        found.append(Guess(float(np.mean([each(s) for s in alike])) + math.log(x.count)))
    return found


def table(history: History, things: Sequence[Thing]) -> np.ndarray:
    """Dummies of kinds and traits, the grade and the log of the number of pieces."""
    kinds = {k.slug: i for i, k in enumerate(history.kinds)}
    traits = {t.slug: len(kinds) + i for i, t in enumerate(history.traits)}
    x = np.zeros((len(things), len(kinds) + len(traits) + 2))
    for i, thing in enumerate(things):
        x[i, kinds[thing.kind or ""]] = 1.0
        x[i, [traits[t] for t in thing.traits]] = 1.0
        x[i, -2:] = ((thing.grade or 4) - 4, math.log(thing.count))
    return x


def prices(history: History) -> np.ndarray:
    """Logs of what own sales brought."""
    return np.array([math.log(s.price) for s in history.sales])


def least_squares(history: History, things: Sequence[Thing]) -> Answers:
    """Ordinary least squares with its textbook t interval; the shortest solution where the
    columns outnumber the sales (then without an interval)."""
    if not history.sales:
        return [None] * len(things)
    x, y = table(history, [s.thing for s in history.sales]), prices(history)
    x, new = (np.column_stack([np.ones(len(a)), a]) for a in (x, table(history, things)))
    solution, _, rank, _ = np.linalg.lstsq(x, y, rcond=None)
    free = len(y) - int(rank)
    middle = new @ solution
    if free < 3:
        return [Guess(float(m)) for m in middle]
    s2 = float(((y - x @ solution) ** 2).sum()) / free
    inverse = np.linalg.pinv(x.T @ x)
    spread = np.sqrt(s2 * (1.0 + np.einsum("ij,jk,ik->i", new, inverse, new)))
    reach = float(stats.t.ppf(0.9, free)) * spread
    return [Guess(float(m), float(m - r), float(m + r)) for m, r in zip(middle, reach, strict=True)]


HUMAN: dict[str, Way] = {
    "typical price alone": typical,
    "median of the kind": median_of_kind,
    "last similar sale": last_similar,
    "five nearest": nearest,
    "least squares": least_squares,
}
