"""Drop plans: what holds for each of them."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crestrail.pricing.asking import (
    Market,
    best_constant,
    best_plan,
    chance_by,
    evaluate,
)
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate
from vectors.make_asking import answers, market_of

CASES = json.loads((Path(__file__).parent.parent / "vectors" / "asking.json").read_text())
MARKET = Market(Resale(9.5, 0.4), Rate(4, 42, 90), 0.25, 0.08, 700, 10, 3000)
offsets = st.lists(st.sampled_from([x / 50 for x in range(-40, 51)]), min_size=1, max_size=6)


@pytest.mark.parametrize("case", CASES[:6])
def test_the_vectors_are_still_what_python_says(case: dict) -> None:
    got = answers(market_of(case["market"]))
    assert got["week"] == pytest.approx(case["answers"]["week"], rel=1e-9, abs=1e-5)
    assert got["plan"]["offsets"] == tuple(case["answers"]["plan"]["offsets"])
    assert got["plan"]["value"] == pytest.approx(case["answers"]["plan"]["value"], rel=1e-9)


@given(offsets, st.floats(1, 200))
def test_sold_and_unsold_are_everything(steps: list[float], days: float) -> None:
    plan = evaluate(MARKET, steps, days)
    assert sum(plan.sold) + plan.unsold == pytest.approx(1.0)
    assert 0 <= plan.days <= days * len(steps) + 1e-9
    assert chance_by(MARKET, plan, days * len(steps)) == pytest.approx(1 - plan.unsold)


@settings(max_examples=5, deadline=None)
@given(st.floats(0.05, 0.8), st.floats(10, 200))
def test_a_plan_never_rises_and_is_no_worse_than_one_price(s: float, b: float) -> None:
    market = replace(MARKET, resale=Resale(9.5, s), rate=Rate(4, b, 90))
    plan = best_plan(market, 90)
    assert list(plan.offsets) == sorted(plan.offsets, reverse=True), asdict(plan)
    assert plan.value >= best_constant(market, 90).value - 1e-6
