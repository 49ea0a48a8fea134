"""The falling price against the closed form of Gallego & van Ryzin, Management Science 40
(1994) 999-1020, for buyers who take a price p with chance exp(-alpha p)."""

from __future__ import annotations

import math

import pytest

from crestrail.pricing.asking import stand
from crestrail.pricing.selling import Rate


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
    """One piece: J = ln(1 + lam t / e) / alpha, p = J + 1 / alpha; here a rate known for sure
    (a gamma of huge shape) and the optimal path cut in 4,000 steps."""
    n = 4000
    left = [days * (1.0 - (i + 0.5) / n) for i in range(n)]
    prices = [(math.log1p(lam / math.e * t) + 1.0) / alpha for t in left]
    shape = 1e12
    shares = [math.exp(-alpha * p) for p in prices]
    sold, _, _ = stand(Rate(shape, shape / lam, days), shares, days / n)
    got = sum(p * chance for p, chance in zip(prices, sold, strict=True))
    assert got == pytest.approx(math.log1p(lam / math.e * days) / alpha, rel=1e-6)
    assert got == pytest.approx(worth, rel=1e-6)
