from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis.errors import BadInput
from crestrail.records import stamps
from crestrail.records.stamps import HybridClock, Stamp
from helpers.vectors import vectors

CASES = vectors("stamps")
DEVICES = st.sampled_from(["a" * 16, "b" * 16, "0123456789abcdef"])
TIMES = st.integers(min_value=0, max_value=2**47)
READINGS = st.builds(Stamp, TIMES, st.integers(min_value=0, max_value=2**16 - 1), DEVICES)


@pytest.mark.parametrize(("text", "ms", "counter", "device"), CASES["format"])
def test_a_stamp_is_milliseconds_counter_and_device(
    text: str, ms: int, counter: int, device: str
) -> None:
    assert stamps.is_stamp(text)
    assert stamps.parse_stamp(text) == Stamp(ms, counter, device)
    assert stamps.format_stamp(Stamp(ms, counter, device)) == text


@pytest.mark.parametrize("text", CASES["not_stamps"])
def test_anything_else_is_no_stamp(text: Any) -> None:
    assert not stamps.is_stamp(text)
    if isinstance(text, str):
        with pytest.raises(BadInput) as refusal:
            stamps.parse_stamp(text)
        assert refusal.value.code == "bad_stamp"


def test_text_order_is_time_order() -> None:
    ascending = CASES["ascending"]
    assert sorted(ascending) == ascending
    assert sorted(ascending, key=stamps.parse_stamp) == ascending
    assert stamps.compare_stamps(ascending[0], ascending[1]) == -1
    assert stamps.compare_stamps(ascending[1], ascending[0]) == 1
    assert stamps.compare_stamps(ascending[1], ascending[1]) == 0


@given(READINGS, READINGS)
def test_texts_compare_as_readings_do(a: Stamp, b: Stamp) -> None:
    order = (a > b) - (a < b)
    assert stamps.compare_stamps(stamps.format_stamp(a), stamps.format_stamp(b)) == order


@pytest.mark.parametrize(("last", "now_ms", "result", "why"), CASES["tick"])
def test_a_tick_is_after_the_last_and_not_behind_the_clock(
    last: str, now_ms: int, result: str, why: str
) -> None:
    assert stamps.tick(last, now_ms) == result, why


@pytest.mark.parametrize(("last", "now_ms"), CASES["tick_refused"])
def test_a_clock_beyond_its_end_is_refused(last: str, now_ms: int) -> None:
    with pytest.raises(BadInput):
        stamps.tick(last, now_ms)


@pytest.mark.parametrize(("last", "seen", "now_ms", "result", "why"), CASES["receive"])
def test_receiving_follows_the_published_algorithm(
    last: str, seen: str, now_ms: int, result: str, why: str
) -> None:
    assert stamps.receive(last, seen, now_ms) == result, why


@pytest.mark.parametrize(("last", "base", "corrected", "result", "why"), CASES["restamp"])
def test_a_restamped_write_is_at_the_corrected_time_or_just_after_its_base(
    last: str, base: str | None, corrected: int, result: str, why: str
) -> None:
    assert stamps.restamp(last, base, corrected) == result, why


@given(READINGS, st.none() | READINGS, TIMES)
def test_a_restamped_write_beats_its_base_and_its_forerunner(
    last: Stamp, base: Stamp | None, corrected: int
) -> None:
    before = stamps.format_stamp(last)
    base_text = stamps.format_stamp(base) if base else None
    result = stamps.parse_stamp(stamps.restamp(before, base_text, corrected))
    assert result.device == last.device
    assert result[:2] > last[:2]
    assert base is None or result[:2] > base[:2]
    assert result.ms >= corrected


@given(st.lists(st.tuples(st.sampled_from([0, 1, 2]), st.sampled_from([0, 1, 2]), TIMES)))
def test_stamps_of_devices_that_hear_each_other_are_unique_and_respect_cause(
    events: list[tuple[int, int, int]],
) -> None:
    clocks = [HybridClock(str(i) * 16) for i in range(3)]
    made: list[str] = []
    for sender, hearer, now_ms in events:
        seen = clocks[sender].tick(now_ms)
        clocks[hearer].receive(seen, now_ms // 2)
        answer = clocks[hearer].tick(now_ms // 2)
        assert answer > seen
        made += [seen, answer]
    assert len(set(made)) == len(made)


@given(st.lists(TIMES, min_size=1, max_size=30))
def test_a_clock_alone_stays_close_to_the_physical_clock(times: list[int]) -> None:
    clock = HybridClock("a" * 16)
    for i, now_ms in enumerate(times):
        reading = stamps.parse_stamp(clock.tick(now_ms))
        assert reading.ms == max(times[: i + 1])


def test_a_clock_goes_on_from_the_state_that_was_kept() -> None:
    clock = HybridClock("a" * 16)
    kept = clock.tick(1000)
    assert HybridClock("a" * 16, kept).tick(5) > kept
    assert HybridClock("b" * 16, kept).tick(5).endswith("b" * 16)
    assert clock.last == kept
