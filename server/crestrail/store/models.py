"""The tables. Every row belongs to a household, and every key begins with it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import (
    JSON,
    BigInteger,
    Boolean,
    ColumnElement,
    ForeignKey,
    Index,
    Integer,
    String,
    Text,
    and_,
    literal_column,
    text,
)
from sqlalchemy.orm import Mapped, mapped_column

from crestrail.store.columns import Instant, Serial, ordered_text
from crestrail.store.db import db

Id = ordered_text(36)
Stamp = ordered_text(36)
DeviceId = ordered_text(16)


def _owner() -> Mapped[str]:
    """The household column that leads the key of every table."""
    return mapped_column(Id, ForeignKey("household.id"), primary_key=True)


class Household(db.Model):  # type: ignore[name-defined,misc]
    """One household: its counter of changes, its epoch and the largest stamp it holds.

    ``counter`` is the sequence number of the newest row; it is raised inside the writing
    transaction while this row is locked, so numbers become visible in their order. ``epoch``
    changes when the household is restored from a backup. ``book_seq`` is the number of the
    newest row that the price book is made from.
    """

    __tablename__ = "household"

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    epoch: Mapped[str] = mapped_column(String(16))
    counter: Mapped[int] = mapped_column(BigInteger, default=0)
    book_seq: Mapped[int] = mapped_column(BigInteger, default=0)
    high_stamp: Mapped[str] = mapped_column(Stamp, default="")
    server_device: Mapped[str] = mapped_column(DeviceId)
    created_at: Mapped[datetime] = mapped_column(Instant)
    last_commit_at: Mapped[datetime] = mapped_column(Instant)


class Device(db.Model):  # type: ignore[name-defined,misc]
    """A paired phone or browser. Only the hash of its token is kept."""

    __tablename__ = "device"

    household_id: Mapped[str] = _owner()
    id: Mapped[str] = mapped_column(DeviceId, primary_key=True)
    name: Mapped[str] = mapped_column(String(80))
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime] = mapped_column(Instant)
    seen_at: Mapped[datetime] = mapped_column(Instant)
    revoked_at: Mapped[datetime | None] = mapped_column(Instant)


class PairingCode(db.Model):  # type: ignore[name-defined,misc]
    """A pairing code that may still be used once.

    ``selector`` is the code's open part, which finds the row and counts wrong tries against it;
    the secret part is kept as a hash.
    """

    __tablename__ = "pairing_code"

    household_id: Mapped[str] = _owner()
    selector: Mapped[str] = mapped_column(String(8), primary_key=True)
    secret_hash: Mapped[str] = mapped_column(String(64))
    expires_at: Mapped[datetime] = mapped_column(Instant)
    tries: Mapped[int] = mapped_column(Integer, default=0)


LOOKED_UP = {
    "sale": ("piece_id",),
    "return": ("sale_id",),
    "same_as": ("duplicate_id", "survivor_id"),
    "tag": ("code",),
}
"""The fields that records of a type are found by: each has an index, see ``having``."""


def having(type: str, name: str, value: str) -> ColumnElement[bool]:
    """Whether a record is of the type and its field, one of ``LOOKED_UP``, has the value.

    Type and field are written out as in the index: a database does not see through parameters.
    """
    return and_(
        text(f"record.type = '{type}'"),
        literal_column(f"record.fields ->> '{name}'", Text) == value,
    )


def _index_of(type: str, name: str) -> Index:
    only = text(f"type = '{type}'")
    field = text(f"(fields ->> '{name}')")
    return Index(f"ix_record_{type}_{name}", "household_id", field,
                 sqlite_where=only, postgresql_where=only)  # fmt: skip


class Record(db.Model):  # type: ignore[name-defined,misc]
    """A record as it stands: its fields and the stamp of each group."""

    __tablename__ = "record"
    __table_args__ = (
        Index("ix_record_household_seq", "household_id", "seq", unique=True),
        *(_index_of(type, name) for type, names in LOOKED_UP.items() for name in names),
    )

    household_id: Mapped[str] = _owner()
    type: Mapped[str] = mapped_column(ordered_text(40), primary_key=True)
    id: Mapped[str] = mapped_column(Id, primary_key=True)
    seq: Mapped[int] = mapped_column(BigInteger)
    fields: Mapped[dict[str, Any]] = mapped_column(JSON)
    stamps: Mapped[dict[str, str]] = mapped_column(JSON)
    erased: Mapped[bool] = mapped_column(Boolean, default=False)


class CommitMark(db.Model):  # type: ignore[name-defined,misc]
    """A commit: the last sequence number it wrote and a random name for it.

    Two databases that went different ways after a copy agree on numbers but not on names.
    """

    __tablename__ = "commit_mark"

    household_id: Mapped[str] = _owner()
    seq: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    mark: Mapped[str] = mapped_column(String(16))


class History(db.Model):  # type: ignore[name-defined,misc]
    """One value of one group as somebody wrote it; ``outcome`` says what became of it."""

    __tablename__ = "history"
    __table_args__ = (
        Index(
            "ix_history_write", "household_id", "type", "record_id", "group", "stamp", unique=True
        ),
    )

    number: Mapped[int] = mapped_column(Serial, primary_key=True, autoincrement=True)
    household_id: Mapped[str] = mapped_column(Id, ForeignKey("household.id"))
    type: Mapped[str] = mapped_column(ordered_text(40))
    record_id: Mapped[str] = mapped_column(Id)
    group: Mapped[str] = mapped_column(ordered_text(60))
    stamp: Mapped[str] = mapped_column(Stamp)
    values: Mapped[dict[str, Any]] = mapped_column(JSON)
    device: Mapped[str] = mapped_column(DeviceId)
    at: Mapped[datetime] = mapped_column(Instant)
    outcome: Mapped[str] = mapped_column(String(20))


class SeenChange(db.Model):  # type: ignore[name-defined,misc]
    """The key of a change that was taken, with what became of it: a replay changes nothing."""

    __tablename__ = "seen_change"

    household_id: Mapped[str] = _owner()
    key: Mapped[str] = mapped_column(Id, primary_key=True)
    digest: Mapped[str] = mapped_column(String(64))
    outcome: Mapped[str] = mapped_column(String(20))
    at: Mapped[datetime] = mapped_column(Instant)


class Refused(db.Model):  # type: ignore[name-defined,misc]
    """A change that could not be taken, kept whole with the reason.

    ``body`` is the change as ASCII JSON text, so that text no database would take (a NUL, half
    a surrogate pair) is kept too. ``record_id`` lets an erasure find it.
    """

    __tablename__ = "refused"

    household_id: Mapped[str] = _owner()
    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    key: Mapped[str] = mapped_column(String(36), default="")
    type: Mapped[str] = mapped_column(String(40), default="")
    record_id: Mapped[str] = mapped_column(String(36), default="")
    device: Mapped[str] = mapped_column(DeviceId)
    at: Mapped[datetime] = mapped_column(Instant)
    code: Mapped[str] = mapped_column(String(40))
    message: Mapped[str] = mapped_column(Text)
    details: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    body: Mapped[str] = mapped_column(Text)


class Photo(db.Model):  # type: ignore[name-defined,misc]
    """A picture that is kept as a file, named by the SHA-256 of its bytes."""

    __tablename__ = "photo"

    household_id: Mapped[str] = _owner()
    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    size: Mapped[int] = mapped_column(Integer)
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)
    stored_at: Mapped[datetime] = mapped_column(Instant)
