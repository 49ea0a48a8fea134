"""Slow and obvious versions of the pricing formulas, written apart from the product.

They integrate numerically where the product has closed forms, and know nothing of its modules.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from scipy import integrate, stats


def price_of(book: dict[str, Any], looks: dict[str, Any]) -> tuple[float, float]:
    """Log mean and spread of a piece of a known kind, by a dense matrix product."""
    part = book["price"]
    x = np.zeros(len(part["names"]))
    values = {"all": 1.0, f"kind:{looks['kind']}": 1.0}
    values |= {f"trait:{t}": 1.0 for t in looks["traits"]}
    values |= {"grade": looks["grade"] - 4.0, "lnn": math.log(looks["count"])}
    for i, name in enumerate(part["names"]):
        x[i] = values.get(name, 0.0)
    v = full_matrix(part["v_micro"], len(x)) / 1e6
    mu = float(x @ np.array(part["m"]))
    own = part["noise"].get(looks["kind"], 1.0)
    return mu, part["c"] * math.sqrt(part["s2"] * (own + float(x @ v @ x)))


def full_matrix(packed: Sequence[float], n: int) -> np.ndarray:
    """The symmetric matrix of a packed lower triangle."""
    out = np.zeros((n, n))
    out[np.tril_indices(n)] = packed
    return out + np.tril(out, -1).T


def unsold_by_quadrature(
    rate: tuple[float, float, float], sell: dict[str, Any]
) -> tuple[float, float]:
    """Chance to stand unsold and days of standing, over buyers' rate, miss of the ask and time.

    The rate is gamma distributed, so the survival at a time is its moment generating function,
    here averaged over 2,000 quantiles of the gamma and a fine grid of time.
    """
    a, b, horizon = rate
    lam = stats.gamma(a, scale=1.0 / b).ppf((np.arange(2000) + 0.5) / 2000)
    z = np.linspace(-6, 6, 241)
    pz = stats.norm.pdf(z)
    pz /= pz.sum()
    steps, grid = len(sell["plan"]), 200
    dt = horizon / steps / grid
    left = days = 0.0
    for zj, w in zip(z, pz, strict=True):
        shares = [stats.norm.cdf((sell["kappa"] * zj - o) / sell["omega"]) for o in sell["plan"]]
        exposure = np.concatenate([[0.0], np.cumsum(np.repeat(shares, grid)) * dt])
        survival = np.exp(-np.outer(exposure, lam)).mean(axis=1)
        left += w * survival[-1]
        days += w * integrate.simpson(survival, dx=dt)
    return left * sell["unsold_scale"], days


def loss_by_quadrature(deal: dict[str, float], paid: float) -> float:
    """The chance of a cash loss by integrating the density of the resale price."""
    price = stats.lognorm(deal["s"], scale=math.exp(deal["mu"]))
    fixed = deal["fee_fixed"] + deal["delivery"]
    threshold = (paid + deal["cost"] + fixed) / (1.0 - deal["fee"])
    lost = 0.0
    if threshold > 0.0:
        top = min(threshold, price.ppf(1 - 1e-15))
        lost = integrate.quad(price.pdf, 0.0, top, epsabs=1e-12, limit=400)[0]
    dumped = 1.0 if deal["salvage"] < paid + deal["cost"] else 0.0
    return (1.0 - deal["u"]) * lost + deal["u"] * dumped


def simulate(deal: dict[str, float], paid: float, n: int, seed: int) -> dict[str, float]:
    """What paying ``paid`` came to in ``n`` simulated pieces: means and shares."""
    rng = np.random.default_rng(seed)
    sold = rng.random(n) >= deal["u"]
    price = np.exp(deal["mu"] + deal["s"] * rng.standard_normal(n))
    minutes = np.exp(deal["tmu"] + deal["ts"] * rng.standard_normal(n))
    kept = (1.0 - deal["fee"]) * price - deal["fee_fixed"] - deal["delivery"]
    cash = np.where(sold, kept, deal["salvage"]) - deal["cost"] - paid
    clear = cash - deal["hold"] * deal["days"]
    profit = clear - deal["wage"] * minutes / 60.0
    return {
        "clear": float(clear.mean()),
        "profit": float(profit.mean()),
        "hourly": float(clear.mean() / (minutes.mean() / 60.0)),
        "loss": float((cash < 0).mean()),
        "under_wage": float((profit < 0).mean()),
    }


def least_squares_with_prior(
    x: np.ndarray, y: np.ndarray, w: np.ndarray, prior: tuple[np.ndarray, np.ndarray, float]
) -> np.ndarray:
    """The posterior mean as ordinary least squares on the data and one row per prior belief.

    ``prior`` is means, standard deviations and the noise scale: a belief of standard deviation
    tau is an observation with noise tau, i.e. of weight (s0 / tau)^2.
    """
    m0, tau, s0 = prior
    root = np.sqrt(w)
    stacked = np.vstack([x * root[:, None], np.diag(s0 / tau)])
    values = np.concatenate([y * root, m0 * s0 / tau])
    return np.linalg.lstsq(stacked, values, rcond=None)[0]
