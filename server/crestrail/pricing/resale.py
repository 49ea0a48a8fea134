"""What a piece will bring: the log of the price is a sum of what its kind and traits add."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.pricing.linear import Model, Row, dot, spread
from crestrail.pricing.normal import Z90

REFERENCE_GRADE = 4
"""Typical prices are those of a piece finished to this grade, the usual one."""


@dataclass(frozen=True, slots=True)
class Looks:
    """What the price of a piece depends on. ``kind_price`` (minor units) is the typical price
    of one piece of a kind the book does not know; None when nobody said it."""

    kind: str | None
    traits: Sequence[str]
    count: int
    grade: int
    kind_price: int | None = None


@dataclass(frozen=True, slots=True)
class Resale:
    """A log-normal resale price: ``mu`` and ``s`` of the log of minor units; ``doubt`` is the part
    of the variance that comes from not knowing yet what the kind and its traits bring."""

    mu: float
    s: float
    doubt: float = 0.0

    def quantile(self, z: float) -> float:
        """The price (minor units) at ``z`` standard deviations from the middle."""
        return math.exp(self.mu + self.s * z)

    @property
    def low(self) -> float:
        """The price that one piece in ten stays below."""
        return self.quantile(-Z90)

    @property
    def likely(self) -> float:
        """The middle price: half bring more, half less."""
        return math.exp(self.mu)

    @property
    def high(self) -> float:
        """The price that one piece in ten exceeds."""
        return self.quantile(Z90)

    @property
    def mean(self) -> float:
        """The average price, above the middle one because some bring much more."""
        return math.exp(self.mu + self.s * self.s / 2.0)

    @property
    def counted(self) -> float:
        """The average price to count on: doubt is no chance of more.

        Kinds that one thinks too much of are the ones that look worth buying, so that what is
        bought brings less than all that might be.
        """
        return math.exp(self.mu + (self.s * self.s - self.doubt) / 2.0)


def row_of(model: Model, looks: Looks) -> Row:
    """The row of a piece; a trait the book does not know adds nothing."""
    row = [(model.index["all"], 1.0)]
    names = [f"kind:{looks.kind}", *(f"trait:{t}" for t in looks.traits)]
    row += [(model.index[name], 1.0) for name in names if name in model.index]
    row.append((model.index["grade"], float(looks.grade - REFERENCE_GRADE)))
    row.append((model.index["lnn"], math.log(looks.count)))
    return row


def more_noise(model: Model, kind: str | None, unknown: Mapping[str, Any]) -> float:
    """What to add to the variance of a new price, per noise variance: ``unknown`` for a kind the
    book does not know, for another what its noise differs by from that of all."""
    if f"kind:{kind}" not in model.index:
        return float(unknown["kind"])
    return model.noise.get(kind or "", 1.0) - 1.0


def predict(model: Model, looks: Looks, unknown: Mapping[str, Any]) -> Resale | None:
    """What the piece brings; None where neither the book nor the person knows its kind.

    ``unknown`` holds the prior variance per noise variance of a level not in the book.
    """
    known = f"kind:{looks.kind}" in model.index
    if not known and looks.kind_price is None:
        return None
    row = row_of(model, looks)
    mu = dot(model, row)
    if not known and looks.kind_price is not None:
        mu += math.log(looks.kind_price)
    more = more_noise(model, looks.kind, unknown)
    s = spread(model, row, more)
    single = model.c * model.c * model.s2 * (1.0 + more if known else 1.0)
    return Resale(mu, s, max(0.0, s * s - single))
