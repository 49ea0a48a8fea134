"""Bayesian linear regression with a conjugate prior, robust weights, and the t predictive.

Normal-inverse-gamma prior: coefficients normal around ``m0`` with standard deviations ``tau``,
noise scale ``s0`` known as well as from ``nu0`` observations. The textbook posterior (Gelman et
al., Bayesian Data Analysis, ch. 14), with each row's weight lowered when it lies far off, as a
t distribution with ``robust`` degrees of freedom for single rows would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from crestrail.pricing.normal import Z90

Vector = NDArray[Any]

M_DECIMALS = 6
MILLION = 1_000_000
MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Noise:
    """The prior of the noise: scale ``s0`` worth ``nu0`` observations; ``robust`` degrees of
    freedom for single rows, None for off."""

    s0: float
    nu0: float
    robust: float | None = 8.0


@dataclass(frozen=True, slots=True)
class Prior:
    """Names of the columns with prior means and standard deviations."""

    names: tuple[str, ...]
    m0: Vector
    tau: Vector
    noise: Noise


@dataclass(frozen=True, slots=True)
class Rows:
    """Observations: design ``x``, values ``y``, weights ``w``."""

    x: Vector
    y: Vector
    w: Vector


@dataclass(frozen=True, slots=True)
class Posterior:
    """What was learned: coefficients, covariance per noise variance, degrees of freedom,
    noise variance, and the factor ``c`` that makes a normal meet the t's 10% and 90% points."""

    names: tuple[str, ...]
    m: Vector
    v: Vector
    nu: float
    s2: float
    c: float

    def without(self, name: str) -> Posterior:
        """The posterior of the other columns (the exact marginal)."""
        keep = [i for i, n in enumerate(self.names) if n != name]
        names = tuple(self.names[i] for i in keep)
        return Posterior(names, self.m[keep], self.v[np.ix_(keep, keep)], self.nu, self.s2, self.c)

    def as_data(self) -> dict[str, Any]:
        """The posterior as it is shipped, rounded before anybody evaluates it."""
        lower = self.v[np.tril_indices(len(self.names))]
        return {
            "names": list(self.names),
            "m": [round(float(x), M_DECIMALS) for x in self.m],
            "v_micro": [round(float(x) * MILLION) for x in lower],
            "nu": round(self.nu, M_DECIMALS),
            "s2": float(f"{self.s2:.9g}"),
            "c": float(f"{self.c:.9g}"),
        }


def design(names: Sequence[str], rows: Sequence[dict[str, float]]) -> Vector:
    """The design matrix of rows given by column name; names that are no column are left out."""
    index = {name: i for i, name in enumerate(names)}
    x = np.zeros((len(rows), len(names)))
    for i, row in enumerate(rows):
        for name, value in row.items():
            if name in index:
                x[i, index[name]] = value
    return x


def fit(prior: Prior, rows: Rows) -> Posterior:
    """The posterior; robust weights and coefficients are iterated until they stand still."""
    noise = prior.noise
    weight0 = np.diag(noise.s0**2 / prior.tau**2)
    a = noise.nu0 / 2.0 + float(rows.w.sum()) / 2.0
    b, m = noise.nu0 * noise.s0**2 / 2.0, prior.m0
    factors = np.ones_like(rows.y)
    for _ in range(MOST_ROUNDS):
        w = rows.w * factors
        precision = weight0 + rows.x.T @ (w[:, None] * rows.x)
        last, m = m, np.linalg.solve(precision, weight0 @ prior.m0 + rows.x.T @ (w * rows.y))
        off = rows.y - rows.x @ m
        from_prior = m - prior.m0
        lost = float((w * off**2).sum() + from_prior @ weight0 @ from_prior)
        b = noise.nu0 * noise.s0**2 / 2.0 + lost / 2.0
        if noise.robust is None or float(np.abs(m - last).max()) < 1e-12:
            break
        factors = (noise.robust + 1.0) / (noise.robust + off**2 * a / b)
    nu = 2.0 * a
    c = float(stdtrit(nu, 0.9)) / Z90
    return Posterior(prior.names, m, np.linalg.inv(precision), nu, b / a, c)
