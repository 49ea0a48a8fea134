"""The regression on published data, with hardly any prior: least squares and lifelines must agree.

Anscombe, "Graphs in Statistical Analysis", American Statistician 27 (1973) 17-21: four sets of
eleven points with the same line. Data and printed results from memory; numpy confirms that they
belong together. Remission times: Freireich et al., Blood 21 (1963) 699-716, as in lifelines.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from lifelines import LogNormalAFTFitter, LogNormalFitter
from lifelines.datasets import load_leukemia
from scipy import integrate, optimize, stats

from crestrail.pricing.conjugate import Groups, Noise, Prior, Rows, consistency, design, fit
from crestrail.pricing.linear import model_from, spread
from crestrail.pricing.normal import Z90

ANSCOMBE_X = (10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0)
FIRST = (8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68)
THIRD = (7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73)
NO_PRIOR = Noise(s0=1e-4, nu0=1e-6, robust=None)


def _flat(names: tuple[str, ...], noise: Noise = NO_PRIOR) -> Prior:
    return Prior(names, np.zeros(len(names)), np.full(len(names), 1e4), noise)


def _line(y: tuple[float, ...], noise: Noise = NO_PRIOR) -> tuple[Prior, Rows]:
    prior = _flat(("all", "x"), noise)
    x = design(prior.names, [{"all": 1.0, "x": v} for v in ANSCOMBE_X])
    return prior, Rows(x, np.array(y), np.ones(len(y)))


@pytest.mark.parametrize("y", [FIRST, THIRD], ids=["first set", "third set"])
def test_without_a_prior_the_fit_gives_anscombes_printed_line(y: tuple[float, ...]) -> None:
    """y = 3.0 + 0.5 x, residual sum of squares 13.75, standard error of the slope 0.118."""
    got = fit(*_line(y))
    assert got.m == pytest.approx([3.0, 0.5], abs=0.005)
    assert got.s2 * got.nu == pytest.approx(13.75, abs=0.02)
    assert math.sqrt(got.s2 * got.nu / 9.0 * got.v[1, 1]) == pytest.approx(0.118, abs=0.0005)
    exact = stats.linregress(ANSCOMBE_X, y)
    assert got.m == pytest.approx([exact.intercept, exact.slope], rel=1e-6)
    error = math.sqrt(got.s2 * got.nu / 9.0) * np.sqrt(np.diag(got.v))
    assert error == pytest.approx([exact.intercept_stderr, exact.stderr], rel=1e-5)


def test_robust_weights_bring_the_third_set_to_the_line_of_its_other_ten_points() -> None:
    """Ten of its points lie on 4.0 + 0.346 x, one far above."""
    others = [i for i, y in enumerate(THIRD) if y < 12.0]
    on_line = stats.linregress([ANSCOMBE_X[i] for i in others], [THIRD[i] for i in others])
    assert on_line.slope == pytest.approx(0.345, abs=0.001)
    robust = fit(*_line(THIRD, Noise(s0=1e-4, nu0=1e-6, robust=8.0)))
    assert robust.m == pytest.approx([on_line.intercept, on_line.slope], abs=0.01)
    assert abs(fit(*_line(THIRD)).m[1] - on_line.slope) > 0.15, "without them it does not get there"


def test_the_robust_fit_is_the_maximum_of_a_t_likelihood_where_the_scale_is_known() -> None:
    """Weights (df + 1) / (df + r^2 / s^2) stand still where the t likelihood is largest; the
    scale is pinned by a prior worth very many observations. Minimised by scipy independently."""
    df, scale = 4.0, 0.8
    got = fit(*_line(THIRD, Noise(scale / math.sqrt(consistency(df)), nu0=1e9, robust=df)))

    def against(line: np.ndarray) -> float:
        off = np.array(THIRD) - line[0] - line[1] * np.array(ANSCOMBE_X)
        return float(-stats.t.logpdf(off / scale, df).sum())

    found = optimize.minimize(against, [3.0, 0.5], method="BFGS", options={"gtol": 1e-10})
    assert got.m == pytest.approx(found.x, abs=1e-5)


@pytest.mark.parametrize("df", [4.0, 8.0])
def test_the_t_scale_that_suits_normal_noise_best_is_the_share_the_fit_allows_for(
    df: float,
) -> None:
    """The scale with the largest expected t likelihood under a standard normal, by scipy."""

    def against(log_scale: float) -> float:
        def part(z: float) -> float:
            like = stats.t.logpdf(z, df, scale=math.exp(log_scale))
            return float(-like * stats.norm.pdf(z))

        return float(integrate.quad(part, -12, 12)[0])

    best = optimize.minimize_scalar(against, bracket=(-0.5, 0.1)).x
    assert math.exp(2.0 * best) == pytest.approx(consistency(df), rel=1e-4)


def test_robust_weights_do_not_make_normal_noise_look_smaller() -> None:
    y = stats.norm.ppf((np.arange(2000) + 0.5) / 2000) * 0.3
    rows = Rows(np.ones((2000, 1)), y, np.ones(2000))
    got = fit(_flat(("all",), Noise(s0=0.3, nu0=12.0, robust=8.0)), rows)
    assert math.sqrt(got.s2) == pytest.approx(0.3, rel=0.01)


@pytest.mark.parametrize("robust", [None, 8.0])
def test_two_groups_of_rows_get_the_noise_they_have(robust: float | None) -> None:
    """2,000 rows each at the normal quantiles, standard deviations 0.2 and 0.5; and a group of
    one row, which is taken to be like all."""
    z = stats.norm.ppf((np.arange(2000) + 0.5) / 2000)
    y = np.concatenate([0.2 * z, 1.0 + 0.5 * z, [2.0]])
    column = np.repeat([0, 1, 2], [2000, 2000, 1])
    rows = Rows(np.eye(3)[column], y, np.ones(len(y)))
    prior = _flat(("quiet", "loud", "one"), Noise(s0=0.3, nu0=12.0, robust=robust))
    got = fit(prior, rows, Groups(column, 20.0))
    assert np.sqrt(got.s2 * got.noise[:2]) == pytest.approx([0.2, 0.5], rel=0.03)
    assert got.noise[2] == pytest.approx(20.0 / 21.0, rel=0.01)
    assert got.m == pytest.approx([0.0, 1.0, 2.0], abs=0.01)


def _remission() -> tuple[np.ndarray, np.ndarray]:
    """Weeks and log white cell counts of the 21 patients under placebo, none censored."""
    table = load_leukemia()
    placebo = table[table["Rx"] == 1]
    assert (placebo["status"] == 1).all()
    return placebo["t"].to_numpy(float), placebo["logWBC"].to_numpy(float)


def test_log_normal_remission_times_are_fitted_as_lifelines_does() -> None:
    weeks, _ = _remission()
    prior = _flat(("all",))
    got = fit(prior, Rows(np.ones((21, 1)), np.log(weeks), np.ones(21)))
    wanted = LogNormalFitter().fit(weeks)
    assert got.m[0] == pytest.approx(float(wanted.mu_), abs=1e-5)
    assert math.sqrt(got.s2) == pytest.approx(float(wanted.sigma_), abs=5e-5)


def test_a_log_normal_regression_on_white_cells_is_that_of_lifelines() -> None:
    weeks, cells = _remission()
    table = load_leukemia().query("Rx == 1")[["t", "status", "logWBC"]]
    wanted = LogNormalAFTFitter().fit(table, "t", "status")
    prior = _flat(("all", "cells"))
    x = np.column_stack([np.ones(21), cells])
    got = fit(prior, Rows(x, np.log(weeks), np.ones(21)))
    told = wanted.params_["mu_"]
    assert got.m == pytest.approx([told["Intercept"], told["logWBC"]], abs=2e-4)
    assert math.sqrt(got.s2) == pytest.approx(math.exp(wanted.params_["sigma_"].iloc[0]), abs=1e-4)


def test_the_range_of_a_new_remission_time_is_the_textbook_prediction_interval() -> None:
    """Mean +- t(n - 1) s sqrt(1 + 1/n) on logs, at 10% and 90%; the shipped, rounded numbers."""
    logs = np.log(_remission()[0])
    part = fit(
        Prior(("all",), np.zeros(1), np.full(1, 1e4), Noise(1.0, 1e-9, None)),
        Rows(np.ones((21, 1)), logs, np.ones(21)),
    )
    # The fit counts 21 degrees of freedom (a mean that is known a priori costs none).
    reach = Z90 * spread(model_from(part.as_data()), [(0, 1.0)], 0.0)
    scale = math.sqrt(float(((logs - logs.mean()) ** 2).sum()) / 21.0)
    assert reach == pytest.approx(stats.t.ppf(0.9, 21) * scale * math.sqrt(1 + 1 / 21), rel=1e-4)
