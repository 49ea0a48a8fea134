"""Rates of selling against published and computed figures, lifelines and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from lifelines import ExponentialFitter
from scipy import integrate, stats

from crestrail.pricing.book import build_book
from crestrail.pricing.fit_selling import (
    KAPPA,
    OMEGA,
    PLAN,
    SHAPE,
    SHORTEST_HORIZON,
    Exposure,
    fit_rates,
    learned,
)
from crestrail.pricing.history import History, Kind, Settings
from crestrail.pricing.normal import NODES, phi
from crestrail.pricing.selling import Rate, dwell, horizon_of, unsold, unsold_days
from helpers.oracles_pricing import unsold_by_quadrature
from helpers.pricing_histories import AS_OF, past

# Remission in weeks under 6-MP, Freireich et al., Blood 21 (1963) 699-716.
EVENTS = (6, 6, 6, 7, 10, 13, 16, 22, 23)
CENSORED = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)


@pytest.mark.parametrize(
    ("prior", "counted", "posterior"),
    [
        ((10, 2), (6 + 2 + 2 + 1, 4), (21, 6)),
        ((20, 1), (24, 1), (44, 2)),
        ((44, 2), (23, 1), (67, 3)),
        ((2, 1), (217, 111), (219, 112)),
        ((2, 1), (66, 44), (68, 45)),
        ((1, 10), (len(EVENTS), sum(EVENTS) + sum(CENSORED)), (10, 369)),
    ],
)
def test_a_gamma_rate_learns_as_in_the_worked_examples(
    prior: tuple[int, int], counted: tuple[int, int], posterior: tuple[int, int]
) -> None:
    """Gamma-Poisson examples in common use (the two with 219/112 and 68/45 from memory of a
    textbook), and the exponential model with censoring on the data above."""
    got = learned(Rate(*prior, 90.0), *counted)
    assert (got.a, got.b) == posterior


def test_the_worked_means_and_deviations_follow() -> None:
    got = learned(Rate(10, 2, 90), 11, 4)
    assert (got.a / got.b, math.sqrt(got.a) / got.b) == pytest.approx((3.5, 0.7638), abs=5e-5)
    censored = learned(Rate(1, 10, 90), 9, 359)
    assert censored.a / censored.b == pytest.approx(0.02710, abs=5e-6)


def test_sold_and_unsold_listings_carry_the_same_evidence_as_in_lifelines() -> None:
    """Sales per day of exposure in the fit equal the exponential model with right-censoring."""
    history = History(kinds=(Kind("desk", 14000, "fair", 30),))
    evidence = [Exposure("desk", 1.0, True, float(t)) for t in EVENTS]
    evidence += [Exposure("desk", 1.0, False, float(t)) for t in CENSORED]
    speed, rates = fit_rates(history, evidence)
    before = Rate(4.0, 4.0 * 30 / (2.0 * speed), 120.0)
    days_per_sale = (rates["desk"].b - before.b) / (rates["desk"].a - before.a)
    seen = [True] * len(EVENTS) + [False] * len(CENSORED)
    fitted = ExponentialFitter().fit([*EVENTS, *CENSORED], seen)
    assert days_per_sale == pytest.approx(float(fitted.lambda_), rel=1e-5)
    assert speed == pytest.approx((10 + 9) / (10 + 2 / 30 * 359))


@pytest.mark.parametrize(("a", "b", "days"), [(4, 40, 10), (13, 369, 90), (4, 10, 400)])
def test_standing_unsold_is_a_lomax_survival(a: float, b: float, days: float) -> None:
    assert unsold(Rate(a, b, 90), days) == pytest.approx(stats.lomax(a, scale=b).sf(days))


@pytest.mark.parametrize("share", [0.0, 1e-16, 0.3, 1.0])
def test_days_in_a_step_are_the_integral_of_the_survival(share: float) -> None:
    rate = Rate(5.0, 60.0, 90.0)
    wanted, _ = integrate.quad(lambda t: unsold(rate, 20.0 + share * t), 0.0, 30.0)
    assert dwell(rate, 20.0, share, 30.0) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("sales", [0, 60])
def test_chance_and_days_of_standing_meet_numerical_integration(sales: int) -> None:
    sell = build_book(past(5, sales), Settings(), AS_OF)["sell"]
    for kind in ("stool", "mirror"):
        rate = sell["kinds"][kind]
        u, days = unsold_days(Rate(*rate), sell)
        assert (u, days) == pytest.approx(unsold_by_quadrature(tuple(rate), sell), rel=5e-3)


def test_standing_unsold_meets_a_simulated_market_of_single_buyers() -> None:
    """Buyers come as a Poisson stream at an unknown rate; each takes the piece if its ask is not
    above what they think it worth. The seller misjudges the price and drops the ask by plan."""
    sell = build_book(past(5, 0), Settings(), AS_OF)["sell"]
    a, b, horizon = sell["kinds"]["dresser"]
    rng = np.random.default_rng(11)
    unsold_pieces, days, pieces = 0, 0.0, 20_000
    for _ in range(pieces):
        rate, miss = rng.gamma(a, 1.0 / b), sell["kappa"] * rng.standard_normal()
        day = rng.exponential(1.0 / rate)
        while day < horizon:
            step = int(day / horizon * len(sell["plan"]))
            if sell["omega"] * rng.standard_normal() >= sell["plan"][step] - miss:
                break
            day += rng.exponential(1.0 / rate)
        unsold_pieces += day >= horizon
        days += min(day, horizon)
    u, expected = unsold_days(Rate(a, b, horizon), sell)
    assert u == pytest.approx(unsold_pieces / pieces, abs=0.008)
    assert expected == pytest.approx(days / pieces, rel=0.03)


@pytest.mark.parametrize("typical", [14, 21, 30, 45, 60, 120])
def test_pieces_sold_under_the_default_drop_plan_bring_the_going_price_on_average(
    typical: int,
) -> None:
    rate = Rate(SHAPE, SHAPE * typical / 2.0, horizon_of(typical, SHORTEST_HORIZON))
    brought = sold = 0.0
    for z, weight in NODES:
        exposure = 0.0
        for offset in PLAN:
            before = unsold(rate, exposure)
            exposure += phi((KAPPA * z - offset) / OMEGA) * rate.horizon / len(PLAN)
            gone = weight * (before - unsold(rate, exposure))
            brought += math.exp(offset) * gone
            sold += gone
    assert brought / sold == pytest.approx(1.0, abs=0.03)
