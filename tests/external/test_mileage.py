"""Standard mileage rates against published figures; 2026 has two of them.

Rates: IRS notices as named in ``books/rates.py`` (read on pages that quote them; Announcement
2026-11 itself was not seen on irs.gov). The worked examples are arithmetic on those rates.
"""

from __future__ import annotations

import pytest

from crestrail.basis.clock import from_text, local_day
from crestrail.books.facts import Facts
from crestrail.books.mileage import (
    Trip,
    business_share_ppm,
    deduction,
    has_rate,
    rate_on,
    trip_amount,
    trips,
)
from helpers.households import LATER, ZONE, household


def miles(count: float) -> int:
    return round(count * 1609.344)


def trip(on: str, count: float) -> Trip:
    return Trip(on, miles(count), "Sales round", "Buying stock", "outing", on)


@pytest.mark.parametrize(
    ("on", "tenths"),
    [
        ("2022-06-30", 585),
        ("2022-07-01", 625),
        ("2023-12-31", 655),
        ("2024-01-01", 670),
        ("2025-12-31", 700),
        ("2026-01-01", 725),
        ("2026-06-30", 725),
        ("2026-07-01", 760),
        ("2026-12-31", 760),
    ],
)
def test_the_day_decides_the_rate(on: str, tenths: int) -> None:
    assert rate_on(on).tenths == tenths


@pytest.mark.parametrize("on", ["2021-12-31", "2027-01-01"])
def test_a_day_without_a_published_rate_is_refused_not_guessed(on: str) -> None:
    assert not has_rate(on)
    with pytest.raises(LookupError, match=on):
        trip_amount(miles(10), on)


def test_a_year_with_two_rates_adds_both_and_averages_neither() -> None:
    found = deduction([trip("2026-06-30", 5000), trip("2026-07-01", 7000)])
    assert found.amount == 3625_00 + 5320_00
    assert found.amount == 8945_00


def test_a_week_across_the_change_is_rounded_trip_by_trip() -> None:
    week = [("2026-06-29", 16.4), ("2026-06-30", 5.2), ("2026-07-01", 12.0), ("2026-07-02", 3.1)]
    assert [trip_amount(miles(count), on) for on, count in week] == [11_89, 3_77, 9_12, 2_36]
    assert deduction(trip(on, count) for on, count in week).amount == 27_14


def test_half_a_cent_is_rounded_up() -> None:
    assert trip_amount(miles(125), "2026-01-01") == 90_63


def test_the_business_part_of_the_odometer() -> None:
    # 41,050 to 56,890 miles, 9,420 of them business: 59.5%.
    share = business_share_ppm([trip("2026-03-01", 9420)], miles(41_050), miles(56_890))
    assert round(share / 10_000, 1) == 59.5


@pytest.mark.parametrize(
    ("zone", "instant", "on", "cents"),
    [
        # 30 June 18:30 on the west coast is 1 July in UTC.
        ("America/Los_Angeles", "2026-07-01T01:30:00.000Z", "2026-06-30", 72_50),
        ("America/New_York", "2026-07-01T05:30:00.000Z", "2026-07-01", 76_00),
        ("America/New_York", "2026-07-01T03:30:00.000Z", "2026-06-30", 72_50),
    ],
)
def test_the_households_own_day_decides_the_rate(
    zone: str, instant: str, on: str, cents: int
) -> None:
    assert local_day(from_text(instant), zone) == on
    drive = {"type": "outing", "at": instant, "on": on, "distance_m": miles(100)}
    found = trips(Facts(household(drive), LATER, zone), 2026)
    assert deduction(found).amount == cents


def test_new_years_eve_belongs_to_the_old_year_where_the_person_lives() -> None:
    drive = {
        "type": "delivery", "at": "2026-01-01T04:00:00.000Z", "on": "2025-12-31",
        "distance_m": miles(10),
    }  # fmt: skip
    facts = Facts(household(drive), LATER, ZONE)
    assert deduction(trips(facts, 2025)).amount == 7_00
    assert trips(facts, 2026) == []


def test_days_whose_rate_is_not_out_yet_are_named_and_not_counted() -> None:
    found = deduction([trip("2026-12-31", 10), trip("2027-01-01", 10)])
    assert found.amount == 7_60
    assert found.days_without_rate == ("2027-01-01",)
    assert found.distance_m == 2 * miles(10)


def test_a_trip_says_what_the_log_still_needs() -> None:
    # IRS Publication 463, chapter 5, Table 5-1: miles, date, destination, purpose.
    assert trip("2026-03-01", 10).missing() == []
    assert Trip("2026-03-01", 0, "", "", "outing", "x").missing() == [
        "distance", "destination", "purpose",
    ]  # fmt: skip


def test_the_odometer_counts_where_no_distance_was_typed() -> None:
    drive = {
        "type": "outing", "at": "2026-03-01T18:00:00.000Z", "on": "2026-03-01",
        "odometer_start_m": miles(1000), "odometer_end_m": miles(1010),
    }  # fmt: skip
    [found] = trips(Facts(household(drive), LATER, ZONE), 2026)
    assert trip_amount(found.distance_m, found.on) == 7_25


def test_an_odometer_that_runs_backwards_is_refused() -> None:
    with pytest.raises(ValueError, match="odometer"):
        business_share_ppm([], 10, 10)
