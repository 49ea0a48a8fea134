"""One price for several finds: the most to pay for all of them, and what each one adds.

What is expected adds up. The chance of a cash loss is taken over every pattern of sold and unsold
pieces; within a pattern the sum of the prices is a log-normal with its exact mean and variance
(Fenton, IRE Trans. Comm. Systems 8, 1960), since the pieces share the errors of the book. Of more
than ten the ten that bring most on average are reckoned one by one, the others together, by the
mean and variance of what they leave.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.pricing.normal import phi
from crestrail.pricing.offer import Deal, profit_limit

ONE_BY_ONE = 10
"""So many pieces are reckoned one by one: 1,024 patterns."""
HALVINGS = 100
CLOSE = 1e-6
"""The limit is found to this part of a minor unit."""

Matrix = Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Lot:
    """Deals bought for one price; ``shared`` is the covariance of the logs of their prices."""

    deals: Sequence[Deal]
    shared: Matrix


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way it may go: its ``weight``, the log-normal sum of the prices (``mu``, ``s``; s of 0:
    nothing that varies is sold) and the cash ``free`` of it, costs taken off."""

    weight: float
    mu: float
    s: float
    free: float


class _Sums:
    """What the patterns of a lot are added up from."""

    def __init__(self, lot: Lot) -> None:
        means = [deal.resale.mean for deal in lot.deals]
        order = sorted(range(len(means)), key=lambda i: (-means[i], i))
        self.deals, self.means = lot.deals, means
        self.single, self.rest = sorted(order[:ONE_BY_ONE]), sorted(order[ONE_BY_ONE:])
        self.with_each = [
            [a * b * math.expm1(c) for b, c in zip(means, row, strict=True)]
            for a, row in zip(means, lot.shared, strict=True)
        ]
        self.kept = 1.0 - lot.deals[0].terms.fee
        self.rest_mean, self.rest_variance, self.rest_free = self._rest()

    def _rest(self) -> tuple[float, float, float]:
        """Mean and variance of what the others bring, and their cash beside it."""
        mean = variance = free = 0.0
        for i in self.rest:
            deal, sold = self.deals[i], 1.0 - self.deals[i].u
            unlike = deal.terms.on_sale + deal.salvage
            mean += sold * self.means[i]
            free += deal.salvage - sold * unlike - deal.cost
            for j in self.rest:
                variance += sold * (1.0 - self.deals[j].u) * self.with_each[i][j]
            if self.kept > 0.0:
                step = self.means[i] - unlike / self.kept
                variance += sold * deal.u * (self.with_each[i][i] + step * step)
        return mean, variance, free

    def pattern(self, mask: int) -> Pattern:
        """The pattern in which the pieces of ``mask`` sell."""
        weight, mean, variance, free = 1.0, self.rest_mean, self.rest_variance, self.rest_free
        sold = []
        for bit, i in enumerate(self.single):
            deal = self.deals[i]
            if mask >> bit & 1:
                sold.append(i)
                weight *= 1.0 - deal.u
                mean += self.means[i]
                free -= deal.terms.on_sale
            else:
                weight *= deal.u
                free += deal.salvage
            free -= deal.cost
        for i in sold:
            for j in sold:
                variance += self.with_each[i][j]
            for j in self.rest:
                variance += 2.0 * (1.0 - self.deals[j].u) * self.with_each[i][j]
        if mean <= 0.0:
            return Pattern(weight, 0.0, 0.0, free)
        s2 = math.log1p(variance / (mean * mean))
        return Pattern(weight, math.log(mean) - s2 / 2.0, math.sqrt(s2), free)


def patterns_of(lot: Lot) -> list[Pattern]:
    """Every way the lot may go, what never happens left out."""
    sums = _Sums(lot)
    every = (sums.pattern(mask) for mask in range(1 << len(sums.single)))
    return [p for p in every if p.weight > 0.0]


def _loss(patterns: Sequence[Pattern], kept: float, paid: float) -> float:
    total = 0.0
    for p in patterns:
        net = paid - p.free
        if net > 0.0:
            varies = p.s > 0.0 and kept > 0.0
            total += p.weight * (phi((math.log(net / kept) - p.mu) / p.s) if varies else 1.0)
    return total


def loss_chance(lot: Lot, paid: float) -> float:
    """The chance to get back less cash than ``paid`` and the other costs."""
    return _loss(patterns_of(lot), 1.0 - lot.deals[0].terms.fee, paid)


def expected_limit(lot: Lot) -> float:
    """The price at which the expected profit is just the least one wants of each piece."""
    total = 0.0
    for deal in lot.deals:
        total += profit_limit(deal)
    return total


def most_for(lot: Lot) -> tuple[float, str]:
    """The most to pay, not below 0, and which limit sets it: profit, loss or none."""
    by_profit = expected_limit(lot)
    if by_profit <= 0.0:
        return 0.0, "none"
    terms = lot.deals[0].terms
    patterns, kept = patterns_of(lot), 1.0 - terms.fee
    if _loss(patterns, kept, by_profit) <= terms.tolerance:
        return by_profit, "profit"
    if _loss(patterns, kept, 0.0) > terms.tolerance:
        return 0.0, "none"
    low, high = 0.0, by_profit
    for _ in range(HALVINGS):
        if high - low < CLOSE:
            break
        middle = (low + high) / 2.0
        if _loss(patterns, kept, middle) <= terms.tolerance:
            low = middle
        else:
            high = middle
    return low, "loss"


def without(lot: Lot, i: int) -> Lot:
    """The lot without one piece."""
    left = [k for k in range(len(lot.deals)) if k != i]
    return Lot([lot.deals[k] for k in left], [[lot.shared[k][j] for j in left] for k in left])
