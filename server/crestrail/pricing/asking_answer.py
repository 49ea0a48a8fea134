"""What to ask for a piece: one price, a dated plan of drops, and what a price of one's own does.

The answer is plain data with the same keys as on the phone
(``web/js/pricing/asking-answer.js``), since it is frozen when the person acts on it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from crestrail.basis.rounding import floor_to, to_minor
from crestrail.pricing.asking import Plan, chances_by, evaluate
from crestrail.pricing.dropping import Board, best_constant, best_plan, finer, week_costs
from crestrail.pricing.figures import GUESS_BELOW
from crestrail.pricing.find import Problems
from crestrail.pricing.for_sale import ForSale, day_in, read_for_sale, typed_prices

STEPS = 4
POINTS = 12
OWN_PACE = 0.1
"""From this far off the book's own chance on, a person's record is mentioned."""
MENTIONED = ("typed_price", "unknown_kind", "slow_kind", "wide_range", "unknown_trait")


@dataclass(frozen=True, slots=True)
class Laid:
    """List prices (minor units), each from a day on, with the plan that they are."""

    lists: tuple[int, ...]
    days: tuple[date, ...]
    ends: date
    plan: Plan


def cut(item: ForSale, steps: int) -> list[date]:
    """The first days of so many equal steps, in whole days, and the last day of all."""
    whole = (item.last - item.start).days
    return [
        item.start + timedelta(days=math.floor(k * whole / steps + 0.5)) for k in range(steps + 1)
    ]


def listed(item: ForSale, offset: float) -> int:
    """The list price of an offset, to the nearest note and at least one."""
    price = math.exp(item.market.resale.mu + offset + item.haggle)
    return max(item.note, floor_to(to_minor(price + item.note / 2.0), item.note))


def laid(item: ForSale, lists: Sequence[int], days: Sequence[date], ends: date) -> Laid:
    """What these list prices come to; a step without days or without a drop is no step."""
    rows: list[tuple[int, date]] = []
    for i, (price, on) in enumerate(zip(lists, days, strict=True)):
        until = days[i + 1] if i + 1 < len(days) else ends
        if until > on and (not rows or price != rows[-1][0]):
            rows.append((price, on))
    bounds = [on for _, on in rows] + [ends]
    steps = [float((b - a).days) for a, b in pairwise(bounds)]
    plan = evaluate(item.market, [item.offset(price) for price, _ in rows], steps)
    return Laid(tuple(p for p, _ in rows), tuple(d for _, d in rows), ends, plan)


def planned(item: ForSale, board: Board) -> tuple[Laid, Plan]:
    """The best plan of four steps in notes, and the same before it was rounded."""
    bounds = cut(item, min(STEPS, (item.last - item.start).days))
    steps = [float((b - a).days) for a, b in pairwise(bounds)]
    exact = best_plan(board, steps)
    return laid(item, [listed(item, o) for o in exact.offsets], bounds[:-1], bounds[-1]), exact


def plan_data(found: Laid) -> dict[str, Any]:
    """A plan as plain data: chances are those to be sold by the end of each step."""
    bounds, chance, steps = [*found.days[1:], found.ends], 0.0, []
    rows = zip(found.lists, found.days, bounds, found.plan.sold, strict=True)
    for price, on, until, sold in rows:
        chance += sold
        steps.append(
            {"list": price, "on": on.isoformat(), "until": until.isoformat(), "chance": chance}
        )
    return {
        "steps": steps,
        "endsOn": found.ends.isoformat(),
        "chance": 1.0 - found.plan.unsold,
        "days": to_minor(found.plan.days),
        "value": to_minor(found.plan.value),
    }


def evidence_data(book: Mapping[str, Any], item: ForSale) -> dict[str, Any]:
    """What the chances go by; a guess until there are enough own listings."""
    listings = book["counts"]["listings"]
    return {
        "ownListings": listings,
        "ownSales": book["counts"]["sales"],
        "level": "guess" if listings < GUESS_BELOW else "fair",
        "source": "typed" if "typed_price" in item.priced.caveats else "book",
    }


def caveats_of(book: Mapping[str, Any], item: ForSale, value: float) -> list[str]:
    """Codes of what the person should know about this answer."""
    scale = book["sell"]["unsold_scale"]
    said = {
        "let_go": value <= item.market.salvage,
        "stood": bool(item.market.past),
        "slower_than_said": scale > 1.0 + OWN_PACE,
        "quicker_than_said": scale < 1.0 - OWN_PACE,
    }
    codes = [code for code, holds in said.items() if holds]
    return codes + [code for code in MENTIONED if code in item.priced.caveats]


def _chances(item: ForSale, plan: Laid | None, days: Sequence[date]) -> list[float | None]:
    """The chance of a plan to be sold by each day."""
    if plan is None:
        return [None for _ in days]
    since = [float((on - item.start).days) for on in days]
    return list(chances_by(item.market, plan.plan, since))


def _curve(
    item: ForSale, plans: tuple[Laid, Laid | None], days: Sequence[date]
) -> list[dict[str, Any]]:
    """The chances of the plan and of the typed prices to be sold by each day."""
    by_plan, by_typed = (_chances(item, plan, days) for plan in plans)
    rows = zip(days, by_plan, by_typed, strict=True)
    return [{"on": on.isoformat(), "plan": plan, "typed": typed} for on, plan, typed in rows]


def _typed(item: ForSale, prices: tuple[int, ...]) -> Laid | None:
    if not prices:
        return None
    bounds = cut(item, len(prices))
    return laid(item, prices, bounds[:-1], bounds[-1])


def _answer(
    book: Mapping[str, Any], item: ForSale, by: date | None, prices: tuple[int, ...]
) -> dict[str, Any]:
    board = Board(item.market)
    plan, exact = planned(item, board)
    whole = (item.last - item.start).days
    price = listed(item, best_constant(board, float(whole)).offsets[0])
    constant = laid(item, [price], [item.start], item.last)
    typed = _typed(item, prices)
    best = finer(board, exact).value
    return {
        "ok": True,
        "plan": plan_data(plan),
        "constant": plan_data(constant),
        "typed": None if typed is None else plan_data(typed),
        "by": None if by is None else _curve(item, (plan, typed), [by])[0],
        "curve": _curve(item, (plan, typed), cut(item, min(POINTS, whole))),
        "givesUp": max(0, to_minor(best - plan.plan.value)),
        "week": to_minor(week_costs(board, exact)),
        "letGo": to_minor(item.market.salvage),
        "likely": to_minor(item.priced.deal.resale.likely),
        "haggle": item.haggle,
        "evidence": evidence_data(book, item),
        "caveats": caveats_of(book, item, plan.plan.value),
    }


def answer_asking(book: Mapping[str, Any] | None, data: Mapping[str, Any]) -> dict[str, Any]:
    """What to ask for a piece.

    ``data`` is ``{find, today, start, last_on, asked: [{amount, on}], prices: [amount], by_on}``:
    the find as the pad gets it, the list prices it stood at so far, what the person would rather
    ask, a day to say the chance of. Days are texts like 2026-05-01, money is minor units;
    ``find`` and ``today`` are needed. Input that makes no sense gives
    ``{ok: False, details: [{path, code, message}]}``.
    """
    problems = Problems()
    by, prices = day_in(data, "by_on", problems), typed_prices(data, problems)
    item = read_for_sale(book, data, problems)
    if item is not None and by is not None and by <= item.start:
        problems.add("by_on", "conflict", reason="it has to be a day after the plan begins")
    if item is not None and len(prices) > (item.last - item.start).days:
        problems.add("prices", "conflict", reason="there are more prices than days")
    if item is None or book is None or problems.details:
        return {"ok": False, "details": problems.details}
    return _answer(book, item, by, prices)
