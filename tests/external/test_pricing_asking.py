"""The falling price against closed forms, published waiting times and simulated buyers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from lifelines import KaplanMeierFitter
from lifelines.datasets import load_leukemia

from crestrail.pricing.asking import Market, chances_by, evaluate, stand
from crestrail.pricing.dropping import Board, best_plan
from crestrail.pricing.fit_selling import learned
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate

SURE = 1e12
"""A gamma of so large a shape is a rate known for sure."""
MARKET = Market(Resale(9.5, 0.4), Rate(4, 42, 90), 0.25, 0.08, 700, 10, 3000)


def falling(lam: float, alpha: float, days: float, tilt: float = 0.0) -> float:
    """What the optimal path brings when cut in 4,000 steps, each price moved by ``tilt``."""
    n = 4000
    left = [days * (1.0 - (i + 0.5) / n) for i in range(n)]
    prices = [(1.0 + tilt) * (math.log1p(lam / math.e * t) + 1.0) / alpha for t in left]
    shares = [math.exp(-alpha * p) for p in prices]
    sold, _, _ = stand(Rate(SURE, SURE / lam, days), shares, [days / n] * n)
    return sum(p * chance for p, chance in zip(prices, sold, strict=True))


@pytest.mark.parametrize(
    ("lam", "alpha", "days", "worth"),
    [
        (20.0, 1.0, 1.0, 2.123170),
        (1.0, 0.01, 30.0, 248.7934),
        (0.5 * math.e, 0.01, 14.0, 207.9442),
    ],
)
def test_the_best_falling_price_is_worth_the_closed_form(
    lam: float, alpha: float, days: float, worth: float
) -> None:
    """Gallego & van Ryzin, Management Science 40 (1994) 999-1020: one piece, buyers who take a
    price p with chance exp(-alpha p): J = ln(1 + lam t / e) / alpha, p = J + 1 / alpha."""
    got = falling(lam, alpha, days)
    assert got == pytest.approx(math.log1p(lam / math.e * days) / alpha, rel=1e-6)
    assert got == pytest.approx(worth, rel=1e-6)
    assert falling(lam, alpha, days, 0.05) < got > falling(lam, alpha, days, -0.05)


@pytest.mark.parametrize(("arm", "median", "at_ten"), [(0, 23.0, 0.752941), (1, 8.0, 0.380952)])
def test_a_pace_learned_from_published_waits_promises_chances_within_kaplan_meier(
    arm: int, median: float, at_ten: float
) -> None:
    """Remission in weeks, Freireich et al., Blood 21 (1963) 699-716, both arms with censoring as
    in lifelines; the medians 23 and 8 are the published ones. Compared as long as some wait."""
    rows = load_leukemia().query("Rx == @arm")
    seen = KaplanMeierFitter().fit(rows["t"], rows["status"])
    assert seen.median_survival_time_ == median
    assert float(seen.predict(10)) == pytest.approx(at_ten, abs=1e-6)
    pace = learned(Rate(1e-9, 1e-9, 90), float(rows["status"].sum()), float(rows["t"].sum()))
    known = Market(Resale(9.5, 1e-9), pace, 0.25, 0.0, 0.0, 0.0, 0.0)
    given_away = evaluate(known, [-9.0], [40.0])
    times = [t for t in sorted(rows.query("status == 1")["t"].unique()) if seen.predict(t) > 0]
    said = chances_by(known, given_away, times)
    for time, chance in zip(times, said, strict=True):
        low, high = seen.confidence_interval_.loc[time]
        assert low <= 1.0 - chance <= high, time


def simulated(market: Market, offsets: list[float], steps: list[float], n: int) -> np.ndarray:
    """The day each of ``n`` pieces sold on and for what; infinity and 0 where none did.

    Every buyer is drawn on their own: they come as a Poisson stream at a rate unknown to the
    seller, and take the piece when its price is not above what they think it worth.
    """
    rng = np.random.default_rng(20260703)
    bounds, prices = np.cumsum(steps), np.exp(market.resale.mu + np.array(offsets))
    found = np.zeros((n, 2))
    for i in range(n):
        rate = rng.gamma(market.rate.a, 1.0 / market.rate.b)
        worth = market.resale.mu + market.resale.s * rng.standard_normal()
        days = np.sort(rng.uniform(0.0, bounds[-1], rng.poisson(rate * bounds[-1])))
        asked = prices[np.searchsorted(bounds, days, side="right").clip(0, len(prices) - 1)]
        takes = worth + market.omega * rng.standard_normal(len(days)) >= np.log(asked)
        first = int(takes.argmax()) if takes.any() else -1
        found[i] = (days[first], asked[first]) if first >= 0 else (math.inf, 0.0)
    return found


def test_a_plan_keeps_its_promises_to_single_simulated_buyers() -> None:
    plan = best_plan(Board(MARKET), [22.0, 23.0, 22.0, 23.0])
    got = simulated(MARKET, list(plan.offsets), list(plan.steps), 30_000)
    stood, sold = np.minimum(got[:, 0], 90.0), np.isfinite(got[:, 0])
    said = chances_by(MARKET, plan, [7.0, 30.0, 60.0])
    assert said == pytest.approx([(got[:, 0] <= d).mean() for d in (7, 30, 60)], abs=0.01)
    assert plan.unsold == pytest.approx(1.0 - sold.mean(), abs=0.01)
    assert plan.days == pytest.approx(stood.mean(), rel=0.02)
    net = np.where(sold, (1.0 - MARKET.fee) * got[:, 1] - MARKET.on_sale, MARKET.salvage)
    assert plan.value == pytest.approx((net - MARKET.hold * stood).mean(), rel=0.02)


def test_a_piece_that_stood_promises_what_such_pieces_did_afterwards() -> None:
    stood = Market(
        MARKET.resale, MARKET.rate, 0.25, 0.08, 700, 10, 3000, past=((0.2, 20.0), (0.0, 25.0))
    )
    plan = evaluate(stood, [-0.1, -0.3], [20.0, 25.0])
    got = simulated(MARKET, [0.2, 0.0, -0.1, -0.3], [20.0, 25.0, 20.0, 25.0], 30_000)[:, 0]
    still = got[got > 45.0]
    assert plan.unsold == pytest.approx((still == math.inf).mean(), abs=0.015)
    (said,) = chances_by(stood, plan, [20.0])
    assert said == pytest.approx((still <= 65.0).mean(), abs=0.015)
    unasked = evaluate(MARKET, [-0.1, -0.3], [20.0, 25.0])
    assert plan.unsold > unasked.unsold + 0.05, "standing says something about the piece"
