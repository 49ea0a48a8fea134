"""Writes asking.json: drop plans and answers that both languages are tested on.

Run in the folder tests: ``../.venv/bin/python -m vectors.make_asking``.
"""

from __future__ import annotations

import json
import random
from dataclasses import asdict
from datetime import timedelta
from pathlib import Path
from typing import Any

from crestrail.pricing.asking import Market, chances_by
from crestrail.pricing.asking_answer import answer_asking
from crestrail.pricing.dropping import Board, best_constant, best_plan, finer, week_costs
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate
from helpers.pricing_histories import AS_OF

HERE = Path(__file__).parent
TODAY = AS_OF.isoformat()
BOOKS = json.loads((HERE / "pricing_books.json").read_text())
KINDS = ("side-chair", "dresser", "desk", "mirror", "stool")


def on(days: int) -> str:
    """A day so many days from today."""
    return (AS_OF + timedelta(days=days)).isoformat()


BY_HAND: tuple[dict[str, Any], ...] = (
    {},
    {"find": {"kind": "desk"}},
    {"find": {}, "today": TODAY},
    {"find": {"kind": "no-such-kind"}, "today": TODAY},
    {"find": {"kind": "odd-thing"}, "today": TODAY},
    {"find": {"kind": "no-such-kind", "typed": {"likely": 9000}}, "today": TODAY},
    {"find": {"kind": "x", "kind_typical": {"price": 8000, "days": 70}}, "today": TODAY},
    {"find": {"kind": "desk", "count": 0}, "today": TODAY},
    {"find": {"kind": "desk", "typed": {"likely": -5}}, "today": TODAY},
    {"find": {"kind": "desk", "typed": {"low": 9000, "high": 100}}, "today": TODAY},
    {"find": "desk", "today": 5},
    {"find": ["desk"], "today": "2026-02-30"},
    {"find": {"kind": "desk"}, "today": TODAY, "start": on(-1)},
    {"find": {"kind": "desk"}, "today": TODAY, "start": on(20), "by_on": on(30)},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": TODAY},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": on(-400)},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": on(4001)},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": on(1), "by_on": on(1)},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": on(3), "prices": [9000] * 4},
    {"find": {"kind": "desk"}, "today": TODAY, "last_on": on(6), "prices": [9000, 8000]},
    {"find": {"kind": "desk"}, "today": TODAY, "by_on": TODAY},
    {"find": {"kind": "desk"}, "today": TODAY, "by_on": "soon"},
    {"find": {"kind": "desk"}, "today": TODAY, "by_on": on(900)},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [0]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [None, "9", 1.5, -3]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [9000, 9500]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [5, 4, 3, 2, 1]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [100_000_000_000]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [1]},
    {"find": {"kind": "desk"}, "today": TODAY, "prices": [15000, 15000, 12000]},
    {"find": {"kind": "desk"}, "today": TODAY, "asked": [{"amount": 15000, "on": on(-40)}]},
    {
        "find": {"kind": "desk"}, "today": TODAY, "by_on": on(10), "prices": [12000],
        "asked": [{"amount": 15000, "on": on(-50)}, {"amount": 18000, "on": on(-90)},
                  {"amount": 14000, "on": TODAY}],
    },
    {"find": {"kind": "desk"}, "today": TODAY,
     "asked": [{"amount": 15000, "on": on(-40)}, {"amount": 14000, "on": on(-40)}]},
    {"find": {"kind": "desk"}, "today": TODAY, "asked": [{"amount": 1, "on": on(-40_000)}]},
    {"find": {"kind": "desk"}, "today": TODAY, "asked": [{"amount": 15000, "on": on(1)}]},
    {"find": {"kind": "desk"}, "today": TODAY, "asked": [{"on": on(-1)}, 7, {"amount": 8}]},
    {"find": {"kind": "desk"}, "today": TODAY, "asked": [{"amount": 9, "on": TODAY}] * 401},
    {"find": {"kind": "stool", "typed": {"likely": 1}}, "today": TODAY},
    {"find": {"kind": "desk", "typed": {"likely": 100_000_000_000}}, "today": TODAY},
    {"find": {"kind": "desk", "typed": {"likely": 20000, "low": 19900, "high": 20100}},
     "today": TODAY},
    {"find": {"kind": "mirror", "traits": ["oak", "unheard-of"]}, "today": TODAY},
)  # fmt: skip


def market_of(data: dict[str, Any]) -> Market:
    """The market of a vector."""
    rest = {k: v for k, v in data.items() if k not in ("resale", "rate", "past")}
    past = tuple((offset, days) for offset, days in data["past"])
    return Market(Resale(**data["resale"]), Rate(**data["rate"]), **rest, past=past)


def answers(market: Market) -> dict[str, Any]:
    """What the two languages have to agree on."""
    horizon = market.rate.horizon
    board = Board(market)
    plan = best_plan(board, [horizon / 4] * 4)
    return {
        "constant": asdict(best_constant(board, horizon)),
        "plan": asdict(plan),
        "finer": asdict(finer(board, plan)),
        "by": chances_by(market, plan, (0, 7, 30, horizon, 2 * horizon)),
        "week": week_costs(board, plan),
    }


def drawn(rng: random.Random) -> Market:
    """A market as it may be met."""
    rate = Rate(rng.uniform(1.5, 30), rng.uniform(5, 200), rng.choice((6.0, 7.0, 90.0, 240.0)))
    past = ((rng.uniform(-0.5, 0.6), rng.choice((3.0, 60.0))), (0.1, 20.0))
    return Market(
        Resale(rng.uniform(7, 11), rng.choice((0.02, rng.uniform(0.1, 0.9)))),
        rate,
        0.25,
        rng.choice((0.0, 0.08, 1.0)),
        rng.uniform(0, 1500),
        rng.choice((0.0, 10.0, 60.0)),
        rng.choice((0.0, -500.0, 2000.0)),
        past[: rng.choice((0, 0, 1, 2))],
    )


def for_sale(rng: random.Random) -> dict[str, Any]:
    """A piece as a person may hand it in."""
    typed = rng.choice(({}, {}, {"likely": rng.randrange(2000, 40_000, 100)}))
    asked = [{"amount": rng.randrange(2000, 40_000), "on": on(-d)} for d in (70, 30, 2)]
    return {
        "find": {"kind": rng.choice(KINDS), "count": rng.choice((1, 4)), "typed": typed},
        "today": TODAY,
        "asked": asked[: rng.choice((0, 1, 3))],
        "last_on": rng.choice((None, on(rng.randrange(2, 300)))),
    }


def asked(rng: random.Random) -> dict[str, Any]:
    """A question about what to ask, as a person may put it."""
    prices = sorted((rng.randrange(1000, 40_000) for _ in range(4)), reverse=True)
    return for_sale(rng) | {
        "by_on": rng.choice((None, on(25))),
        "prices": prices[: rng.choice((0, 1, 2, 4))],
    }


def write(file: str, parts: dict[str, list[Any]]) -> None:
    """Write a vector file, a case a line."""
    listed = [
        f'"{name}":[\n' + ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases) + "\n]"
        for name, cases in parts.items()
    ]
    (HERE / f"{file}.json").write_text("{\n" + ",\n".join(listed) + "\n}\n")


def main() -> None:
    """Draw, solve, write."""
    rng = random.Random(20260701)
    markets = [drawn(rng) for _ in range(40)]
    plans = [{"market": asdict(m), "answers": answers(m)} for m in markets]
    given = [("many", data) for data in BY_HAND]
    given += [(rng.choice(list(BOOKS)), asked(rng)) for _ in range(40)]
    asks = [
        {"book": book, "data": data, "answer": answer_asking(BOOKS[book], data)}
        for book, data in given
    ]
    write("asking", {"plans": plans, "asks": asks})


if __name__ == "__main__":
    main()
