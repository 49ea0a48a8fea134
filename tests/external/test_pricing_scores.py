"""Scores of the numbers: intervals and tails against scipy, the correction against simulation."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats

from crestrail.pricing.scores import at_most, score, spread_scale, wilson
from vectors.make_scores import drawn


@pytest.mark.parametrize(("held", "of"), [(0, 5), (3, 5), (27, 34), (34, 34), (700, 900)])
def test_the_interval_of_a_share_is_wilsons(held: int, of: int) -> None:
    """scipy.stats.binomtest(...).proportion_ci(method="wilson")."""
    wanted = stats.binomtest(held, of).proportion_ci(0.95, method="wilson")
    z = float(stats.norm.ppf(0.975))
    assert wilson(held, of, z) == pytest.approx((wanted.low, wanted.high), abs=1e-12)


@pytest.mark.parametrize("n", [1, 7, 40])
def test_the_tail_of_unequal_chances_is_the_poisson_binomial(n: int) -> None:
    """scipy.stats.poisson_binom."""
    chances = np.random.default_rng(n).uniform(0, 0.5, n)
    wanted = stats.poisson_binom(chances)
    for k in range(n + 1):
        assert at_most(chances.tolist(), k) == pytest.approx(wanted.cdf(k), abs=1e-12)


def test_the_interval_of_a_difference_is_the_normal_one() -> None:
    rng = random.Random(4)
    pairs = [drawn(rng, {}) for _ in range(200)]
    pairs = [p for p in pairs if None not in (p["clear"], p["saidClear"])]
    off = np.array([p["clear"] - p["saidClear"] for p in pairs])
    wanted = stats.norm.interval(0.95, off.mean(), stats.sem(off))
    found = score(pairs)["clear"]
    assert (found["low"], found["high"]) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("true", [0.85, 1.4])
def test_the_correction_goes_towards_what_would_have_held(true: float) -> None:
    """Prices scatter ``true`` times as widely as said: ranges corrected hold nearer to 80%."""
    share = 2 * float(stats.norm.cdf(stats.norm.ppf(0.9) / true)) - 1
    scale = spread_scale(round(share * 400), 400)
    assert scale == pytest.approx(true, rel=0.05)
    assert min(1.0, true) <= scale <= max(1.0, true)


def test_ranges_that_hold_as_promised_are_hardly_ever_corrected() -> None:
    held = np.random.default_rng(1).binomial(60, 0.8, 2000)
    corrected = np.mean([spread_scale(int(k), 60) != 1.0 for k in held])
    assert corrected < 0.08


@pytest.mark.parametrize(("held", "of"), [(0, 19), (0, 0), (19, 19)])
def test_few_sales_correct_nothing(held: int, of: int) -> None:
    assert spread_scale(held, of) == 1.0


def test_the_correction_stays_within_bounds() -> None:
    assert spread_scale(0, 10_000) == 1.6
    assert spread_scale(10_000, 10_000) == 0.8
