"""Going back: the vectors, every branch of them, bad input, and what visits teach."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from crestrail.pricing.fit_back import fit_back
from crestrail.pricing.going_back import go_back, still_there
from crestrail.pricing.history import Visit
from crestrail.pricing.words import NEEDED_TO_GO
from helpers.vectors import vectors
from vectors.make_going_back import DESK, TRIP, case

DATA = vectors("going_back")
BOOKS = vectors("pricing_books")
ANSWERS = [c["answer"] for c in DATA["cases"] if c["answer"]["ok"]]
REFUSED = [c["answer"] for c in DATA["cases"] if not c["answer"]["ok"]]


def test_every_answer_is_still_what_python_says() -> None:
    for c in DATA["cases"]:
        made = case(BOOKS, (c["book"], c["lesson"]), (c["find"], c["trip"]))
        assert made["said"] == c["said"]
        assert made["answer"].keys() == c["answer"].keys()
        for key, value in c["answer"].items():
            assert made["answer"][key] == (
                pytest.approx(value, rel=1e-9) if isinstance(value, float) else value
            )


@pytest.mark.parametrize(
    ("seen", "possible"),
    [
        ({a["worth"] for a in ANSWERS}, {"go", "nothing_there", "way"}),
        ({a["source"] for a in ANSWERS}, {"typed", "positions"}),
        ({a["pastClosing"] for a in ANSWERS}, {True, False}),
        ({a["perMile"] > 0 for a in ANSWERS}, {True, False}),
        ({a["visits"] >= 10 for a in ANSWERS}, {True, False}),
        (
            {d["code"] for a in REFUSED for d in a["details"]},
            {"required", "wrong_type", "too_small", "too_big", "conflict", "bad_instant"},
        ),
    ],
)
def test_the_cases_cover_every_outcome(seen: set[Any], possible: set[Any]) -> None:
    assert seen == possible


@pytest.mark.parametrize("field", ["miles", "minutes"])
@pytest.mark.parametrize("value", [-1, -0.01, math.nan, math.inf, "far", True, 10**9, [3]])
def test_a_way_that_makes_no_sense_is_named_and_not_reckoned_with(field: str, value: Any) -> None:
    answer = go_back(BOOKS["many"], DESK, {**TRIP, field: value})
    assert not answer["ok"]
    assert [d["path"] for d in answer["details"]] == [field]
    assert field in NEEDED_TO_GO


def test_without_numbers_or_a_known_kind_nothing_is_said() -> None:
    assert go_back(None, DESK, TRIP)["details"][0]["path"] == "book"
    assert not go_back(BOOKS["many"], {"kind": "no-such-kind", "ask": 5}, TRIP)["ok"]


def test_a_longer_way_and_a_longer_wait_are_never_worth_more() -> None:
    def value(**trip: Any) -> int:
        return int(go_back(BOOKS["many"], DESK, {**TRIP, **trip})["value"])

    assert value(miles=0) >= value(miles=5) >= value(miles=50)
    early = "2026-05-02T08:00:00.000Z"
    assert value() >= value(seen_at=early)


def test_no_visits_give_the_guess() -> None:
    assert fit_back(()) == {"half_life_h": 3.0, "p_after": 0.2, "visits": 0}


def test_finds_that_are_always_there_lengthen_the_half_life_and_gone_ones_shorten_it() -> None:
    there = fit_back((Visit(5.0, True),) * 8)["half_life_h"]
    gone = fit_back((Visit(1.0, False),) * 8)["half_life_h"]
    assert gone < 3.0 < there


def test_a_find_gone_after_closing_teaches_the_closing_and_not_the_half_life() -> None:
    late = fit_back((Visit(2.0, False, True),) * 8)
    assert late["half_life_h"] == 3.0
    assert late["p_after"] < 0.2


def test_many_visits_find_the_true_half_life_and_what_is_left_after_closing() -> None:
    rng = random.Random(5)
    visits = []
    for _ in range(3000):
        hours, late = rng.expovariate(0.25), rng.random() < 0.3
        chance = still_there(hours, 6.0) * (0.4 if late else 1.0)
        visits.append(Visit(hours, rng.random() < chance, late))
    learned = fit_back(visits)
    assert learned["half_life_h"] == pytest.approx(6.0, rel=0.12)
    assert learned["p_after"] == pytest.approx(0.4, abs=0.06)


def test_a_visit_in_the_same_minute_does_no_harm() -> None:
    assert 0.0 < fit_back((Visit(0.0, False), Visit(-1.0, True)))["half_life_h"] < 3.0
