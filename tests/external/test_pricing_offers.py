"""The least offer to take against a closed form, a counter against simulated buyers."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from crestrail.pricing.asking import Market, stand
from crestrail.pricing.offers import (
    OPENS_BELOW,
    Inquiry,
    accepts,
    answer_offer,
    counters,
    least_to_take,
    no_show_chance,
)
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


def test_a_counter_is_agreed_to_as_often_as_by_simulated_buyers() -> None:
    """Four million buyers of a piece that has stood, each opening below what they would pay:
    those who open within 2% of the offer, and of them those who would pay each counter. Each
    piece weighs what its chance to have stood is."""
    rng, n = np.random.default_rng(20260704), 4_000_000
    stood = replace(MARKET, past=((0.1, 30.0),))
    worth = MARKET.resale.s * rng.standard_normal(n)
    share = stats.norm.cdf((worth - 0.1) / MARKET.omega)
    weight = stats.lomax(MARKET.rate.a, scale=MARKET.rate.b).sf(share * 30.0)
    pays = MARKET.resale.mu + worth + MARKET.omega * rng.standard_normal(n)
    opens = pays - rng.exponential(OPENS_BELOW, n)
    offered = weight * (abs(opens - math.log(8000)) < 0.02)
    counters = [9000, 11_000, 15_000]
    wanted = [(offered * (pays >= math.log(c))).sum() / offered.sum() for c in counters]
    assert accepts(stood, 8000, counters) == pytest.approx(wanted, abs=0.01)
    assert accepts(stood, 8000, counters) < accepts(MARKET, 8000, counters)


def test_counters_are_whole_notes_between_the_offer_and_the_price() -> None:
    got = counters(Inquiry(10_000, 15_000, 0, 0.2, 0.0, 500))
    assert got == list(range(10_500, 15_001, 500))
    assert counters(Inquiry(10_000, 10_200, 0, 0.2, 0.0, 500)) == [10_200]
    assert counters(Inquiry(10_000, 9000, 0, 0.2, 0.0, 500)) == []


def test_holds_that_fell_through_make_the_next_less_sure() -> None:
    assert no_show_chance(0, 0) == 0.2
    assert no_show_chance(10, 0) < 0.2 < no_show_chance(10, 5)
