from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis.clock import AsOf
from crestrail.records import stages
from crestrail.records.stages import STAGES, PieceFacts
from helpers.vectors import vectors

CASES = vectors("stages")
AS_OF = AsOf(**CASES["as_of"])


def why(case: dict[str, Any]) -> str:
    return str(case.get("why", case))


def id_of(fact: Any) -> str | None:
    return fact["id"] if fact else None


@pytest.mark.parametrize("case", CASES["cases"], ids=why)
def test_the_stage_follows_from_the_facts(case: dict[str, Any]) -> None:
    assert stages.stage(PieceFacts(**case["facts"]), AS_OF) == case["stage"]


def test_every_stage_and_every_pair_of_stages_has_a_case() -> None:
    said = {case["why"] for case in CASES["cases"]}
    assert {f"{name} alone" for name in STAGES} <= said
    pairs = itertools.combinations([name for name in STAGES if name != "seen"], 2)
    assert {f"{a} outranks {b}" for a, b in pairs} <= said


@pytest.mark.parametrize("case", CASES["sales"], ids=why)
def test_one_sale_counts_and_the_others_are_in_question_or_came_back(case: dict[str, Any]) -> None:
    standing = stages.sale_standing(case["sales"], case["returns"])
    assert id_of(standing.live) == case["live"]
    assert [sale["id"] for sale in standing.in_question] == case["in_question"]
    assert [sale["id"] for sale in standing.returned] == case["returned"]
    assert stages.live_sale(case["sales"], case["returns"]) == standing.live


@pytest.mark.parametrize("case", CASES["asking"], ids=why)
def test_the_current_asking_price(case: dict[str, Any]) -> None:
    current = stages.current_asking(case["piece"], case["asking_prices"], AS_OF)
    assert id_of(current) == case["current"]


@pytest.mark.parametrize("case", CASES["holds"], ids=why)
def test_the_hold_that_stands(case: dict[str, Any]) -> None:
    assert id_of(stages.live_hold(case["holds"], AS_OF)) == case["live"]


def pair(a: str, b: str) -> dict[str, Any]:
    return {"id": f"{a}{b}", "duplicate_id": a, "survivor_id": b}


@pytest.mark.parametrize("case", CASES["canonical"], ids=str)
def test_the_smallest_id_stands_for_the_same_piece(case: dict[str, Any]) -> None:
    pairs = [pair(a, b) for a, b in case["pairs"]]
    assert stages.canonical_id(case["id"], pairs) == case["canonical"]


NAMES = st.sampled_from("abcdefgh")


@given(st.lists(st.tuples(NAMES, NAMES), max_size=10), st.randoms())
def test_who_said_it_first_and_which_way_round_does_not_matter(
    said: list[tuple[str, str]], rng: Any
) -> None:
    shuffled = [pair(*rng.sample(p, 2)) for p in rng.sample(said, len(said))]
    original = [pair(*p) for p in said]
    parts = [{name} for name in "abcdefgh"]  # the slow way: join sets until all pairs are within
    for a, b in said:
        joined = [part for part in parts if a in part or b in part]
        parts = [part for part in parts if part not in joined] + [set().union(*joined)]
    for part in parts:
        for name in part:
            assert stages.canonical_id(name, original) == min(part)
            assert stages.canonical_id(name, shuffled) == min(part)
            assert stages.same_ids(name, original) == part


@given(st.permutations(range(4)))
def test_the_order_of_facts_does_not_matter(order: list[int]) -> None:
    sales = [{"id": f"s{i}", "at": f"2026-06-0{1 + i // 2}T00:00:00.000Z"} for i in range(4)]
    shuffled = [sales[i] for i in order]
    assert id_of(stages.live_sale(shuffled, [])) == "s0"
    assert [s["id"] for s in stages.sale_standing(shuffled, []).in_question] == ["s1", "s2", "s3"]
