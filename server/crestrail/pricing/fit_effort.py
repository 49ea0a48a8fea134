"""Fitting how long steps take: own stints against the person's usual minutes."""

from __future__ import annotations

import math
from datetime import date

import numpy as np

from crestrail.pricing.conjugate import Noise, Posterior, Prior, Rows, design, fit
from crestrail.pricing.effort import REFERENCE_GRADE
from crestrail.pricing.fit_resale import recency
from crestrail.pricing.history import History, StepOfWork, Stint

NOISE = Noise(s0=0.45, nu0=12.0)
ALL_SD, STEP_SD, UNITS_SD, GRADE_SD = 0.30, 0.35, 0.15, 0.08
UNITS_MEAN, GRADE_MEAN = 0.95, -0.08
RHO = 0.30
"""How far the noise of two steps on one piece goes together: a difficult piece is difficult."""


def timed_steps(history: History) -> list[StepOfWork]:
    """The steps that take time; one of 0 minutes is in no plan."""
    return [s for s in history.steps if s.typical_minutes]


def _columns(stint: Stint) -> dict[str, float]:
    grade = REFERENCE_GRADE if stint.found_grade is None else stint.found_grade
    return {
        "all": 1.0,
        f"step:{stint.step}": 1.0,
        "lnu": math.log(stint.units),
        "grade": float(grade - REFERENCE_GRADE),
    }


def prior_of(history: History) -> Prior:
    """The prior: usual minutes of one unit, a little less for every further unit."""
    steps = timed_steps(history)
    names = ("all", *(f"step:{s.slug}" for s in steps), "lnu", "grade")
    means = [0.0, *(math.log(s.typical_minutes or 1) for s in steps), UNITS_MEAN, GRADE_MEAN]
    tau = [ALL_SD, *(STEP_SD for _ in steps), UNITS_SD, GRADE_SD]
    return Prior(names, np.array(means), np.array(tau), NOISE)


def fit_effort(history: History, as_of: date) -> Posterior:
    """How long steps take, from stints of steps the book holds."""
    prior = prior_of(history)
    stints = [s for s in history.stints if s.minutes > 0 and f"step:{s.step}" in prior.names]
    x = design(prior.names, [_columns(s) for s in stints])
    y = np.array([math.log(s.minutes) for s in stints])
    w = np.array([recency(s.on, as_of) for s in stints])
    return fit(prior, Rows(x, y, w))


def unknown_levels() -> dict[str, float]:
    """Prior variance, per noise variance, of a step the book does not hold."""
    return {"step": (STEP_SD / NOISE.s0) ** 2}
