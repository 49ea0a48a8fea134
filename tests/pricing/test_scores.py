"""How good the numbers were: the vectors, and what the book does with them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from crestrail.pricing.book import build_book
from crestrail.pricing.effort import pace
from crestrail.pricing.fit_supplies import fit_supplies
from crestrail.pricing.history import Sale, Settings, Stint, Thing, Used
from crestrail.pricing.moves import moved_by
from crestrail.pricing.pad import price_find
from crestrail.pricing.scores import correction, score
from crestrail.pricing.words import moved_words, pace_words
from helpers.pricing_histories import AS_OF, FRESH, past
from helpers.vectors import vectors
from vectors.make_scores import evidence

DATA = vectors("scores")
YESTERDAY = AS_OF - timedelta(days=1)


def money(minor: int) -> str:
    return f"${minor // 100}"


def same(got: Any, wanted: Any) -> bool:
    """Equal as JSON, fractions to 1e-9."""
    if isinstance(wanted, float) and not isinstance(got, bool):
        return bool(got == pytest.approx(wanted, rel=1e-9, abs=1e-12))
    if isinstance(wanted, dict):
        return got.keys() == wanted.keys() and all(same(got[k], wanted[k]) for k in wanted)
    if isinstance(wanted, list):
        return len(got) == len(wanted) and all(map(same, got, wanted))
    return bool(got == wanted)


def test_the_vectors_are_still_what_python_says() -> None:
    for case in DATA["cases"]:
        assert same(score(case["pairs"]), case["score"])
    assert same(json.loads(json.dumps(evidence(vectors("pricing_books")))), DATA["evidence"])


def said(price: int, spread: float = 1.0, level: str = "fair") -> dict[str, Any]:
    """A piece said to bring 70 to 130, and what it brought."""
    return {"low": 7000, "likely": 10000, "high": 13000, "spread": spread, "level": level,
            "price": price}  # fmt: skip


def test_ranges_that_seldom_held_are_widened_in_the_book_and_it_says_so() -> None:
    missed = tuple(said(14000) for _ in range(20)) + tuple(said(9000) for _ in range(20))
    plain, wider = (build_book(replace(FRESH, foretold=x), Settings(), AS_OF) for x in ((), missed))
    assert plain["corrections"] == {"spread": 1.0, "held": 0, "of": 0}
    assert wider["corrections"]["spread"] > 1.2
    assert (wider["corrections"]["held"], wider["corrections"]["of"]) == (20, 40)
    narrow, wide = (price_find(book, {"kind": "desk", "ask": 100}) for book in (plain, wider))
    assert wide["range"]["low"] < narrow["range"]["low"]
    assert wide["range"]["likely"] == narrow["range"]["likely"]
    assert wide["evidence"]["spread"] == wider["corrections"]["spread"]
    assert narrow["evidence"]["spread"] == 1.0


def test_answers_already_widened_do_not_take_the_correction_back() -> None:
    """Held in the widened range only: without the widening it would have been missed."""
    assert correction([said(12500, spread=1.5)] * 30)["held"] == 0
    assert correction([said(12500)] * 30)["held"] == 30


def test_a_persons_own_figures_correct_nothing() -> None:
    assert correction([said(30000, level="typed")] * 50) == {"spread": 1.0, "held": 0, "of": 0}


def test_an_old_book_without_the_part_still_prices() -> None:
    book = build_book(past(1, 30), Settings(), AS_OF)
    old = {k: v for k, v in book.items() if k not in ("corrections", "back")}
    assert price_find(old, {"kind": "desk"}) == price_find(book, {"kind": "desk"})


def test_a_look_is_worth_more_money_the_more_labelled_pieces_brought() -> None:
    label = Thing("desk", ("makers-label",), 1, 4)
    sales = (Sale(Thing("desk", (), 1, 4), 14000, YESTERDAY), Sale(label, 21000, YESTERDAY)) * 7
    book = build_book(replace(FRESH, sales=sales), Settings(), AS_OF)
    move, oak, odd = moved_by(book, 20000, ["makers-label", "oak", "unheard-of"])
    assert move["sales"] == 7
    assert 2000 < move["amount"] < 7000
    assert move["low"] < move["amount"] < move["high"]
    words = moved_words(move, "Maker's label", money)
    assert words.startswith("Maker's label: +$")
    assert "from 7 of your sales" in words
    assert moved_words(oak, "Oak", money) == "Oak: no evidence yet."
    assert "do not know it" in moved_words(odd, "Odd", money)


def test_who_takes_longer_than_they_think_is_told_so_and_nobody_else() -> None:
    slow = (Stint("deep-clean", 50, YESTERDAY),) * 12
    few = (Stint("deep-clean", 60, YESTERDAY),) * 4
    quick = (Stint("gel-stain", 16, YESTERDAY),) * 12
    for stints, says in ((slow, "longer"), (few, "few"), ((), "few"), (quick, "quicker")):
        book = build_book(replace(FRESH, stints=stints), Settings(), AS_OF)
        step = "gel-stain" if stints is quick else "deep-clean"
        (found,) = [p for p in pace(book) if p["step"] == step]
        assert found["says"] == says
        assert (pace_words(found, "Deep clean") is None) == (says == "few")


def test_supplies_follow_what_was_used_and_stay_near_the_figure_typed() -> None:
    assert fit_supplies(FRESH)["gel-stain"] == 500
    dear = replace(FRESH, used=(Used(1200, (("gel-stain", 1),)),) * 3)
    more = replace(FRESH, used=(Used(1200, (("gel-stain", 1),)),) * 40)
    once, often = (fit_supplies(x)["gel-stain"] for x in (dear, more))
    assert 500 < once < often <= 1200
    assert often > 1100
    assert fit_supplies(dear)["deep-clean"] == 200, "no piece says anything about it"
    free = replace(FRESH, used=(Used(0, (("gel-stain", 1), ("tighten", 4))),) * 60)
    assert all(cost >= 0 for cost in fit_supplies(free).values())
