"""The chance of a loss on a lot against Monte Carlo and against scipy's integration.

The sum of log-normals is taken as log-normal in each pattern of sold and unsold pieces. Over 40
drawn lots that stand-in is off by 0.004 on average; at worst (one piece whose spread is quite
unlike the others') it says 0.036 too much, and nowhere more than 0.014 too little.
"""

from __future__ import annotations

import json
import math
import random
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from crestrail.pricing.effort import Effort
from crestrail.pricing.figures import priced_find
from crestrail.pricing.find import Problems, read_find
from crestrail.pricing.lots import Lot, loss_chance, most_for, patterns_of
from crestrail.pricing.lots_answer import shared_errors
from crestrail.pricing.offer import Deal, Terms
from crestrail.pricing.resale import Resale
from vectors.make_pricing import drawn

WITHIN = 0.018
TOO_CAREFUL = 0.04
DRAWS = 200_000
BOOKS = json.loads((Path(__file__).parents[1] / "vectors" / "lots.json").read_text())["books"]


def lot_of(book: dict[str, Any], finds: list[dict[str, Any]]) -> Lot:
    problems = Problems()
    read = [read_find(f, problems) for f in finds]
    priced = [priced_find(book, f, problems) for f in read]
    assert problems.details == []
    return Lot([p.deal for p in priced if p], shared_errors(book, read, [p for p in priced if p]))


def seen_losses(lot: Lot, paid: list[float], seed: int) -> list[float]:
    """The share of drawn courses in which less cash comes back than was put in."""
    rng = np.random.default_rng(seed)
    mu = np.array([d.resale.mu for d in lot.deals])
    price = np.exp(rng.multivariate_normal(mu, np.array(lot.shared), DRAWS, method="eigh"))
    sold = rng.random(price.shape) >= [d.u for d in lot.deals]
    terms = lot.deals[0].terms
    got = np.where(
        sold, (1 - terms.fee) * price - terms.on_sale, [d.salvage for d in lot.deals]
    ).sum(axis=1) - sum(d.cost for d in lot.deals)
    return [float((got < p).mean()) for p in paid]


@pytest.mark.parametrize("seed", range(12))
def test_the_chance_of_a_loss_meets_monte_carlo(seed: int) -> None:
    rng = random.Random(seed)
    book = BOOKS[rng.choice(("fresh", "many", "careful", "wasteful"))]
    lot = lot_of(book, [drawn(rng) for _ in range(rng.randrange(2, 8))])
    likely = sum(d.resale.likely for d in lot.deals)
    paid = [likely * share for share in (0.1, 0.3, 0.5, 0.7, 1.0)]
    off = [loss_chance(lot, p) - s for p, s in zip(paid, seen_losses(lot, paid, seed), strict=True)]
    assert min(off) > -WITHIN
    assert max(off) < TOO_CAREFUL
    assert abs(sum(off)) / len(off) < WITHIN


def test_more_than_ten_pieces_meet_monte_carlo_too() -> None:
    rng = random.Random(5)
    lot = lot_of(BOOKS["many"], [drawn(rng) for _ in range(16)])
    assert len(patterns_of(lot)) == 1024
    likely = sum(d.resale.likely for d in lot.deals)
    paid = [likely * share for share in (0.2, 0.4, 0.6, 0.8)]
    for p, seen in zip(paid, seen_losses(lot, paid, 5), strict=True):
        assert loss_chance(lot, p) == pytest.approx(seen, abs=WITHIN)


def plain(mu: float, s: float, u: float, tolerance: float) -> Deal:
    terms = Terms(0.08, 50.0, 700.0, 10.0, 1500.0, 1000.0, tolerance)
    return Deal(Resale(mu, s), Effort(4.0, 0.4, 60.0), u, 30.0, 900.0, 0.35 * math.exp(mu), terms)


def exact_loss(deals: list[Deal], paid: float) -> float:
    """Independent pieces, two at most: every pattern, the sum of two prices by quadrature."""
    kept = 1 - deals[0].terms.fee
    total = 0.0
    for pattern in product((True, False), repeat=len(deals)):
        weight = math.prod(1 - d.u if sold else d.u for d, sold in zip(deals, pattern, strict=True))
        out = [d for d, sold in zip(deals, pattern, strict=True) if sold]
        left = [d.salvage for d, sold in zip(deals, pattern, strict=True) if not sold]
        costs = sum(d.cost for d in deals)
        need = paid + costs + sum(d.terms.on_sale for d in out) - sum(left)
        total += weight * chance_below([d.resale for d in out], need / kept if out else need)
    return total


def chance_below(prices: list[Resale], need: float) -> float:
    if need <= 0:
        return 0.0
    if not prices:
        return 1.0
    first, *others = prices
    if not others:
        return float(norm.cdf((math.log(need) - first.mu) / first.s))
    (second,) = others

    def at(z: float) -> float:
        left = need - math.exp(first.mu + first.s * z)
        below = norm.cdf((math.log(left) - second.mu) / second.s) if left > 0 else 0.0
        return float(norm.pdf(z) * below)

    end = min(9.0, (math.log(need) - first.mu) / first.s)
    return float(quad(at, -9.0, end, limit=200)[0]) if end > -9.0 else 0.0


@pytest.mark.parametrize(
    ("mus", "spreads", "us"),
    [
        ((9.0,), (0.5,), (0.1,)),
        ((9.0, 9.6), (0.4, 0.6), (0.1, 0.25)),
        ((8.0, 9.8), (0.7, 0.3), (0.02, 0.4)),
        ((9.2, 9.2), (0.5, 0.5), (0.05, 0.05)),
    ],
)
def test_independent_pieces_meet_every_pattern_added_up_by_quadrature(
    mus: tuple[float, ...], spreads: tuple[float, ...], us: tuple[float, ...]
) -> None:
    deals = [plain(m, s, u, 0.3) for m, s, u in zip(mus, spreads, us, strict=True)]
    n = len(deals)
    lot = Lot(deals, [[spreads[i] ** 2 if i == j else 0.0 for j in range(n)] for i in range(n)])
    within = 1e-9 if n == 1 else WITHIN
    for share in (0.1, 0.4, 0.6, 0.8, 1.2):
        paid = share * sum(math.exp(m) for m in mus)
        assert loss_chance(lot, paid) == pytest.approx(exact_loss(deals, paid), abs=within)
    most, binding = most_for(lot)
    assert binding in ("loss", "profit")
    assert exact_loss(deals, most) <= 0.3 + within
