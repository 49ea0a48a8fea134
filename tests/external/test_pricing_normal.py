"""The normal distribution against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from crestrail.pricing.normal import NODES, Z90, inverse, phi


def test_the_cumulative_function_is_that_of_scipy() -> None:
    xs = np.linspace(-12, 12, 961)
    assert [phi(float(x)) for x in xs] == pytest.approx(stats.norm.cdf(xs), rel=1e-12)


def test_the_inverse_is_that_of_scipy() -> None:
    ps = np.concatenate([np.logspace(-300, -2, 60), np.linspace(0.01, 0.99, 99)])
    assert [inverse(float(p)) for p in ps] == pytest.approx(stats.norm.ppf(ps), rel=1e-9, abs=1e-15)


def test_the_90_percent_point_is_that_of_scipy() -> None:
    assert pytest.approx(stats.norm.ppf(0.9), rel=1e-15) == Z90


@pytest.mark.parametrize(
    ("power", "moment"), [(0, 1.0), (1, 0.0), (2, 1.0), (3, 0.0), (4, 3.0), (6, 15.0)]
)
def test_averages_over_the_nodes_are_the_moments_of_a_standard_normal(
    power: int, moment: float
) -> None:
    """Up to what lies beyond five standard deviations, where the nodes end."""
    assert sum(w * z**power for z, w in NODES) == pytest.approx(moment, abs=1e-2)
