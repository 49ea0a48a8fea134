"""The Revised NIOSH Lifting Equation, to say when a lift is beyond one person.

Source: Applications Manual for the Revised NIOSH Lifting Equation, NIOSH publication 94-110
(1994, revised 2021): ``RWL = LC HM VM DM AM FM CM`` and ``LI = load / RWL``. It is about one
person's two-handed lift; carrying, stairs and lifts shared by several people are outside it, and
are answered with reasons instead of a number. Lengths in mm, weights in g, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from crestrail.care.lifting_tables import (
    COUPLING,
    FREQUENCIES,
    FREQUENCY,
    METRIC,
    OUT_OF_SCOPE,
    PRINTED_HORIZONTAL_US,
    US,
    System,
)


@dataclass(frozen=True, slots=True)
class Lift:
    """A lift at the point evaluated.

    ``horizontal`` hands from between the ankles, ``vertical`` hands above the floor, ``travel``
    height difference, ``asymmetry`` degrees from straight ahead, ``per_minute`` lifts a minute,
    ``hours`` of lifting (at most 8), ``coupling`` good, fair or poor. ``origin_vertical`` is where
    the lift began when the destination is evaluated.
    """

    horizontal: float
    vertical: float
    travel: float
    asymmetry: float = 0.0
    per_minute: float = 0.2
    hours: float = 1.0
    coupling: str = "poor"
    origin_vertical: float | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """The answer: ``limit_g`` (recommended weight limit), or None with the reasons why not.

    ``factors`` are the six multipliers in the order of the formula.
    """

    limit_g: float | None
    factors: tuple[float, ...] = ()
    reasons: tuple[str, ...] = ()


def recommended_limit(
    lift: Lift, conditions: Iterable[str] = (), *, system: System = METRIC, rounded: bool = False
) -> Limit:
    """The recommended weight limit of a lift.

    ``conditions`` are codes of ``OUT_OF_SCOPE`` that hold; any of them, or more than 8 hours,
    gives reasons instead of a number. ``rounded`` works as the manual prints it (factors to 2
    places, the limit to 1 in the system's unit), else with full precision. ValueError for an
    unknown condition, a negative length or an unknown coupling.
    """
    reasons = _reasons(lift, conditions)
    if reasons:
        return Limit(None, reasons=reasons)
    factors = _factors(lift, system, rounded)
    limit = system.load_constant * math.prod(factors)
    if rounded:
        limit = _places(limit, 1)
    return Limit(limit * system.grams, factors)


def lifting_index(load_g: float, limit: Limit) -> float | None:
    """Load over limit: above 1 the risk rises for some, above 3 for nearly all; None unknown.

    Infinite where the limit is 0.
    """
    if limit.limit_g is None:
        return None
    return load_g / limit.limit_g if limit.limit_g > 0 else math.inf


def horizontal_from_width(width: float, vertical: float) -> float:
    """Hands' distance estimated from the container's depth, mm (manual: 20 + W/2, 25 + W/2 cm)."""
    return (200.0 if vertical >= 250.0 else 250.0) + width / 2


def one_person_limit(depth: float | None = None) -> int:
    """The most, in whole g, that one person should lift of furniture at the very best.

    Hands at 75 cm, straight ahead, once, a short way up, poor grip. Above it a lift is beyond
    one person; below it nothing is promised. ``depth`` of the piece in mm pushes the hands out.
    """
    best = 750.0
    horizontal = 250.0 if depth is None else horizontal_from_width(depth, best)
    limit = recommended_limit(Lift(horizontal=horizontal, vertical=best, travel=250.0))
    return math.floor((limit.limit_g or 0.0) + 1e-6)


def beyond_one_person(weight_g: int, depth: float | None = None) -> bool:
    """Whether the weight is beyond what one person should lift even at the very best."""
    return weight_g > one_person_limit(depth)


def _reasons(lift: Lift, conditions: Iterable[str]) -> tuple[str, ...]:
    chosen = sorted(set(conditions))
    unknown = [code for code in chosen if code not in OUT_OF_SCOPE]
    if unknown:
        raise ValueError(f"unknown condition {unknown[0]!r}")
    if min(lift.horizontal, lift.vertical, lift.travel, lift.asymmetry, lift.per_minute) < 0:
        raise ValueError("lengths, angle and frequency must not be negative")
    if lift.coupling not in COUPLING:
        raise ValueError(f"coupling is good, fair or poor, not {lift.coupling!r}")
    too_long = ["Lifting for more than 8 hours is outside it."] if lift.hours > 8 else []
    return tuple(OUT_OF_SCOPE[code] for code in chosen) + tuple(too_long)


def _factors(lift: Lift, system: System, rounded: bool) -> tuple[float, ...]:
    h, v, d = (x / system.mm for x in (lift.horizontal, lift.vertical, lift.travel))
    origin = v if lift.origin_vertical is None else lift.origin_vertical / system.mm
    exact = (
        _horizontal(h, system),
        _vertical(v, system),
        _distance(d, system),
        1 - 0.0032 * lift.asymmetry if lift.asymmetry <= 135 else 0.0,
        _frequency(lift.per_minute, lift.hours, origin >= system.low - 1e-9),
        COUPLING[lift.coupling][v >= system.low - 1e-9],
    )
    if not rounded:
        return exact
    printed = PRINTED_HORIZONTAL_US.get(round(h, 6)) if system is US else None
    first = _places(exact[0], 2) if printed is None else printed
    return (first, *(_places(x, 2) for x in exact[1:]))


def _horizontal(h: float, system: System) -> float:
    if h > system.h_most + 1e-9:
        return 0.0
    return min(1.0, system.h_least / h) if h > 0 else 1.0


def _vertical(v: float, system: System) -> float:
    if v > system.far + 1e-9:
        return 0.0
    return 1 - system.v_slope * abs(v - system.low)


def _distance(d: float, system: System) -> float:
    if d > system.far + 1e-9:
        return 0.0
    return min(1.0, 0.82 + system.d_part / d) if d > system.h_least else 1.0


def _frequency(per_minute: float, hours: float, high: bool) -> float:
    """Table 5, between its rows by straight lines."""
    column = (0 if hours <= 1 else 2 if hours <= 2 else 4) + high
    if per_minute <= FREQUENCIES[0]:
        return FREQUENCY[0][column]
    for n in range(1, len(FREQUENCIES)):
        below, above = FREQUENCIES[n - 1], FREQUENCIES[n]
        if per_minute <= above:
            part = (per_minute - below) / (above - below)
            low, top = FREQUENCY[n - 1][column], FREQUENCY[n][column]
            return low + (top - low) * part
    return 0.0


def _places(value: float, places: int) -> float:
    """To so many decimal places, halves up; the last bits of a float don't decide a half."""
    unit = 10.0**places
    return math.floor(value * unit + 0.5 + 1e-9) / unit
