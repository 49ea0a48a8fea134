"""What asking prices for a piece come to: chance, days and money of a falling price.

Buyers come at a rate known only roughly (see selling); each takes the piece when the price is
not above what it is worth to them. What the piece is worth to buyers in general is uncertain
too, and common to all of them, so it is averaged over and not waited out: a piece that has stood
at a price says something about itself. Prices are agreed prices in minor units; a person lists
higher by what haggling takes off. The best plan is searched for in ``dropping``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.pricing.normal import NODES, phi
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate, dwell, unsold

MOST_STOOD = 600.0
"""Expected buyers (a times the log of exposure) beyond which no number is left to divide by."""


@dataclass(frozen=True, slots=True)
class Market:
    """What a plan depends on: ``omega`` is the spread from buyer to buyer, ``fee`` a share of
    the price, ``on_sale`` what a sale costs whatever it brings, ``hold`` the standing cost per
    day, ``salvage`` what it goes for when it must go, ``past`` the log offsets from the likely
    price at which the piece stood already, with the days of each."""

    resale: Resale
    rate: Rate
    omega: float
    fee: float
    on_sale: float
    hold: float
    salvage: float
    past: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """Log offsets from the likely price, the days ``steps`` of each, the chance ``sold`` in each,
    the chance to stand ``unsold`` at the end, expected ``days`` of standing and ``value``."""

    offsets: tuple[float, ...]
    steps: tuple[float, ...]
    sold: tuple[float, ...]
    unsold: float
    days: float
    value: float


def stand(
    rate: Rate, shares: Sequence[float], steps: Sequence[float], begun: float = 0.0
) -> tuple[list[float], float, float]:
    """Chance to sell in each step, expected days and chance left, for known shares of takers.

    ``begun`` is the exposure so far; all is weighed by the chance to have stood through it.
    """
    sold, days, exposure, before = [], 0.0, begun, unsold(rate, begun)
    for share, step in zip(shares, steps, strict=True):
        days += dwell(rate, exposure, share, step)
        exposure += share * step
        after = unsold(rate, exposure)
        sold.append(before - after)
        before = after
    return sold, days, before


def shares_at(market: Market, offset: float) -> list[float]:
    """The share of buyers who take the piece at an offset, for every node of its worth."""
    return [phi((market.resale.s * z - offset) / market.omega) for z, _ in NODES]


def begun(market: Market) -> list[float]:
    """The exposure up to now, for every node of the piece's worth.

    It is cut off where nothing that stood so long would be left at all.
    """
    most = market.rate.b * math.expm1(MOST_STOOD / market.rate.a)
    exposure = [0.0] * len(NODES)
    for offset, days in market.past:
        for j, share in enumerate(shares_at(market, offset)):
            exposure[j] = min(most, exposure[j] + share * days)
    return exposure


def weights(market: Market, exposure: Sequence[float]) -> list[float]:
    """The nodes' weights per chance to have stood until now: times ``unsold`` they sum to 1."""
    still = sum(w * unsold(market.rate, e) for (_, w), e in zip(NODES, exposure, strict=True))
    return [w / still for _, w in NODES]


def net(market: Market, price: float) -> float:
    """What is left of a price when the sale is paid for."""
    return (1.0 - market.fee) * price - market.on_sale


def evaluate(market: Market, offsets: Sequence[float], steps: Sequence[float]) -> Plan:
    """What asking these prices, each for its days, comes to from now on."""
    table = [shares_at(market, o) for o in offsets]
    start = begun(market)
    sold, days, left = [0.0] * len(offsets), 0.0, 0.0
    for j, weight in enumerate(weights(market, start)):
        at, stood, rest = stand(market.rate, [row[j] for row in table], steps, start[j])
        for i, chance in enumerate(at):
            sold[i] += weight * chance
        days += weight * stood
        left += weight * rest
    value = market.salvage * left - market.hold * days
    for offset, chance in zip(offsets, sold, strict=True):
        value += net(market, math.exp(market.resale.mu + offset)) * chance
    return Plan(tuple(offsets), tuple(steps), tuple(sold), left, days, value)


def chances_by(market: Market, plan: Plan, days: Sequence[float]) -> list[float]:
    """The chances that the piece is sold by days of the plan (days from now)."""
    table = [shares_at(market, o) for o in plan.offsets]
    start = begun(market)
    found = weights(market, start)
    chances = []
    for day in days:
        left = 0.0
        for j, weight in enumerate(found):
            exposure, since = start[j], 0.0
            for row, step in zip(table, plan.steps, strict=True):
                exposure += row[j] * min(step, max(0.0, day - since))
                since += step
            left += weight * unsold(market.rate, exposure)
        chances.append(1.0 - left)
    return chances
