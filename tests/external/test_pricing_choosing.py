"""The choice against all subsets, and against HiGHS (scipy.optimize.milp)."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from crestrail.pricing.choosing import LIMITS, answer_choice
from vectors.make_choosing import alike, drawn

Draw = Callable[[random.Random, int], tuple[list[dict[str, int]], dict[str, int]]]


def best_of_all(finds: list[dict[str, int]], limits: dict[str, int]) -> tuple[int, int]:
    """The highest value and, of those, the least cash, by looking at every subset."""
    masks = (np.arange(2 ** len(finds))[:, None] >> np.arange(len(finds))) & 1
    fits = np.ones(len(masks), bool)
    for k, room in limits.items():
        fits &= masks @ np.array([f[k] for f in finds]) <= room
    value = masks @ np.array([f["value"] for f in finds])
    cash = masks @ np.array([f["cash"] for f in finds])
    top = value[fits].max()
    return int(top), int(cash[fits & (value == top)].min())


def test_500_choices_are_those_of_looking_at_every_subset() -> None:
    seed = 500
    rng = random.Random(seed)
    for case in range(500):
        draw = alike if case % 2 else drawn
        finds, limits = draw(rng, rng.randrange(1, 14))
        got = answer_choice(finds, limits)
        where = f"seed {seed}, case {case}"
        assert got["proven"], where
        assert (got["value"], got["used"]["cash"]) == best_of_all(finds, limits), where
        assert all(out["why"] for out in got["out"]), where


@pytest.mark.parametrize("draw", [drawn, alike])
@pytest.mark.parametrize("n", [15, 20, 25])
def test_large_choices_are_worth_what_highs_finds(draw: Draw, n: int) -> None:
    rng = random.Random(n)
    for case in range(4):
        finds, limits = draw(rng, n)
        names = [k for k in LIMITS if k in limits] or ["cash"]
        room = [limits.get(k, 10**9) for k in names]
        got = answer_choice(finds, limits, 2_000_000)
        wanted = milp(
            -np.array([f["value"] for f in finds]),
            constraints=LinearConstraint([[f[k] for f in finds] for k in names], ub=room),
            integrality=np.ones(n),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0},
        )
        assert got["proven"], f"seed {n}, case {case}"
        assert got["value"] == round(-wanted.fun), f"seed {n}, case {case}"


def test_a_choice_that_is_not_proven_is_still_one_that_fits_and_is_nearly_the_best() -> None:
    rng = random.Random(11)
    for _ in range(10):
        finds, limits = alike(rng, 25)
        quick, full = (answer_choice(finds, limits, budget) for budget in (100, 2_000_000))
        assert all(left >= 0 for left in quick["left"].values())
        assert 0.9 * full["value"] < quick["value"] <= full["value"]
