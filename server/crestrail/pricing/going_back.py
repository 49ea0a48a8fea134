"""Whether to drive back for a piece: the chance it is still there against the way and the time."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.basis.clock import from_text, is_instant, to_ms
from crestrail.basis.rounding import to_minor
from crestrail.pricing.find import Problems
from crestrail.pricing.pad import price_find

PRIOR_HOURS, PRIOR_WEIGHT = 3.0, 3.0
AFTER_SHARE, AFTER_WEIGHT = 0.2, 4.0
"""What is still to be had after closing, of what stood there until then, and how many visits
that is worth: a guess, no source."""
CIRCUITY = 1.3
"""Roads are longer than the straight line: common practice, no source."""
SPEED, STOP_MINUTES = 25.0, 10.0
"""Miles an hour between sales, and minutes to look again and load: common practice, no source."""
MOST_MILES, MOST_MINUTES = 2000.0, 6000.0
EARTH_METRES = 6_371_008.8
MILE = 1609.344
HOUR_MS = 3_600_000.0

Place = tuple[float, float]
"""Latitude and longitude in degrees."""


def half_life(found_hours: Sequence[float], gone_hours: Sequence[float]) -> float:
    """Hours after which half such pieces are gone, from own visits that found it or not.

    The most likely rate under a gamma prior, by halving in the logarithm; gone_hours are > 0.
    """
    b0 = PRIOR_WEIGHT * PRIOR_HOURS / math.log(2.0)
    low, high = math.log(1e-9), math.log(1e6)
    for _ in range(100):
        mid = (low + high) / 2.0
        rate = math.exp(mid)
        slope = PRIOR_WEIGHT - b0 * rate - rate * math.fsum(found_hours)
        for h in gone_hours:
            x = rate * h
            slope += x / math.expm1(x) if x < 700.0 else 0.0
        low, high = (mid, high) if slope > 0.0 else (low, mid)
    return math.log(2.0) / math.exp((low + high) / 2.0)


def still_there(hours: float, half: float) -> float:
    """The chance that a piece is still there after so many hours."""
    return math.exp(-math.log(2.0) * hours / half)


def left_after(found: int, open_hours: Sequence[float], half: float) -> float:
    """The share of pieces that can still be had after closing, of those that stood until then.

    ``open_hours`` are those of all own visits after closing, ``found`` how many of them found
    it; shrunk to a guess.
    """
    stood = math.fsum(still_there(h, half) for h in open_hours)
    return min(1.0, (AFTER_WEIGHT * AFTER_SHARE + found) / (AFTER_WEIGHT + stood))


def miles_between(a: Place, b: Place) -> float:
    """Miles by road, about: the great circle on a sphere (haversine) times the circuity."""
    la, lb = math.radians(a[0]), math.radians(b[0])
    dx = math.radians(b[1] - a[1])
    h = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(dx / 2) ** 2
    metres = 2.0 * EARTH_METRES * math.asin(min(1.0, math.sqrt(h)))
    return CIRCUITY * metres / MILE


@dataclass(frozen=True, slots=True)
class Way:
    """The extra way, there and back: ``miles`` and ``minutes``, and what the miles go by."""

    miles: float
    minutes: float
    source: str


def _number(value: Any, path: str, most: float, problems: Problems) -> float | None:
    """A number from 0 to ``most``; None when absent, and None noted when wrong."""
    if value is None or value == "":
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        problems.add(path, "wrong_type", expected="a number")
    elif value < 0:
        problems.add(path, "too_small", min=0)
    elif value > most:
        problems.add(path, "too_big", max=int(most))
    else:
        return float(value)
    return None


def _is_within(value: Any, limit: float) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return bool(-limit <= value <= limit)


def _place(value: Any, path: str, problems: Problems) -> Place | None:
    if value is None:
        return None
    if isinstance(value, list | tuple) and len(value) == 2:
        latitude, longitude = value
        if _is_within(latitude, 90.0) and _is_within(longitude, 180.0):
            return (float(latitude), float(longitude))
    problems.add(path, "wrong_type", expected="a latitude and a longitude in degrees")
    return None


def _way(trip: Mapping[str, Any], problems: Problems) -> Way | None:
    """The way as typed, else from the two positions; None noted where neither is known."""
    before = len(problems.details)
    miles = _number(trip.get("miles"), "miles", MOST_MILES, problems)
    minutes = _number(trip.get("minutes"), "minutes", MOST_MINUTES, problems)
    here, there = (_place(trip.get(k), k, problems) for k in ("here", "there"))
    if len(problems.details) > before:
        return None
    source = "typed"
    if miles is None:
        if here is None or there is None:
            problems.add("miles", "required")
            return None
        miles, source = 2.0 * miles_between(here, there), "positions"
        if miles > MOST_MILES:
            problems.add("miles", "too_big", max=int(MOST_MILES))
            return None
    if minutes is None:
        minutes = miles * 60.0 / SPEED + STOP_MINUTES
    return Way(miles, minutes, source)


def _moment(trip: Mapping[str, Any], name: str, problems: Problems) -> int | None:
    """A moment in milliseconds; None when absent, and None noted when it is none."""
    value = trip.get(name)
    if value is None or value == "":
        return None
    if not is_instant(value):
        problems.add(name, "bad_instant", text=str(value)[:40])
        return None
    return to_ms(from_text(value))


@dataclass(frozen=True, slots=True)
class Wait:
    """The hours it stood open to others until one is there, and whether that is past closing."""

    hours: float
    past_closing: bool


def _wait(trip: Mapping[str, Any], way: Way | None, problems: Problems) -> Wait | None:
    before = len(problems.details)
    now, seen, closes = (_moment(trip, k, problems) for k in ("now", "seen_at", "closes_at"))
    if len(problems.details) > before:
        return None
    for name, moment in (("now", now), ("seen_at", seen)):
        if moment is None:
            problems.add(name, "required")
    if now is None or seen is None:
        return None
    if seen > now:
        problems.add("seen_at", "conflict", reason="it cannot have been seen later than now")
        return None
    arrive = now + (0.0 if way is None else way.minutes * 30_000.0)
    past = closes is not None and seen < closes <= arrive
    until = closes if past and closes is not None else arrive
    return Wait((until - seen) / HOUR_MS, past)


def back_of(book: Mapping[str, Any]) -> dict[str, Any]:
    """What the book has learned of going back; a guess where an older book says nothing."""
    usual = {"half_life_h": PRIOR_HOURS, "p_after": AFTER_SHARE, "visits": 0}
    return {**usual, **book.get("back", {})}


def _worth(surplus: int, value: int) -> str:
    """In one word whether to go: "go", or why not."""
    if value > 0:
        return "go"
    return "nothing_there" if surplus <= 0 else "way"


def _answer(book: Mapping[str, Any], surplus: int, way: Way, wait: Wait) -> dict[str, Any]:
    learned, money = back_of(book), book["money"]
    chance = still_there(wait.hours, learned["half_life_h"])
    if wait.past_closing:
        chance *= learned["p_after"]
    drive = way.miles * money["per_mile"]
    time = way.minutes * money["wage_per_hour"] / 60.0
    gain = max(0, surplus)
    amounts = {
        "surplus": gain,
        "gone": to_minor(chance * gain) - gain,
        "way": -to_minor(drive),
        "time": -to_minor(time),
    }
    value = sum(amounts.values())
    return {
        "ok": True,
        "worth": _worth(surplus, value),
        "value": value,
        "surplus": surplus,
        "chance": chance,
        "hours": wait.hours,
        "pastClosing": wait.past_closing,
        "miles": way.miles,
        "minutes": way.minutes,
        "source": way.source,
        "halfLife": learned["half_life_h"],
        "visits": learned["visits"],
        "perMile": money["per_mile"],
        "rows": [{"key": k, "amount": a} for k, a in amounts.items()]
        + [{"key": "value", "amount": value}],
    }


def go_back(
    book: Mapping[str, Any] | None, find: Mapping[str, Any], trip: Mapping[str, Any]
) -> dict[str, Any]:
    """Whether going back for a find is worth it, at the price that was asked.

    ``find`` is that of the pad, its ask known. ``trip`` is ``{seen_at, now, closes_at?, miles?,
    minutes?, here?, there?}``: moments as texts, ``closes_at`` when its sale closes, miles and
    minutes of the whole extra way as typed, else from the positions ``[latitude, longitude]``.
    The answer's rows add up to its value in minor units. Input that makes no sense gives
    ``{ok: False, details}``, each detail naming its field.
    """
    problems = Problems()
    priced = price_find(book, find)
    if book is None or not priced["ok"]:
        return {"ok": False, "details": priced["details"]}
    if priced["atAsk"] is None:
        problems.add("ask", "required")
    way = _way(trip, problems)
    wait = _wait(trip, way, problems)
    if priced["atAsk"] is None or way is None or wait is None:
        return {"ok": False, "details": problems.details}
    return _answer(book, priced["atAsk"]["profit"], way, wait)
