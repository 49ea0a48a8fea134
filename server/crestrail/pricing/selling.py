"""Whether and when a piece sells: buyers come at a rate known only roughly.

A buyer who comes takes the piece when the ask is not above what it is worth to them. The rate
of a kind is gamma distributed with shape ``a`` and ``b`` days, so the chance to stand unsold is
that of a Lomax distribution. The person lowers the ask by the default drop plan.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from crestrail.pricing.normal import NODES, phi

MOST_UNSOLD = 0.95
"""The chance of not selling is never put higher, whatever a person's record says."""


@dataclass(frozen=True, slots=True)
class Rate:
    """How fast a kind sells: gamma shape ``a``, ``b`` days, and the days one waits at most."""

    a: float
    b: float
    horizon: float


def horizon_of(typical_days: float, shortest: float) -> float:
    """The days a piece may stand before it must go: four times what is typical, or more."""
    return max(shortest, 4.0 * typical_days)


def rate_of(sell: Mapping[str, Any], kind: str | None, days: float | None = None) -> Rate:
    """The rate of a kind; of one the book does not know, by its typical ``days`` or the usual."""
    if kind is not None and kind in sell["kinds"]:
        return Rate(*sell["kinds"][kind])
    a, b, horizon = sell["default"]
    if days is None:
        return Rate(a, b, horizon)
    slower = days / sell["default_days"]
    return Rate(a, b * slower, horizon_of(days, sell["horizon"]))


def unsold(rate: Rate, exposure: float) -> float:
    """The chance to be still there after so many days at an ask every buyer accepts."""
    return math.exp(-rate.a * math.log1p(exposure / rate.b))


def dwell(rate: Rate, exposure: float, share: float, days: float) -> float:
    """The expected days spent in a step of ``days`` when ``share`` of the buyers accept its ask."""
    r = share * days / (rate.b + exposure)
    if r < 1e-12:
        return days * unsold(rate, exposure)
    part = -math.expm1((1.0 - rate.a) * math.log1p(r)) / ((rate.a - 1.0) * r)
    return days * unsold(rate, exposure) * part


def unsold_days(rate: Rate, sell: Mapping[str, Any]) -> tuple[float, float]:
    """The chance not to sell within the horizon, and the expected days of standing.

    The ask follows the default drop plan (log offsets from the going price, equal steps) and
    misses the going price by a normal error of standard deviation ``kappa``. The chance is
    scaled by the person's own record.
    """
    step = rate.horizon / len(sell["plan"])
    left = 0.0
    days = 0.0
    for z, weight in NODES:
        exposure = 0.0
        for offset in sell["plan"]:
            share = phi((sell["kappa"] * z - offset) / sell["omega"])
            days += weight * dwell(rate, exposure, share, step)
            exposure += share * step
        left += weight * unsold(rate, exposure)
    return min(MOST_UNSOLD, left * sell["unsold_scale"]), days
