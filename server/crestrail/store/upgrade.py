"""Bringing the database to the state the program needs, at each start."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory

from crestrail.basis.errors import CrestrailError
from crestrail.store.db import db

MIGRATIONS = Path(__file__).parent / "migrations"


def upgrade(now: datetime) -> None:
    """Run the outstanding migrations; a SQLite file that holds data is copied first.

    Needs an application context. The copy stands beside the file, named by revision and time.
    Raises ``upgrade_failed`` when a migration does not come to its end; nothing of it stays.
    """
    head = ScriptDirectory(str(MIGRATIONS)).get_current_head()
    current = current_revision()
    if current == head:
        return
    copy = None
    if current is not None:
        copy = copy_aside(f"before-{head}-{now:%Y%m%dT%H%M%S}")
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    try:
        command.upgrade(config, "head")
    except Exception as error:
        said = (
            f"A copy made before stands at {copy}" if copy else "No copy was made by this program"
        )
        reason = f"{type(error).__name__}: {error}"
        raise CrestrailError("upgrade_failed", reason=reason, copy=said) from error


def current_revision() -> str | None:
    """The revision the database is at; None when it is empty."""
    with db.engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def copy_aside(suffix: str) -> Path | None:
    """A consistent copy of the SQLite file beside it; None on another database."""
    name = db.engine.url.database
    if db.engine.dialect.name != "sqlite" or not name or name == ":memory:":
        return None
    target = Path(f"{name}.{suffix}")
    with closing(sqlite3.connect(name)) as source, closing(sqlite3.connect(target)) as copy:
        source.backup(copy)
    return target
