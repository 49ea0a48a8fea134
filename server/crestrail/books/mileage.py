"""The trip log, and what its miles come to at the published rates.

The day of a trip in the household's time zone decides its rate; rates change within a year, so
there is no rate "of the year". Each trip is rounded to the cent, halves up, and the trips are
added. What a log has to hold: date, miles, destination and purpose of each trip, and all miles
of the year (IRS Publication 463, chapter 5, Table 5-1). For the person's own records, not tax
advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crestrail.basis.rounding import half_up
from crestrail.books.facts import Facts, Record
from crestrail.books.rates import MILE_RATES, MILE_RATES_UNTIL, MileRate

_CENTS_PER_M_AND_TENTH = (25, 402_336)
"""A tenth of a cent a mile is 1 / 16,093.44 cents a metre: a mile has 1,609.344 m."""


@dataclass(frozen=True, slots=True)
class Trip:
    """One business drive; ``missing`` names what a log has to hold and this one lacks."""

    on: str
    distance_m: int
    destination: str
    purpose: str
    fact_type: str
    fact_id: str
    odometer_start_m: int | None = None
    odometer_end_m: int | None = None

    def missing(self) -> list[str]:
        """Elements that the log still needs, by name."""
        wanted = {
            "distance": self.distance_m > 0,
            "destination": bool(self.destination),
            "purpose": bool(self.purpose),
        }
        return [name for name, there in wanted.items() if not there]


@dataclass(frozen=True, slots=True)
class Deduction:
    """What trips of a year come to, and the days whose rate is not published yet."""

    distance_m: int
    amount: int
    days_without_rate: tuple[str, ...]


def rate_on(on: str) -> MileRate:
    """The rate of a day; LookupError outside the table (see ``has_rate``)."""
    if not has_rate(on):
        raise LookupError(f"no published rate for {on} is known")
    return [rate for rate in MILE_RATES if rate.from_on <= on][-1]


def has_rate(on: str) -> bool:
    """Whether the day's rate is in the table."""
    return MILE_RATES[0].from_on <= on <= MILE_RATES_UNTIL


def trip_amount(distance_m: int, on: str) -> int:
    """Cents for so many metres on a day, rounded once, halves up; LookupError without a rate."""
    numerator, denominator = _CENTS_PER_M_AND_TENTH
    return half_up(distance_m * rate_on(on).tenths * numerator, denominator)


def deduction(trips: Iterable[Trip]) -> Deduction:
    """The sum of the trips at the rate of each one's day."""
    rows = list(trips)
    rated = [trip for trip in rows if has_rate(trip.on)]
    return Deduction(
        distance_m=sum(trip.distance_m for trip in rows),
        amount=sum(trip_amount(trip.distance_m, trip.on) for trip in rated),
        days_without_rate=tuple(sorted({t.on for t in rows if not has_rate(t.on)})),
    )


def trips(facts: Facts, year: int) -> list[Trip]:
    """The drives of a year, outings and deliveries, in order of day."""
    found = [
        _trip(row, kind)
        for kind in ("outing", "delivery")
        for row in facts.rows(kind)
        if row["on"].startswith(f"{year:04d}-") and driven(row) > 0
    ]
    return sorted(found, key=lambda t: (t.on, t.fact_id))


def driven(row: Record) -> int:
    """Metres driven: as typed, else from the odometer, else 0."""
    if row.get("distance_m") is not None:
        return int(row["distance_m"])
    start, end = row.get("odometer_start_m"), row.get("odometer_end_m")
    return max(0, end - start) if start is not None and end is not None else 0


def _trip(row: Record, kind: str) -> Trip:
    return Trip(
        on=row["on"],
        distance_m=driven(row),
        destination=row.get("destination") or "",
        purpose=row.get("purpose") or "",
        fact_type=kind,
        fact_id=row["id"],
        odometer_start_m=row.get("odometer_start_m"),
        odometer_end_m=row.get("odometer_end_m"),
    )


def business_share_ppm(trips_of_year: Sequence[Trip], start_m: int, end_m: int) -> int:
    """Business metres of all metres of the year by its odometer, in parts per million.

    ValueError when the odometer does not run forward.
    """
    if end_m <= start_m:
        raise ValueError("the odometer's end has to be above its start")
    return half_up(sum(t.distance_m for t in trips_of_year) * 1_000_000, end_m - start_m)
