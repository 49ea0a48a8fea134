"""An upgrade over a filled database costs no data, whether it succeeds or fails.

The migrations here are written for the test into a copy of the program's own: a table that
refers to ``household`` with ON DELETE CASCADE, then ``household`` built anew.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from crestrail.basis.errors import CrestrailError
from crestrail.store import upgrade as upgrades
from crestrail.store.db import db
from crestrail.store.upgrade import current_revision, upgrade
from helpers.app import Home

HEAD = """
import sqlalchemy as sa
from alembic import op

revision, down_revision = "{revision}", "{before}"
branch_labels = depends_on = None


def upgrade():
"""

CHILDREN = """
    op.create_table(
        "keepsake",
        sa.Column("number", sa.Integer(), primary_key=True),
        sa.Column("household_id", sa.String(36).with_variant(
            sa.String(36, collation="C"), "postgresql"),
            sa.ForeignKey("household.id", ondelete="CASCADE"), nullable=False),
    )
    op.execute("INSERT INTO keepsake (number, household_id) SELECT seq, household_id FROM record")
"""

REBUILD = """
    if op.get_bind().dialect.name == "sqlite":
        assert op.get_bind().exec_driver_sql("PRAGMA foreign_keys").scalar() == 0
    with op.batch_alter_table("household") as table:
        table.add_column(sa.Column("motto", sa.String(20), nullable=False, server_default="none"))
        table.alter_column("epoch", existing_type=sa.String(16), type_=sa.String(20))
"""

BREAKS = {
    "a fault half-way": REBUILD + '    raise ZeroDivisionError("half-way")\n',
    "rows that point nowhere": REBUILD + '    op.execute("DELETE FROM household")\n',
    "a statement the database refuses": REBUILD + '    op.execute("DELETE FROM nowhere")\n',
}

Rows = dict[str, tuple[list[str], list[str]]]


@pytest.fixture
def versions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where further migrations go: beside the program's own, in a copy of their folder."""
    folder = tmp_path / "100% migrations"
    shutil.copytree(upgrades.MIGRATIONS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(upgrades, "MIGRATIONS", folder)
    return folder / "versions"


def add(versions: Path, revision: str, before: str, body: str) -> None:
    text = HEAD.format(revision=revision, before=before) + body
    (versions / f"{revision}_for_a_test.py").write_text(text)


def everything() -> Rows:
    """Every table of the database: its columns, and its rows as texts."""
    with db.engine.connect() as connection:
        tables = sa.MetaData()
        tables.reflect(connection)
        return {
            name: (
                [column.name for column in table.columns],
                sorted(repr(tuple(row)) for row in connection.execute(sa.select(table))),
            )
            for name, table in tables.tables.items()
        }


def filled(home: Home) -> Any:
    """Records, a history with a conflict, a look, a refused change, a second phone."""
    one, other = home.pair(), home.pair()
    made = one.change("spot", {"name": "Barn"})
    one.sync([made, one.change("spot", {"name": 5})])
    other.sync([other.change("spot", {"name": "Loft"}, made["id"], at_ms=5)])
    one.sync([one.change("spot", {"name": f"Shelf {number}"}) for number in range(20)])
    return one


def copies(home: Home) -> list[Path]:
    return sorted(home.settings.data.parent.rglob("*.before-*"))


def test_an_upgrade_of_a_filled_database_loses_no_row(any_home: Home, versions: Path) -> None:
    client = filled(any_home)
    rows = client.rows()
    with any_home.app.app_context():
        add(versions, "0003", "0002", CHILDREN)
        upgrade(any_home.clock.now())
        before = everything()
        add(versions, "0004", "0003", REBUILD)
        upgrade(any_home.clock.now())
        after = everything()
        assert current_revision() == "0004"
        columns, households = after.pop("household")
        assert columns == [*before.pop("household")[0], "motto"]
        assert len(households) == 1
        assert "'none'" in households[0]
        assert after.pop("alembic_version") != before.pop("alembic_version")
        assert after == before
        assert len(after["keepsake"][1]) == len(rows)
        if db.engine.dialect.name == "sqlite":
            with db.engine.connect() as connection:
                assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
                assert connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall() == []
    assert client.rows() == rows
    assert client.sync([client.change("spot", {"name": "After"})])["outcomes"]


@pytest.mark.parametrize("how", list(BREAKS))
def test_an_upgrade_that_fails_leaves_the_database_as_it_was_and_says_what_to_do(
    any_home: Home, versions: Path, how: str
) -> None:
    client = filled(any_home)
    rows = client.rows()
    with any_home.app.app_context():
        add(versions, "0003", "0002", CHILDREN)
        upgrade(any_home.clock.now())
        before = everything()
        add(versions, "0004", "0003", BREAKS[how])
        with pytest.raises(CrestrailError) as caught:
            upgrade(any_home.clock.now())
        assert everything() == before
        assert current_revision() == "0003"
        is_file = db.engine.dialect.name == "sqlite"
    assert caught.value.code == "upgrade_failed"
    assert "as it was before" in caught.value.message
    assert "Start the version you had until now" in caught.value.message
    assert not is_file or str(copies(any_home)[-1]) in caught.value.message
    assert client.rows() == rows


def test_the_file_is_copied_before_the_first_statement_of_an_upgrade(
    home: Home, versions: Path
) -> None:
    client = filled(home)
    with home.app.app_context():
        before = everything()
        add(versions, "0003", "0002", CHILDREN + '    raise ZeroDivisionError("at once")\n')
        with pytest.raises(CrestrailError, match="at once"):
            upgrade(home.clock.now())
    (copy,) = copies(home)
    with closing(sqlite3.connect(copy)) as held:
        tables = {n for (n,) in held.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        count = held.execute("SELECT count(*) FROM record").fetchone()[0]
        at = held.execute("SELECT version_num FROM alembic_version").fetchone()[0]
    assert tables - {"sqlite_sequence"} == set(before)
    assert (count, at) == (len(client.rows()), "0002")
