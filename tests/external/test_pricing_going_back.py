"""Going back: distances against geographiclib, the half-life against a grid of likelihoods."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from crestrail.pricing.going_back import CIRCUITY, MILE, half_life, miles_between


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
