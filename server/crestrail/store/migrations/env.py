"""How Alembic runs a migration here.

On SQLite a table is changed by building it anew; with foreign keys on, that would delete the
rows of tables that point to it. So they are off during a migration and checked before its end.
"""

from __future__ import annotations

from alembic import context
from flask import current_app
from sqlalchemy import Connection


def _migrate(connection: Connection) -> None:
    """One transaction: all outstanding migrations, or none of them."""
    context.configure(
        connection=connection,
        target_metadata=current_app.extensions["migrate"].db.metadata,
        render_as_batch=True,
        compare_type=True,
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()
        if connection.dialect.name == "sqlite":
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise RuntimeError(f"rows would point nowhere after the migration: {broken[:5]}")


def run() -> None:
    """Run the migrations on the application's own database."""
    engine = current_app.extensions["migrate"].db.engine
    with engine.connect().execution_options(writing=True) as connection:
        if connection.dialect.name != "sqlite":
            _migrate(connection)
            return
        raw = connection.connection.driver_connection
        raw.execute("PRAGMA foreign_keys = OFF")
        try:
            _migrate(connection)
        finally:
            raw.execute("PRAGMA foreign_keys = ON")


run()
