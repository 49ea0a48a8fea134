"""What own returns to finds teach: how soon such pieces are gone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crestrail.pricing.going_back import half_life, left_after
from crestrail.pricing.history import Visit

SHORTEST_HOURS = 1.0 / 60.0


def fit_back(visits: Sequence[Visit]) -> dict[str, Any]:
    """The part ``back`` of the book.

    A piece found was there for all the hours its sale was open; one gone by a visit after
    closing may have been sold or cleared away, so that says nothing about the half-life.
    """
    hours = [max(SHORTEST_HOURS, v.open_hours) for v in visits]
    found = [h for h, v in zip(hours, visits, strict=True) if v.found]
    gone = [h for h, v in zip(hours, visits, strict=True) if not v.found and not v.past_closing]
    half = half_life(found, gone)
    late = [(h, v.found) for h, v in zip(hours, visits, strict=True) if v.past_closing]
    after = left_after(sum(f for _, f in late), [h for h, _ in late], half)
    return {"half_life_h": round(half, 6), "p_after": round(after, 6), "visits": len(visits)}
