"""What supplies a step uses up: the person's own figure, moved by what finished pieces used."""

from __future__ import annotations

import numpy as np

from crestrail.basis.rounding import to_minor
from crestrail.pricing.history import History

OWN_SHARE, OWN_LEAST = 0.6, 25.0
"""How far off a person's figure may be: a share of it and a little more, in minor units."""
NOISE_SHARE, NOISE_LEAST = 0.5, 100.0
"""How far one piece's supplies scatter about the sum over its steps."""


def fit_supplies(history: History) -> dict[str, int]:
    """Supplies of one unit of each step in minor units, never below 0.

    A piece's supplies are known in all and not by step, so this is a linear regression of the
    sums on the units, each step's cost normal around the person's figure.
    """
    steps = [s.slug for s in history.steps]
    typed = np.array([float(s.supplies_cost) for s in history.steps])
    at = {slug: i for i, slug in enumerate(steps)}
    used = [u for u in history.used if any(slug in at for slug, _ in u.steps)]
    if not used:
        return {s.slug: s.supplies_cost for s in history.steps}
    units = np.zeros((len(used), len(steps)))
    for row, piece in zip(units, used, strict=True):
        for slug, count in piece.steps:
            if slug in at:
                row[at[slug]] += count
    expected = units @ typed
    weight = 1.0 / (NOISE_SHARE * expected + NOISE_LEAST) ** 2
    prior = np.diag(1.0 / (OWN_SHARE * typed + OWN_LEAST) ** 2)
    off = np.array([float(u.cost) for u in used]) - expected
    moved = np.linalg.solve(prior + units.T @ (weight[:, None] * units), units.T @ (weight * off))
    return {slug: to_minor(max(0.0, float(typed[i] + moved[i]))) for slug, i in at.items()}
