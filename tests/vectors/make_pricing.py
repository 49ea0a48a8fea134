"""Writes pricing_books.json and pricing.json, which both languages are tested on.

Run in the folder tests: ``../.venv/bin/python -m vectors.make_pricing``. The finds are
drawn with a fixed seed; the answers are those of the Python side, which tests/external checks
against scipy and against independent slow formulas.
"""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

from crestrail.pricing.book import build_book
from crestrail.pricing.comps import nearest_sales, why
from crestrail.pricing.figures import priced_find
from crestrail.pricing.find import Problems, read_find
from crestrail.pricing.history import History, Settings
from crestrail.pricing.normal import inverse, phi
from crestrail.pricing.offer import at_ask, max_offer
from crestrail.pricing.pad import chance_words, level, price_find
from crestrail.pricing.words import duration, sentences
from helpers.pricing_histories import (
    AS_OF,
    FRESH,
    GOLD_LEAF,
    STEPS,
    TRAITS,
    free_of_supplies,
    past,
    quicker,
    unsold_only,
)

HERE = Path(__file__).parent
USUAL = Settings(fee_ppm=80_000, fee_fixed=50, delivery_cost=700)
BOOKS: dict[str, tuple[History, Settings]] = {
    "fresh": (FRESH, USUAL),
    "some": (past(1, 12), USUAL),
    "many": (past(2, 160), USUAL),
    "bench": (past(3, 40), replace(USUAL, wage_covers="bench", note_step=100)),
    "careful": (past(4, 40), replace(USUAL, tolerance_ppm=60_000, salvage_ppm=0)),
    "bold": (past(5, 40), replace(USUAL, tolerance_ppm=1_000_000, hold_per_day=0)),
    "dear": (FRESH, replace(USUAL, wage_per_hour=9000, min_profit=9000, note_step=2000)),
    "idle": (FRESH, Settings(wage_per_hour=0, min_profit=0, hold_per_day=0, note_step=1)),
    "taken": (FRESH, replace(USUAL, fee_ppm=1_000_000)),
    "odd": (
        replace(FRESH, steps=(*free_of_supplies(STEPS), GOLD_LEAF)),
        Settings(wage_covers="bench"),
    ),
    "one": (past(6, 1), USUAL),
    "quicker": (quicker(past(7, 60)), USUAL),
    "unsold": (unsold_only(8, 40), USUAL),
    "wasteful": (FRESH, replace(USUAL, salvage_ppm=1_000_000, hold_per_day=400)),
}

BY_HAND: tuple[dict[str, Any], ...] = (
    {},
    {"kind": "no-such-kind"},
    {"kind": "odd-thing"},
    {"kind": "constructor", "traits": ["constructor"], "steps": [{"step": "constructor"}]},
    {"kind": "no-such-kind", "kind_typical": {"price": 5000, "days": 40}, "ask": 1500},
    {"kind": "no-such-kind", "kind_typical": {"price": 5000}, "count": 4, "ask": 0},
    {"kind": "odd-thing", "typed": {"likely": 9000}, "ask": 1000},
    {"kind": None, "typed": {"likely": 9000}},
    {"kind": "", "typed": {"low": 4000, "high": 16000}, "ask": 2000},
    {"kind": "desk", "typed": {"low": 4000}},
    {"kind": "desk", "typed": {"high": 90000}},
    {"kind": "desk", "typed": {"low": 10**9}},
    {"kind": "desk", "typed": {"high": 100}},
    {"kind": "desk", "typed": {"likely": 14000, "low": 14000, "high": 14000}, "ask": 4000},
    {"kind": "desk", "typed": {"likely": 14000, "low": 9000}},
    {"kind": "desk", "typed": {"likely": 14000, "high": 20000}},
    {"kind": "desk", "typed": {"likely": 100, "low": 9000}},
    {"kind": "desk", "typed": {"likely": 30000, "high": 9000}},
    {"kind": "desk", "typed": {"low": 20000, "high": 9000}},
    {"kind": "desk", "typed": {"low": 100, "high": 900000}},
    {"kind": "desk", "typed": {"minutes": 0}, "ask": 3000},
    {"kind": "desk", "typed": {"minutes": 90, "supplies": 0}, "steps": [{"step": "gel-stain"}]},
    {"kind": "desk", "typed": {"minutes": 600, "supplies": 1500}, "steps": [{"step": "list"}]},
    {"kind": "desk", "typed": {"minutes": -5, "supplies": 1.5, "likely": "many"}},
    {"kind": "desk", "steps": [{"step": "look-over"}, {"units": 2}, "what"]},
    {"kind": "desk", "steps": [{"step": "new-step", "minutes": 45}, {"step": "newer-step"}]},
    {"kind": "desk", "steps": [None, 5, [], {"step": None}]},
    {"kind": "desk", "steps": [{"step": "answer", "units": 3}]},
    {"kind": "desk", "steps": [{"step": "gel-stain", "units": 0}]},
    {"kind": "desk", "count": 0, "found_grade": 6, "finished_grade": 0, "ask": -1},
    {"kind": "desk", "count": 501, "ask": True, "costs": {"pickup": 10**12}},
    {"kind": "desk", "costs": {"pickup": 2500}, "ask": 100000},
    {"kind": "desk", "traits": "oak", "typed": [], "steps": {}, "costs": 3},
    {"kind": "desk", "typed": {"likely": 10**11}, "ask": 10**11},
    {"kind": "stool", "typed": {"likely": 1}, "ask": 0},
    {"kind": "stool", "typed": {"minutes": 0, "supplies": 0}, "ask": 0},
    {"kind": "stool", "steps": [{"step": "gold-leaf", "units": 1000}]},
    {"kind": "stool", "typed": {"minutes": 100000}, "ask": 500},
    {"kind": "stool", "traits": ["oak", "oak", "unheard-of"]},
    {
        "kind": "desk",
        "typed": {"likely": 20000, "low": 1500, "high": 75000},
        "costs": {"pickup": 12000},
        "ask": 100,
    },
)

CHANCES = (0.0, 0.049, 0.05, 0.099, 0.1, 0.299, 0.3, 0.5, 0.51, 1.0)


def drawn(rng: random.Random) -> dict[str, Any]:
    """A find as a person may enter it."""
    find: dict[str, Any] = {
        "kind": rng.choice(("side-chair", "dresser", "desk", "mirror", "stool")),
        "traits": [t.slug for t in TRAITS if rng.random() < 0.3],
        "count": rng.choice((1, 1, 1, 2, 4, 6)),
        "found_grade": rng.choice((None, 1, 2, 3, 4, 5)),
        "finished_grade": rng.choice((None, 3, 4, 5)),
        "steps": [
            {"step": s.slug, "units": rng.choice((None, 1, 2, 4))}
            for s in STEPS
            if rng.random() < 0.35
        ],
        "ask": rng.choice((None, rng.randrange(0, 30000))),
    }
    if rng.random() < 0.25:
        likely = rng.randrange(1500, 60000)
        find["typed"] = {"likely": likely}
        if rng.random() < 0.5:
            find["typed"] |= {"low": round(likely * 0.6), "high": round(likely * 1.9)}
    if rng.random() < 0.2:
        find.setdefault("typed", {})["minutes"] = rng.randrange(5, 400)
    if rng.random() < 0.2:
        find["costs"] = {"pickup": rng.randrange(0, 4000)}
    return find


def figures(book: dict[str, Any], find: dict[str, Any]) -> dict[str, float | None] | None:
    """The unrounded figures behind an answer; infinities as null."""
    problems = Problems()
    read = read_find(find, problems)
    priced = None if problems.details else priced_find(book, read, problems)
    if priced is None:
        return None
    deal, offer = priced.deal, max_offer(priced.deal)
    at = at_ask(deal, float(read.ask or 0))
    return {
        "mu": deal.resale.mu,
        "s": deal.resale.s,
        "tmu": deal.effort.mu,
        "ts": deal.effort.s,
        "tmean": deal.effort.mean,
        "u": deal.u,
        "days": deal.days,
        "cost": deal.cost,
        "salvage": deal.salvage,
        "most": offer.most,
        "profitLimit": offer.profit_limit,
        "lossLimit": None
        if offer.loss_limit in (float("inf"), -float("inf"))
        else offer.loss_limit,
        "clear": at.clear,
        "profit": at.profit,
        "hourly": at.hourly,
        "lossChance": at.loss_chance,
        "underWageChance": at.under_wage_chance,
    }


def case(name: str, book: dict[str, Any], find: dict[str, Any]) -> dict[str, Any]:
    """One find priced by one book, with its answer, figures and sentences."""
    answer = price_find(book, find)
    said = sentences(answer, lambda minor: f"{minor / 100:.2f}") if answer["ok"] else None
    return {
        "book": name,
        "find": find,
        "answer": answer,
        "figures": figures(book, find),
        "sentences": said,
    }


def comp_case(find: dict[str, Any], sales: list[dict[str, Any]]) -> dict[str, Any]:
    """The nearest sales to a find, and why."""
    near = nearest_sales(find, sales)
    words = [why(x["reasons"], {"oak": "Oak"}) for x in near]
    return {"find": find, "sales": sales, "near": near, "words": words}


def comp_cases(rng: random.Random) -> list[dict[str, Any]]:
    """Finds with own sales around them, and which are named as the nearest."""
    cases = []
    for n in (0, 1, 2, 5, 30):
        for _ in range(4):
            sales = [
                {
                    "id": f"sale-{i:02d}",
                    "kind": rng.choice(("desk", "stool")),
                    "traits": [t.slug for t in TRAITS if rng.random() < 0.4],
                    "count": rng.choice((1, 1, 2)),
                    "grade": rng.choice((3, 4, 5)),
                    "price": rng.randrange(2000, 20000),
                    "ageDays": rng.choice((0, 3, 10, 45, 400, 1100)),
                }
                for i in range(n)
            ]
            find = {"kind": "desk", "traits": ["oak", "cane"], "count": 1, "grade": 4}
            cases.append(comp_case(find, sales))
    for ids, counts in (("cbda", (1, 1, 1, 1)), ("aab", (1, 1, 2))):
        alike = {"traits": ["oak"], "grade": 4, "price": 9000, "ageDays": 9}
        find = {"kind": "desk", "traits": ["oak"], "count": 1, "grade": 4}
        sales = [
            {"id": f"sale-{name}", "kind": "desk", "count": count, **alike}
            for name, count in zip(ids, counts, strict=True)
        ]
        cases.append(comp_case(find, sales))
    return cases


def main() -> None:
    """Draw, price, write."""
    rng = random.Random(20260501)
    books = {name: build_book(h, s, AS_OF) for name, (h, s) in BOOKS.items()}
    cases = [case(name, books[name], find) for name in ("fresh", "many", "odd") for find in BY_HAND]
    cases += [case(name, book, drawn(rng)) for name, book in books.items() for _ in range(30)]
    xs = [x / 8 for x in range(-80, 81)]
    ps = [0.0, 1e-300, 1e-20, 1e-10, 1e-4, *(p / 50 for p in range(1, 50)), 1 - 1e-9, 1.0]
    vectors = {
        "phi": [[x, phi(x)] for x in xs],
        "inverse": [[p, inverse(p) if 0 < p < 1 else None] for p in ps],
        "duration": [[m, duration(m)] for m in (1, 29, 30, 32, 33, 57, 58, 60, 62, 63, 80, 600)],
        "levels": [[k, n, level(k, n)] for k in (0, 2, 3, 9, 10) for n in (0, 19, 20, 90)],
        "chances": [[p, n, chance_words(p, n)] for p in CHANCES for n in (0, 19, 20)],
        "comps": comp_cases(rng),
        "cases": cases,
    }
    (HERE / "pricing_books.json").write_text(json.dumps(books, separators=(",", ":")) + "\n")
    lines = [json.dumps({k: v})[1:-1] if k != "cases" else "" for k, v in vectors.items()]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    text = "{" + ",\n".join(x for x in lines if x) + ',\n"cases": [\n' + listed + "\n]}\n"
    (HERE / "pricing.json").write_text(text)


if __name__ == "__main__":
    main()
