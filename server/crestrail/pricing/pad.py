"""The pad: from a find and the price book to the most to pay, with its workings.

The answer is plain data with the same keys as on the phone (``web/js/pricing/pad.js``), since
it is frozen into a prediction record when the person acts on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crestrail.basis.rounding import floor_to, to_minor
from crestrail.pricing.figures import GUESS_BELOW, Priced, bench_effort, priced_find
from crestrail.pricing.find import Find, Problems, read_find
from crestrail.pricing.offer import AtAsk, Deal, Offer, at_ask, base, max_offer, time_cost
from crestrail.pricing.resale import Resale
from crestrail.pricing.scores import spread_of
from crestrail.pricing.waterfall import limit, waterfall


def _nothing_reason(deal: Deal, offer: Offer, least: int) -> str:
    """Why nothing, or less than a note, can be paid."""
    if least > 0:
        return "less_than_note"
    if base(deal) <= 0.0:
        return "costs"
    if base(deal) - time_cost(deal) <= 0.0:
        return "time"
    if offer.profit_limit < 0.5:
        return "min_profit"
    return "tolerance" if deal.terms.tolerance <= deal.u else "caution"


def chance_words(chance: float, own_sales: int) -> str:
    """A chance in words: rough until there are enough own sales, then "about 1 in N"."""
    if own_sales < GUESS_BELOW:
        return "low" if chance < 0.1 else "some" if chance < 0.3 else "high"
    if chance > 0.5:
        return "more than half"
    return "less than 1 in 20" if chance < 0.05 else f"about 1 in {to_minor(1.0 / chance)}"


def level(of_kind: int, in_all: int) -> str:
    """How much own sales there are to go by: guess, thin, fair or good."""
    if in_all < GUESS_BELOW:
        return "guess"
    return "thin" if of_kind < 3 else "fair" if of_kind < 10 else "good"


def _ask_data(at: AtAsk, ask: int, most: int, own_sales: int) -> dict[str, Any]:
    return {
        "ask": ask,
        "clear": to_minor(at.clear),
        "profit": to_minor(at.profit),
        "hourly": None if at.hourly is None else to_minor(at.hourly),
        "lossChance": at.loss_chance,
        "lossWords": chance_words(at.loss_chance, own_sales),
        "underWageChance": at.under_wage_chance,
        "over": max(0, ask - most),
    }


def _range(find: Find, brings: Resale) -> dict[str, int]:
    """Low, likely and high as shown: the figures typed stand as they were typed."""
    t = find.typed
    return {
        "low": to_minor(brings.low) if t.low is None else t.low,
        "likely": to_minor(brings.likely),
        "high": to_minor(brings.high) if t.high is None else t.high,
    }


def _answer(book: Mapping[str, Any], find: Find, priced: Priced) -> dict[str, Any]:
    deal, counts = priced.deal, book["counts"]
    offer = max_offer(deal)
    least = limit(offer)
    note = max(1, book["money"]["note_step"])
    most = floor_to(max(0, least), note)
    rows = waterfall(deal, offer, (priced.supplies, priced.pickup), most)
    of_kind, in_all = counts["kinds"].get(find.kind, 0), counts["sales"]
    bench = bench_effort(book, find)
    ask = None if find.ask is None else at_ask(deal, float(find.ask))
    return {
        "ok": True,
        "most": most,
        "mostExact": max(0, least),
        "binding": offer.binding if most > 0 else "none",
        "nothingReason": _nothing_reason(deal, offer, least) if most == 0 else None,
        "range": _range(find, deal.resale),
        "minutes": {
            "low": to_minor(deal.effort.low),
            "likely": to_minor(deal.effort.likely),
            "high": to_minor(deal.effort.high),
        },
        "bench": {
            "low": to_minor(bench.low),
            "likely": to_minor(bench.likely),
            "high": to_minor(bench.high),
        },
        "atAsk": None if ask is None else _ask_data(ask, find.ask or 0, most, in_all),
        "waterfall": [{"key": row.key, "amount": row.amount} for row in rows],
        "evidence": {
            "ownSalesOfKind": of_kind,
            "ownSales": in_all,
            "level": level(of_kind, in_all),
            "source": "typed" if "typed_price" in priced.caveats else "book",
            "spread": spread_of(book),
        },
        "chances": {"unsold": deal.u, "days": to_minor(deal.days)},
        "caveats": priced.caveats,
    }


def price_find(book: Mapping[str, Any] | None, find: Mapping[str, Any]) -> dict[str, Any]:
    """The answer of the pad for a find.

    ``find`` is ``{kind, traits, count, found_grade, finished_grade, steps: [{step, units,
    minutes?}], typed: {likely, low, high, minutes, supplies}, ask, costs: {pickup},
    kind_typical: {price, days}}``, money in minor units, everything but the kind (or a typed
    price) may be left out. Input that makes no sense gives
    ``{ok: False, details: [{path, code, message}]}``.
    """
    problems = Problems()
    if book is None:
        problems.add("book", "required")
        return {"ok": False, "details": problems.details}
    read = read_find(find, problems)
    priced = None if problems.details else priced_find(book, read, problems)
    if priced is None:
        return {"ok": False, "details": problems.details}
    return _answer(book, read, priced)
