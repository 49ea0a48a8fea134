from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.records.schema import FIELD_TYPES, RECORD_TYPES
from crestrail.records.values import check_fields, check_plain, written_size
from helpers.vectors import vectors

CASES = vectors("values")["cases"]
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


def named(case: dict[str, Any]) -> str:
    return ascii(f"{case['type']} {case['fields']}")[:60]


@pytest.mark.parametrize("case", CASES, ids=named)
def test_fields_are_taken_or_refused_with_path_and_code(case: dict[str, Any]) -> None:
    found = check_fields(case["type"], case["fields"], creating=case["creating"])
    assert [[entry["path"], entry["code"]] for entry in found] == case["found"]
    assert all(entry["message"] for entry in found)


def test_the_cases_cover_every_field_type_taken_and_refused() -> None:
    of_field = {(t.name, f.name): f.type for t in RECORD_TYPES for f in t.fields}
    taken, refused = set(), set()
    for case in CASES:
        if not isinstance(case["fields"], dict):
            continue
        for name, value in case["fields"].items():
            kind = of_field.get((case["type"], name), "bool" if name == "deleted" else "")
            (refused if case["found"] else taken).add(kind if value is not None else "")
    assert taken >= set(FIELD_TYPES)
    assert refused >= set(FIELD_TYPES)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_numbers_that_json_does_not_have_are_refused(value: float) -> None:
    assert check_fields("sale", {"later_field": value})[0]["code"] == "bad_number"
    assert check_fields("sale", {"price": value})[0]["code"] == "wrong_type"


@given(st.sampled_from([t.name for t in RECORD_TYPES]), st.data())
def test_whatever_is_sent_is_judged_without_a_fault(type_name: str, data: st.DataObject) -> None:
    names = [f.name for t in RECORD_TYPES if t.name == type_name for f in t.fields]
    fields = data.draw(
        st.dictionaries(st.sampled_from([*names, "deleted"]) | st.text(), PLAIN, max_size=5)
    )
    for creating in (False, True):
        for entry in check_fields(type_name, fields, creating=creating):
            assert set(entry) == {"path", "code", "message"}


SIMPLE = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**10), 10**10) | st.text("abc é😀", max_size=9),
    lambda inner: st.lists(inner) | st.dictionaries(st.text("abc", max_size=9), inner),
)


@given(SIMPLE)
def test_the_counted_size_is_never_below_the_written_length(value: Any) -> None:
    written = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    assert written_size(value) >= len(written)


def test_deep_nesting_is_refused_before_it_is_walked() -> None:
    value: Any = 1
    for _ in range(100_000):
        value = [value]
    assert check_plain(value, 2000) == ("too_deep", {"max": 8})
