"""Going back: distances against geographiclib, the half-life against a grid of likelihoods."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from scipy import optimize, stats

from crestrail.pricing.going_back import (
    CIRCUITY,
    MILE,
    half_life,
    left_after,
    miles_between,
    still_there,
)


@pytest.mark.parametrize("b", [(41.0, -90.0), (40.02, -89.97), (-33.0, 151.0), (40.0, -90.3)])
def test_the_way_is_the_geodesic_within_the_flattening_of_the_earth(b: tuple) -> None:
    metres = Geodesic.WGS84.Inverse(40.0, -90.0, *b)["s12"]
    assert miles_between((40.0, -90.0), b) == pytest.approx(CIRCUITY * metres / MILE, rel=0.006)


def test_the_half_life_is_the_most_likely_one() -> None:
    found, gone = [1.0, 2.0, 5.0], [2.0, 4.0, 8.0, 0.5]
    rate = np.exp(np.linspace(-6, 3, 400_001))
    log = 3 * np.log(rate) - 9 / np.log(2) * rate - rate * sum(found)
    for h in gone:
        log += np.log(-np.expm1(-rate * h))
    assert half_life(found, gone) == pytest.approx(np.log(2) / rate[log.argmax()], rel=1e-4)
    assert half_life([], []) == pytest.approx(3.0)


@pytest.mark.parametrize(("hours", "half"), [(0.0, 3.0), (1.0, 3.0), (30.0, 0.5), (2.0, 100.0)])
def test_the_chance_is_the_survival_of_an_exponential_time(hours: float, half: float) -> None:
    wanted = stats.expon.sf(hours, scale=half / np.log(2))
    assert still_there(hours, half) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize("n", [1, 4, 40])
def test_the_root_is_the_one_scipy_finds(n: int) -> None:
    rng = np.random.default_rng(n)
    found, gone = rng.exponential(2, n), 0.1 + rng.exponential(4, n)

    def slope(rate: float) -> float:
        learned = (rate * gone / np.expm1(rate * gone)).sum()
        return float(3 - 9 / np.log(2) * rate - rate * found.sum() + learned)

    root = optimize.brentq(slope, 1e-9, 5, xtol=1e-14)
    assert half_life(found.tolist(), gone.tolist()) == pytest.approx(np.log(2) / root, rel=1e-9)


def test_with_every_visit_right_at_closing_the_share_is_a_beta_mean() -> None:
    """Then all had stood until closing, and the estimate is the mean of a beta posterior."""
    for kept, n in ((0, 5), (3, 5), (5, 5)):
        wanted = stats.beta(0.8 + kept, 3.2 + n - kept).mean()
        assert left_after(kept, [0.0] * n, 3.0) == pytest.approx(wanted, rel=1e-12)
