"""The choice against all subsets, and against HiGHS (scipy.optimize.milp)."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from crestrail.pricing.choosing import LIMITS, answer_choice
from vectors.make_choosing import drawn


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
    rng = random.Random(500)
    for _ in range(500):
        finds, limits = drawn(rng, rng.randrange(1, 14))
        got = answer_choice(finds, limits)
        assert got["proven"]
        assert (got["value"], got["used"]["cash"]) == best_of_all(finds, limits)
        assert all(out["why"] for out in got["out"])


@pytest.mark.parametrize("n", [15, 20, 22, 25])
def test_large_choices_are_worth_what_highs_finds(n: int) -> None:
    rng = random.Random(n)
    for _ in range(4):
        finds, limits = drawn(rng, n)
        names = [k for k in LIMITS if k in limits] or ["cash"]
        room = [limits.get(k, 10**9) for k in names]
        got = answer_choice(finds, limits)
        wanted = milp(
            -np.array([f["value"] for f in finds]),
            constraints=LinearConstraint([[f[k] for f in finds] for k in names], ub=room),
            integrality=np.ones(n),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0},
        )
        assert got["proven"]
        assert got["value"] == round(-wanted.fun)
