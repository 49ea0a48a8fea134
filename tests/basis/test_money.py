from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis.errors import BadInput
from crestrail.basis.money import (
    Currency,
    format_money,
    parse_money,
    parts_per_million,
    scale,
    split,
    whole_minor,
)
from helpers.vectors import vectors

CASES = vectors("money")
AMOUNTS = st.integers(min_value=-(10**13), max_value=10**13)
WEIGHTS = st.lists(st.integers(min_value=0, max_value=10**9), min_size=1, max_size=12)


@pytest.mark.parametrize("case", CASES["format"], ids=lambda c: c["text"])
def test_an_amount_is_shown(case: dict[str, Any]) -> None:
    assert format_money(case["amount"], whole=case["whole"]) == case["text"]


@pytest.mark.parametrize("case", CASES["format_other"], ids=lambda c: c["text"])
def test_another_currency_has_its_own_digits_and_sign(case: dict[str, Any]) -> None:
    currency = Currency(**case["currency"])
    assert format_money(case["amount"], currency, whole=case["whole"]) == case["text"]


@pytest.mark.parametrize("case", CASES["parse"], ids=lambda c: ascii(c["text"]))
def test_a_typed_amount_is_read(case: dict[str, Any]) -> None:
    assert parse_money(case["text"]) == case["amount"]


@pytest.mark.parametrize("case", CASES["parse_refused"], ids=lambda c: ascii(c["text"]))
def test_what_is_no_amount_is_refused_with_the_reason(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refusal:
        parse_money(case["text"])
    assert refusal.value.code == case["code"]


def test_the_refusal_repeats_what_was_typed_and_says_how_to_write_it() -> None:
    with pytest.raises(BadInput, match=r"“twelve” is not an amount; write it like 12\.50"):
        parse_money("twelve")


@given(AMOUNTS)
def test_what_is_shown_reads_back_as_the_same_amount(amount: int) -> None:
    assert parse_money(format_money(amount)) == amount
    assert parse_money(format_money(amount, whole=True)) == amount


@pytest.mark.parametrize("case", CASES["split"], ids=lambda c: c["source"][:40])
def test_a_total_is_split_by_largest_remainder(case: dict[str, Any]) -> None:
    assert split(case["total"], case["weights"]) == case["shares"]


@given(AMOUNTS, WEIGHTS)
def test_shares_add_up_and_are_within_a_cent_of_exact(total: int, weights: list[int]) -> None:
    shares = split(total, weights)
    used = weights if any(weights) else [1] * len(weights)
    assert sum(shares) == total
    for share, weight in zip(shares, used, strict=True):
        assert abs(share - Fraction(total * weight, sum(used))) < 1


@given(AMOUNTS, WEIGHTS)
def test_who_weighs_more_never_gets_less(total: int, weights: list[int]) -> None:
    pairs = sorted(zip(weights, split(abs(total), weights), strict=True))
    by_weight: dict[int, list[int]] = {}
    for weight, share in pairs:
        by_weight.setdefault(weight, []).append(share)
    groups = list(by_weight.values())
    assert all(max(a) <= max(b) for a, b in pairwise(groups))


@pytest.mark.parametrize("weights", [[], [1, -1]])
def test_no_weights_or_negative_ones_are_refused(weights: list[int]) -> None:
    with pytest.raises(ValueError, match="weights"):
        split(100, weights)


@pytest.mark.parametrize("value", [1.0, 1.5, True, "1", None])
def test_only_whole_numbers_are_money(value: Any) -> None:
    with pytest.raises(TypeError):
        whole_minor(value)
    with pytest.raises(TypeError):
        split(value, [1])


@pytest.mark.parametrize(("amount", "top", "bottom", "result"), CASES["scale"])
def test_scaling_rounds_once_at_the_end(amount: int, top: int, bottom: int, result: int) -> None:
    assert scale(amount, top, bottom) == result


def test_a_fee_in_parts_per_million() -> None:
    assert parts_per_million(9_999, 29_000) == 290
