"""Minutes of a plan: the sum of log-normals against computed figures and Monte Carlo."""

from __future__ import annotations

import math

import numpy as np
import pytest

from crestrail.pricing.book import build_book
from crestrail.pricing.effort import PlanRow, step_row, total, typed_row
from crestrail.pricing.history import Settings
from crestrail.pricing.linear import Model, cross, dot, model_from
from helpers.pricing_histories import AS_OF, past

BARE = Model({}, [], [], 1.0, 1.0)


def test_two_log_normals_add_up_to_the_matched_one() -> None:
    """mu ln 110, ln 100, sigma 0.25, 0.15: Fenton-Wilkinson gives 5.357472, 0.151077 and a mean
    of 214.6231 (computed from the formula; not to be confused with Lo's method of 2013)."""
    model = Model({}, [], [], 0.25**2, 1.0)
    plan = [PlanRow((), math.log(110)), PlanRow((), math.log(100), 0.15**2 / 0.25**2 - 1.0)]
    got = total(model, plan, 0.0)
    assert (got.mu, got.s) == pytest.approx((5.357472, 0.151077), abs=5e-7)
    assert got.mean == pytest.approx(214.6231, abs=5e-5)


def test_ten_standard_log_normals_add_up_to_the_matched_one() -> None:
    """Ten of mu 0 and sigma 1 give 2.723303 and 0.398202 (computed from the formula)."""
    got = total(BARE, [PlanRow(())] * 10, 0.0)
    assert (got.mu, got.s) == pytest.approx((2.723303, 0.398202), abs=5e-7)


def test_one_typed_row_is_the_log_normal_itself() -> None:
    got = total(Model({}, [], [], 0.09, 1.1), [typed_row(60)], 0.3)
    assert (got.mu, got.s) == pytest.approx((math.log(60), 0.33))


@pytest.mark.parametrize("seed", [1, 2])
def test_the_total_of_a_plan_meets_monte_carlo(seed: int) -> None:
    part = build_book(past(seed, 20), Settings(), AS_OF)["effort"]
    model = model_from(part)
    names = ["photograph", "list", "deep-clean", "gel-stain", "tighten"]
    plan = [step_row(model, name, 1 + i % 2, 2) for i, name in enumerate(names)]
    got = total(model, plan, part["rho"])
    scale = model.c**2 * model.s2
    spread = np.array(
        [
            [scale * (cross(model, p.row, q.row) + (1.0 if p is q else part["rho"])) for q in plan]
            for p in plan
        ]
    )
    rng = np.random.default_rng(seed)
    centre = [dot(model, p.row) for p in plan]
    minutes = np.exp(rng.multivariate_normal(centre, spread, 400_000)).sum(axis=1)
    assert got.mean == pytest.approx(minutes.mean(), rel=0.005)
    assert [got.low, got.likely, got.high] == pytest.approx(
        np.quantile(minutes, [0.1, 0.5, 0.9]), rel=0.05
    )


@pytest.mark.parametrize("seed", range(6))
def test_sums_of_steps_lie_within_a_few_percent_of_monte_carlo(seed: int) -> None:
    """Plans of three to eight steps of spread 0.5, as the book takes them (0.3 shared): the middle
    and the 20% and 80% points within 1.6%, the 10% and 90% points within 3.1%; with nothing
    shared, where few steps may be most of it, 2% and 4%. The mean is exact."""
    rng = np.random.default_rng(seed)
    logs = rng.uniform(math.log(8), math.log(90), rng.integers(3, 9))
    rho = float(rng.choice((0.0, 0.3)))
    got = total(Model({}, [], [], 0.25, 1.0), [PlanRow((), m) for m in logs], rho)
    spread = 0.25 * (np.full((len(logs), len(logs)), rho) + (1.0 - rho) * np.eye(len(logs)))
    minutes = np.exp(rng.multivariate_normal(logs, spread, 300_000)).sum(axis=1)
    wanted = np.quantile(minutes, (0.1, 0.2, 0.5, 0.8, 0.9))
    points = [got.low, got.minutes(-0.8416212335729143), got.likely]
    points += [got.minutes(0.8416212335729143), got.high]
    off = np.abs(np.log(np.array(points) / wanted))
    near, far = (0.016, 0.031) if rho else (0.02, 0.04)
    assert off[1:4].max() < near
    assert off[[0, 4]].max() < far
    assert got.mean == pytest.approx(minutes.mean(), rel=0.005)
