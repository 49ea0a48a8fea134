"""The answer for several finds at one price, as plain data; see ``lots`` for the formulas."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from crestrail.basis.money import split
from crestrail.basis.rounding import floor_to, to_minor
from crestrail.pricing import resale
from crestrail.pricing.figures import Priced, looks_of, priced_find
from crestrail.pricing.find import MONEY_LIMIT, Find, Problems, read_find
from crestrail.pricing.linear import cross, model_from, spread
from crestrail.pricing.lots import (
    ONE_BY_ONE,
    Lot,
    expected_limit,
    loss_chance,
    most_for,
    without,
)
from crestrail.pricing.offer import base, time_cost
from crestrail.pricing.pad import chance_words, level
from crestrail.pricing.words import CAVEATS

MOST_PIECES = 40
GROUPED = "grouped"
"""The code of what is to be mentioned where a lot has more than ten pieces."""


def shared_errors(
    book: Mapping[str, Any], finds: Sequence[Find], priced: Sequence[Priced]
) -> list[list[float]]:
    """How far the logs of the prices go together: they share the errors of the book.

    A typed spread keeps the book's correlation; pieces of one kind that the book does not know
    share what is not known of it.
    """
    model, unknown = model_from(book["price"]), book["price"]["v0"]["kind"]
    looks = [looks_of(find) for find in finds]
    rows = [resale.row_of(model, one) for one in looks]
    new = [f"kind:{one.kind}" not in model.index for one in looks]
    scale = model.c * model.c * model.s2
    more = [resale.more_noise(model, one.kind, book["price"]["v0"]) for one in looks]
    own = [spread(model, row, extra) for row, extra in zip(rows, more, strict=True)]
    spreads = [p.deal.resale.s for p in priced]

    def together(i: int, j: int) -> float:
        if i == j:
            return spreads[i] * spreads[i]
        one_kind = looks[i].kind is not None and looks[i].kind == looks[j].kind
        same = unknown if new[i] and one_kind else 0.0
        shared = scale * (cross(model, rows[i], rows[j]) + same)
        return shared * (spreads[i] / own[i]) * (spreads[j] / own[j])

    return [[together(i, j) for j in range(len(finds))] for i in range(len(finds))]


def _nothing_reason(lot: Lot, least: int) -> str:
    """Why nothing, or less than a note, can be paid; the codes are those of the pad."""
    left = sum(base(deal) for deal in lot.deals)
    if least > 0:
        return "less_than_note"
    if left <= 0.0:
        return "costs"
    if left - sum(time_cost(deal) for deal in lot.deals) <= 0.0:
        return "time"
    if expected_limit(lot) < 0.5:
        return "min_profit"
    none_sold = math.prod(deal.u for deal in lot.deals)
    return "tolerance" if lot.deals[0].terms.tolerance <= none_sold else "caution"


def _at_ask(lot: Lot, ask: int, most: int, own_sales: int) -> dict[str, Any]:
    """What paying the ask comes to, and its shares to the cent."""
    clear = sum(base(deal) for deal in lot.deals) - ask
    minutes = sum(deal.effort.mean for deal in lot.deals)
    chance = loss_chance(lot, float(ask))
    return {
        "ask": ask,
        "clear": to_minor(clear),
        "profit": to_minor(clear - sum(time_cost(deal) for deal in lot.deals)),
        "hourly": to_minor(clear / (minutes / 60.0)) if minutes > 0.0 else None,
        "lossChance": chance,
        "lossWords": chance_words(chance, own_sales),
        "over": max(0, ask - most),
        "shares": split(ask, [to_minor(deal.resale.likely) for deal in lot.deals]),
    }


def _adds(lot: Lot, i: int, most: float) -> int | None:
    """What a piece adds to the most to pay; not reckoned in a lot of more than ten."""
    if len(lot.deals) > ONE_BY_ONE:
        return None
    rest = most_for(without(lot, i))[0] if len(lot.deals) > 1 else 0.0
    return to_minor(most) - to_minor(rest)


def _caveats(priced: Sequence[Priced]) -> list[str]:
    """What is to be mentioned of any of the pieces, the gravest first."""
    said = {code for one in priced for code in one.caveats}
    grouped = [GROUPED] if len(priced) > ONE_BY_ONE else []
    return [*grouped, *(code for code in CAVEATS if code in said)]


def _read_all(
    book: Mapping[str, Any], finds: Sequence[Any], problems: Problems
) -> tuple[list[Find], list[Priced]]:
    """The finds in figures; what is wrong is noted under ``finds.INDEX``."""
    read: list[Find] = []
    priced: list[Priced] = []
    given = list(finds) if isinstance(finds, list | tuple) else []
    for i, data in enumerate(given):
        own = Problems()
        find = read_find(data if isinstance(data, Mapping) else {}, own)
        figures = None if own.details else priced_find(book, find, own)
        if figures is not None:
            read.append(find)
            priced.append(figures)
        problems.details += [d | {"path": f"finds.{i}.{d['path']}"} for d in own.details]
    if not given:
        problems.add("finds", "too_few", min=1)
    elif len(given) > MOST_PIECES:
        problems.add("finds", "too_many", max=MOST_PIECES)
    return read, priced


def price_lot(
    book: Mapping[str, Any] | None, finds: Sequence[Any], ask: Any = None
) -> dict[str, Any]:
    """The answer for several finds at one price; each find as ``price_find`` takes it.

    ``{ok, most, mostExact, binding, nothingReason, minutes, atAsk, pieces: [{likely, adds}],
    ownSales, level, caveats}``, money in minor units; ``ask`` is what is wanted for all of them
    and may be None. Input that makes no sense gives ``{ok: False, details}``.
    """
    problems = Problems()
    if book is None:
        problems.add("book", "required")
        return {"ok": False, "details": problems.details}
    asked = problems.whole(ask, "ask", (0, MONEY_LIMIT))
    read, priced = _read_all(book, finds, problems)
    if problems.details:
        return {"ok": False, "details": problems.details}
    lot = Lot([p.deal for p in priced], shared_errors(book, read, priced))
    exact, binding = most_for(lot)
    least, own_sales = to_minor(exact), book["counts"]["sales"]
    most = floor_to(least, max(1, book["money"]["note_step"]))
    reason = _nothing_reason(lot, least) if most == 0 else None
    return {
        "ok": True,
        "most": most,
        "mostExact": least,
        "binding": binding if most > 0 else "none",
        "nothingReason": reason,
        "minutes": sum(to_minor(deal.effort.likely) for deal in lot.deals),
        "atAsk": None if asked is None else _at_ask(lot, asked, most, own_sales),
        "pieces": [
            {"likely": to_minor(deal.resale.likely), "adds": _adds(lot, i, exact)}
            for i, deal in enumerate(lot.deals)
        ],
        "ownSales": own_sales,
        "level": level(min(book["counts"]["kinds"].get(f.kind, 0) for f in read), own_sales),
        "caveats": _caveats(priced),
    }
