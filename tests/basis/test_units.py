"""Measures, held to the exact definitions named in tests/vectors/units.json."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crestrail.basis import units
from crestrail.basis.errors import BadInput
from helpers.vectors import vectors

CASES = vectors("units")


@pytest.mark.parametrize(("measure", "system", "count", "base"), CASES["exact"])
def test_the_factors_are_the_defined_ones(measure: str, system: str, count: int, base: int) -> None:
    unit = units.UNITS[measure][system]
    assert units.to_base(count, 1, unit) == base
    assert units.in_parts(base, unit) == count * unit.parts


@pytest.mark.parametrize(("text", "quantity"), CASES["quantity"])
def test_a_typed_quantity_is_read_exactly(text: str, quantity: list[int]) -> None:
    assert units.parse_quantity(text) == tuple(quantity)


@pytest.mark.parametrize("text", CASES["quantity_refused"])
def test_what_is_no_quantity_is_refused(text: str) -> None:
    with pytest.raises(BadInput) as refusal:
        units.parse_quantity(text)
    assert refusal.value.code == "bad_quantity"


@pytest.mark.parametrize(("text", "measure", "system", "base"), CASES["parse"])
def test_a_typed_measure_is_kept_in_base_units(
    text: str, measure: str, system: str, base: int
) -> None:
    assert units.parse_measure(text, measure, system) == base


@pytest.mark.parametrize(("base", "measure", "system", "text"), CASES["show"])
def test_base_units_are_shown_in_the_persons_own(
    base: int, measure: str, system: str, text: str
) -> None:
    assert units.show_measure(base, measure, system) == text


@given(st.integers(min_value=0, max_value=4000))
def test_quarter_inches_survive_being_kept_in_millimetres(quarters: int) -> None:
    unit = units.UNITS["length"]["us"]
    assert units.in_parts(units.to_base(quarters, 4, unit), unit) == quarters


@given(st.integers(min_value=0, max_value=50_000_000), st.sampled_from(["us", "metric"]))
def test_what_is_shown_can_be_typed_again_and_shows_the_same(base: int, system: str) -> None:
    for measure in ("length", "weight"):
        text = units.show_measure(base, measure, system)
        again = units.parse_measure(text, measure, system)
        assert units.show_measure(again, measure, system) == text
