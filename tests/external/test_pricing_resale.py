"""The fitted prices against scipy's t distribution, least squares and direct integration."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats

from crestrail.pricing import fit_resale
from crestrail.pricing.book import build_book
from crestrail.pricing.conjugate import Noise, Prior, Rows, fit
from crestrail.pricing.history import Kind, Settings
from crestrail.pricing.linear import model_from
from crestrail.pricing.resale import Looks, predict, row_of
from helpers.oracles_pricing import full_matrix, least_squares_with_prior, price_of
from helpers.pricing_histories import AS_OF, past

PLAIN = Noise(s0=0.35, nu0=12.0, robust=None)


def _rows(seed: int, n: int, columns: int) -> Rows:
    rng = np.random.default_rng(seed)
    x = rng.integers(0, 2, (n, columns)).astype(float)
    y = x @ rng.normal(0, 0.3, columns) + rng.normal(9, 0.3, n)
    return Rows(x, y, rng.uniform(0.1, 1.0, n))


def _prior(columns: int, noise: Noise = PLAIN) -> Prior:
    names = tuple(f"c{i}" for i in range(columns))
    return Prior(names, np.linspace(0, 1, columns), np.linspace(0.1, 0.6, columns), noise)


@pytest.mark.parametrize("seed", range(5))
def test_the_coefficients_are_least_squares_with_a_row_for_every_prior_belief(seed: int) -> None:
    rows, prior = _rows(seed, 40, 6), _prior(6)
    wanted = least_squares_with_prior(rows.x, rows.y, rows.w, (prior.m0, prior.tau, 0.35))
    assert fit(prior, rows).m == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_the_covariance_is_the_inverse_of_the_weighted_cross_products(seed: int) -> None:
    rows, prior = _rows(seed, 25, 4), _prior(4)
    precision = np.diag((0.35 / prior.tau) ** 2)
    for xi, wi in zip(rows.x, rows.w, strict=True):
        precision += wi * np.outer(xi, xi)
    assert fit(prior, rows).v == pytest.approx(np.linalg.inv(precision), rel=1e-9)


def test_mean_noise_and_spread_are_those_of_direct_integration() -> None:
    """One unknown mean: the posterior by integrating likelihood times prior on a grid."""
    y = np.array([9.1, 9.4, 8.9, 9.6])
    prior = Prior(("all",), np.array([9.0]), np.array([0.5]), PLAIN)
    got = fit(prior, Rows(np.ones((4, 1)), y, np.ones(4)))
    m = np.linspace(7.0, 11.5, 1201)[:, None]
    v = np.exp(np.linspace(math.log(0.005), math.log(3.0), 1201))[None, :]
    log_density = stats.invgamma.logpdf(v, 6.0, scale=6.0 * 0.35**2)
    log_density = log_density + stats.norm.logpdf(m, 9.0, np.sqrt(v) * 0.5 / 0.35)
    for value in y:
        log_density = log_density + stats.norm.logpdf(value, m, np.sqrt(v))
    p = np.exp(log_density - log_density.max()) * v  # v: steps are even in the logarithm
    p /= p.sum()
    assert got.m[0] == pytest.approx(float((p * m).sum()), abs=1e-6)
    nu, s2 = got.nu, got.s2
    assert s2 * nu / (nu - 2.0) == pytest.approx(float((p * v).sum()), rel=1e-4)
    tail = float((p * stats.norm.cdf(9.7, m, np.sqrt(v))).sum())
    scale = math.sqrt(s2 * (1.0 + got.v[0, 0]))
    assert stats.t.cdf((9.7 - got.m[0]) / scale, nu) == pytest.approx(tail, abs=1e-5)


@pytest.mark.parametrize("sales", [0, 5, 60])
def test_the_shown_range_is_10_to_90_percent_of_the_t_predictive(sales: int) -> None:
    part = build_book(past(7, sales), Settings(), AS_OF)["price"]
    looks = Looks("dresser", ("oak", "cane"), 2, 3)
    got = predict(model_from(part), looks, part["v0"])
    assert got is not None
    x = np.zeros(len(part["names"]))
    for i, value in row_of(model_from(part), looks):
        x[i] = value
    q = (
        part["noise"].get("dresser", 1.0)
        + float(x @ full_matrix(part["v_micro"], len(x)) @ x) / 1e6
    )
    t = stats.t(part["nu"], float(x @ np.array(part["m"])), math.sqrt(part["s2"] * q))
    assert math.log(got.low) == pytest.approx(t.ppf(0.1), rel=1e-7)
    assert math.log(got.high) == pytest.approx(t.ppf(0.9), rel=1e-7)


@pytest.mark.parametrize("kind", ["side-chair", "dresser", "stool"])
def test_prediction_equals_a_dense_matrix_product(kind: str) -> None:
    book = build_book(past(8, 30), Settings(), AS_OF)
    looks = {"kind": kind, "traits": ("oak", "white"), "count": 4, "grade": 5}
    got = predict(model_from(book["price"]), Looks(kind, ("oak", "white"), 4, 5), {"kind": 1.0})
    assert got is not None
    assert (got.mu, got.s) == pytest.approx(price_of(book, looks), rel=1e-12)


def test_the_mean_is_the_integral_over_the_prices() -> None:
    part = build_book(past(9, 30), Settings(), AS_OF)["price"]
    got = predict(model_from(part), Looks("desk", (), 1, 4), part["v0"])
    assert got is not None
    price = stats.lognorm(got.s, scale=got.likely)
    integral, _ = integrate.quad(lambda x: x * price.pdf(x), 0, price.ppf(1 - 1e-13), limit=400)
    assert got.mean == pytest.approx(integral, rel=1e-6)


@pytest.mark.parametrize(("sales", "kind"), [(0, "desk"), (40, "desk"), (40, "new-kind")])
def test_what_is_counted_on_is_the_average_over_single_pieces_of_the_likeliest_market(
    sales: int, kind: str
) -> None:
    """Integrated over the noise of single pieces only, with coefficients at their middle."""
    part = build_book(past(9, sales), Settings(), AS_OF)["price"]
    got = predict(model_from(part), Looks(kind, ("oak",), 1, 4, kind_price=9000), part["v0"])
    assert got is not None
    single = part["c"] * math.sqrt(part["s2"] * part["noise"].get(kind, 1.0))
    price = stats.lognorm(single, scale=got.likely)
    integral, _ = integrate.quad(lambda x: x * price.pdf(x), 0, price.ppf(1 - 1e-13), limit=400)
    assert got.counted == pytest.approx(integral, rel=1e-6)
    assert got.likely < got.counted < got.mean


def test_an_unknown_kind_is_as_unsure_as_a_known_one_that_never_sold() -> None:
    """The variance added for an unknown level is that of a refit with the level as a column."""
    history = past(10, 50)
    without = build_book(history, Settings(), AS_OF)["price"]
    new = Kind("new-kind", 20000, "fair", 21)
    book = build_book(replace(history, kinds=(*history.kinds, new)), Settings(), AS_OF)
    refit = predict(model_from(book["price"]), Looks("new-kind", ("oak",), 1, 4), {"kind": 1.0})
    stand_in = Looks("new-kind", ("oak",), 1, 4, kind_price=20000)
    unknown = predict(model_from(without), stand_in, without["v0"])
    assert refit is not None
    assert unknown is not None
    assert (unknown.mu, unknown.s) == pytest.approx((refit.mu, refit.s), abs=2e-6)


def test_leaving_out_the_trend_gives_the_predictions_of_the_whole_model_for_today() -> None:
    history = past(11, 40)
    prior = fit_resale.prior_of(history)
    rows = fit_resale.rows_of(prior, fit_resale.observations(history, AS_OF, 0.05))
    whole = fit(prior, rows)
    part = whole.without("trend")
    x = np.zeros(len(whole.names))
    x[[0, 2]] = 1.0
    assert whole.names[-1] == "trend"
    assert x[:-1] @ part.m == pytest.approx(x @ whole.m, rel=1e-12)
    assert x[:-1] @ part.v @ x[:-1] == pytest.approx(x @ whole.v @ x, rel=1e-12)


def test_a_mistyped_price_moves_a_robust_fit_less_than_a_plain_one() -> None:
    history = past(12, 60)
    slip = replace(history.sales[0], price=history.sales[0].price * 10)
    mistyped = replace(history, sales=(slip, *history.sales[1:]))

    def moved(noise: Noise) -> float:
        prior = replace(fit_resale.prior_of(history), noise=noise)
        fits = [
            fit(prior, fit_resale.rows_of(prior, fit_resale.observations(h, AS_OF, 0.05)))
            for h in (history, mistyped)
        ]
        return float(np.abs(fits[1].m - fits[0].m).max())

    assert moved(fit_resale.NOISE) < 0.5 * moved(PLAIN)
