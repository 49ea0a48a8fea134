from __future__ import annotations

import random
from functools import reduce
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.records.merge import (
    Record,
    changed_after_deleted,
    conflicts,
    device_of,
    merge,
    same_values,
)
from helpers.oracles_records import Writes, merge_cases, slow_merge, written
from helpers.vectors import VECTORS, vectors

CASES = vectors("merge")
A, B = "a" * 16, "b" * 16


def stamp(ms: int, device: str = A) -> str:
    return f"{ms:012x}-0000-{device}"


def sale(stamps: dict[str, str], **fields: Any) -> dict[str, Any]:
    return {"type": "sale", "id": "s", "fields": fields, "stamps": stamps}


def merged(copies: list[dict[str, Any]]) -> dict[str, Any]:
    start: dict[str, Any] = merge(None, copies[0]).record
    return reduce(lambda held, copy: merge(held, copy).record, copies[1:], start)


@pytest.mark.parametrize("case", CASES["merges"])
def test_a_merge_is_the_largest_stamp_of_every_group(case: dict[str, Any]) -> None:
    assert merged(case["copies"]) == case["merged"]
    assert merged(case["copies"][::-1]) == case["merged"]


@pytest.mark.parametrize("case", CASES["conflicts"])
def test_conflicts_are_those_of_the_contract(case: dict[str, Any]) -> None:
    found = conflicts(case["current"], case["change"])
    assert sorted([c.group, c.kept.stamp, c.other.stamp] for c in found) == case["found"]


def test_the_generated_cases_hold_conflicts_and_erasures() -> None:
    assert sum(bool(case["found"]) for case in CASES["conflicts"]) >= 25
    assert sum("erased" in case["merged"] for case in CASES["merges"]) >= 5


def test_the_generated_cases_are_those_of_the_generator() -> None:
    text = (VECTORS / "merge.json").read_text(encoding="utf-8")
    assert text == written(merge_cases()), "run python -m helpers.oracles_records in tests/"


@st.composite
def copies_of_one_record(draw: st.DrawFn) -> list[dict[str, Any]]:
    writes = Writes(random.Random(draw(st.integers(min_value=0, max_value=2**32))))
    return [writes.record() for _ in range(3)]


@given(copies_of_one_record())
def test_merging_commutes(copies: list[dict[str, Any]]) -> None:
    a, b, _ = copies
    assert merge(a, b).record == merge(b, a).record


@given(copies_of_one_record())
def test_merging_associates(copies: list[dict[str, Any]]) -> None:
    a, b, c = copies
    assert merge(merge(a, b).record, c).record == merge(a, merge(b, c).record).record


@given(copies_of_one_record())
def test_merging_is_idempotent(copies: list[dict[str, Any]]) -> None:
    a, b, _ = copies
    once = merge(a, b)
    again = merge(once.record, b)
    assert again.record == once.record
    assert merge(once.record, once.record).record == once.record
    assert again.winners == []


@given(copies_of_one_record())
def test_any_order_of_copies_gives_the_largest_stamps(copies: list[dict[str, Any]]) -> None:
    assert merged(copies) == slow_merge(copies)


@given(copies_of_one_record())
def test_every_write_stands_or_is_named_as_lost(copies: list[dict[str, Any]]) -> None:
    a, b, _ = copies
    result = merge(a, b)
    if result.record.get("erased"):
        assert result.losers == []
        return
    standing = set(result.record["stamps"].items())
    lost = {(write.group, write.stamp) for write in result.losers}
    assert {*a["stamps"].items(), *b["stamps"].items()} == standing | lost
    assert standing & lost == set()
    for write in result.losers:
        source = a if a["stamps"].get(write.group) == write.stamp else b
        assert same_values(write.values, {n: source["fields"][n] for n in write.values})


def test_a_new_record_is_all_winners() -> None:
    result = merge(None, sale({"money": stamp(1), "buyer": stamp(2)}, price=5, buyer="Ada"))
    assert [(w.group, w.values) for w in result.winners] == [
        ("money", {"price": 5}),
        ("buyer", {"buyer": "Ada"}),
    ]
    assert result.losers == []


def test_different_fields_of_two_phones_both_survive() -> None:
    ours = sale({"money": stamp(5), "buyer": stamp(1)}, price=5, buyer="Ada")
    theirs = sale({"money": stamp(1), "buyer": stamp(6, B)}, price=1, buyer="Bo")
    assert merge(ours, theirs).record["fields"] == {"price": 5, "buyer": "Bo"}


def test_values_of_one_group_are_never_mixed() -> None:
    ours = sale({"money": stamp(5)}, price=1000, fee=100)
    theirs = sale({"money": stamp(6, B)}, price=2000, fee=None)
    assert merge(ours, theirs).record["fields"] == {"price": 2000, "fee": None}


def test_a_field_of_a_later_version_is_kept() -> None:
    ours = sale({"money": stamp(5)}, price=1)
    theirs = sale({"of_later": stamp(6, B)}, of_later={"x": 1})
    assert merge(ours, theirs).record["fields"] == {"price": 1, "of_later": {"x": 1}}


def test_a_later_edit_leaves_a_deleted_record_deleted_and_is_named() -> None:
    gone = sale({"deleted": stamp(5), "buyer": stamp(1)}, deleted=True, buyer="Ada")
    result = merge(gone, sale({"buyer": stamp(9, B)}, buyer="Bo")).record
    assert result["fields"] == {"deleted": True, "buyer": "Bo"}
    assert changed_after_deleted(result) == ["buyer"]


def test_an_edit_before_the_deletion_is_no_matter() -> None:
    gone = sale({"deleted": stamp(5), "buyer": stamp(1)}, deleted=True, buyer="Ada")
    assert changed_after_deleted(gone) == []
    undone = merge(gone, sale({"deleted": stamp(6), "buyer": stamp(7)}, deleted=None)).record
    assert changed_after_deleted(undone) == []


@pytest.mark.parametrize("flag", ["erase", "erased"])
def test_an_erasure_beats_every_stamp_and_hands_no_value_on(flag: str) -> None:
    held = sale({"buyer": stamp(99)}, buyer="Ada")
    erasure: Record = {"type": "sale", "id": "s", "stamps": {"*": stamp(1, B)}, flag: True}
    result = merge(held, erasure)
    assert result.record == {
        "type": "sale",
        "id": "s",
        "fields": {},
        "stamps": {"*": stamp(1, B)},
        "erased": True,
    }
    assert result.losers == []
    later = merge(result.record, held)
    assert later.record == result.record
    assert (later.winners, later.losers) == ([], [])
    assert conflicts(result.record, held) == []


CONFLICT_TABLE = [
    ("the base is the current stamp", stamp(5), 2000, B, False),
    ("the base is older than the current stamp", stamp(1), 2000, B, True),
    ("no base, though there was a value", None, 2000, B, True),
    ("the same device wrote both", stamp(1), 2000, A, False),
    ("both say the same", stamp(1), 1000, B, False),
]


@pytest.mark.parametrize(("why", "base", "price", "device", "collides"), CONFLICT_TABLE)
@pytest.mark.parametrize("later", [True, False])
def test_a_conflict_is_a_write_by_another_who_had_not_seen_it(
    why: str, base: str | None, price: int, device: str, collides: bool, later: bool
) -> None:
    current = sale({"money": stamp(5)}, price=1000)
    made = stamp(9 if later else 3, device)
    change = {**sale({"money": made}, price=price), "bases": {"money": base}}
    found = conflicts(current, change)
    assert bool(found) == collides, why
    if found:
        assert found[0].kept.stamp == max(stamp(5), made)
        assert found[0].other.stamp == min(stamp(5), made)
        assert not found[0].quiet


def test_a_conflict_in_a_quiet_group_says_so() -> None:
    current = {"type": "piece", "id": "p", "fields": {"spot_id": "x"}, "stamps": {}}
    current["stamps"] = {"spot_id": stamp(5)}
    change = {**current, "fields": {"spot_id": "y"}, "stamps": {"spot_id": stamp(9, B)}}
    found = conflicts(current, {**change, "bases": {}})
    assert [c.quiet for c in found] == [True]


def test_a_stamp_names_its_device() -> None:
    assert device_of(stamp(5, B)) == B


@pytest.mark.parametrize(
    ("a", "b", "same"),
    [
        ({"x": None}, {}, True),
        ({"x": 1}, {"x": True}, False),
        ({"x": 0}, {"x": False}, False),
        ({"x": [1]}, {"x": [True]}, False),
        ({"x": {"a": 1, "b": 2}}, {"x": {"b": 2, "a": 1}}, True),
        ({"x": [1, 2]}, {"x": [2, 1]}, False),
        ({"x": {"a": None}}, {"x": {}}, False),
        ({"x": 1}, {"x": 1.0}, True),
        ({"x": "1"}, {"x": 1}, False),
    ],
)
def test_values_are_the_same_as_json_has_it(a: Any, b: Any, same: bool) -> None:
    assert same_values(a, b) is same
    assert same_values(b, a) is same
