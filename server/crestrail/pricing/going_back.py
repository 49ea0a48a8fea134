"""Whether to drive back for a piece: the chance it is still there against the way and the time."""

from __future__ import annotations

import math
from collections.abc import Sequence

PRIOR_HOURS, PRIOR_WEIGHT = 3.0, 3.0
CIRCUITY = 1.3
"""Roads are longer than the straight line: common practice, no source."""
EARTH_METRES = 6_371_008.8
MILE = 1609.344

Place = tuple[float, float]
"""Latitude and longitude in degrees."""


def half_life(found_hours: Sequence[float], gone_hours: Sequence[float]) -> float:
    """Hours after which half such pieces are gone, from own visits that found it or not.

    The most likely rate under a gamma prior, by halving in the logarithm; gone_hours are > 0.
    """
    b0 = PRIOR_WEIGHT * PRIOR_HOURS / math.log(2.0)
    low, high = math.log(1e-9), math.log(1e6)
    for _ in range(100):
        mid = (low + high) / 2.0
        rate = math.exp(mid)
        slope = PRIOR_WEIGHT - b0 * rate - rate * math.fsum(found_hours)
        for h in gone_hours:
            x = rate * h
            slope += x / math.expm1(x) if x < 700.0 else 0.0
        low, high = (mid, high) if slope > 0.0 else (low, mid)
    return math.log(2.0) / math.exp((low + high) / 2.0)


def still_there(hours: float, half: float) -> float:
    """The chance that a piece is still there after so many hours."""
    return math.exp(-math.log(2.0) * hours / half)


def miles_between(a: Place, b: Place) -> float:
    """Miles by road, about: the great circle on a sphere (haversine) times the circuity."""
    la, lb = math.radians(a[0]), math.radians(b[0])
    dx = math.radians(b[1] - a[1])
    h = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(dx / 2) ** 2
    metres = 2.0 * EARTH_METRES * math.asin(min(1.0, math.sqrt(h)))
    return CIRCUITY * metres / MILE


def value_of_going(chance: float, surplus: float, drive_cost: float, time_cost: float) -> float:
    """What going back is worth (minor units): go when above 0. ``surplus`` is the profit at the
    price there, without the least profit."""
    return chance * max(0.0, surplus) - drive_cost - time_cost
