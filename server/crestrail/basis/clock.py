"""Moments and days. Every moment is an aware UTC instant; the clock is always passed in.

As text a moment is ``2026-05-01T14:03:00.000Z``, always this wide, so text order is time
order; a day is ``2026-05-01``. Years run from 0001 to 9999.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from crestrail.basis.errors import BadInput

_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MILLISECOND = timedelta(milliseconds=1)


class Clock(Protocol):
    """Anything that tells the time as an aware UTC instant."""

    def now(self) -> datetime:
        """The moment it is now."""
        ...


class SystemClock:
    """The computer's own clock."""

    def now(self) -> datetime:
        """The moment it is now."""
        return datetime.now(UTC)


class FixedClock:
    """A clock that stands still until it is moved; for tests and the sample household."""

    def __init__(self, instant: datetime) -> None:
        self.instant = _aware(instant)

    def now(self) -> datetime:
        """The moment it stands at."""
        return self.instant

    def advance(self, by: timedelta) -> None:
        """Moves the clock by a duration, backwards when it is negative."""
        self.instant += by


@dataclass(frozen=True, slots=True)
class AsOf:
    """The moment that something is measured at: ``at`` in UTC and the household's day ``on``."""

    at: str
    on: str


def _aware(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise ValueError("a moment without a time zone is not a moment")
    return instant.astimezone(UTC)


def to_text(instant: datetime) -> str:
    """The moment as text, cut (not rounded) to milliseconds."""
    utc = _aware(instant)
    return f"{utc:%Y-%m-%dT%H:%M:%S}.{utc.microsecond // 1000:03d}Z".rjust(24, "0")


def from_text(text: str) -> datetime:
    """The moment of a text; BadInput unless it is written exactly so and is on the calendar."""
    if not _INSTANT.fullmatch(text):
        raise BadInput("bad_instant", text=text[:40])
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise BadInput("bad_instant", text=text) from None


def to_ms(instant: datetime) -> int:
    """Milliseconds since 1970-01-01T00:00Z, cut towards the past."""
    return (_aware(instant) - _EPOCH) // _MILLISECOND


def from_ms(ms: int) -> datetime:
    """The moment so many milliseconds after 1970-01-01T00:00Z."""
    return _EPOCH + ms * _MILLISECOND


def is_instant(text: object) -> bool:
    """Whether it is the text of a moment."""
    try:
        return isinstance(text, str) and bool(from_text(text))
    except BadInput:
        return False


def day_from_text(text: str) -> date:
    """The calendar day of ``2026-05-01``; BadInput otherwise."""
    if not _DATE.fullmatch(text):
        raise BadInput("bad_date", text=text[:40])
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput("bad_date", text=text) from None


def is_date(text: object) -> bool:
    """Whether it is the text of a calendar day."""
    try:
        return isinstance(text, str) and bool(day_from_text(text))
    except BadInput:
        return False


def zone_of(name: str) -> ZoneInfo:
    """The time zone of an IANA name such as ``America/New_York``; BadInput otherwise."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput("bad_zone", text=name[:60]) from None


def local_day(instant: datetime, zone: str) -> str:
    """The calendar day it is, at that moment, in the time zone."""
    return _aware(instant).astimezone(zone_of(zone)).date().isoformat()


def as_of(instant: datetime, zone: str) -> AsOf:
    """The moment together with its day in the household's time zone."""
    return AsOf(at=to_text(instant), on=local_day(instant, zone))
