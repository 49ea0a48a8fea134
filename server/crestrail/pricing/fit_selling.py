"""Fitting how fast kinds sell: gamma rates from the days pieces stood at their asks."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Any

from crestrail.pricing.fit_resale import (
    USUAL_DAYS,
    age_days,
    days_of_kinds,
    haircut,
    recency,
    usable,
)
from crestrail.pricing.history import Asked, History, Listing
from crestrail.pricing.normal import phi
from crestrail.pricing.selling import Rate, horizon_of, unsold_days

OMEGA = 0.25
"""How far apart buyers' opinions of one piece's worth lie (log scale)."""
KAPPA = 0.25
"""How far an ask misses the going price (log scale)."""
PLAN = (0.10, 0.0, -0.15, -0.30)
"""The default drop plan: log offsets from the going price, each for a quarter of the horizon.
Chosen so that pieces sold under it bring the going price on average (within 3% for kinds that
take 14 days and more), which keeps "what it brings" and "how it is sold" in step."""
SHAPE, SPEED_WORTH = 4.0, 10.0
HAGGLE, HAGGLE_WORTH, HAGGLE_MOST = 0.05, 5.0, 0.5
SHORTEST_HORIZON = 90.0
RECORD_WORTH = 2.0
"""A person's record of unsold pieces is weighed against this many expected ones."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """One listing as evidence: its kind, weight, whether it sold, days at accepted asks."""

    kind: str
    weight: float
    sold: bool
    days: float


def last_ask(listing: Listing) -> int:
    """The last asking price of a listing."""
    return listing.asked[-1].amount


def fit_haggle(history: History, as_of: date) -> float:
    """How far below the last ask pieces go, in logs, shrunk to 5%."""
    weights, total = HAGGLE_WORTH, HAGGLE_WORTH * HAGGLE
    for x in usable(history.listings, as_of):
        if x.sold_price is not None:
            w = recency(x.ended_on or as_of, as_of)
            gap = math.log(last_ask(x) / x.sold_price)
            total += w * min(HAGGLE_MOST, max(0.0, gap))
            weights += w
    return total / weights


def exposed_days(asked: tuple[Asked, ...], end: date, going: float, haggle: float) -> float:
    """Days of standing, each counted by the share of buyers who accept its ask."""
    days = 0.0
    closing = Asked(asked[-1].amount, end)
    for now, after in pairwise((*asked, closing)):
        share = phi((going - (math.log(now.amount) - haggle)) / OMEGA)
        days += max(0, (after.on - now.on).days) * share
    return days


def exposures(
    history: History, as_of: date, haggle: float, log_price: Callable[[Listing], float]
) -> list[Exposure]:
    """Every listing as evidence; ``log_price`` is what the book expects it to bring, in logs.

    The going price lies between that and what the listing itself says: a piece that sold after
    the last drop may have been worth more and met no buyer, or worth no more.
    """
    typical = days_of_kinds(history)
    found = []
    for x in usable(history.listings, as_of):
        kind = x.thing.kind or ""
        if x.sold_price is not None:
            going = math.log(x.sold_price)
        else:
            cut = haircut(x, as_of, typical.get(kind, USUAL_DAYS))
            going = math.log(last_ask(x)) - haggle - cut
        expected = log_price(x)
        if math.isfinite(expected):
            going = (going + expected) / 2.0
        end = x.ended_on or as_of
        w = recency(end, as_of)
        days = exposed_days(x.asked, end, going, haggle)
        found.append(Exposure(kind, w, x.sold_price is not None, w * days))
    return found


def learned(prior: Rate, sold: float, days: float) -> Rate:
    """A gamma rate after ``sold`` sales in ``days`` of exposure (those of unsold pieces too)."""
    return Rate(prior.a + sold, prior.b + days, prior.horizon)


def fit_rates(history: History, evidence: list[Exposure]) -> tuple[float, dict[str, Rate]]:
    """Speed against the person's typical days over all kinds, and the rate of each kind."""
    typical = days_of_kinds(history)
    sold: defaultdict[str, float] = defaultdict(float)
    days: defaultdict[str, float] = defaultdict(float)
    for e in evidence:
        sold[e.kind] += e.weight if e.sold else 0.0
        days[e.kind] += e.days
    expected = sum(2.0 / typical.get(k, USUAL_DAYS) * d for k, d in days.items())
    speed = (SPEED_WORTH + sum(sold.values())) / (SPEED_WORTH + expected)
    rates = {
        k: learned(
            Rate(SHAPE, SHAPE * d / (2.0 * speed), horizon_of(d, SHORTEST_HORIZON)),
            sold[k],
            days[k],
        )
        for k, d in typical.items()
    }
    return speed, rates


def unsold_scale(history: History, as_of: date, sell: dict[str, Any]) -> float:
    """The person's own record against the expected chance of not selling in time.

    A listing counts when the days it was given are over, or would be had it not sold, so that
    quick sales do not come in before slow ones can. What was taken down before says nothing.
    """
    plain = sell | {"unsold_scale": 1.0}
    chance = {k: unsold_days(Rate(*rate), plain)[0] for k, rate in sell["kinds"].items()}
    unsold = expected = RECORD_WORTH
    for x in usable(history.listings, as_of):
        rate = sell["kinds"].get(x.thing.kind)
        if rate is None or age_days(x.asked[0].on, as_of) < rate[2]:
            continue
        end = x.ended_on or as_of
        late = age_days(x.asked[0].on, end) >= rate[2]
        if late or x.sold_price is not None:
            w = recency(end, as_of)
            unsold += w if late else 0.0
            expected += w * chance[x.thing.kind or ""]
    return unsold / expected


def fit_selling(
    history: History, as_of: date, haggle: float, log_price: Callable[[Listing], float]
) -> dict[str, Any]:
    """The part ``sell`` of the book: rates [a, b, horizon] of every kind and what goes with it."""
    speed, rates = fit_rates(history, exposures(history, as_of, haggle, log_price))
    sell: dict[str, Any] = {
        "omega": OMEGA,
        "kappa": KAPPA,
        "plan": list(PLAN),
        "speed": round(speed, 6),
        "haggle": round(haggle, 6),
        "horizon": SHORTEST_HORIZON,
        "kinds": {k: [round(r.a, 6), round(r.b, 6), r.horizon] for k, r in rates.items()},
        "default": [SHAPE, round(SHAPE * USUAL_DAYS / (2.0 * speed), 6), SHORTEST_HORIZON],
        "default_days": USUAL_DAYS,
    }
    return sell | {"unsold_scale": round(unsold_scale(history, as_of, sell), 6)}
