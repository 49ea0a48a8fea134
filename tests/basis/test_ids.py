"""Codes and ids, held to published examples (named in tests/vectors/ids.json)."""

from __future__ import annotations

import itertools
import secrets
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis import ids
from crestrail.basis.errors import BadInput
from helpers.vectors import vectors

CASES = vectors("ids")


def fixed(data: bytes) -> Callable[[int], bytes]:
    """Random bytes that are these, over and over."""
    endless = itertools.cycle(data)
    return lambda count: bytes(itertools.islice(endless, count))


@pytest.mark.parametrize(("symbols", "check", "number"), CASES["check"])
def test_check_symbols_agree_with_published_examples(symbols: str, check: str, number: int) -> None:
    assert ids.decode(symbols) == number
    assert ids.encode(number) == symbols
    assert ids.check_symbol(symbols) == check


@pytest.mark.parametrize("case", CASES["uuid7"], ids=lambda c: c["id"])
def test_a_new_id_has_the_layout_of_a_version_7_uuid(case: dict[str, Any]) -> None:
    assert ids.new_id(case["ms"], fixed(bytes.fromhex(case["random"]))) == case["id"]


@given(st.integers(min_value=0, max_value=2**48 - 1), st.binary(min_size=10, max_size=10))
def test_the_standard_library_reads_our_ids_as_version_7(ms: int, random: bytes) -> None:
    made = ids.new_id(ms, fixed(random))
    read = uuid.UUID(made)
    assert ids.is_id(made)
    assert (read.version, read.variant) == (7, uuid.RFC_4122)
    assert read.int >> 80 == ms
    assert str(read) == made


@given(st.lists(st.integers(min_value=0, max_value=2**48 - 1), min_size=2, max_size=5))
def test_ids_sort_by_the_time_they_were_made(times: list[int]) -> None:
    made = [ids.new_id(ms, fixed(b"\x00\x01\x02")) for ms in sorted(times)]
    assert made == sorted(made)


@pytest.mark.parametrize(("value", "verdict"), CASES["is_id"])
def test_an_id_is_a_uuid_in_lower_case(value: Any, verdict: bool) -> None:
    assert ids.is_id(value) is verdict


def test_a_device_id_is_sixteen_hexadecimal_digits() -> None:
    made = ids.new_device_id(fixed(b"\x0a\xbc"))
    assert made == "0abc0abc0abc0abc"
    assert ids.is_device_id(made)
    assert not ids.is_device_id(made.upper())
    assert not ids.is_device_id(made[:-1])


@pytest.mark.parametrize("case", CASES["tag_codes"], ids=lambda c: ascii(c["typed"]))
def test_a_typed_tag_code_is_read_or_refused_with_the_reason(case: dict[str, Any]) -> None:
    if "code" in case:
        assert ids.parse_tag_code(case["typed"]) == case["code"]
        return
    with pytest.raises(BadInput) as refusal:
        ids.parse_tag_code(case["typed"])
    assert refusal.value.code == case["error"]


@pytest.mark.parametrize(("value", "verdict"), CASES["is_tag_code"])
def test_a_kept_tag_code_is_upper_case_without_hyphens(value: Any, verdict: bool) -> None:
    assert ids.is_tag_code(value) is verdict


def test_a_tag_code_is_printed_in_three_parts_and_reads_back() -> None:
    assert ids.show_tag_code("7K3M9QXDA") == "7K3M-9QXD-A"
    assert ids.parse_tag_code("7k3m-9qxd-a") == "7K3M9QXDA"


def test_no_tag_code_ends_in_a_symbol_that_cannot_be_read_aloud() -> None:
    made = {ids.new_tag_code(secrets.token_bytes) for _ in range(2000)}
    assert len(made) == 2000
    assert all(ids.is_tag_code(code) and code[-1] in ids.SYMBOLS for code in made)


def test_a_code_with_an_unreadable_check_symbol_is_drawn_again() -> None:
    ten = bytes([0, 0, 0, 0, 0, 0, 1, 0])  # 32, whose check symbol is *
    assert ids.new_tag_code(fixed(ten + bytes([0, 0, 0, 0, 0, 0, 0, 1]))) == "000000011"


CODES = st.text(alphabet=ids.SYMBOLS, min_size=8, max_size=8)


@given(CODES, st.integers(min_value=0, max_value=7), st.sampled_from(ids.SYMBOLS))
def test_every_single_wrong_symbol_is_noticed(symbols: str, at: int, other: str) -> None:
    wrong = symbols[:at] + other + symbols[at + 1 :]
    assert (ids.check_symbol(wrong) == ids.check_symbol(symbols)) == (wrong == symbols)


@given(CODES, st.integers(min_value=0, max_value=6))
def test_every_swap_of_neighbours_is_noticed(symbols: str, at: int) -> None:
    swapped = symbols[:at] + symbols[at + 1] + symbols[at] + symbols[at + 2 :]
    assert (ids.check_symbol(swapped) == ids.check_symbol(symbols)) == (swapped == symbols)
