"""What to ask, and when to drop it: the expected value of a falling price.

Buyers come at a rate known only roughly (see selling); each takes the piece when the price is
not above what it is worth to them. What the piece is worth to buyers in general is uncertain
too, and common to all of them, so it is averaged over and not waited out. Prices are agreed
prices in minor units; a person lists higher by what haggling takes off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.pricing.normal import NODES, phi
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate, dwell, unsold

Z80 = 0.8416212335729143
"""The 80% point of the standard normal distribution: no plan asks more than that price."""
OFFSETS = tuple(round(-0.80 + 0.02 * i, 2) for i in range(91))
"""Log distances from the likely price at which a price is tried."""
BETTER = 1e-9
WEEK = 7.0


@dataclass(frozen=True, slots=True)
class Market:
    """What a plan depends on: ``omega`` is the spread from buyer to buyer, ``fee`` a share of
    the price, ``on_sale`` what a sale costs whatever it brings, ``hold`` the standing cost per
    day, ``salvage`` what it goes for when it must go."""

    resale: Resale
    rate: Rate
    omega: float
    fee: float
    on_sale: float
    hold: float
    salvage: float


@dataclass(frozen=True, slots=True)
class Plan:
    """Log offsets of equal steps of ``step`` days, the chance ``sold`` in each, the chance to
    stand ``unsold`` at the end, expected ``days`` of standing and expected ``value``."""

    offsets: tuple[float, ...]
    step: float
    sold: tuple[float, ...]
    unsold: float
    days: float
    value: float


def stand(rate: Rate, shares: Sequence[float], step: float) -> tuple[list[float], float, float]:
    """Chance to sell in each step, expected days and chance left, for known shares of takers."""
    sold, days, exposure, before = [], 0.0, 0.0, 1.0
    for share in shares:
        days += dwell(rate, exposure, share, step)
        exposure += share * step
        after = unsold(rate, exposure)
        sold.append(before - after)
        before = after
    return sold, days, before


def shares_at(market: Market, offset: float) -> list[float]:
    """The share of buyers who take the piece at an offset, for every node of its worth."""
    return [phi((market.resale.s * z - offset) / market.omega) for z, _ in NODES]


def evaluate(market: Market, offsets: Sequence[float], step: float) -> Plan:
    """What asking these prices, each for ``step`` days, comes to."""
    table = [shares_at(market, o) for o in offsets]
    sold, days, left = [0.0] * len(offsets), 0.0, 0.0
    for j, (_, weight) in enumerate(NODES):
        at, stood, rest = stand(market.rate, [row[j] for row in table], step)
        for i, chance in enumerate(at):
            sold[i] += weight * chance
        days += weight * stood
        left += weight * rest
    value = market.salvage * left - market.hold * days
    for offset, chance in zip(offsets, sold, strict=True):
        price = math.exp(market.resale.mu + offset)
        value += ((1.0 - market.fee) * price - market.on_sale) * chance
    return Plan(tuple(offsets), step, tuple(sold), left, days, value)


def allowed(market: Market) -> list[float]:
    """The offsets that may be asked: up to the price one such piece in five exceeds."""
    return [o for o in OFFSETS if o <= Z80 * market.resale.s + 1e-12]


def best_constant(market: Market, horizon: float) -> Plan:
    """The best single price for the whole ``horizon`` (days); of equals the lowest."""
    best = evaluate(market, [OFFSETS[0]], horizon)
    for offset in allowed(market)[1:]:
        tried = evaluate(market, [offset], horizon)
        if tried.value > best.value + BETTER:
            best = tried
    return best


def _improved(market: Market, best: Plan, at: int, grid: Sequence[float]) -> Plan:
    """The best plan that differs in one step only and never rises."""
    offsets = list(best.offsets)
    top = offsets[at - 1] if at > 0 else math.inf
    bottom = offsets[at + 1] if at + 1 < len(offsets) else -math.inf
    for offset in grid:
        if bottom <= offset <= top:
            offsets[at] = offset
            tried = evaluate(market, offsets, best.step)
            if tried.value > best.value + BETTER:
                best = tried
    return best


def climb(market: Market, start: Sequence[float], step: float) -> Plan:
    """The plan reached from ``start`` by bettering one step after the other until none helps."""
    grid = allowed(market)
    best = evaluate(market, start, step)
    while True:
        before = best.value
        for at in range(len(start)):
            best = _improved(market, best, at, grid)
        if best.value <= before + BETTER:
            return best


def best_plan(market: Market, horizon: float, steps: int = 4) -> Plan:
    """The best never rising plan of equal steps found from the best constant price."""
    constant = best_constant(market, horizon)
    return climb(market, list(constant.offsets) * steps, horizon / steps)


def chance_by(market: Market, plan: Plan, day: float) -> float:
    """The chance that the piece is sold by a day of the plan (days from its start)."""
    table = [shares_at(market, o) for o in plan.offsets]
    left = 0.0
    for j, (_, weight) in enumerate(NODES):
        exposure = 0.0
        for i, row in enumerate(table):
            exposure += row[j] * min(plan.step, max(0.0, day - i * plan.step))
        left += weight * unsold(market.rate, exposure)
    return 1.0 - left


def week_costs(market: Market, plan: Plan) -> float:
    """What it costs to list a week later with the last day unchanged: value lost and standing."""
    horizon = plan.step * len(plan.offsets)
    if horizon <= WEEK:
        return plan.value - (market.salvage - market.hold * horizon)
    later = climb(market, plan.offsets, (horizon - WEEK) / len(plan.offsets))
    return plan.value - later.value + market.hold * WEEK
