"""The book beside what people do by hand and least squares, on hidden markets from fixed seeds.

A small part of ``tests/bench/bench_markets.py``: the same markets, fewer of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy import stats

from bench.rivals import HUMAN, Guess, Way, ours
from bench.worlds import WORLDS, Market, World
from crestrail.pricing.history import History, Thing

MARKETS, PIECES, SEED = 10, 40, 4100
PLACES = [(world, n) for world in WORLDS[:2] for n in (30, 100)]
RIVALS = ("median of the kind", "last similar sale", "least squares")


@dataclass(frozen=True)
class Trial:
    """One market: what a person knows of it, and new pieces with the log of what they bring."""

    history: History
    things: list[Thing]
    truth: list[float]

    def answers(self, way: Way) -> list[Guess]:
        """What a way says of the new pieces."""
        return [guess for guess in way(self.history, self.things) if guess is not None]

    def error(self, way: Way) -> float:
        """The mean distance of its middles from the truth, in logs."""
        pairs = zip(self.answers(way), self.truth, strict=True)
        return float(np.mean([abs(guess.middle - y) for guess, y in pairs]))


def trials(world: World, sales: int) -> list[Trial]:
    found = []
    for i in range(MARKETS):
        market = Market(world, SEED + i)
        new = market.new(PIECES)
        found.append(Trial(market.past(sales), [t for t, _ in new], [y for _, y in new]))
    return found


@pytest.fixture(scope="module", params=PLACES, ids=lambda p: f"{p[0].name}, {p[1]} sales")
def place(request: pytest.FixtureRequest) -> list[Trial]:
    return trials(*request.param)


@pytest.mark.parametrize("rival", RIVALS)
def test_the_book_is_nearer_to_the_truth(place: list[Trial], rival: str) -> None:
    own, theirs = (np.array([t.error(way) for t in place]) for way in (ours, HUMAN[rival]))
    assert own.mean() < 0.97 * theirs.mean()
    assert (own < theirs).sum() >= 0.7 * MARKETS, "not by one lucky market"


def test_about_four_of_five_new_pieces_fall_in_the_shown_range(place: list[Trial]) -> None:
    """Within the 99.9% binomial bounds of 80%; as the pieces of one market share its errors,
    only one in two counts."""
    inside = [
        (g.low or 0.0) <= y <= (g.high or 0.0)
        for t in place
        for g, y in zip(t.answers(ours), t.truth, strict=True)
    ]
    low, high = stats.binom.interval(0.999, len(inside) // 2, 0.8)
    assert low <= sum(inside) / 2 <= high


def test_own_sales_are_what_makes_it_better(place: list[Trial]) -> None:
    fresh = [replace(t, history=replace(t.history, sales=())) for t in place]
    assert np.mean([t.error(ours) for t in place]) < 0.97 * np.mean([t.error(ours) for t in fresh])
