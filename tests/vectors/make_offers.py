"""Writes offers.json. Run in the folder tests: ``../.venv/bin/python -m vectors.make_offers``."""

from __future__ import annotations

import math
import random
from dataclasses import asdict
from typing import Any

from crestrail.pricing.offer_answer import answer_piece_offer
from crestrail.pricing.offers import answer_offer
from vectors.make_asking import BOOKS, TODAY, drawn, for_sale, on, write

BAD = (
    {},
    {"offer": 0, "price": 5000},
    {"offer": -5, "price": 1.5},
    {"offer": "ten", "price": 100, "others": 51},
    {"offer": 100, "price": 100, "holds": 2, "failed": 3, "hold_days": 91},
)
DESK: dict[str, Any] = {
    "find": {"kind": "desk"}, "today": TODAY, "asked": [{"amount": 15000, "on": on(-30)}],
}  # fmt: skip
BY_HAND: tuple[dict[str, Any], ...] = (
    {},
    {"find": {"kind": "desk"}, "today": TODAY},
    {"find": {"kind": "desk"}, "today": TODAY, "offer": 11000},
    DESK | {"offer": 0},
    DESK | {"offer": -100, "others": -1},
    DESK | {"offer": 9000, "holds": 1, "failed": 2},
    DESK | {"offer": 9000, "find": {}},
    DESK | {"offer": 9000, "last_on": TODAY},
    DESK | {"offer": 9000, "planned": [{"amount": 12000, "on": TODAY}]},
    DESK | {"offer": 9000, "planned": [{"amount": 0, "on": on(5)}]},
    DESK | {"offer": 9000, "planned": [{"amount": 13000, "on": on(9)}]},
    DESK | {"offer": 2000, "planned": [{"amount": 13000, "on": on(9)},
                                       {"amount": 9000, "on": on(90)}]},
    DESK | {"offer": 14000, "others": 6, "holds": 20, "failed": 1, "hold_days": 4},
    DESK | {"offer": 15000},
    DESK | {"offer": 40000},
    DESK | {"offer": 1},
    DESK | {"offer": 5 * 10**10, "asked": [{"amount": 10**11, "on": on(-30)}]},
)  # fmt: skip


def offered(rng: random.Random) -> dict[str, Any]:
    """An offer as it may be met."""
    drops = [{"amount": rng.randrange(1000, 20_000), "on": on(d)} for d in (12, 40)]
    return for_sale(rng) | {
        "planned": drops[: rng.choice((0, 0, 2))],
        "offer": rng.randrange(1000, 30_000),
        "others": rng.choice((0, 2)),
        "holds": 6,
        "failed": rng.choice((0, 3)),
        "hold_days": rng.choice((0, 3)),
    }


def bare(rng: random.Random) -> list[dict[str, Any]]:
    """Offers in bare markets."""
    cases: list[dict[str, Any]] = []
    for i in range(60):
        market = drawn(rng)
        likely = math.exp(market.resale.mu)
        data = {
            "offer": max(1, round(likely * rng.uniform(0.2, 1.3))),
            "price": max(1, round(likely * rng.uniform(0.8, 1.3))),
            "others": rng.choice((0, 0, 1, 4)),
            "holds": 9,
            "failed": rng.choice((0, 1, 9)),
            "hold_days": rng.choice((0, 3)),
            "note": rng.choice((1, 100, 500)),
        }
        given = BAD[i] if i < len(BAD) else data
        value = likely * rng.uniform(0.3, 0.9)
        answer = answer_offer(market, value, given)
        cases.append({"market": asdict(market), "value": value, "data": given, "answer": answer})
    return cases


def main() -> None:
    """Draw, answer, write."""
    rng = random.Random(20260702)
    given = [("many", data) for data in BY_HAND]
    given += [(rng.choice(list(BOOKS)), offered(rng)) for _ in range(40)]
    pieces = [
        {"book": book, "data": data, "answer": answer_piece_offer(BOOKS[book], data)}
        for book, data in given
    ]
    write("offers", {"bare": bare(rng), "pieces": pieces})


if __name__ == "__main__":
    main()
