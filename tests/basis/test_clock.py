from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis import clock
from crestrail.basis.errors import BadInput
from helpers.vectors import vectors

CASES = vectors("clock")
MOMENTS = st.datetimes(timezones=st.just(UTC))


@pytest.mark.parametrize("text", CASES["instants"])
def test_a_moment_reads_and_writes_the_same(text: str) -> None:
    assert clock.is_instant(text)
    assert clock.to_text(clock.from_text(text)) == text


@pytest.mark.parametrize("text", CASES["not_instants"], ids=ascii)
def test_what_is_no_moment_is_refused(text: str) -> None:
    assert not clock.is_instant(text)
    with pytest.raises(BadInput) as refusal:
        clock.from_text(text)
    assert refusal.value.code == "bad_instant"


@pytest.mark.parametrize("text", CASES["dates"])
def test_a_day_reads_and_writes_the_same(text: str) -> None:
    assert clock.is_date(text)
    assert clock.day_from_text(text).isoformat() == text


@pytest.mark.parametrize("text", CASES["not_dates"], ids=ascii)
def test_what_is_no_day_is_refused(text: str) -> None:
    assert not clock.is_date(text)
    with pytest.raises(BadInput) as refusal:
        clock.day_from_text(text)
    assert refusal.value.code == "bad_date"


@pytest.mark.parametrize(("text", "zone", "day", "why"), CASES["local_day"])
def test_the_day_is_that_of_the_household(text: str, zone: str, day: str, why: str) -> None:
    assert clock.local_day(clock.from_text(text), zone) == day, why
    assert clock.as_of(clock.from_text(text), zone) == clock.AsOf(at=text, on=day)


@pytest.mark.parametrize("name", CASES["not_zones"])
def test_an_unknown_time_zone_is_refused_by_name(name: str) -> None:
    with pytest.raises(BadInput) as refusal:
        clock.local_day(datetime(2026, 1, 1, tzinfo=UTC), name)
    assert refusal.value.code == "bad_zone"


@pytest.mark.parametrize(("text", "ms"), CASES["ms"])
def test_milliseconds_count_from_1970(text: str, ms: int) -> None:
    assert clock.to_ms(clock.from_text(text)) == ms
    assert clock.to_text(clock.from_ms(ms)) == text


@given(MOMENTS, MOMENTS)
def test_text_order_is_time_order(a: datetime, b: datetime) -> None:
    earlier, later = sorted((a, b))
    assert clock.to_text(earlier) <= clock.to_text(later)


@given(MOMENTS)
def test_milliseconds_and_text_cut_alike(moment: datetime) -> None:
    assert clock.to_text(clock.from_ms(clock.to_ms(moment))) == clock.to_text(moment)


def test_a_moment_without_a_zone_is_no_moment() -> None:
    with pytest.raises(ValueError, match="time zone"):
        clock.to_text(datetime(2026, 5, 1, 12))  # noqa: DTZ001 - the point of the test


def test_a_moment_of_another_zone_is_written_in_utc() -> None:
    moment = datetime(2026, 5, 1, 10, 3, tzinfo=timezone(timedelta(hours=-4)))
    assert clock.to_text(moment) == "2026-05-01T14:03:00.000Z"


def test_a_fixed_clock_moves_only_when_it_is_moved() -> None:
    fixed = clock.FixedClock(datetime(2026, 5, 1, tzinfo=UTC))
    assert fixed.now() == fixed.now()
    fixed.advance(timedelta(hours=-1))
    assert clock.to_text(fixed.now()) == "2026-04-30T23:00:00.000Z"


def test_the_system_clock_tells_utc() -> None:
    assert clock.SystemClock().now().utcoffset() == timedelta(0)
