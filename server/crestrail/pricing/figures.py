"""A find put in figures: what it brings, the plan of work, the chance to sell, the costs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from crestrail.pricing import effort, resale, selling
from crestrail.pricing.find import Find, Problems
from crestrail.pricing.linear import model_from
from crestrail.pricing.normal import Z90
from crestrail.pricing.offer import Deal, Terms, base, time_cost

SMALLEST_SPREAD = 0.02
GUESS_BELOW = 20
"""Below this many own sales every answer is called a guess and chances are said in words."""
SLOW_DAYS = 30
WIDE_RATIO = 5.0
PPM = 1e-6
LARGEST = 10**14
"""Amounts and minutes from here on are refused: far beyond any piece, and near 2**53."""


@dataclass(frozen=True, slots=True)
class Priced:
    """A find put in figures: the deal, its two costs in any case, and its codes to mention."""

    deal: Deal
    supplies: float
    pickup: float
    caveats: list[str]


def _typed_resale(find: Find, book: resale.Resale) -> resale.Resale:
    """What the person typed put over the book: low and high are the 10% and 90% points."""
    t = find.typed
    mu, s, doubt = book.mu, book.s, book.doubt
    if t.likely is not None:
        mu = math.log(t.likely)
    elif t.low is not None and t.high is not None:
        mu = (math.log(t.low) + math.log(t.high)) / 2.0
    if t.low is not None and t.high is not None:
        s = (math.log(t.high) - math.log(t.low)) / (2.0 * Z90)
    elif t.low is not None and math.log(t.low) < mu:
        s = (mu - math.log(t.low)) / Z90
    elif t.high is not None and math.log(t.high) > mu:
        s = (math.log(t.high) - mu) / Z90
    if s != book.s:
        doubt = 0.0
    return resale.Resale(mu, max(SMALLEST_SPREAD, s), doubt)


def looks_of(find: Find) -> resale.Looks:
    """What the book goes by; a typed price stands in for the typical one of an unknown kind."""
    stand_in = find.kind_price
    if stand_in is None:
        stand_in = find.typed.likely
    if stand_in is None and find.typed.low is not None:
        stand_in = find.typed.high
    return resale.Looks(find.kind, find.traits, find.count, find.finished_grade, stand_in)


def _resale(book: Mapping[str, Any], find: Find) -> resale.Resale | None:
    price = book["price"]
    predicted = resale.predict(model_from(price), looks_of(find), price["v0"])
    return None if predicted is None else _typed_resale(find, predicted)


def _standing(book: Mapping[str, Any], find: Find) -> list[str]:
    chosen = {s.step for s in find.steps}
    return [k for k, s in book["steps"].items() if s["standing"] and k not in chosen]


def _is_standing(book: Mapping[str, Any], step: str) -> bool:
    return bool(book["steps"].get(step, {}).get("standing", False))


def _plan(book: Mapping[str, Any], find: Find) -> list[tuple[effort.PlanRow, bool]]:
    """The rows of work whose time counts, each with whether it is a standing step: chosen steps,
    or typed minutes, and standing steps."""
    part = book["effort"]
    model = model_from(part)
    everything = book["money"]["wage_covers"] == "everything"
    rows: list[tuple[effort.PlanRow, bool]] = []
    if find.typed.minutes:
        rows.append((effort.typed_row(find.typed.minutes), False))
    for s in find.steps:
        standing = _is_standing(book, s.step)
        if (find.typed.minutes is not None and not standing) or (standing and not everything):
            continue
        if f"step:{s.step}" in model.index:
            rows.append((effort.step_row(model, s.step, s.units, find.found_grade), standing))
        elif s.minutes:
            rows.append((effort.new_step_row(model, s.minutes, part["v0"]), standing))
    if everything:
        for name in _standing(book, find):
            if f"step:{name}" in model.index:
                rows.append((effort.step_row(model, name, 1, find.found_grade), True))
    return rows


def bench_effort(book: Mapping[str, Any], find: Find) -> effort.Effort:
    """The minutes at the bench alone, without the steps that every piece needs."""
    part = book["effort"]
    rows = [row for row, standing in _plan(book, find) if not standing]
    return effort.total(model_from(part), rows, part["rho"])


def _supplies(book: Mapping[str, Any], find: Find) -> float:
    """Supplies of the plan in minor units; a typed figure replaces those of chosen bench work."""
    steps = book["steps"]
    total = 0.0
    for s in find.steps:
        if s.step in steps and (find.typed.supplies is None or steps[s.step]["standing"]):
            total += float(steps[s.step]["supplies"] * s.units)
    for name in _standing(book, find):
        total += float(steps[name]["supplies"])
    return total + float(find.typed.supplies or 0)


def terms_of(money: Mapping[str, Any]) -> Terms:
    """The person's terms out of the money block of a book."""
    return Terms(
        fee=money["fee_ppm"] * PPM,
        fee_fixed=float(money["fee_fixed"]),
        delivery=float(money["delivery_cost"]),
        hold=float(money["hold_per_day"]),
        wage=float(money["wage_per_hour"]),
        min_profit=float(money["min_profit"]),
        tolerance=money["tolerance_ppm"] * PPM,
    )


def _caveats(book: Mapping[str, Any], find: Find, deal: Deal) -> list[str]:
    """Codes of what the person should know about this answer, the gravest first."""
    names = set(book["price"]["names"])
    t = find.typed
    kind_known = f"kind:{find.kind}" in names
    days = book["kinds"].get(find.kind, {}).get("days", find.kind_days or 0)
    bench = t.minutes is not None or any(not _is_standing(book, s.step) for s in find.steps)
    steps_known = all(s.step in book["steps"] or s.minutes is not None for s in find.steps)
    said = {
        "guess": book["counts"]["sales"] < GUESS_BELOW,
        "typed_price": not (t.likely is None and t.low is None and t.high is None),
        "unknown_kind": not kind_known,
        "slow_kind": days > SLOW_DAYS,
        "tolerance_low": deal.terms.tolerance <= deal.u,
        "wide_range": deal.resale.high > WIDE_RATIO * deal.resale.low,
        "unknown_trait": any(f"trait:{name}" not in names for name in find.traits),
        "unknown_step": not steps_known,
        "no_steps": not bench,
    }
    return [code for code, holds in said.items() if holds]


def priced_find(book: Mapping[str, Any], find: Find, problems: Problems) -> Priced | None:
    """The figures of a find, unrounded; None when something needed is missing, said in problems."""
    brings = _resale(book, find)
    if brings is None:
        problems.add("kind" if find.kind is None else "typed.likely", "required")
        return None
    for name, side in (("low", -1), ("high", 1)):
        typed = getattr(find.typed, name)
        if typed is not None and (math.log(typed) - brings.mu) * side < 0.0:
            problems.add(f"typed.{name}", "conflict", reason="low, likely, high have to rise")
            return None
    part = book["effort"]
    sell = book["sell"]
    rate = selling.rate_of(sell, find.kind, find.kind_days)
    u, days = selling.unsold_days(rate, sell)
    supplies, pickup = _supplies(book, find), float(find.pickup)
    deal = Deal(
        resale=brings,
        effort=effort.total(model_from(part), [row for row, _ in _plan(book, find)], part["rho"]),
        u=u,
        days=days,
        cost=supplies + pickup,
        salvage=book["money"]["salvage_ppm"] * PPM * brings.likely,
        terms=terms_of(book["money"]),
    )
    if not within_reason(deal):
        problems.add("steps", "too_big", max=LARGEST)
        return None
    return Priced(deal, supplies, pickup, _caveats(book, find, deal))


def within_reason(deal: Deal) -> bool:
    """Whether all amounts of a deal are small enough to be whole minor units without loss."""
    parts = (deal.resale.mean, deal.effort.high, time_cost(deal), deal.cost, base(deal))
    return all(abs(part) < LARGEST for part in parts)
