"""A fitted regression as a phone gets it: names, coefficients, packed covariance.

The covariance V (in units of the noise variance) travels as whole millionths, lower triangle
row by row, which keeps the book small and both languages on the very same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

MICRO = 1e-6

Row = Sequence[tuple[int, float]]
"""One row of the regression as (column, value) pairs; columns left out are 0."""


@dataclass(frozen=True, slots=True)
class Model:
    """Coefficients ``m`` and covariance of a regression; ``index`` finds a column by name.

    ``s2`` is the noise variance, ``c`` widens the spread so that the 10% and 90% points are
    those of the Student t predictive distribution. ``noise`` names the kinds whose noise
    variance differs, as a multiple of ``s2``.
    """

    index: Mapping[str, int]
    m: Sequence[float]
    v_micro: Sequence[int]
    s2: float
    c: float
    noise: Mapping[str, float] = field(default_factory=dict)


def model_from(data: Mapping[str, Any]) -> Model:
    """The model out of the part ``price`` or ``effort`` of a price book."""
    index = {name: i for i, name in enumerate(data["names"])}
    noise = data.get("noise", {})
    return Model(index, data["m"], data["v_micro"], data["s2"], data["c"], noise)


def dot(model: Model, row: Row) -> float:
    """The predicted mean of a row."""
    total = 0.0
    for i, value in row:
        total += value * model.m[i]
    return total


def cross(model: Model, row: Row, other: Row) -> float:
    """row' V other: how far the errors of two predicted means go together, per noise variance."""
    total = 0.0
    for i, value in row:
        for j, weight in other:
            at = i * (i + 1) // 2 + j if i >= j else j * (j + 1) // 2 + i
            total += value * weight * model.v_micro[at] * MICRO
    return total


def spread(model: Model, row: Row, more: float) -> float:
    """The standard deviation (log scale) of a new value for a row.

    ``more`` is what is added to the variance, per noise variance: that of a level the model
    never saw, or what the noise of a kind differs by.
    """
    return model.c * math.sqrt(model.s2 * (1.0 + cross(model, row, row) + more))
