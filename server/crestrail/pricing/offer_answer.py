"""What to say to an offer for a piece: take it, name an amount, or wait.

To wait is worth what the household's own planned drops are worth from now on or, where none are
planned, the best plan. The same plain data comes from ``web/js/pricing/offer-answer.js``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from crestrail.basis.rounding import floor_to, to_minor
from crestrail.pricing.asking_answer import (
    Laid,
    caveats_of,
    evidence_data,
    laid,
    plan_data,
    planned,
)
from crestrail.pricing.dropping import Board
from crestrail.pricing.find import Problems
from crestrail.pricing.for_sale import ForSale, Price, prices_in, read_for_sale
from crestrail.pricing.offers import answer_offer

BUYER = ("offer", "others", "holds", "failed", "hold_days")


def _own(item: ForSale, drops: tuple[Price, ...]) -> Laid:
    """The price of today and the drops the household planned, to a last day well after them."""
    quarter = timedelta(days=math.ceil(item.market.rate.horizon / 4.0))
    last = max(item.last, drops[-1][0] + quarter)
    lists = [item.asked[-1][1], *(price for _, price in drops)]
    days = [item.start, *(on for on, _ in drops)]
    return laid(item, lists, days, last)


def _money(said: dict[str, Any], note: int) -> dict[str, Any]:
    """The answer of the formulas in whole minor units; the least to take in notes."""
    counter, least = said["counter"], said["leastToTake"]
    if counter is not None:
        counter = counter | {"value": to_minor(counter["value"])}
    if least is not None:
        least = -floor_to(-to_minor(max(0.0, least)), note)
    whole = {key: to_minor(said[key]) for key in ("take", "wait")}
    return said | whole | {"counter": counter, "leastToTake": least}


def _answer(
    book: Mapping[str, Any], item: ForSale, drops: tuple[Price, ...], data: Mapping[str, Any]
) -> dict[str, Any]:
    own = item.asked and drops
    plan = _own(item, drops) if own else planned(item, Board(item.market))[0]
    price = item.asked[-1][1] if item.asked else plan.lists[0]
    given = {name: data.get(name) for name in BUYER} | {"price": price, "note": item.note}
    said = answer_offer(item.market, plan.plan.value, given)
    if not said["ok"]:
        return said
    return _money(said, item.note) | {
        "offer": given["offer"],
        "price": price,
        "others": given["others"] or 0,
        "plan": plan_data(plan),
        "letGo": to_minor(item.market.salvage),
        "evidence": evidence_data(book, item),
        "caveats": caveats_of(book, item, plan.plan.value),
    }


def answer_piece_offer(book: Mapping[str, Any] | None, data: Mapping[str, Any]) -> dict[str, Any]:
    """Whether to take an offer, counter it (with which amount) or wait, each with its value.

    ``data`` is ``{find, today, last_on, asked: [{amount, on}], planned: [{amount, on}], offer,
    others, holds, failed, hold_days}``: as for ``answer_asking``, and the drops planned, the
    amount offered, how many others are thinking, the household's holds so far and how many of
    them failed, the days a hold takes. Input that makes no sense gives
    ``{ok: False, details: [{path, code, message}]}``.
    """
    problems = Problems()
    drops = prices_in(data, "planned", problems)
    item = read_for_sale(book, data, problems)
    if item is not None and drops and drops[0][0] <= item.start:
        problems.add("planned", "conflict", reason="a planned drop has to lie after today")
    if item is None or book is None or problems.details:
        return {"ok": False, "details": problems.details}
    return _answer(book, item, drops, data)
