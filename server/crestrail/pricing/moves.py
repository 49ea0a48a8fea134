"""What each look of a find does to its price, in money."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from crestrail.basis.rounding import to_minor
from crestrail.pricing.linear import cross, model_from
from crestrail.pricing.normal import Z90


def moved_by(book: Mapping[str, Any], likely: int, traits: Sequence[str]) -> list[dict[str, Any]]:
    """For each trait ``{trait, known, amount, low, high, sales}``, money in minor units.

    ``amount`` is how much less a piece that likely brings ``likely`` would bring without it, as
    the book has it, ``low`` and ``high`` its 10% and 90% points; ``sales`` are own ones with it.
    """
    model, seen = model_from(book["price"]), book["counts"].get("traits", {})
    found = []
    for trait in traits:
        at = model.index.get(f"trait:{trait}")
        middle = reach = 0.0
        if at is not None:
            one = ((at, 1.0),)
            middle = model.m[at]
            reach = Z90 * model.c * math.sqrt(model.s2 * cross(model, one, one))
        amounts = [to_minor(likely - likely * math.exp(-x))
                   for x in (middle, middle - reach, middle + reach)]  # fmt: skip
        found.append(
            {"trait": trait, "known": at is not None, "amount": amounts[0], "low": amounts[1],
             "high": amounts[2], "sales": seen.get(trait, 0)}
        )  # fmt: skip
    return found
