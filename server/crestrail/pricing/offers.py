"""A buyer offers less than the price: take it, counter, or wait, each valued in the same money.

Simple assumptions. To wait is worth what the drop plan is worth from now on, or more where other
inquirers may still pay the price. A buyer who offers an amount would pay at least that, and
opens below what they would pay by an exponential step; what buyers would pay is spread as in the
drop plan, so the two together say what more this one would pay (Bayes). Who gets a counter they
refuse walks away with chance ``WALKS`` (a guess, common practice, no source), otherwise their
offer stands. A buyer who agreed fails to come with a chance learned from one's own holds, which
costs ``hold_days``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.basis.rounding import floor_to, to_minor
from crestrail.pricing.asking import Market, begun, net, shares_at, weights
from crestrail.pricing.find import MONEY_LIMIT, Problems
from crestrail.pricing.normal import NODES
from crestrail.pricing.selling import unsold

WALKS = 0.5
PAYS = 0.15
"""The chance that an inquirer who is still thinking pays the price: a guess, no source."""
OPENS_BELOW = 0.25
"""How far below what they would pay buyers open on average, in logs: a guess, no source."""
LEAST_YES = 0.05
"""A counter that fewer would agree to is not worth saying."""
PRIOR_HOLDS, PRIOR_FAILED = 10, 2
COUNTERS = tuple((i * 2) / 100 for i in range(1, 41))
"""Log steps above the offer at which a counter is tried."""
MOST_INQUIRERS = 50


@dataclass(frozen=True, slots=True)
class Inquiry:
    """An ``offer`` for a piece priced ``price`` (agreed prices, minor units) while ``others``
    are thinking; ``no_show`` is the chance not to come after agreeing, ``hold_days`` the days
    lost by it, ``note`` the step in which amounts are named."""

    offer: float
    price: float
    others: int
    no_show: float
    hold_days: float
    note: int = 1


def no_show_chance(holds: int, failed: int) -> float:
    """The chance that an agreed buyer does not come: one in five until own holds say other."""
    return (PRIOR_FAILED + failed) / (PRIOR_HOLDS + holds)


def waiting(market: Market, plan_value: float, inquiry: Inquiry) -> float:
    """What not agreeing is worth, ``plan_value`` being that of the drop plan from now on."""
    none_pays = (1.0 - PAYS) ** inquiry.others
    at_price = net(market, inquiry.price)
    return none_pays * plan_value + (1.0 - none_pays) * max(plan_value, at_price)


def agreed(market: Market, price: float, wait: float, inquiry: Inquiry) -> float:
    """What agreeing on a price is worth, the buyer failing to come now and then."""
    failed = wait - market.hold * inquiry.hold_days
    return (1.0 - inquiry.no_show) * net(market, price) + inquiry.no_show * failed


def least_to_take(market: Market, wait: float, inquiry: Inquiry) -> float:
    """The offer at which taking and waiting are worth the same; infinite if nothing is kept."""
    if market.fee >= 1.0 or inquiry.no_show >= 1.0:
        return math.inf
    lost = inquiry.no_show / (1.0 - inquiry.no_show) * market.hold * inquiry.hold_days
    return (wait + lost + market.on_sale) / (1.0 - market.fee)


def _payers(market: Market, believed: Sequence[float], price: float) -> float:
    """Buyers who would pay a price, each by the chance to open as low as this one did: normal
    densities times an exponential, integrated (up to a factor common to all prices)."""
    s, omega = market.resale.s, market.omega
    offset = math.log(price) - market.resale.mu + omega * omega / OPENS_BELOW
    shares = shares_at(market, offset)
    return sum(
        w * math.exp(-s * z / OPENS_BELOW) * share
        for w, (z, _), share in zip(believed, NODES, shares, strict=True)
    )


def _believed(market: Market) -> list[float]:
    """How likely each worth is after the days it has stood."""
    start = begun(market)
    found = weights(market, start)
    return [w * unsold(market.rate, e) for w, e in zip(found, start, strict=True)]


def accepts(market: Market, offer: float, counters: Sequence[int]) -> list[float]:
    """The chances that a buyer who offers ``offer`` would pay each counter."""
    believed = _believed(market)
    willing = _payers(market, believed, offer)
    if willing <= 1e-300:
        return [0.0 for _ in counters]
    return [_payers(market, believed, amount) / willing for amount in counters]


def counters(inquiry: Inquiry) -> list[int]:
    """The amounts to try, above the offer up to the price, in notes."""
    found: list[int] = []
    for step in COUNTERS:
        amount = inquiry.offer * math.exp(step)
        whole = floor_to(to_minor(amount + inquiry.note / 2.0), inquiry.note)
        if inquiry.offer < whole <= inquiry.price and (not found or whole > found[-1]):
            found.append(whole)
    if inquiry.price > inquiry.offer and (not found or found[-1] < inquiry.price):
        found.append(int(inquiry.price))
    return found


def best_counter(market: Market, wait: float, inquiry: Inquiry) -> tuple[int, float, float]:
    """The counter worth most: amount, its value and the chance of a yes. Amount 0: none."""
    best = (0, -math.inf, 0.0)
    stands = max(wait, agreed(market, inquiry.offer, wait, inquiry))
    refused = WALKS * wait + (1.0 - WALKS) * stands
    tried = counters(inquiry)
    for amount, yes in zip(tried, accepts(market, inquiry.offer, tried), strict=True):
        value = yes * agreed(market, amount, wait, inquiry) + (1.0 - yes) * refused
        if yes >= LEAST_YES and value > best[1] + 1e-9:
            best = (amount, value, yes)
    return best


def _read(data: dict[str, Any], problems: Problems) -> Inquiry:
    def whole(name: str, low: int, high: int) -> int:
        value = problems.whole(data.get(name), name, (low, high))
        return low if value is None else value

    for name in ("offer", "price"):
        if data.get(name) in (None, ""):
            problems.add(name, "required")
    holds = whole("holds", 0, 100_000)
    failed = problems.whole(data.get("failed"), "failed", (0, holds)) or 0
    return Inquiry(
        whole("offer", 1, MONEY_LIMIT),
        whole("price", 1, MONEY_LIMIT),
        whole("others", 0, MOST_INQUIRERS),
        no_show_chance(holds, failed),
        whole("hold_days", 0, 90),
        whole("note", 1, MONEY_LIMIT),
    )


def answer_offer(market: Market, plan_value: float, data: dict[str, Any]) -> dict[str, Any]:
    """Take, counter or wait: ``{ok, best, take, counter: {amount, value, yes} | None, wait,
    leastToTake, noShow}`` in minor units, unrounded.

    ``data`` is ``{offer, price, others, holds, failed, hold_days, note}``.
    """
    problems = Problems()
    inquiry = _read(data, problems)
    if problems.details:
        return {"ok": False, "details": problems.details}
    wait = waiting(market, plan_value, inquiry)
    take = agreed(market, inquiry.offer, wait, inquiry)
    amount, value, yes = best_counter(market, wait, inquiry)
    best = "take" if take >= wait else "wait"
    if amount > 0 and value > max(take, wait) + 1e-9:
        best = "counter"
    least = least_to_take(market, wait, inquiry)
    return {
        "ok": True,
        "best": best,
        "take": take,
        "counter": {"amount": amount, "value": value, "yes": yes} if amount > 0 else None,
        "wait": wait,
        "leastToTake": least if math.isfinite(least) else None,
        "noShow": inquiry.no_show,
    }
