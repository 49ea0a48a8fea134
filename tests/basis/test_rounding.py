from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis.rounding import floor_to, half_up, to_minor
from helpers.vectors import vectors

CASES = vectors("rounding")


@pytest.mark.parametrize(("numerator", "denominator", "result"), CASES["half_up"])
def test_a_quotient_is_rounded_with_halves_up(
    numerator: int, denominator: int, result: int
) -> None:
    assert half_up(numerator, denominator) == result


@pytest.mark.parametrize(("amount", "step", "result"), CASES["floor_to"])
def test_an_amount_is_cut_down_to_the_note(amount: int, step: int, result: int) -> None:
    assert floor_to(amount, step) == result


@pytest.mark.parametrize(("value", "result"), CASES["to_minor"])
def test_a_computed_amount_is_rounded_with_halves_away_from_zero(value: float, result: int) -> None:
    assert to_minor(value) == result


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 2.0**53, -(2.0**53), 1e300])
def test_what_is_no_amount_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        to_minor(value)


@pytest.mark.parametrize("denominator", [0, -1])
def test_a_denominator_has_to_be_positive(denominator: int) -> None:
    with pytest.raises(ValueError, match="positive"):
        half_up(1, denominator)


@pytest.mark.parametrize("step", [0, -5])
def test_a_step_has_to_be_positive(step: int) -> None:
    with pytest.raises(ValueError, match="at least 1"):
        floor_to(1, step)


@given(st.integers(), st.integers(min_value=1))
def test_half_up_is_the_floor_of_the_quotient_and_a_half(n: int, d: int) -> None:
    assert half_up(n, d) == math.floor(Fraction(n, d) + Fraction(1, 2))


@given(st.floats(min_value=-(2.0**53) + 1, max_value=2.0**53 - 1))
def test_to_minor_is_the_nearest_whole_number_of_the_exact_value(value: float) -> None:
    exact = Fraction(value)
    nearest = math.floor(abs(exact) + Fraction(1, 2))
    assert to_minor(value) == (nearest if exact >= 0 else -nearest)


@given(st.integers(), st.integers(min_value=1))
def test_floor_to_is_a_multiple_and_less_than_a_step_away(amount: int, step: int) -> None:
    result = floor_to(amount, step)
    assert result % step == 0
    assert 0 <= amount - result < step
