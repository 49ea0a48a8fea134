"""One price for several finds: laws of the answer, and what bad input is told."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crestrail.pricing.book import build_book
from crestrail.pricing.history import Settings
from crestrail.pricing.lots_answer import price_lot
from crestrail.pricing.pad import price_find
from helpers.pricing_histories import AS_OF, FRESH, past

BOOKS = {
    "fresh": build_book(FRESH, Settings(), AS_OF),
    "wary": build_book(past(2, 60), Settings(tolerance_ppm=150_000, note_step=1), AS_OF),
}
finds = st.fixed_dictionaries(
    {"kind": st.sampled_from(("desk", "stool", "mirror", "dresser", "side-chair"))},
    optional={
        "count": st.integers(1, 4),
        "typed": st.fixed_dictionaries({"likely": st.integers(500, 40_000)}),
        "steps": st.just([{"step": "deep-clean"}]),
    },
)


@pytest.mark.parametrize("book", BOOKS)
@settings(max_examples=25, deadline=None)
@given(find=finds, ask=st.integers(0, 20_000))
def test_a_lot_of_one_is_what_the_pad_says(book: str, find: dict[str, Any], ask: int) -> None:
    one = price_find(BOOKS[book], {**find, "ask": ask})
    lot = price_lot(BOOKS[book], [find], ask)
    assert lot["mostExact"] == pytest.approx(one["mostExact"], abs=1)
    assert (lot["atAsk"]["clear"], lot["atAsk"]["profit"]) == (
        one["atAsk"]["clear"],
        one["atAsk"]["profit"],
    )
    assert lot["atAsk"]["lossChance"] == pytest.approx(one["atAsk"]["lossChance"], abs=1e-9)
    assert lot["atAsk"]["shares"] == [ask]


@settings(max_examples=25, deadline=None)
@example([{"kind": "desk", "count": 1, "typed": {"likely": 500}}, {"kind": "dresser"}], 0)
@given(st.lists(finds, min_size=2, max_size=5), st.integers(0, 50_000))
def test_what_is_expected_adds_up_and_a_higher_price_never_lowers_the_chance_of_a_loss(
    several: list[dict[str, Any]], ask: int
) -> None:
    lot = price_lot(BOOKS["wary"], several, ask)
    singles = [price_find(BOOKS["wary"], {**f, "ask": 0})["atAsk"]["clear"] for f in several]
    assert lot["atAsk"]["clear"] == pytest.approx(sum(singles) - ask, abs=len(several))
    more = price_lot(BOOKS["wary"], several, ask + 1000)["atAsk"]
    assert more["lossChance"] >= lot["atAsk"]["lossChance"] - 1e-12
    assert sum(lot["atAsk"]["shares"]) == ask
    if lot["binding"] == "loss":
        cent_less = price_lot(BOOKS["wary"], several, max(0, lot["most"] - 1))["atAsk"]
        assert cent_less["lossChance"] <= 0.15, "the most is right to the cent"


def test_several_pieces_spread_the_risk() -> None:
    one = price_lot(BOOKS["wary"], [{"kind": "desk"}])
    three = price_lot(BOOKS["wary"], [{"kind": "desk"}] * 3)
    assert one["binding"] == "loss"
    assert three["mostExact"] > 3 * one["mostExact"]
    assert all(piece["adds"] > one["mostExact"] for piece in three["pieces"])


def test_a_piece_that_costs_more_than_it_leaves_takes_from_the_lot() -> None:
    dud = {"kind": "stool", "typed": {"likely": 100, "minutes": 300}}
    lot = price_lot(BOOKS["fresh"], [{"kind": "desk"}, dud])
    assert lot["mostExact"] < price_lot(BOOKS["fresh"], [{"kind": "desk"}])["mostExact"]
    assert lot["pieces"][1]["adds"] < 0


@pytest.mark.parametrize(
    ("several", "ask", "paths"),
    [
        (None, None, ["finds"]),
        ([], 500, ["finds"]),
        ([None], 500, ["finds.0.kind"]),
        ([{"kind": "desk"}, {"kind": "desk", "typed": {"low": 9000, "high": 100}}], 500,
         ["finds.1.typed.high"]),
        ([{"kind": "desk"}], float("nan"), ["ask"]),
        ([{"kind": "desk", "count": float("inf")}], True, ["ask", "finds.0.count"]),
        ([{"kind": "desk"}] * 41, 500, ["finds"]),
    ],
)  # fmt: skip
def test_bad_input_is_named_and_never_a_number(several: Any, ask: Any, paths: list[str]) -> None:
    answer = price_lot(BOOKS["fresh"], several, ask)
    assert answer["ok"] is False
    assert [d["path"] for d in answer["details"]] == paths
    assert all(len(d["message"]) > 5 for d in answer["details"])


def test_the_vectors_for_both_languages_are_what_is_answered() -> None:
    kept = json.loads((Path(__file__).parents[1] / "vectors" / "lots.json").read_text())
    for case in kept["cases"]:
        book = kept["books"].get(case["book"])
        assert price_lot(book, case["finds"], case["ask"]) == case["answer"]
