"""The first tables."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_INSTANT = sa.BigInteger()
_SERIAL = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _ordered(length: int) -> sa.types.TypeEngine[str]:
    return sa.String(length).with_variant(sa.String(length, collation="C"), "postgresql")


def _owner() -> sa.Column[str]:
    return sa.Column("household_id", _ordered(36), sa.ForeignKey("household.id"), nullable=False)


def _column(name: str, kind: sa.types.TypeEngine[Any], nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=nullable)


def upgrade() -> None:
    _make_households()
    _make_devices()
    _make_records()
    _make_changes()


def downgrade() -> None:
    for table in (
        "seen_change", "refused", "photo", "history", "commit_mark", "record",
        "pairing_code", "device", "household",
    ):  # fmt: skip
        op.drop_table(table)


def _make_households() -> None:
    op.create_table(
        "household",
        _column("id", _ordered(36)),
        _column("epoch", sa.String(16)),
        _column("counter", sa.BigInteger()),
        _column("book_seq", sa.BigInteger()),
        _column("high_stamp", _ordered(36)),
        _column("server_device", _ordered(16)),
        _column("created_at", _INSTANT),
        _column("last_commit_at", _INSTANT),
        sa.PrimaryKeyConstraint("id", name="pk_household"),
    )


def _make_devices() -> None:
    op.create_table(
        "device",
        _owner(),
        _column("id", _ordered(16)),
        _column("name", sa.String(80)),
        _column("token_hash", sa.String(64)),
        _column("created_at", _INSTANT),
        _column("seen_at", _INSTANT),
        _column("revoked_at", _INSTANT, nullable=True),
        sa.PrimaryKeyConstraint("household_id", "id", name="pk_device"),
        sa.UniqueConstraint("token_hash", name="uq_device_token_hash"),
    )
    op.create_table(
        "pairing_code",
        _owner(),
        _column("selector", sa.String(8)),
        _column("secret_hash", sa.String(64)),
        _column("expires_at", _INSTANT),
        _column("tries", sa.Integer()),
        sa.PrimaryKeyConstraint("household_id", "selector", name="pk_pairing_code"),
    )


def _make_records() -> None:
    op.create_table(
        "record",
        _owner(),
        _column("type", _ordered(40)),
        _column("id", _ordered(36)),
        _column("seq", sa.BigInteger()),
        _column("fields", sa.JSON()),
        _column("stamps", sa.JSON()),
        _column("erased", sa.Boolean()),
        sa.PrimaryKeyConstraint("household_id", "type", "id", name="pk_record"),
    )
    op.create_index("ix_record_household_seq", "record", ["household_id", "seq"], unique=True)
    op.create_table(
        "commit_mark",
        _owner(),
        _column("seq", sa.BigInteger()),
        _column("mark", sa.String(16)),
        sa.PrimaryKeyConstraint("household_id", "seq", name="pk_commit_mark"),
    )
    op.create_table(
        "photo",
        _owner(),
        _column("sha256", sa.String(64)),
        _column("size", sa.Integer()),
        _column("width", sa.Integer()),
        _column("height", sa.Integer()),
        _column("stored_at", _INSTANT),
        sa.PrimaryKeyConstraint("household_id", "sha256", name="pk_photo"),
    )


def _make_changes() -> None:
    op.create_table(
        "history",
        sa.Column("number", _SERIAL, autoincrement=True, nullable=False),
        _owner(),
        _column("type", _ordered(40)),
        _column("record_id", _ordered(36)),
        _column("group", _ordered(60)),
        _column("stamp", _ordered(36)),
        _column("values", sa.JSON()),
        _column("device", _ordered(16)),
        _column("at", _INSTANT),
        _column("outcome", sa.String(20)),
        sa.PrimaryKeyConstraint("number", name="pk_history"),
    )
    op.create_index(
        "ix_history_write",
        "history",
        ["household_id", "type", "record_id", "group", "stamp"],
        unique=True,
    )
    op.create_table(
        "refused",
        _owner(),
        _column("digest", sa.String(64)),
        _column("key", sa.String(36)),
        _column("type", sa.String(40)),
        _column("record_id", sa.String(36)),
        _column("device", _ordered(16)),
        _column("at", _INSTANT),
        _column("code", sa.String(40)),
        _column("message", sa.Text()),
        _column("details", sa.JSON()),
        _column("body", sa.Text()),
        sa.PrimaryKeyConstraint("household_id", "digest", name="pk_refused"),
    )
    op.create_table(
        "seen_change",
        _owner(),
        _column("key", _ordered(36)),
        _column("digest", sa.String(64)),
        _column("outcome", sa.String(20)),
        _column("at", _INSTANT),
        sa.PrimaryKeyConstraint("household_id", "key", name="pk_seen_change"),
    )
