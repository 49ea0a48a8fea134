"""The least offer to take against the closed form for one piece without a deadline."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.pricing.asking import Market, stand
from crestrail.pricing.offers import Inquiry, answer_offer, least_to_take, no_show_chance
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate

MARKET = Market(Resale(9.5, 0.4), Rate(4, 42, 90), 0.25, 0.08, 700, 10, 3000)


def test_without_a_deadline_the_least_to_take_is_the_reservation_price() -> None:
    """Buyers accept p with chance exp(-alpha p), holding costs c a day: p = ln(a / (c alpha)) /
    alpha = 368.8879, worth p - 1 / alpha = 268.8879 after 1 / (c alpha) = 100 days (derived)."""
    a, alpha, c, sure = 0.4, 0.01, 1.0, 1e12
    price = math.log(a / (c * alpha)) / alpha
    sold, days, left = stand(Rate(sure, sure / a, 1e4), [math.exp(-alpha * price)], [1e4])
    value = price * sold[0] - c * days
    market = Market(Resale(5.5, 0.4), Rate(sure, sure / a, 1e4), 0.25, 0.0, 0.0, c, 0.0)
    got = least_to_take(market, value, Inquiry(1, price, 0, 0.0, 0.0))
    assert (price, days, got) == pytest.approx((368.8879, 100.0, 268.8879), abs=5e-5)
    assert left < 1e-20


@given(st.integers(1, 40_000), st.integers(0, 9), st.floats(0, 30_000))
def test_an_offer_is_taken_or_countered_exactly_from_the_least_on(
    offer: int, failed: int, value: float
) -> None:
    data = {"offer": offer, "price": 20_000, "holds": 9, "failed": failed, "hold_days": 3}
    got = answer_offer(MARKET, value, data)
    assert (got["take"] >= got["wait"]) == (offer >= got["leastToTake"] - 1e-6) or (
        abs(offer - got["leastToTake"]) < 1e-3
    )
    best = got["counter"]["value"] if got["best"] == "counter" else got[got["best"]]
    assert best >= max(got["take"], got["wait"])


def test_holds_that_fell_through_make_the_next_less_sure() -> None:
    assert no_show_chance(0, 0) == 0.2
    assert no_show_chance(10, 0) < 0.2 < no_show_chance(10, 5)
