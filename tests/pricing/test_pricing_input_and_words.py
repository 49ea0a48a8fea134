"""What the pad does with bad input, and the words it says its answer in."""

from __future__ import annotations

from typing import Any

import pytest

from crestrail.pricing.book import build_book
from crestrail.pricing.history import Settings
from crestrail.pricing.pad import chance_words, level, price_find
from crestrail.pricing.words import duration, sentences
from helpers.pricing_histories import AS_OF, FRESH, past

BOOK = build_book(FRESH, Settings(), AS_OF)


def dollars(minor: int) -> str:
    return f"${minor // 100}" if minor % 100 == 0 else f"${minor / 100:.2f}"


@pytest.mark.parametrize(
    ("find", "path", "code"),
    [
        ({}, "kind", "required"),
        ({"kind": "odd-thing"}, "typed.likely", "required"),
        ({"kind": "never-heard-of"}, "typed.likely", "required"),
        ({"kind": "desk", "typed": {"minutes": -1}}, "typed.minutes", "too_small"),
        ({"kind": "desk", "typed": {"supplies": 0.5}}, "typed.supplies", "wrong_type"),
        ({"kind": "desk", "typed": {"likely": 0}}, "typed.likely", "too_small"),
        ({"kind": "desk", "typed": {"low": 9000, "high": 100}}, "typed.high", "conflict"),
        ({"kind": "desk", "typed": {"low": 10**6}}, "typed.low", "conflict"),
        ({"kind": "desk", "typed": {"low": 1, "high": 10**6}}, "typed.high", "conflict"),
        ({"kind": "desk", "ask": float("nan")}, "ask", "wrong_type"),
        ({"kind": "desk", "ask": 10**12}, "ask", "too_big"),
        ({"kind": "desk", "count": 0}, "count", "too_small"),
        ({"kind": "desk", "found_grade": 6}, "found_grade", "too_big"),
        ({"kind": "desk", "steps": [{"units": 1}]}, "steps.0.step", "required"),
        ({"kind": "desk", "steps": [{"step": "list", "units": 0}]}, "steps.0.units", "too_small"),
    ],
)
def test_bad_input_names_the_field(find: dict[str, Any], path: str, code: str) -> None:
    answer = price_find(BOOK, find)
    assert not answer["ok"]
    assert [(d["path"], d["code"]) for d in answer["details"]] == [(path, code)]
    assert answer["details"][0]["message"]


def test_all_problems_are_named_at_once() -> None:
    answer = price_find(BOOK, {"ask": -1, "count": "x", "typed": {"low": 0}})
    assert {d["path"] for d in answer["details"]} == {"ask", "count", "typed.low"}


def test_absurd_amounts_of_work_are_refused_and_not_rounded() -> None:
    dear = build_book(FRESH, Settings(wage_per_hour=10**11), AS_OF)
    find = {"kind": "desk", "steps": [{"step": "gel-stain", "units": 1000}]}
    answer = price_find(dear, find)
    assert [(d["path"], d["code"]) for d in answer["details"]] == [("steps", "too_big")]


def test_without_a_book_that_is_what_is_missing() -> None:
    assert price_find(None, {"kind": "desk"})["details"][0]["path"] == "book"


@pytest.mark.parametrize(
    ("of_kind", "in_all", "wanted"),
    [
        (0, 0, "guess"),
        (15, 19, "guess"),
        (2, 20, "thin"),
        (3, 20, "fair"),
        (9, 90, "fair"),
        (10, 90, "good"),
    ],
)
def test_evidence_has_a_level(of_kind: int, in_all: int, wanted: str) -> None:
    assert level(of_kind, in_all) == wanted


@pytest.mark.parametrize(
    ("chance", "sales", "words"),
    [
        (0.05, 19, "low"),
        (0.1, 19, "some"),
        (0.3, 19, "high"),
        (0.04, 20, "less than 1 in 20"),
        (0.05, 20, "about 1 in 20"),
        (0.11, 20, "about 1 in 9"),
        (0.5, 20, "about 1 in 2"),
        (0.6, 20, "more than half"),
    ],
)
def test_chances_are_said_in_words(chance: float, sales: int, words: str) -> None:
    assert chance_words(chance, sales) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(12, "12 min"), (47, "45 min"), (58, "1 h"), (63, "1 h 05"), (80, "1 h 20"), (135, "2 h 15")],
)
def test_minutes_are_said_in_hours(minutes: int, words: str) -> None:
    assert duration(minutes) == words


def test_the_answer_reads_as_plain_sentences() -> None:
    answer = price_find(BOOK, {"kind": "desk", "steps": [{"step": "deep-clean"}], "ask": 2000})
    answer |= {"range": {"low": 9000, "likely": 14500, "high": 22000}}
    answer["minutes"] |= {"likely": 81}
    answer["atAsk"] |= {"clear": 7600, "hourly": 5700, "lossWords": "low"}
    said = sentences(answer, dollars)
    assert said["brings"] == "Likely brings $145, needs 1 h 20 of work."
    assert said["atAsk"] == "At their $20 you clear $76, $57 an hour."
    assert said["range"] == "4 of 5 such pieces bring $90 to $220."
    assert said["chance"] == "A low chance to get back less cash than you put in."
    assert said["evidence"] == "From what you expect: no sales of your own yet."
    assert said["nothing"] is None
    assert said["over"] is None


def test_free_and_losing_asks_and_own_figures_have_their_words() -> None:
    free = price_find(BOOK, {"kind": "desk", "ask": 0, "typed": {"likely": 14000}})
    assert sentences(free, dollars)["atAsk"].startswith("Free, you clear $")
    assert sentences(free, dollars)["evidence"] == "From your own figure."
    lost = price_find(BOOK, {"kind": "desk", "ask": 60000})
    assert "you lose $" in sentences(lost, dollars)["atAsk"]
    some = price_find(build_book(past(2, 30), Settings(), AS_OF), {"kind": "desk", "ask": 60000})
    assert sentences(some, dollars)["evidence"].endswith("of yours of this kind, 30 in all.")
    assert sentences(some, dollars)["chance"].startswith("A chance of more than half ")
