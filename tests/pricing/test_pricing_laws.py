"""Laws that hold for every find: what may raise an offer, what may not, and that parts add up."""

from __future__ import annotations

import math
from dataclasses import asdict, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.pricing.book import build_book
from crestrail.pricing.history import Settings
from crestrail.pricing.pad import price_find
from helpers.pricing_histories import AS_OF, FRESH, STEPS, TRAITS, past

BOOKS = [build_book(h, Settings(), AS_OF) for h in (FRESH, past(1, 15), past(2, 120))]
KINDS = ("side-chair", "dresser", "desk", "mirror", "stool")

settings = st.builds(
    Settings,
    wage_per_hour=st.integers(0, 6000),
    min_profit=st.integers(0, 6000),
    fee_ppm=st.integers(0, 400_000),
    fee_fixed=st.integers(0, 1000),
    delivery_cost=st.integers(0, 4000),
    hold_per_day=st.integers(0, 60),
    salvage_ppm=st.integers(0, 600_000),
    tolerance_ppm=st.integers(0, 1_000_000),
    note_step=st.sampled_from((1, 100, 500, 1000)),
    wage_covers=st.sampled_from(("bench", "everything")),
)
finds = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(KINDS),
        "traits": st.lists(st.sampled_from([t.slug for t in TRAITS]), unique=True),
        "count": st.integers(1, 8),
        "found_grade": st.integers(1, 5),
        "finished_grade": st.integers(1, 5),
        "steps": st.lists(
            st.fixed_dictionaries(
                {"step": st.sampled_from([s.slug for s in STEPS]), "units": st.integers(1, 6)}
            ),
            max_size=4,
            unique_by=lambda s: s["step"],
        ),
        "ask": st.integers(0, 60_000),
    },
    optional={
        "typed": st.one_of(
            st.builds(lambda v: {"likely": v}, st.integers(500, 80_000)),
            st.builds(lambda v: {"minutes": v}, st.integers(0, 900)),
            st.builds(lambda v: {"supplies": v}, st.integers(0, 9000)),
        ),
        "costs": st.builds(lambda v: {"pickup": v}, st.integers(0, 5000)),
    },
)
books = st.builds(lambda book, s: {**book, "money": asdict(s)}, st.sampled_from(BOOKS), settings)


def with_money(book: dict[str, Any], **money: Any) -> dict[str, Any]:
    return {**book, "money": book["money"] | money}


@given(books, finds)
def test_the_workings_add_up_to_the_most_to_pay(book: dict[str, Any], find: dict[str, Any]) -> None:
    answer = price_find(book, find)
    *parts, last = answer["waterfall"]
    assert last == {"key": "most", "amount": answer["most"]}
    assert sum(row["amount"] for row in parts) == answer["most"]
    assert parts[0] == {"key": "likely", "amount": answer["range"]["likely"]}
    keys = [row["key"] for row in parts]
    assert len(keys) == len(set(keys))
    signs = {row["key"]: row["amount"] for row in parts}
    costs = ("fees", "delivery", "pickup", "supplies", "standing", "time", "min_profit", "caution")
    assert all(signs.get(key, 0) <= 0 for key in costs)


@given(books, finds)
def test_an_answer_is_consistent_with_itself(book: dict[str, Any], find: dict[str, Any]) -> None:
    answer = price_find(book, find)
    note = book["money"]["note_step"]
    assert 0 <= answer["most"] <= answer["mostExact"] < answer["most"] + note
    assert answer["most"] % note == 0
    assert (answer["most"] == 0) == (answer["binding"] == "none")
    assert (answer["most"] == 0) == (answer["nothingReason"] is not None)
    assert answer["range"]["low"] <= answer["range"]["likely"] <= answer["range"]["high"]
    assert answer["minutes"]["low"] <= answer["minutes"]["likely"] <= answer["minutes"]["high"]
    at = answer["atAsk"]
    assert 0.0 <= at["lossChance"] <= 1.0 + 1e-12
    assert 0.0 <= at["underWageChance"] <= 1.0 + 1e-12
    assert at["over"] == max(0, find["ask"] - answer["most"])
    assert at["profit"] <= at["clear"]


@pytest.mark.parametrize(
    "name", ["wage_per_hour", "min_profit", "fee_fixed", "delivery_cost", "hold_per_day"]
)
@given(book=books, find=finds, more=st.integers(1, 5000))
def test_a_dearer_term_never_raises_the_offer(
    name: str, book: dict[str, Any], find: dict[str, Any], more: int
) -> None:
    dearer = with_money(book, **{name: book["money"][name] + more})
    assert price_find(dearer, find)["mostExact"] <= price_find(book, find)["mostExact"]


@given(books, finds, st.integers(1, 500_000))
def test_a_larger_share_taken_as_fee_never_raises_the_offer(
    book: dict[str, Any], find: dict[str, Any], more: int
) -> None:
    dearer = with_money(book, fee_ppm=book["money"]["fee_ppm"] + more)
    assert price_find(dearer, find)["mostExact"] <= price_find(book, find)["mostExact"]


@given(books, finds, st.integers(0, 1_000_000), st.integers(0, 1_000_000))
def test_more_tolerance_or_salvage_never_lowers_the_offer(
    book: dict[str, Any], find: dict[str, Any], tolerance: int, salvage: int
) -> None:
    now = book["money"]
    bolder = with_money(
        book,
        tolerance_ppm=max(now["tolerance_ppm"], tolerance),
        salvage_ppm=max(now["salvage_ppm"], salvage),
    )
    assert price_find(bolder, find)["mostExact"] >= price_find(book, find)["mostExact"]


@given(books, finds, st.integers(500, 80_000), st.integers(1, 20_000))
def test_a_piece_that_brings_more_is_never_worth_less(
    book: dict[str, Any], find: dict[str, Any], likely: int, more: int
) -> None:
    offers = [
        price_find(book, find | {"typed": {"likely": value}})["mostExact"]
        for value in (likely, likely + more)
    ]
    assert offers[0] <= offers[1]


@given(books, finds, st.integers(1, 3000), st.integers(1, 600))
def test_more_costs_or_minutes_never_raise_the_offer(
    book: dict[str, Any], find: dict[str, Any], cost: int, minutes: int
) -> None:
    pickup = find.get("costs", {}).get("pickup", 0)
    dearer = find | {"costs": {"pickup": pickup + cost}}
    assert price_find(book, dearer)["mostExact"] <= price_find(book, find)["mostExact"]
    short, long = (find | {"typed": {"minutes": value}} for value in (minutes, minutes + cost))
    assert price_find(book, long)["mostExact"] <= price_find(book, short)["mostExact"]


@given(books, finds, st.integers(1, 30_000))
def test_paying_more_clears_less_and_risks_more(
    book: dict[str, Any], find: dict[str, Any], more: int
) -> None:
    low = price_find(book, find)["atAsk"]
    high = price_find(book, find | {"ask": find["ask"] + more})["atAsk"]
    assert low["clear"] - high["clear"] == pytest.approx(more, abs=1)
    assert high["lossChance"] >= low["lossChance"] - 1e-12
    assert high["underWageChance"] >= low["underWageChance"] - 1e-12


@given(books, finds, st.randoms())
def test_the_order_in_which_traits_and_steps_were_tapped_does_not_matter(
    book: dict[str, Any], find: dict[str, Any], rng: Any
) -> None:
    traits, steps = list(find["traits"]), list(find["steps"])
    rng.shuffle(traits)
    rng.shuffle(steps)
    other = price_find(book, find | {"traits": traits, "steps": steps})
    answer = price_find(book, find)
    assert abs(other["mostExact"] - answer["mostExact"]) <= 1
    assert math.isclose(other["chances"]["unsold"], answer["chances"]["unsold"])


junk = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=6,
)
NAMES = ("kind", "traits", "count", "found_grade", "finished_grade", "steps", "typed", "ask",
         "costs", "kind_typical")  # fmt: skip


@given(st.sampled_from(BOOKS), st.dictionaries(st.sampled_from(NAMES), junk))
def test_whatever_is_handed_in_the_pad_answers_or_names_the_field(
    book: dict[str, Any], find: dict[str, Any]
) -> None:
    answer = price_find(book, find)
    if answer["ok"]:
        assert answer["most"] >= 0
    else:
        assert all(d["path"] and d["code"] and d["message"] for d in answer["details"])


@given(
    st.fixed_dictionaries(
        {},
        optional={
            name: st.integers(-(10**12), 10**12) | st.floats(allow_nan=True)
            for name in ("likely", "low", "high", "minutes", "supplies")
        },
    ),
    st.integers(0, 10**11),
)
def test_whatever_is_typed_never_gives_a_figure_that_is_none(
    typed: dict[str, Any], ask: int
) -> None:
    answer = price_find(BOOKS[1], {"kind": "desk", "typed": typed, "ask": ask})
    if answer["ok"]:
        figures = [*answer["range"].values(), *answer["minutes"].values(), answer["most"]]
        assert all(isinstance(x, int) and x >= 0 for x in figures)
        assert all(math.isfinite(v) for v in answer["atAsk"].values() if isinstance(v, float))


def test_the_terms_can_be_taken_from_a_book_and_changed_alone() -> None:
    assert asdict(replace(Settings(), min_profit=7)).keys() == BOOKS[0]["money"].keys()
