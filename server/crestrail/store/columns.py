"""Column types that mean the same on SQLite and PostgreSQL."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import BigInteger, Dialect, Integer, String
from sqlalchemy.types import TypeDecorator, TypeEngine

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

Serial = BigInteger().with_variant(Integer(), "sqlite")
"""A number that the database gives; SQLite counts up only in a plain INTEGER."""


def ordered_text(length: int) -> TypeEngine[str]:
    """Text compared byte by byte on every database: stamps sort by time, ids by their digits."""
    return String(length).with_variant(String(length, collation="C"), "postgresql")


class Instant(TypeDecorator[datetime]):
    """A moment, kept as whole milliseconds since 1970 in UTC; naive datetimes are refused."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> int | None:
        """Milliseconds since 1970; ValueError for a datetime without time zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment needs a time zone")
        return (value - _EPOCH) // timedelta(milliseconds=1)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """The aware datetime in UTC."""
        return None if value is None else _EPOCH + timedelta(milliseconds=int(value))
