"""The feed of a household: one counter raised under a lock, commits with names, pages.

A database sequence would not do: a transaction that took an early number and commits late is
skipped for ever by a reader who is already past it. Here the household's row is locked first,
so whoever sees number *n* sees everything below it.
"""

from __future__ import annotations

import json
import re
import secrets
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from crestrail.store.models import CommitMark, Household, Record

PAGE_BYTES = 256_000
"""A page stops after this many bytes of JSON, uncompressed; it holds at least one row."""

_CURSOR = re.compile(r"([0-9a-f]{12})\.(\d{1,18})\.([0-9a-f]{12})(?:\.(\d{1,18})\.([0-9a-f]{12}))?")
_NO_COMMIT = "0" * 12


def new_name() -> str:
    """A random name for a commit or an epoch: 48 bits."""
    return secrets.token_hex(6)


@dataclass(frozen=True, slots=True)
class Cursor:
    """How far a phone has read, and the newest commit it was told of.

    Both must still be there under the same names; a database that was restored or copied back
    has lost one of them. ``str`` gives the text a phone keeps.
    """

    epoch: str
    counter: int
    mark: str
    top: int
    top_mark: str

    def __str__(self) -> str:
        text = f"{self.epoch}.{self.counter}.{self.mark}"
        return text if self.top == self.counter else f"{text}.{self.top}.{self.top_mark}"

    @classmethod
    def parse(cls, text: str) -> Cursor | None:
        """The cursor a text stands for, or None when it is no cursor of ours."""
        found = _CURSOR.fullmatch(text)
        if not found:
            return None
        epoch, counter, mark, top, top_mark = found.groups()
        return cls(epoch, int(counter), mark, int(top or counter), top_mark or mark)


@dataclass(slots=True)
class Commit:
    """A commit in the making on a locked household; ``close`` gives it its name."""

    session: Session
    household: Household
    now: datetime
    first: int = field(init=False)

    def __post_init__(self) -> None:
        self.first = self.household.counter + 1

    def put(self, record: Record) -> None:
        """Write a record, new or changed, under the next number."""
        self.household.counter += 1
        record.seq = self.household.counter
        self.session.add(record)

    def close(self) -> None:
        """Name the commit, if anything was written."""
        home = self.household
        if home.counter >= self.first:
            self.session.add(CommitMark(household_id=home.id, seq=home.counter, mark=new_name()))
            home.last_commit_at = max(home.last_commit_at, self.now)


@dataclass(frozen=True, slots=True)
class Page:
    """Rows after a cursor, in order; ``more`` when there are further ones."""

    rows: list[Record]
    cursor: Cursor
    more: bool


def lock(session: Session, household_id: str) -> Household:
    """The household's row, locked until the transaction ends."""
    query = select(Household).where(Household.id == household_id)
    return session.scalars(query.with_for_update().execution_options(populate_existing=True)).one()


def is_known(session: Session, home: Household, cursor: Cursor) -> bool:
    """Whether this database is the one the cursor came from, or a later state of it."""
    return (
        cursor.epoch == home.epoch
        and cursor.counter <= cursor.top <= home.counter
        and cursor.mark == _mark_at(session, home.id, cursor.counter)
        and cursor.top_mark == _mark_at(session, home.id, cursor.top)
    )


def read_page(session: Session, home: Household, after: int, limit: int) -> Page:
    """At most ``limit`` rows after a number, fewer when they grow beyond ``PAGE_BYTES``."""
    top = home.counter
    query = (
        select(Record)
        .where(Record.household_id == home.id, Record.seq > after, Record.seq <= top)
        .order_by(Record.seq)
        .limit(limit + 1)
    )
    found = list(session.scalars(query))
    rows = _within_bytes(found[:limit])
    more = len(rows) < len(found)
    counter = rows[-1].seq if more else top
    cursor = Cursor(
        home.epoch, counter, _mark_at(session, home.id, counter),
        top, _mark_at(session, home.id, top),
    )  # fmt: skip
    return Page(rows, cursor, more)


def as_row(record: Record) -> dict[str, Any]:
    """A record as it travels."""
    row = {
        "type": record.type,
        "id": record.id,
        "fields": record.fields,
        "stamps": record.stamps,
    }
    return row | {"erased": True} if record.erased else row


def _within_bytes(found: list[Record]) -> list[Record]:
    size = 0
    for count, record in enumerate(found):
        size += len(json.dumps(as_row(record)))
        if count and size > PAGE_BYTES:
            return found[:count]
    return found


def _mark_at(session: Session, household_id: str, counter: int) -> str:
    """The name of the commit that wrote this number."""
    query = (
        select(CommitMark.mark)
        .where(CommitMark.household_id == household_id, CommitMark.seq >= counter)
        .order_by(CommitMark.seq)
        .limit(1)
    )
    return session.scalar(query) or _NO_COMMIT
