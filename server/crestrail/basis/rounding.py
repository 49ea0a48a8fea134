"""The roundings that are allowed, written out so that both languages give the same bits.

``round()`` (half to even) and ``Math.round`` (half towards plus infinity) disagree, so
neither is used for anything that is kept or shown.
"""

from __future__ import annotations

import math

SAFE = 2**53 - 1
"""The largest whole number that every number up to it is exact in both languages."""


def half_up(numerator: int, denominator: int) -> int:
    """``numerator / denominator`` to the nearest whole number, halves towards plus infinity.

    ValueError unless the denominator is positive.
    """
    if denominator <= 0:
        raise ValueError("the denominator has to be positive")
    return (2 * numerator + denominator) // (2 * denominator)


def floor_to(amount: int, step: int) -> int:
    """The largest multiple of ``step`` that is not above ``amount``; ValueError if step < 1."""
    if step < 1:
        raise ValueError("the step has to be at least 1")
    return amount // step * step


def to_minor(value: float) -> int:
    """A computed amount in minor units to a whole number, halves away from zero.

    The one way from a formula's float to money. The fraction is compared as it is (no 0.5 is
    added before the floor), which is exact. ValueError for NaN, infinities and beyond 2**53.
    """
    if not math.isfinite(value) or abs(value) > SAFE:
        raise ValueError("an amount has to be a finite number within 2**53")
    size = abs(value)
    whole = math.floor(size)
    if size - whole >= 0.5:
        whole += 1
    return -whole if value < 0 else whole
