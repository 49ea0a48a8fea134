"""Year-end figures against published rules and worked examples.

Schedule SE: IRC 1401 and 1402 as quoted by IRS Topic 554 (read on pages that quote it); wage
bases: SSA. Examples marked "computed" follow from the stated formula.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crestrail.books.accounts import ACCOUNTS, RESULT
from crestrail.books.facts import Facts
from crestrail.books.mileage import deduction, trips
from crestrail.books.postings import postings
from crestrail.books.profit import earned
from crestrail.books.tax import (
    CAR_METHODS,
    LINE_OF,
    WORDS,
    ScheduleC,
    platform_reports,
    schedule_c,
    self_employment_tax,
)
from helpers.households import LATER, ZONE, household, random_household, rec


@pytest.mark.parametrize(
    ("net", "year", "earnings", "security", "medicare", "total", "half"),
    [
        (49_240_00, 2026, 45_473_14, 5638_67, 1318_72, 6957_39, 3478_70),
        (100_000_00, 2024, 92_350_00, 11_451_40, 2678_15, 14_129_55, 7064_78),
        (100_000_00, 2025, 92_350_00, 11_451_40, 2678_15, 14_129_55, 7064_78),
        (100_000_00, 2026, 92_350_00, 11_451_40, 2678_15, 14_129_55, 7064_78),
        (10_000_00, 2026, 9_235_00, 1145_14, 267_82, 1412_96, 706_48),  # computed
        (50_000_00, 2026, 46_175_00, 5725_70, 1339_08, 7064_78, 3532_39),  # computed
    ],
)
def test_self_employment_tax_is_that_of_the_worked_examples(
    net: int, year: int, earnings: int, security: int, medicare: int, total: int, half: int
) -> None:
    found = self_employment_tax(net, year)
    assert (found.net_earnings, found.social_security, found.medicare) == (
        earnings, security, medicare,
    )  # fmt: skip
    assert (found.total, found.half) == (total, half)


@pytest.mark.parametrize(
    ("net", "owed"), [(433_13, False), (433_14, True), (0, False), (-5, False)]
)
def test_four_hundred_dollars_are_asked_of_net_earnings_before_rounding(
    net: int, owed: bool
) -> None:
    assert (self_employment_tax(net, 2026).total > 0) == owed


def test_social_security_stops_at_the_wage_base() -> None:
    # The most for 2025, 21,836.40, is published with the base of 176,100.
    assert self_employment_tax(500_000_00, 2025).social_security == 21_836_40


def test_wages_already_taxed_use_up_the_base() -> None:
    assert self_employment_tax(50_000_00, 2026, wages=184_500_00).social_security == 0
    assert self_employment_tax(50_000_00, 2026, wages=184_500_00).medicare == 1339_08


def test_a_year_without_figures_is_refused() -> None:
    with pytest.raises(LookupError, match="2027"):
        self_employment_tax(1000_00, 2027)


@pytest.mark.parametrize(
    ("gross", "count", "reports"),
    [
        (20_000_00, 201, False),
        (20_000_01, 200, False),
        (20_000_01, 201, True),
        (5_000_00, 500, False),
    ],
)
def test_a_platform_reports_above_both_limits_only(gross: int, count: int, reports: bool) -> None:
    # Pub. L. 119-21, section 70432; IRS Fact Sheet FS-2025-08.
    assert platform_reports(gross, count) == reports


YEAR = [
    rec("piece", "2026-01-05", id="p0", opening_on="2026-01-01", opening_cost=1000),
    rec("purchase", "2026-02-01", id="b1", total=9000, extra_costs=600),
    rec("piece", "2026-02-01", id="p1", purchase_id="b1", share_weight=1),
    rec("piece", "2026-02-01", id="p2", purchase_id="b1", share_weight=2)
    | {"kept_at": "2026-06-01T18:00:00.000Z"},
    rec("purchase", "2026-03-01", id="b2", total=2500),
    rec("piece", "2026-03-01", id="p3", purchase_id="b2"),
    rec("sale", "2026-04-01", id="s1", piece_id="p1", price=20_000, fee=500, delivery_charged=2500),
    rec("return", "2026-04-05", sale_id="s1", refund=1500, back_in_stock=False),
    rec("expense", "2026-04-02", amount=1200, category="supplies"),
    rec("expense", "2026-04-02", amount=4000, category="fuel"),
    rec("expense", "2026-04-02", amount=700, category="parking"),
    rec("expense", "2026-04-02", amount=3000, category="vehicle_hire"),
    rec("outing", "2026-06-30", distance_m=160_934, destination="Sales", purpose="Buying"),
    rec("delivery", "2026-07-01", distance_m=160_934, destination="Buyer", purpose="Bringing"),
    rec("sale", "2027-01-02", id="s2", piece_id="p3", price=9999),
]


def lines(car: str, year: int = 2026) -> ScheduleC:
    facts = Facts(household(*YEAR), LATER, ZONE)
    return schedule_c(facts, postings(facts), year, car)


def test_a_years_lines_worked_out_by_hand() -> None:
    found = lines("standard").lines
    by_hand = {
        "1": 22_500, "2": 1500, "3": 21_000,
        "35": 1000, "36": 9600 + 2500 - 6400, "40": 6700, "41": 3500, "42": 3200, "4": 3200,
        "5": 17_800, "7": 17_800,
        "8": 0, "9": 7250 + 7600 + 700, "10": 500, "11": 0, "20a": 3000, "20b": 0, "22": 1200,
        "25": 0, "27": 0, "28": 20_250, "29": -2450, "31": -2450,
    }  # fmt: skip
    assert found == by_hand


def test_fuel_is_deducted_or_miles_are_never_both() -> None:
    standard, actual = lines("standard"), lines("actual")
    assert standard.lines["9"] == 7250 + 7600 + 700
    assert standard.set_aside == 4000
    assert actual.lines["9"] == 4000 + 700
    assert actual.set_aside == 0


def test_a_third_way_of_deducting_the_car_is_refused() -> None:
    with pytest.raises(ValueError, match="standard"):
        lines("both")


def test_closing_stock_of_a_year_opens_the_next() -> None:
    assert lines("actual").lines["41"] == lines("actual", 2027).lines["35"]


def test_every_account_of_the_result_stands_on_one_line() -> None:
    assert set(LINE_OF) == {code for code, a in ACCOUNTS.items() if a.kind in RESULT}


def test_the_words_say_that_it_is_no_tax_advice() -> None:
    assert "not tax advice" in WORDS
    assert "licensed" in WORDS


@settings(deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(CAR_METHODS))
def test_no_cent_is_deducted_twice_and_none_is_lost(seed: int, car: str) -> None:
    facts = Facts(random_household(seed), LATER, ZONE)
    posted = postings(facts)
    for year in (2025, 2026, 2027):
        found = schedule_c(facts, posted, year, car)
        mine = [p for p in posted if p.on.startswith(str(year))]
        miles = deduction(trips(facts, year)).amount if car == "standard" else 0
        assert found.lines["31"] == earned(mine) + found.set_aside - miles
