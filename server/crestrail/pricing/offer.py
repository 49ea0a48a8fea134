"""The most to pay for a piece, and what paying the seller's ask would come to.

All amounts are minor units as floats; rounding is done once, by the caller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from crestrail.pricing.effort import Effort
from crestrail.pricing.normal import NODES, inverse, phi
from crestrail.pricing.resale import Resale


@dataclass(frozen=True, slots=True)
class Terms:
    """The person's own terms: ``fee`` is a share, ``fee_fixed`` and ``delivery`` are paid only
    on a sale, ``hold`` is the standing cost per day, ``wage`` per hour."""

    fee: float
    fee_fixed: float
    delivery: float
    hold: float
    wage: float
    min_profit: float
    tolerance: float

    @property
    def on_sale(self) -> float:
        """What a sale costs whatever it brings."""
        return self.fee_fixed + self.delivery


@dataclass(frozen=True, slots=True)
class Deal:
    """Everything an offer depends on: what it brings, the work, the chance ``u`` not to sell,
    the expected ``days`` of standing, ``cost`` spent in any case (supplies, pickup) and
    ``salvage``, what it goes for when it must go."""

    resale: Resale
    effort: Effort
    u: float
    days: float
    cost: float
    salvage: float
    terms: Terms


@dataclass(frozen=True, slots=True)
class Offer:
    """The most to pay (0 when nothing), which limit binds, and both limits."""

    most: float
    binding: str
    profit_limit: float
    loss_limit: float


@dataclass(frozen=True, slots=True)
class AtAsk:
    """What paying the ask comes to: ``clear`` before and ``profit`` after one's own time, clear
    per hour of work (None without work), the chances of a cash loss and of earning less than
    the wage."""

    clear: float
    profit: float
    hourly: float | None
    loss_chance: float
    under_wage_chance: float


def base(deal: Deal) -> float:
    """What is expected to be left of a piece got for nothing, before one's own time."""
    t = deal.terms
    sold = (1.0 - t.fee) * deal.resale.counted - t.on_sale
    expected = (1.0 - deal.u) * sold + deal.u * deal.salvage
    return expected - deal.cost - t.hold * deal.days


def time_cost(deal: Deal) -> float:
    """One's own time on the piece at one's own wage."""
    return deal.terms.wage * deal.effort.mean / 60.0


def profit_limit(deal: Deal) -> float:
    """The price at which the expected profit is just the least one wants."""
    return base(deal) - time_cost(deal) - deal.terms.min_profit


def _below(deal: Deal, net: float) -> float:
    """The chance that a sale brings less than ``net`` after the share taken as a fee."""
    if net <= 0.0:
        return 0.0
    kept = 1.0 - deal.terms.fee
    if kept <= 0.0:
        return 1.0
    return phi((math.log(net / kept) - deal.resale.mu) / deal.resale.s)


def loss_chance(deal: Deal, paid: float) -> float:
    """The chance to get back less cash than ``paid`` and the other costs."""
    sold = (1.0 - deal.u) * _below(deal, paid + deal.cost + deal.terms.on_sale)
    return sold + (deal.u if deal.salvage < paid + deal.cost else 0.0)


def loss_limit(deal: Deal) -> float:
    """The highest price whose chance of a loss is within the tolerance; exact, see loss_chance."""
    t = deal.terms

    def at(share: float) -> float:
        if share >= 1.0 - 1e-12:
            return math.inf
        got = (1.0 - t.fee) * math.exp(deal.resale.mu + deal.resale.s * inverse(share))
        return got - t.on_sale - deal.cost

    sold_only = at(t.tolerance / (1.0 - deal.u))
    unsold_too = at((t.tolerance - deal.u) / (1.0 - deal.u)) if t.tolerance > deal.u else -math.inf
    return max(unsold_too, min(sold_only, deal.salvage - deal.cost))


def max_offer(deal: Deal) -> Offer:
    """The most to pay: the smaller of the two limits, never below 0."""
    by_profit, by_loss = profit_limit(deal), loss_limit(deal)
    most = min(by_profit, by_loss)
    if most <= 0.0:
        return Offer(0.0, "none", by_profit, by_loss)
    return Offer(most, "profit" if by_profit <= by_loss else "loss", by_profit, by_loss)


def _under_wage(deal: Deal, paid: float) -> float:
    t, work = deal.terms, deal.effort
    spent = paid + deal.cost + t.hold * deal.days
    total = 0.0
    for z, weight in NODES:
        wage = t.wage * work.minutes(z) / 60.0
        total += weight * (1.0 - deal.u) * _below(deal, spent + t.on_sale + wage)
    return total + deal.u * _unsold_under_wage(deal, deal.salvage - spent)


def _unsold_under_wage(deal: Deal, left: float) -> float:
    """The chance that what a piece let go for leaves, ``left``, does not pay the time spent."""
    if left <= 0.0:
        return 1.0
    if deal.terms.wage <= 0.0 or deal.effort.mean <= 0.0:
        return 0.0
    enough = left * 60.0 / deal.terms.wage
    return phi((deal.effort.mu - math.log(enough)) / deal.effort.s)


def at_ask(deal: Deal, ask: float) -> AtAsk:
    """What paying ``ask`` comes to."""
    clear = base(deal) - ask
    minutes = deal.effort.mean
    return AtAsk(
        clear=clear,
        profit=clear - time_cost(deal),
        hourly=clear / (minutes / 60.0) if minutes > 0.0 else None,
        loss_chance=loss_chance(deal, ask),
        under_wage_chance=_under_wage(deal, ask),
    )
