"""The database handle, how SQLite is opened, and the two ways in: reading and writing.

SQLite begins a transaction lazily and cannot always upgrade a reading one to a writing one, so
the engine begins them itself: plain ``BEGIN`` to read, ``BEGIN IMMEDIATE`` to write. Whoever
writes says so at the start by ``writing()``.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask_migrate import Migrate
from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import Connection, Engine, MetaData, event
from sqlalchemy.orm import DeclarativeBase, Session

BUSY_TIMEOUT_MS = 15_000

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, so that a migration can change it on every database."""


class Base(DeclarativeBase):
    """The base of all models."""

    metadata = MetaData(naming_convention=NAMING)


db = SQLAlchemy(model_class=Base)
migrate = Migrate()


@event.listens_for(Engine, "connect")
def _open_sqlite(connection: Any, _record: Any) -> None:
    """Make a SQLite connection safe: WAL, every commit on disk, foreign keys on."""
    if not isinstance(connection, sqlite3.Connection):
        return
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_TIMEOUT_MS}")
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.close()


@event.listens_for(Engine, "begin")
def _begin_sqlite(connection: Connection) -> None:
    """Begin for real, and at once with the write lock where writing was announced."""
    if connection.dialect.name == "sqlite":
        writing = connection.get_execution_options().get("writing", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def writing() -> Iterator[Session]:
    """One writing transaction: committed at the end, rolled back when anything is raised."""
    session: Session = db.session()
    session.rollback()
    session.connection(execution_options={"writing": True})
    try:
        yield session
        session.commit()
    except BaseException:
        session.rollback()
        raise


@contextmanager
def reading() -> Iterator[Session]:
    """One reading transaction over a consistent state (each statement's own on PostgreSQL)."""
    session: Session = db.session()
    session.rollback()
    try:
        yield session
    finally:
        session.rollback()
