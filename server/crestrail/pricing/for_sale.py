"""A piece for sale as a person hands it in: checked, with every problem named at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from crestrail.basis.clock import day_from_text, is_date
from crestrail.pricing.asking import Market
from crestrail.pricing.figures import Priced, priced_find
from crestrail.pricing.find import MONEY_LIMIT, Find, Problems, read_find
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import rate_of

LONGEST = 4000
"""Days; no plan reaches further."""
MOST_PRICES = 4
MOST_ASKED = 400

Price = tuple[date, int]
"""A list price (minor units) from a day on."""


@dataclass(frozen=True, slots=True)
class ForSale:
    """A piece for sale: what it is, the prices it stood at so far, when a plan begins and ends."""

    find: Find
    priced: Priced
    market: Market
    haggle: float
    note: int
    asked: tuple[Price, ...]
    start: date
    last: date

    def offset(self, listed: int) -> float:
        """How far the agreed price of a list price lies from the likely price, in logs."""
        return math.log(listed) - self.haggle - self.market.resale.mu


@dataclass(frozen=True, slots=True)
class Priceable:
    """A find in figures, and the list prices it stood at so far."""

    find: Find
    priced: Priced
    asked: tuple[Price, ...]


def day_in(data: Mapping[str, Any], name: str, problems: Problems) -> date | None:
    """A calendar day of the input; None when left out, and None noted when it is none."""
    text = data.get(name)
    if text is None or text == "":
        return None
    if not is_date(text):
        problems.add(name, "bad_date", text=text if isinstance(text, str) else "")
        return None
    return day_from_text(text)


def prices_in(data: Mapping[str, Any], name: str, problems: Problems) -> tuple[Price, ...]:
    """List prices with their days, in the order of days."""
    given = data.get(name)
    rows = list(given) if isinstance(given, list | tuple) else []
    if len(rows) > MOST_ASKED:
        problems.add(name, "too_many", max=MOST_ASKED)
        return ()
    found: list[Price] = []
    for i, row in enumerate(rows):
        part = row if isinstance(row, Mapping) else {}
        amount = problems.whole(part.get("amount"), f"{name}.{i}.amount", (1, MONEY_LIMIT))
        on = day_in(part, "on", problems)
        if amount is None or on is None:
            problems.add(f"{name}.{i}", "required")
        else:
            found.append((on, amount))
    return tuple(sorted(found))


def typed_prices(data: Mapping[str, Any], problems: Problems) -> tuple[int, ...]:
    """The list prices a person would rather ask, each for an equal time; they may not rise."""
    given = data.get("prices")
    rows = list(given) if isinstance(given, list | tuple) else []
    if len(rows) > MOST_PRICES:
        problems.add("prices", "too_many", max=MOST_PRICES)
        return ()
    found: list[int] = []
    for i, row in enumerate(rows):
        price = problems.whole(row, f"prices.{i}", (1, MONEY_LIMIT))
        if price is None:
            problems.add(f"prices.{i}", "required")
        elif found and price > found[-1]:
            problems.add(f"prices.{i}", "conflict", reason="a price may not rise again")
        else:
            found.append(price)
    return tuple(found)


def _past(asked: tuple[Price, ...], start: date) -> list[tuple[int, int]]:
    """List prices with the days each stood until ``start``."""
    bounds = [*asked, (start, 0)]
    return [(price, (end - on).days) for (on, price), (end, _) in pairwise(bounds) if end > on]


def _ends(horizon: int, begun: date, start: date) -> date:
    """The last day where none is told: the usual longest wait, and a quarter of it at least."""
    quarter = (horizon + 3) // 4
    return max(begun + timedelta(days=horizon), start + timedelta(days=quarter))


def _span(data: Mapping[str, Any], problems: Problems) -> tuple[date, date | None] | None:
    """First and last day of the plan; the last one None where none is told."""
    today = day_in(data, "today", problems)
    start, last = day_in(data, "start", problems), day_in(data, "last_on", problems)
    if today is None:
        problems.add("today", "required")
        return None
    if start is not None and start < today:
        problems.add("start", "conflict", reason="it cannot begin before today")
    begin = start or today
    if last is not None and last <= begin:
        problems.add("last_on", "conflict", reason="it has to be a day after the plan begins")
    elif last is not None and (last - begin).days > LONGEST:
        problems.add("last_on", "conflict", reason="that is too far ahead")
    return begin, last


def counted(brings: Resale) -> Resale:
    """What the piece brings with the average to count on: doubt is no chance of more, see
    ``Resale.counted``."""
    return Resale(brings.mu - brings.doubt / 2.0, brings.s)


def _market(book: Mapping[str, Any], find: Find, priced: Priced) -> Market:
    sell, deal = book["sell"], priced.deal
    return Market(
        resale=counted(deal.resale),
        rate=rate_of(sell, find.kind, find.kind_days),
        omega=sell["omega"],
        fee=deal.terms.fee,
        on_sale=deal.terms.on_sale,
        hold=deal.terms.hold,
        salvage=deal.salvage,
    )


def read_for_sale(
    book: Mapping[str, Any] | None, data: Mapping[str, Any], problems: Problems
) -> ForSale | None:
    """The piece in ``data``; None, with the problems noted, where something is wrong or missing."""
    if book is None:
        problems.add("book", "required")
        return None
    given = data.get("find")
    find = read_find(given if isinstance(given, Mapping) else {}, problems)
    span, asked = _span(data, problems), prices_in(data, "asked", problems)
    if span is not None and asked and asked[-1][0] > span[0]:
        problems.add("asked", "conflict", reason="a price of a later day is not asked yet")
    priced = None if problems.details else priced_find(book, find, problems)
    if priced is None or span is None:
        return None
    return _item(book, Priceable(find, priced, asked), span)


def _item(book: Mapping[str, Any], of: Priceable, span: tuple[date, date | None]) -> ForSale:
    start, last = span
    market, haggle = _market(book, of.find, of.priced), float(book["sell"]["haggle"])
    begun = of.asked[0][0] if of.asked else start
    days = math.floor(market.rate.horizon + 0.5)
    past = tuple(
        (math.log(price) - haggle - market.resale.mu, float(stood))
        for price, stood in _past(of.asked, start)
    )
    return ForSale(
        of.find,
        of.priced,
        replace(market, past=past),
        haggle,
        max(1, book["money"]["note_step"]),
        of.asked,
        start,
        last or _ends(days, begun, start),
    )
