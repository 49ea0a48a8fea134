"""How long the work takes: minutes of a plan of steps, as one log-normal total."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.pricing.linear import Model, Row, cross, dot, model_from
from crestrail.pricing.normal import Z90

REFERENCE_GRADE = 3
"""Typical minutes are those for a piece found in this grade."""


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One step of a plan: its row in the model, what the person's own figure adds to the log
    of its minutes, and the extra variance of a step the book does not know."""

    row: Row
    typed_log: float = 0.0
    extra: float = 0.0


@dataclass(frozen=True, slots=True)
class Effort:
    """Minutes of work: a log-normal with ``mu``, ``s`` and exact ``mean`` (0: no work)."""

    mu: float
    s: float
    mean: float

    def minutes(self, z: float) -> float:
        """The minutes at ``z`` standard deviations from the middle."""
        return math.exp(self.mu + self.s * z) if self.mean > 0.0 else 0.0

    @property
    def low(self) -> float:
        """The minutes that one plan in ten stays below."""
        return self.minutes(-Z90)

    @property
    def likely(self) -> float:
        """The middle of what it may take."""
        return self.minutes(0.0)

    @property
    def high(self) -> float:
        """The minutes that one plan in ten exceeds."""
        return self.minutes(Z90)


NO_EFFORT = Effort(0.0, 0.0, 0.0)


def step_row(model: Model, step: str, units: int, found_grade: int) -> PlanRow:
    """The row of a step the book knows, done ``units`` times on a piece found in that grade."""
    return PlanRow(
        (
            (model.index["all"], 1.0),
            (model.index[f"step:{step}"], 1.0),
            (model.index["lnu"], math.log(units)),
            (model.index["grade"], float(found_grade - REFERENCE_GRADE)),
        )
    )


def new_step_row(model: Model, minutes: float, unknown: Mapping[str, Any]) -> PlanRow:
    """The row of a step only the person knows, at the minutes they expect in all."""
    return PlanRow(((model.index["all"], 1.0),), math.log(minutes), unknown["step"])


def typed_row(minutes: float) -> PlanRow:
    """The row that stands for minutes the person typed for the whole bench work."""
    return PlanRow((), math.log(minutes))


def total(model: Model, plan: Sequence[PlanRow], rho: float) -> Effort:
    """The minutes of a whole plan.

    The steps share the errors of the coefficients, and ``rho`` of their noise (a difficult
    piece is difficult in every step). The sum is a log-normal with the exact mean and variance
    (Fenton, IRE Trans. Comm. Systems 8, 1960).
    """
    if not plan:
        return NO_EFFORT
    scale = model.c * model.c * model.s2
    shared = [
        [
            scale * (cross(model, p.row, q.row) + (1.0 + p.extra if i == j else rho))
            for j, q in enumerate(plan)
        ]
        for i, p in enumerate(plan)
    ]
    means = [
        math.exp(dot(model, p.row) + p.typed_log + shared[i][i] / 2.0) for i, p in enumerate(plan)
    ]
    mean = 0.0
    variance = 0.0
    for i, m in enumerate(means):
        mean += m
        for j, n in enumerate(means):
            variance += m * n * math.expm1(shared[i][j])
    s2 = math.log1p(variance / (mean * mean))
    return Effort(math.log(mean) - s2 / 2.0, math.sqrt(s2), mean)


ENOUGH_STINTS = 5
"""Below this many finished steps nothing is said about a person's own figure."""
PACE_Z = 1.6448536269514722
"""The 95% point of the standard normal distribution: intervals of a pace run from 5% to 95%."""


def pace(book: Mapping[str, Any]) -> list[dict[str, Any]]:
    """How what was learned of each step's minutes compares with the person's own figure.

    ``{step, ratio, low, high, stints, says}`` for each step with a figure; says is few, as_said,
    longer or quicker, the last two only where the interval leaves no doubt.
    """
    model, done = model_from(book["effort"]), book["counts"].get("steps", {})
    found = []
    for step, known in book["steps"].items():
        if not known["minutes"] or f"step:{step}" not in model.index:
            continue
        row = ((model.index["all"], 1.0), (model.index[f"step:{step}"], 1.0))
        off = dot(model, row) - math.log(known["minutes"])
        reach = PACE_Z * model.c * math.sqrt(model.s2 * cross(model, row, row))
        low, high, stints = math.exp(off - reach), math.exp(off + reach), done.get(step, 0)
        says = "as_said"
        if stints < ENOUGH_STINTS:
            says = "few"
        elif low > 1.0:
            says = "longer"
        elif high < 1.0:
            says = "quicker"
        found.append(
            {"step": step, "ratio": math.exp(off), "low": low, "high": high,
             "stints": stints, "says": says}
        )  # fmt: skip
    return found
