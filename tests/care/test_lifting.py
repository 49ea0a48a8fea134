"""Where the lifting equation answers, and where it says why it doesn't."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.care.lifting import (
    Lift,
    beyond_one_person,
    horizontal_from_width,
    lifting_index,
    one_person_limit,
    recommended_limit,
)
from crestrail.care.lifting_tables import METRIC, OUT_OF_SCOPE, US
from helpers.vectors import vectors

EASY = Lift(horizontal=250.0, vertical=750.0, travel=250.0, coupling="good")


def test_the_easiest_lift_has_the_load_constant_as_its_limit() -> None:
    assert recommended_limit(EASY).limit_g == 23_000


@pytest.mark.parametrize("condition", sorted(OUT_OF_SCOPE))
def test_out_of_scope_gives_a_reason_instead_of_a_number(condition: str) -> None:
    found = recommended_limit(EASY, [condition])
    assert found.limit_g is None
    assert found.reasons == (OUT_OF_SCOPE[condition],)
    assert lifting_index(20_000, found) is None


def test_more_than_eight_hours_is_out_of_scope() -> None:
    found = recommended_limit(Lift(250, 750, 250, hours=8.5))
    assert found.limit_g is None
    assert "8 hours" in found.reasons[0]


@pytest.mark.parametrize(
    "lift",
    [Lift(-1, 750, 250), Lift(250, -1, 250), Lift(250, 750, 250, coupling="sticky")],
)
def test_what_is_not_a_lift_is_refused(lift: Lift) -> None:
    with pytest.raises(ValueError, match=r"negative|coupling"):
        recommended_limit(lift)


def test_an_unknown_condition_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown condition"):
        recommended_limit(EASY, ["on the moon"])


@pytest.mark.parametrize(
    "lift",
    [
        Lift(631, 750, 250),
        Lift(250, 1751, 250),
        Lift(250, 750, 1751),
        Lift(250, 750, 250, asymmetry=136),
        Lift(250, 750, 250, per_minute=15.1),
    ],
)
def test_out_of_reach_the_limit_is_nothing(lift: Lift) -> None:
    found = recommended_limit(lift)
    assert found.limit_g == 0
    assert lifting_index(1, found) == math.inf


def test_at_the_destination_the_height_at_the_origin_decides_how_often_is_too_often() -> None:
    # Table 5 goes by the hands' height at the origin: 9 lifts a minute over 8 hours.
    low = Lift(250, 900, 250, per_minute=9, hours=8, coupling="good", origin_vertical=500)
    high = Lift(250, 900, 250, per_minute=9, hours=8, coupling="good", origin_vertical=800)
    assert recommended_limit(low).factors[4] == 0
    assert recommended_limit(high).factors[4] == 0.15


@pytest.mark.parametrize(
    ("width", "vertical", "horizontal"), [(400, 250, 400), (400, 249, 450), (0, 750, 200)]
)
def test_hands_reach_round_half_the_width(width: int, vertical: int, horizontal: int) -> None:
    # Manual p. 8: 20 + W/2 cm, from below 25 cm 25 + W/2.
    assert horizontal_from_width(width, vertical) == horizontal


def test_one_person_lifts_at_most_the_constant_with_a_poor_grip() -> None:
    assert one_person_limit() == 20_700
    assert not beyond_one_person(20_700)
    assert beyond_one_person(20_701)


def test_a_deep_piece_is_beyond_one_person_whatever_it_weighs() -> None:
    assert one_person_limit(900) == 0
    assert beyond_one_person(1, 900)


LIFTS = st.builds(
    Lift,
    horizontal=st.floats(0, 700),
    vertical=st.floats(0, 1800),
    travel=st.floats(0, 1800),
    asymmetry=st.floats(0, 140),
    per_minute=st.floats(0, 16),
    hours=st.floats(0, 8),
    coupling=st.sampled_from(["good", "fair", "poor"]),
)


@given(LIFTS)
def test_no_lift_has_more_than_the_constant_or_less_than_nothing(lift: Lift) -> None:
    for system in (METRIC, US):
        found = recommended_limit(lift, system=system).limit_g
        assert found is not None
        assert 0 <= found <= system.load_constant * system.grams + 1e-6


@given(LIFTS, st.floats(0, 100))
def test_holding_it_farther_out_never_raises_the_limit(lift: Lift, more: float) -> None:
    near = recommended_limit(lift).limit_g
    far = recommended_limit(
        Lift(
            lift.horizontal + more, lift.vertical, lift.travel, lift.asymmetry, lift.per_minute,
            lift.hours, lift.coupling,
        )
    ).limit_g  # fmt: skip
    assert near is not None
    assert far is not None
    assert far <= near + 1e-9


@pytest.mark.parametrize("row", vectors("lifting")["lifts"])
def test_limits_are_those_that_the_phone_is_held_to(row: dict[str, object]) -> None:
    lift, conditions = row["lift"], row["conditions"]
    assert isinstance(lift, dict)
    assert isinstance(conditions, list)
    system = METRIC if row["system"] == "metric" else US
    found = recommended_limit(Lift(**lift), conditions, system=system, rounded=bool(row["rounded"]))
    assert found.limit_g == row["limit_g"]
    assert list(found.factors) == row["factors"]
    assert list(found.reasons) == row["reasons"]
