"""The price book of a household: fitted at home, shipped to the phones."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from threading import Lock
from typing import Any

from crestrail.basis.clock import AsOf, as_of
from crestrail.basis.errors import BadInput
from crestrail.pricing.book import build_book
from crestrail.services.own_history import history_of, read_household, settings_of
from crestrail.services.writer import BOOK_TYPES
from crestrail.store.db import reading
from crestrail.store.models import Household, Record

FORM = 3
"""Raised when the same records would give another book."""

UTC = "UTC"


@dataclass(frozen=True, slots=True)
class Edition:
    """Which book it is: the household's state that it was made from, and its day."""

    epoch: str
    seq: int
    zone: str
    made: AsOf

    def __str__(self) -> str:
        return f"{FORM}.{self.epoch}.{self.seq}.{self.made.on.replace('-', '')}"


@dataclass(slots=True)
class Shelf:
    """The newest book of each household, kept in memory; it is made anew when out of date."""

    _books: dict[str, tuple[str, dict[str, Any]]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def book(self, household: str, now: datetime) -> tuple[str, dict[str, Any]]:
        """The version and the book itself."""
        wanted = str(edition(household, now))
        with self._lock:
            version, book = self._books.get(household, ("", {}))
            if version != wanted:
                version, book = _make(household, now)
                self._books[household] = (version, book)
        return version, book


def edition(household: str, now: datetime) -> Edition:
    """The edition that the household's records give today."""
    with reading() as session:
        home = session.get_one(Household, household)
        setting = session.get(Record, (household, "setting", household))
        zone = (setting.fields.get("time_zone") if setting else None) or UTC
        return _edition(home, zone, now)


def _edition(home: Household, zone: str, now: datetime) -> Edition:
    try:
        made = as_of(now, zone)
    except BadInput:
        zone, made = UTC, as_of(now, UTC)
    return Edition(home.epoch, home.book_seq, zone, made)


def _make(household: str, now: datetime) -> tuple[str, dict[str, Any]]:
    """Read the records and fit; the version is that of what was read."""
    which = edition(household, now)
    with reading() as session:
        rows = read_household(session, household, BOOK_TYPES)
    history = history_of(rows, which.zone, which.made)
    book = build_book(history, settings_of(rows), date.fromisoformat(which.made.on))
    return str(which), {"version": str(which), **book}
