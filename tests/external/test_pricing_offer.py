"""Offers against scipy's integration, a search by bisection, and Monte Carlo."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from crestrail.pricing.effort import Effort
from crestrail.pricing.offer import Deal, Terms, at_ask, loss_chance, loss_limit, max_offer
from crestrail.pricing.resale import Resale
from helpers.oracles_pricing import loss_by_quadrature, simulate

PLAIN: dict[str, float] = {
    "mu": math.log(14500),
    "s": 0.5,
    "tmu": math.log(110),
    "ts": 0.4,
    "u": 0.09,
    "days": 34,
    "cost": 800,
    "salvage": 5000,
    "fee": 0.08,
    "fee_fixed": 50,
    "delivery": 700,
    "hold": 10,
    "wage": 1500,
    "min_profit": 1500,
    "tolerance": 0.35,
}
CASES: dict[str, dict[str, float]] = {
    "usual": {},
    "sure of the price": {"s": 0.1},
    "hardly any idea": {"s": 1.2},
    "slow": {"u": 0.3, "days": 90},
    "never sells in time": {"u": 0.34},
    "limit below the chance of standing": {"u": 0.36, "tolerance": 0.2},
    "the same, nothing for salvage": {"u": 0.36, "tolerance": 0.2, "salvage": 0},
    "goes for more when it must": {"salvage": 30000},
    "costs money to be rid of": {"salvage": -2000},
    "no fees": {"fee": 0, "fee_fixed": 0, "delivery": 0},
    "cheap piece": {"mu": math.log(900)},
    "long work": {"tmu": math.log(900)},
    "no loss wanted": {"tolerance": 0.01},
}


def deal_of(values: dict[str, float]) -> Deal:
    v = PLAIN | values
    mean = math.exp(v["tmu"] + v["ts"] ** 2 / 2)
    terms = Terms(
        v["fee"],
        v["fee_fixed"],
        v["delivery"],
        v["hold"],
        v["wage"],
        v["min_profit"],
        v["tolerance"],
    )
    return Deal(
        Resale(v["mu"], v["s"]),
        Effort(v["tmu"], v["ts"], mean),
        v["u"],
        v["days"],
        v["cost"],
        v["salvage"],
        terms,
    )


@pytest.fixture(params=CASES.values(), ids=CASES.keys())
def values(request: pytest.FixtureRequest) -> dict[str, float]:
    return PLAIN | dict(request.param)


@pytest.mark.parametrize("paid", [0.0, 1500.0, 6000.0, 14000.0, 40000.0])
def test_the_chance_of_a_loss_is_that_of_scipys_integration(
    values: dict[str, float], paid: float
) -> None:
    assert loss_chance(deal_of(values), paid) == pytest.approx(
        loss_by_quadrature(values, paid), abs=1e-8
    )


def test_the_loss_limit_is_the_last_price_within_the_tolerance(values: dict[str, float]) -> None:
    deal, limit = deal_of(values), loss_limit(deal_of(values))
    assert loss_chance(deal, limit - 0.01) <= values["tolerance"] + 1e-12
    for more in np.linspace(0.02, 60000, 500):
        assert loss_chance(deal, limit + float(more)) > values["tolerance"]


def test_paying_the_most_leaves_the_least_profit_or_the_tolerated_chance(
    values: dict[str, float],
) -> None:
    deal = deal_of(values)
    offer = max_offer(deal)
    if offer.binding == "profit":
        assert at_ask(deal, offer.most).profit == pytest.approx(values["min_profit"])
        assert at_ask(deal, offer.most).loss_chance <= values["tolerance"] + 1e-12
    elif offer.binding == "loss":
        assert at_ask(deal, offer.most).profit >= values["min_profit"]
    else:
        assert offer.most == 0.0
        assert min(offer.profit_limit, offer.loss_limit) <= 0.0


@pytest.mark.parametrize("paid", [2000.0, 9000.0])
def test_what_paying_the_ask_comes_to_meets_monte_carlo(
    values: dict[str, float], paid: float
) -> None:
    got: Any = at_ask(deal_of(values), paid)
    seen = simulate(values, paid, 400_000, 12)
    scale = math.exp(values["mu"] + values["s"] ** 2 / 2)
    assert got.clear == pytest.approx(seen["clear"], abs=0.012 * scale)
    assert got.profit == pytest.approx(seen["profit"], abs=0.012 * scale)
    assert got.loss_chance == pytest.approx(seen["loss"], abs=0.004)
    assert got.under_wage_chance == pytest.approx(seen["under_wage"], abs=0.004)
    minutes = math.exp(values["tmu"] + values["ts"] ** 2 / 2)
    assert got.hourly == pytest.approx(seen["hourly"], abs=0.015 * scale / (minutes / 60))
