"""The standard normal distribution: cumulative function, its inverse, and integration nodes."""

from __future__ import annotations

import math
from statistics import NormalDist

_STANDARD = NormalDist()

Z90 = 1.2815515655446004
"""The 90% point of the standard normal distribution: shown ranges run from 10% to 90%."""


def phi(x: float) -> float:
    """The chance that a standard normal value is at most ``x``."""
    return math.erfc(-x / math.sqrt(2.0)) / 2.0


def inverse(p: float) -> float:
    """The value that a standard normal stays below with chance ``p``.

    ``p`` of 0 or less gives minus infinity, of 1 or more infinity. The algorithm is AS 241 of
    M. J. Wichura, Applied Statistics 37 (1988) 477-484, as the standard library has it.
    """
    if p <= 0.0:
        return -math.inf
    if p >= 1.0:
        return math.inf
    return _STANDARD.inv_cdf(p)


def _nodes() -> tuple[tuple[float, float], ...]:
    points = [-5.0 + 0.25 * j for j in range(41)]
    raw = [math.exp(-z * z / 2.0) for z in points]
    total = sum(raw)
    return tuple((z, w / total) for z, w in zip(points, raw, strict=True))


NODES = _nodes()
"""41 pairs (z, weight) for averages over a standard normal by the trapezoid rule."""
