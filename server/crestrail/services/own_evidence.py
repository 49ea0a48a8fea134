"""From records to evidence about the book itself: what it foretold, what supplies were used."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from crestrail.books.facts import Facts, Record
from crestrail.books.lines import use_cost
from crestrail.pricing.history import Used
from crestrail.pricing.scores import LEVELS
from crestrail.records.stages import sale_standing

WIDEST_SPREAD = 10.0


def foretold(facts: Facts, today: str) -> list[dict[str, Any]]:
    """What was said of each bought piece that has sold by ``today``, and what it brought.

    Pieces that were divided, joined with another record or sold twice are left out: it is not
    clear what was said of what. So are answers that are not as the pad gives them.
    """
    said: dict[str, Record] = {}
    for row in facts.rows("prediction"):
        if row["for_what"] == "bought":
            said[row["piece_id"]] = row
    sales: dict[str, list[Record]] = defaultdict(list)
    for sale in facts.rows("sale"):
        sales[sale["piece_id"]].append(sale)
    apart, known = _unclear(facts), {row["id"] for row in facts.rows("piece")}
    found = []
    for piece in sorted(known.intersection(said) - apart):
        standing = sale_standing(sales[piece], facts.rows("return"))
        sale_row, shown = standing.live, _shown(said[piece].get("answer"))
        if sale_row is None or standing.in_question or shown is None:
            continue
        if sale_row["on"] <= today and sale_row["price"] > 0:
            found.append(shown | {"price": sale_row["price"]})
    return found


def _unclear(facts: Facts) -> set[str]:
    """The pieces that were divided, came out of another, or are one with another."""
    ends = [(s["parent_id"], s["child_id"]) for s in facts.rows("split")]
    ends += [(s["duplicate_id"], s["survivor_id"]) for s in facts.rows("same_as")]
    return {id for pair in ends for id in pair}


def _shown(answer: Any) -> dict[str, Any] | None:
    """Range, level and spread of a frozen answer; None unless they are as the pad gives them."""
    if not isinstance(answer, Mapping):
        return None
    shown, evidence = answer.get("range"), answer.get("evidence")
    if not isinstance(shown, Mapping) or not isinstance(evidence, Mapping):
        return None
    low, likely, high = (_number(shown.get(name)) for name in ("low", "likely", "high"))
    spread = _number(evidence.get("spread", 1.0))
    level = "typed" if evidence.get("source") == "typed" else evidence.get("level")
    if not 0.0 < low <= likely <= high or level not in LEVELS:
        return None
    if not 1.0 / WIDEST_SPREAD <= spread <= WIDEST_SPREAD:
        return None
    return {"low": low, "likely": likely, "high": high, "spread": spread, "level": level}


def _number(value: Any) -> float:
    """A finite number as it is, everything else as 0."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return 0.0
    return float(value)


def used_supplies(facts: Facts, today: str) -> list[Used]:
    """What supplies finished pieces used up, where any were written down.

    Supplies bought for one piece alone count as used on it; tools do not.
    """
    known = {s["id"]: s for s in facts.rows("supply")}
    spent: dict[str, int] = defaultdict(int)
    for use in facts.rows("supply_use"):
        if use.get("piece_id") and use["on"] <= today:
            spent[use["piece_id"]] += use_cost(use, known.get(use.get("supply_id")))
    for bought in facts.rows("expense"):
        mine = bought.get("piece_id") and not bought.get("supply_id")
        if mine and bought["category"] == "supplies" and bought["on"] <= today:
            spent[bought["piece_id"]] += bought["amount"]
    steps: dict[str, list[Record]] = defaultdict(list)
    for row in facts.rows("piece_step"):
        steps[row["piece_id"]].append(row)
    apart = _unclear(facts)
    return [
        Used(cost, tuple((row["step"], row.get("units") or 1) for row in steps[piece]))
        for piece, cost in spent.items()
        if piece not in apart and steps[piece] and all(row.get("done_at") for row in steps[piece])
    ]
