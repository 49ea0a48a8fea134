"""The pad: what it answers, why it says nothing can be paid, and what it does with bad input."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from crestrail.pricing.book import build_book
from crestrail.pricing.history import History, Kind, Settings, StepOfWork
from crestrail.pricing.pad import price_find
from crestrail.pricing.words import sentences
from helpers.pricing_histories import AS_OF, FRESH, past

BOOK = build_book(FRESH, Settings(), AS_OF)


def dollars(minor: int) -> str:
    return f"${minor // 100}" if minor % 100 == 0 else f"${minor / 100:.2f}"


def book_of_days(days: int, **settings: Any) -> dict[str, Any]:
    """A first-day book with one kind that brings $145 and takes so many days to sell."""
    history = History(
        kinds=(Kind("piece", 14500, "fair", days),),
        steps=(StepOfWork("clean", 60, 800), StepOfWork("list", 20, 0, True)),
    )
    return build_book(history, Settings(**settings), AS_OF)


def most_of_days(days: int, **settings: Any) -> dict[str, Any]:
    return price_find(
        book_of_days(days, **settings), {"kind": "piece", "steps": [{"step": "clean"}]}
    )


@pytest.mark.parametrize("days", [5, 14, 21, 30, 45, 60])
@pytest.mark.parametrize("tolerance", [200_000, 350_000])
def test_slow_and_quick_kinds_get_a_plausible_offer(days: int, tolerance: int) -> None:
    """A $145 piece with an hour of work: more than a quarter, less than the price itself."""
    answer = most_of_days(days, tolerance_ppm=tolerance)
    assert 14500 / 4 < answer["most"] < 14500
    assert answer["nothingReason"] is None


def test_the_offer_changes_little_with_every_day_more_and_never_rises() -> None:
    offers = [most_of_days(days)["mostExact"] for days in range(1, 121)]
    steps = [a - b for a, b in pairwise(offers)]
    assert all(0 <= step <= 150 for step in steps), steps
    assert offers[-1] > 5000


def test_without_sales_a_kind_likely_brings_what_the_person_expects() -> None:
    answer = price_find(BOOK, {"kind": "desk"})
    assert answer["range"]["likely"] == 14000
    assert answer["evidence"] == {
        "ownSalesOfKind": 0,
        "ownSales": 0,
        "level": "guess",
        "source": "book",
        "spread": 1.0,
    }


def test_a_better_finish_more_items_and_known_traits_move_the_price() -> None:
    book = build_book(past(2, 160), Settings(), AS_OF)
    plain = price_find(book, {"kind": "desk"})["range"]["likely"]
    assert price_find(book, {"kind": "desk", "finished_grade": 5})["range"]["likely"] > plain
    assert price_find(book, {"kind": "desk", "count": 2})["range"]["likely"] > 1.5 * plain
    assert price_find(book, {"kind": "desk", "traits": ["cane"]})["range"]["likely"] > plain
    assert price_find(book, {"kind": "desk", "traits": ["unheard-of"]})["range"]["likely"] == plain


def test_the_grade_it_is_found_in_moves_the_work_and_not_the_price() -> None:
    rough, good = (
        price_find(BOOK, {"kind": "desk", "steps": [{"step": "deep-clean"}], "found_grade": g})
        for g in (1, 5)
    )
    assert rough["range"] == good["range"]
    assert rough["minutes"]["likely"] > good["minutes"]["likely"]


def test_standing_steps_are_in_every_plan_unless_the_wage_is_for_the_bench_only() -> None:
    everything = price_find(BOOK, {"kind": "desk"})
    assert everything["minutes"]["likely"] > 40
    bench = build_book(FRESH, Settings(wage_covers="bench"), AS_OF)
    answer = price_find(bench, {"kind": "desk", "ask": 1000})
    assert answer["minutes"] == {"low": 0, "likely": 0, "high": 0}
    assert answer["atAsk"]["hourly"] is None
    supplies = [r["amount"] for r in answer["waterfall"] if r["key"] == "supplies"]
    assert supplies == [-100], "what standing steps use up is still paid"


def test_a_standing_step_that_was_chosen_is_not_counted_twice() -> None:
    plain = price_find(BOOK, {"kind": "desk"})
    assert (
        price_find(BOOK, {"kind": "desk", "steps": [{"step": "answer"}]})["minutes"]
        == (plain["minutes"])
    )


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ({"likely": 9000}, {"likely": 9000}),
        ({"low": 5000, "high": 20000}, {"low": 5000, "likely": 10000, "high": 20000}),
        ({"likely": 9000, "low": 5000, "high": 20000}, {"low": 5000, "likely": 9000}),
        ({"likely": 9000, "low": 6000}, {"low": 6000, "likely": 9000, "high": 13500}),
        ({"likely": 9000, "high": 13500}, {"low": 6000, "likely": 9000, "high": 13500}),
        ({"low": 7000}, {"low": 7000, "likely": 14000, "high": 28000}),
    ],
)
def test_typed_figures_overrule_the_book(typed: dict[str, int], shown: dict[str, int]) -> None:
    answer = price_find(BOOK, {"kind": "desk", "typed": typed})
    assert answer["range"] | shown == answer["range"]
    assert answer["evidence"]["source"] == "typed"
    assert "typed_price" in answer["caveats"]


def test_a_typed_price_alone_keeps_the_books_spread() -> None:
    book = price_find(BOOK, {"kind": "desk"})["range"]
    typed = price_find(BOOK, {"kind": "desk", "typed": {"likely": 28000}})["range"]
    assert typed["high"] / typed["low"] == pytest.approx(book["high"] / book["low"], rel=1e-3)


def test_typed_minutes_replace_the_bench_work_and_keep_the_standing_steps() -> None:
    steps = [{"step": "gel-stain", "units": 4}]
    none = price_find(BOOK, {"kind": "desk"})["minutes"]["likely"]
    assert price_find(BOOK, {"kind": "desk", "steps": steps, "typed": {"minutes": 0}})["minutes"][
        "likely"
    ] == pytest.approx(none, abs=1)
    hour = price_find(BOOK, {"kind": "desk", "steps": steps, "typed": {"minutes": 60}})
    assert hour["minutes"]["likely"] == pytest.approx(none + 60, abs=12)


def test_typed_supplies_replace_those_of_the_chosen_steps() -> None:
    find = {"kind": "desk", "steps": [{"step": "gel-stain"}], "typed": {"supplies": 333}}
    rows = {r["key"]: r["amount"] for r in price_find(BOOK, find)["waterfall"]}
    assert rows["supplies"] == -433


@pytest.mark.parametrize(
    ("settings", "find", "reason"),
    [
        ({"fee_ppm": 1_000_000}, {}, "costs"),
        ({"wage_per_hour": 20_000}, {"typed": {"likely": 6000}}, "time"),
        ({"min_profit": 50_000}, {}, "min_profit"),
        ({"tolerance_ppm": 0, "salvage_ppm": 0}, {}, "tolerance"),
        ({}, {"typed": {"likely": 20000, "low": 1500, "high": 75000},
              "costs": {"pickup": 12000}}, "caution"),
        ({"note_step": 50_000}, {}, "less_than_note"),
    ],
)  # fmt: skip
def test_when_nothing_can_be_paid_the_reason_is_said(
    settings: dict[str, int], find: dict[str, Any], reason: str
) -> None:
    book = build_book(FRESH, Settings(**settings), AS_OF)
    answer = price_find(book, {"kind": "desk", **find})
    assert (answer["most"], answer["binding"]) == (0, "none")
    assert answer["nothingReason"] == reason
    assert sentences(answer, dollars)["nothing"]


def test_the_most_is_a_whole_note_and_the_exact_amount_is_kept() -> None:
    for note in (1, 100, 500, 1000):
        book = build_book(FRESH, Settings(note_step=note), AS_OF)
        answer = price_find(book, {"kind": "desk"})
        assert answer["most"] % note == 0
        assert answer["most"] <= answer["mostExact"] < answer["most"] + note


def test_the_loss_limit_shows_as_caution() -> None:
    wary = build_book(FRESH, Settings(tolerance_ppm=150_000), AS_OF)
    answer = price_find(wary, {"kind": "desk"})
    assert answer["binding"] == "loss"
    assert {r["key"]: r["amount"] for r in answer["waterfall"]}["caution"] < 0
    bold = build_book(FRESH, Settings(tolerance_ppm=900_000), AS_OF)
    answer = price_find(bold, {"kind": "desk"})
    assert answer["binding"] == "profit"
    assert "caution" not in {r["key"] for r in answer["waterfall"]}


def test_an_ask_above_the_most_says_by_how_much() -> None:
    most = price_find(BOOK, {"kind": "desk"})["most"]
    assert price_find(BOOK, {"kind": "desk", "ask": most})["atAsk"]["over"] == 0
    over = price_find(BOOK, {"kind": "desk", "ask": most + 1200})
    assert over["atAsk"]["over"] == 1200
    assert sentences(over, dollars)["over"] == "Over by $12."


def test_a_kind_newer_than_the_book_is_priced_by_its_record() -> None:
    find = {"kind": "brand-new", "kind_typical": {"price": 14000, "days": 14}}
    new, known = price_find(BOOK, find), price_find(BOOK, {"kind": "desk"})
    assert new["range"]["likely"] == known["range"]["likely"]
    assert new["chances"] == pytest.approx(known["chances"])
    assert "unknown_kind" in new["caveats"]


def test_the_books_money_is_that_of_the_settings() -> None:
    settings = replace(Settings(), wage_per_hour=2222, note_step=100)
    assert build_book(FRESH, settings, AS_OF)["money"]["wage_per_hour"] == 2222
