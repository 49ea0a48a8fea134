"""The lifting equation against NIOSH publication 94-110 (1994; pages of the 2021 revision).

The tables and the examples of package inspection were read in transcriptions of the manual;
what is marked "from memory" was not seen and agrees by arithmetic.
"""

from __future__ import annotations

import pytest

from crestrail.care.lifting import Lift, lifting_index, recommended_limit
from crestrail.care.lifting_tables import METRIC, US, System
from helpers.vectors import vectors

INCH, POUND = 25.4, 453.59237
AT_BEST = {"horizontal": 250.0, "vertical": 750.0, "travel": 250.0, "coupling": "good"}


def factor(place: int, system: System, **given: object) -> float:
    lift = Lift(**{**AT_BEST, **given})  # type: ignore[arg-type]
    return recommended_limit(lift, system=system, rounded=True).factors[place]


TABLE_1_US = dict(
    zip(
        range(10, 26),
        (
            1.0,
            0.91,
            0.83,
            0.77,
            0.71,
            0.67,
            0.63,
            0.59,
            0.56,
            0.53,
            0.5,
            0.48,
            0.46,
            0.44,
            0.42,
            0.4,
        ),
        strict=True,
    )
)
TABLE_1_METRIC = {
    25: 1.0, 28: 0.89, 30: 0.83, 32: 0.78, 34: 0.74, 36: 0.69, 38: 0.66, 40: 0.63, 42: 0.6,
    44: 0.57, 46: 0.54, 48: 0.52, 50: 0.5, 52: 0.48, 54: 0.46, 56: 0.45, 58: 0.43, 60: 0.42,
    63: 0.4,
}  # fmt: skip
TABLE_2_US = {
    0: 0.78, 5: 0.81, 10: 0.85, 15: 0.89, 20: 0.93, 25: 0.96, 30: 1.0, 35: 0.96, 40: 0.93,
    45: 0.89, 50: 0.85, 55: 0.81, 60: 0.78, 65: 0.74, 70: 0.7,
}  # fmt: skip
TABLE_2_METRIC = {
    0: 0.78, 10: 0.81, 20: 0.84, 30: 0.87, 40: 0.9, 50: 0.93, 60: 0.96, 70: 0.99, 80: 0.99,
    90: 0.96, 100: 0.93, 110: 0.9, 120: 0.87, 130: 0.84, 140: 0.81, 150: 0.78, 160: 0.75,
    170: 0.72, 175: 0.7,
}  # fmt: skip
TABLE_3_US = {
    10: 1.0, 15: 0.94, 20: 0.91, 25: 0.89, 30: 0.88, 35: 0.87, 40: 0.87, 45: 0.86, 50: 0.86,
    55: 0.85, 60: 0.85, 70: 0.85,
}  # fmt: skip
TABLE_3_METRIC = {
    25: 1.0, 40: 0.93, 55: 0.9, 70: 0.88, 85: 0.87, 100: 0.87, 115: 0.86, 145: 0.85, 160: 0.85,
    175: 0.85,
}  # fmt: skip
TABLE_4 = {
    0: 1.0, 15: 0.95, 30: 0.9, 45: 0.86, 60: 0.81, 75: 0.76, 90: 0.71, 105: 0.66, 120: 0.62,
    135: 0.57,
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "place", "system", "table"),
    [
        ("horizontal", 0, US, TABLE_1_US),
        ("horizontal", 0, METRIC, TABLE_1_METRIC),
        ("vertical", 1, US, TABLE_2_US),
        ("vertical", 1, METRIC, TABLE_2_METRIC),
        ("travel", 2, US, TABLE_3_US),
        ("travel", 2, METRIC, TABLE_3_METRIC),
    ],
)
def test_factors_are_those_of_tables_1_to_3(
    name: str, place: int, system: System, table: dict[int, float]
) -> None:
    found = {x: factor(place, system, **{name: x * system.mm}) for x in table}
    assert found == table


def test_130_cm_of_travel_is_printed_one_hundredth_above_its_own_formula() -> None:
    # Table 3 prints .86; .82 + 4.5/130 is .8546.
    assert factor(2, METRIC, travel=1300.0) == 0.85


def test_asymmetry_is_that_of_table_4() -> None:
    assert {a: factor(3, METRIC, asymmetry=float(a)) for a in TABLE_4} == TABLE_4
    assert factor(3, METRIC, asymmetry=136.0) == 0


@pytest.mark.parametrize("row", vectors("lifting_table_5")["rows"], ids=lambda r: f"{r[0]}/min")
def test_frequency_is_that_of_table_5(row: list[float]) -> None:
    often, *expected = row
    found = [
        factor(4, US, per_minute=often, hours=hours, vertical=height * INCH)
        for hours in (1.0, 2.0, 8.0)
        for height in (29.0, 30.0)
    ]
    assert found == expected


@pytest.mark.parametrize(
    ("coupling", "below", "from_up"), [("good", 1, 1), ("fair", 0.95, 1), ("poor", 0.9, 0.9)]
)
def test_grip_is_that_of_table_7(coupling: str, below: float, from_up: float) -> None:
    assert factor(5, US, coupling=coupling, vertical=29 * INCH) == below
    assert factor(5, US, coupling=coupling, vertical=30 * INCH) == from_up
    assert factor(5, METRIC, coupling=coupling, vertical=749.0) == below
    assert factor(5, METRIC, coupling=coupling, vertical=750.0) == from_up


INSPECTION = {"travel": 37 * INCH, "per_minute": 3.0, "coupling": "fair"}
PRESS = {"travel": 49 * INCH, "coupling": "fair"}
EXAMPLES = {
    "4 origin (p. 44-46)": (
        Lift(10 * INCH, 22 * INCH, **INSPECTION), 34.9, 34.81
    ),
    "4 destination": (
        Lift(20 * INCH, 59 * INCH, origin_vertical=22 * INCH, **INSPECTION), 15.2, 15.25
    ),
    "1 origin (p. 33-37), from memory": (Lift(23 * INCH, 15 * INCH, **PRESS), 16.3, 16.02),
    "1 destination, from memory": (
        Lift(23 * INCH, 64 * INCH, origin_vertical=15 * INCH, **PRESS), 14.5, 14.15
    ),
    "1 redesigned, from memory": (Lift(10 * INCH, 15 * INCH, **PRESS), 37.1, 36.84),
}  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_give_the_printed_limit_when_rounded_and_their_own_in_full(name: str) -> None:
    lift, printed, full = EXAMPLES[name]
    rounded = recommended_limit(lift, system=US, rounded=True).limit_g
    exact = recommended_limit(lift, system=US).limit_g
    assert rounded is not None
    assert exact is not None
    assert round(rounded / POUND, 9) == printed
    assert round(exact / POUND, 2) == full


@pytest.mark.parametrize(
    ("name", "load", "index"),
    [
        ("4 origin (p. 44-46)", 26, 0.7),
        ("4 destination", 26, 1.7),
        ("1 origin (p. 33-37), from memory", 44, 2.7),
        ("1 destination, from memory", 44, 3.0),
        ("1 redesigned, from memory", 44, 1.2),
    ],
)
def test_examples_give_the_printed_index_all_loads_from_memory(
    name: str, load: float, index: float
) -> None:
    found = lifting_index(
        load * POUND, recommended_limit(EXAMPLES[name][0], system=US, rounded=True)
    )
    assert found is not None
    assert round(found, 1) == index
