"""The nearest of one's own sales, and the words that say why they are near."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.pricing.comps import ago, distance, nearest_sales, why

FIND = {"kind": "desk", "traits": ["oak", "cane"], "count": 1, "grade": 4}


def sale(**values: Any) -> dict[str, Any]:
    return {**FIND, "id": "a", "price": 12000, "ageDays": 0} | values


def test_a_sale_just_like_the_find_sold_today_is_at_no_distance() -> None:
    assert distance(FIND, sale()) == 0.0


@pytest.mark.parametrize(
    ("nearer", "farther"),
    [
        ({}, {"traits": ["oak"]}),
        ({"traits": ["oak"]}, {"traits": []}),
        ({"traits": ["oak"]}, {"kind": "stool"}),
        ({"ageDays": 30}, {"ageDays": 700}),
        ({"ageDays": 100}, {"kind": "stool"}),
        ({"grade": 4}, {"grade": 3}),
        ({"grade": 3}, {"grade": 5, "traits": ["oak"]}),
        ({"traits": ["oak"]}, {"count": 2}),
    ],
)
def test_what_differs_more_is_farther(nearer: dict[str, Any], farther: dict[str, Any]) -> None:
    assert distance(FIND, sale(**nearer)) < distance(FIND, sale(**farther))


def test_at_most_three_are_named_nearest_first_and_far_ones_never() -> None:
    sales = [
        sale(id="other", kind="stool"),
        sale(id="far", kind="stool", traits=[], count=6),
        sale(id="same"),
        sale(id="old", ageDays=500),
        sale(id="bare", traits=[]),
    ]
    assert [x["id"] for x in nearest_sales(FIND, sales)] == ["same", "old", "bare"]
    assert nearest_sales(FIND, [sale(kind="stool", traits=[], count=6)]) == []
    assert nearest_sales(FIND, []) == []


def test_equals_are_named_in_the_order_of_age_then_id() -> None:
    near = nearest_sales(FIND, [sale(id="b"), sale(id="c"), sale(id="a")])
    assert [x["id"] for x in near] == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"ageDays": 95}, "same kind, also Oak, cane; 3 months ago"),
        ({"traits": ["oak", "white"]}, "same kind, also Oak; without cane; with white; today"),
        ({"kind": "stool", "grade": 5, "ageDays": 1}, "another kind, also Oak, cane; "
         "in better shape; 1 day ago"),
        ({"traits": ["oak"], "count": 2, "grade": 3}, "same kind, also Oak; without cane; "
         "another number of items; in worse shape; today"),
        ({"traits": [], "ageDays": 800}, "same kind; without Oak, cane; 2 years ago"),
    ],
)  # fmt: skip
def test_the_reasons_are_said_in_words(values: dict[str, Any], words: str) -> None:
    (near,) = nearest_sales(FIND, [sale(**values)])
    assert why(near["reasons"], {"oak": "Oak"}) == words


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (0.9, "today"),
        (1, "1 day ago"),
        (6, "6 days ago"),
        (7, "1 week ago"),
        (31, "1 month ago"),
        (365, "11 months ago"),
        (366, "1 year ago"),
    ],
)
def test_an_age_is_said_in_its_largest_whole_part(days: float, words: str) -> None:
    assert ago(days) == words


looks = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(("desk", "stool")),
        "traits": st.lists(st.sampled_from("abcde"), unique=True),
        "count": st.integers(1, 12),
        "grade": st.integers(1, 5),
    }
)


@given(looks, looks)
def test_the_distance_is_the_same_from_either_side_and_never_negative(
    one: dict[str, Any], other: dict[str, Any]
) -> None:
    there = distance(one, sale(**other))
    assert there >= 0.0
    assert there == pytest.approx(distance(other, sale(**one)))
