"""Bayesian linear regression with a conjugate prior, robust weights, and the t predictive.

Normal-inverse-gamma prior: coefficients normal around ``m0`` with standard deviations ``tau``,
noise scale ``s0`` known as well as from ``nu0`` observations. The textbook posterior (Gelman et
al., Bayesian Data Analysis, ch. 14), with each row's weight lowered when it lies far off, as a
t distribution with ``robust`` degrees of freedom for single rows would. Rows of some groups may
be noisier than others: each group has a noise of its own, shrunk to that of all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from crestrail.pricing.normal import Z90

Vector = NDArray[Any]

M_DECIMALS = 6
MILLION = 1_000_000
MOST_ROUNDS = 200
STILL = 1e-12


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
class Groups:
    """Rows that share a noise: the column of each row's group, and how many rows the belief is
    worth that all groups are alike."""

    column: Vector
    worth: float


@dataclass(frozen=True, slots=True)
class Posterior:
    """What was learned: coefficients, covariance per noise variance, degrees of freedom,
    noise variance, and the factor ``c`` that makes a normal meet the t's 10% and 90% points.
    ``noise`` is the noise variance of each column's group as a multiple of ``s2``."""

    names: tuple[str, ...]
    m: Vector
    v: Vector
    nu: float
    s2: float
    c: float
    noise: Vector

    def without(self, name: str) -> Posterior:
        """The posterior of the other columns (the exact marginal)."""
        return self.folded(name, self.names[0], 0.0)

    def folded(self, name: str, into: str, value: float) -> Posterior:
        """The posterior without a column that has one ``value`` wherever ``into`` is 1: what it
        adds becomes part of that one."""
        out, at = self.names.index(name), self.names.index(into)
        keep = [i for i in range(len(self.names)) if i != out]
        shift = np.eye(len(self.names))
        shift[at, out] = value
        m, v = shift @ self.m, shift @ self.v @ shift.T
        names = tuple(self.names[i] for i in keep)
        return replace(
            self, names=names, m=m[keep], v=v[np.ix_(keep, keep)], noise=self.noise[keep]
        )

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


@cache
def consistency(robust: float) -> float:
    """What part of a normal noise's variance the robust weights leave: where they stand still,
    the weighted mean of squares is this share of the variance."""
    z, weight = np.polynomial.hermite_e.hermegauss(60)
    share = 1.0
    for _ in range(MOST_ROUNDS):
        kept = (robust + 1.0) / (robust + z * z / share) * z * z
        share = float((weight * kept).sum() / weight.sum())
    return share


def _group_noise(groups: Groups, weight: Vector, squares: Vector, columns: int) -> Vector:
    """The noise variance of each column's group per ``s2``, from squared residuals per ``s2``."""
    found, rows = np.full(columns, groups.worth), np.full(columns, groups.worth)
    np.add.at(found, groups.column, weight * squares)
    np.add.at(rows, groups.column, weight)
    share: Vector = found / rows
    return share


def fit(prior: Prior, rows: Rows, groups: Groups | None = None) -> Posterior:
    """The posterior; weights and coefficients are iterated until they stand still."""
    noise, columns = prior.noise, len(prior.names)
    weight0 = np.diag(noise.s0**2 / prior.tau**2)
    share = 1.0 if noise.robust is None else consistency(noise.robust)
    a = noise.nu0 / 2.0 + float(rows.w.sum()) / 2.0
    b, m = noise.nu0 * noise.s0**2 / 2.0, prior.m0
    factors, of_row, own = np.ones_like(rows.y), np.ones_like(rows.y), np.ones(columns)
    for _ in range(MOST_ROUNDS):
        w = rows.w * factors / of_row
        precision = weight0 + rows.x.T @ (w[:, None] * rows.x)
        last, m = m, np.linalg.solve(precision, weight0 @ prior.m0 + rows.x.T @ (w * rows.y))
        squares = (rows.y - rows.x @ m) ** 2 / of_row
        from_prior = m - prior.m0
        lost = float((rows.w * factors * squares).sum()) / share
        lost += float(from_prior @ weight0 @ from_prior)
        before, b = b, (noise.nu0 * noise.s0**2 + lost) / 2.0
        still = float(np.abs(m - last).max()) < STILL and abs(b - before) < STILL * b
        if still or (noise.robust is None and groups is None):
            break
        if noise.robust is not None:
            factors = (noise.robust + 1.0) / (noise.robust + squares / share * a / b)
        if groups is not None:
            own = _group_noise(groups, rows.w * factors, squares * of_row / share * a / b, columns)
            of_row = own[groups.column]
    nu = 2.0 * a
    c = float(stdtrit(nu, 0.9)) / Z90
    return Posterior(prior.names, m, np.linalg.inv(precision), nu, b / a, c, own)
