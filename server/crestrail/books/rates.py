"""Published rates and limits by the day or year from which they hold, each with its source.

A year that is not in a table is refused, never guessed. US figures, for the person's own
records, not tax advice.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class MileRate:
    """The business standard mileage rate from a day on, in tenths of a cent a mile."""

    from_on: str
    tenths: int
    source: str


MILE_RATES: tuple[MileRate, ...] = (
    MileRate("2022-01-01", 585, "IRS, standard mileage rates, first half of 2022"),
    MileRate("2022-07-01", 625, "IRS, standard mileage rates, second half of 2022"),
    MileRate("2023-01-01", 655, "IRS Notice 2023-03 (notice number from memory)"),
    MileRate("2024-01-01", 670, "IRS Notice 2024-08"),
    MileRate("2025-01-01", 700, "IRS Notice 2025-5"),
    MileRate("2026-01-01", 725, "IRS Notice 2026-10"),
    MileRate("2026-07-01", 760, "IRS Announcement 2026-11, modifying Notice 2026-10"),
)
MILE_RATES_UNTIL = "2026-12-31"
"""The last day that the table covers; the next year's rate is not published yet."""


@dataclass(frozen=True, slots=True)
class SelfEmployment:
    """Figures of Schedule SE for a year; ``wage_base`` in minor units."""

    wage_base: int
    source: str


SELF_EMPLOYMENT: dict[int, SelfEmployment] = {
    2023: SelfEmployment(160_200_00, "SSA, contribution and benefit base 2023"),
    2024: SelfEmployment(168_600_00, "SSA, contribution and benefit base 2024"),
    2025: SelfEmployment(176_100_00, "SSA, contribution and benefit base 2025"),
    2026: SelfEmployment(184_500_00, "SSA, contribution and benefit base 2026"),
}


@dataclass(frozen=True, slots=True)
class PlatformReport:
    """When a payment platform reports to the tax office on Form 1099-K: above both."""

    amount_over: int
    transactions_over: int
    source: str


FORM_1099_K = PlatformReport(
    20_000_00,
    200,
    "Pub. L. 119-21, section 70432; IRS Fact Sheet FS-2025-08. States may ask for less; payment "
    "cards have no minimum; income is taxable whether or not a form comes",
)
