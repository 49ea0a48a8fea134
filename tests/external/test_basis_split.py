"""One price over several things, against worked examples of the lump-sum method.

The rule: basis of several things bought for one sum is split by fair market value (IRS
Publication 551), costs of buying added first; textbooks call it the relative sales value method.
Amounts are printed in whole currency or in cents as given here; shares marked "computed" follow
from the method.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.books.stock import piece_cost, purchase_shares

EXAMPLES = [
    # paid, costs, fair values, shares; in cents
    (375_000_00, 19_875_00, [189_000, 63_000, 168_000],
     [177_693_75, 59_231_25, 157_950_00]),
    # the first share is printed, the others are computed
    (210_000_00, 0, [70_500, 235_000, 164_500], [31_500_00, 105_000_00, 73_500_00]),
    (400_000_00, 0, [45_000, 292_500, 112_500], [40_000_00, 260_000_00, 100_000_00]),
    (100_00, 0, [1, 1, 1], [33_34, 33_33, 33_33]),  # computed: largest remainder, ties to the first
]  # fmt: skip


def shares(total: int, extra: int, weights: list[int]) -> list[int]:
    purchase = {"id": "b", "total": total, "extra_costs": extra}
    pieces = [{"id": f"p{n:03d}", "share_weight": w} for n, w in enumerate(weights)]
    found = purchase_shares(purchase, pieces)
    assert [piece_cost(p, purchase, pieces) for p in pieces] == list(found.values())
    return list(found.values())


@pytest.mark.parametrize(("total", "extra", "values", "expected"), EXAMPLES)
def test_shares_are_those_of_the_worked_examples(
    total: int, extra: int, values: list[int], expected: list[int]
) -> None:
    assert shares(total, extra, values) == expected


def test_costs_of_buying_are_folded_in_before_the_split() -> None:
    # 450,000 and 5,000 of costs over 67,200 / 158,400 / 254,400: the second, 33%, is 150,150.
    assert shares(450_000_00, 5_000_00, [67_200, 158_400, 254_400])[1] == 150_150_00


def test_the_printed_shares_in_whole_currency_differ_by_rounded_percentages_only() -> None:
    # 1,000,000 over 250,000 / 800,000 is printed as 238,095 / 761,905.
    assert [round(s / 100) for s in shares(1_000_000_00, 0, [250_000, 800_000])] == [
        238_095, 761_905,
    ]  # fmt: skip


@given(
    st.integers(0, 10**11),
    st.integers(0, 10**9),
    st.lists(st.integers(0, 10**9), min_size=1, max_size=12),
)
def test_shares_add_up_to_what_was_paid(total: int, extra: int, weights: list[int]) -> None:
    assert sum(shares(total, extra, weights)) == total + extra
