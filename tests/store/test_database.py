"""How the database is opened, and how it is upgraded."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import flask_migrate
import pytest
import sqlalchemy as sa
from sqlalchemy.exc import IntegrityError, OperationalError

from crestrail.store.changes import Cursor
from crestrail.store.columns import Instant
from crestrail.store.db import db, reading, writing
from crestrail.store.models import LOOKED_UP, Household, Record, having
from crestrail.store.upgrade import MIGRATIONS, copy_aside, current_revision
from helpers.app import Home


def pragma(name: str) -> int | str:
    found: int | str = db.session.execute(sa.text(f"PRAGMA {name}")).scalar_one()
    return found


def test_sqlite_commits_to_the_disk_and_keeps_its_references(home: Home) -> None:
    with home.app.app_context():
        assert pragma("journal_mode") == "wal"
        assert pragma("synchronous") == 2
        assert pragma("foreign_keys") == 1
        assert pragma("busy_timeout") == 15_000


def test_a_writing_transaction_holds_the_write_lock_from_its_start(home: Home) -> None:
    with home.app.app_context():
        other = sa.create_engine(db.engine.url, connect_args={"timeout": 0})
        with writing(), other.connect() as connection:
            connection.exec_driver_sql("PRAGMA busy_timeout = 0")
            connection.rollback()
            with pytest.raises(OperationalError, match="locked"):
                connection.execution_options(writing=True).execute(sa.text("SELECT 1"))
        other.dispose()


def write_and_fail(household: str) -> None:
    with writing() as session:
        session.add(Record(household_id=household, type="spot", id="x", seq=999, fields={},
                           stamps={}, erased=False))  # fmt: skip
        session.flush()
        raise ZeroDivisionError


def test_a_failed_transaction_leaves_nothing(any_home: Home) -> None:
    with any_home.app.app_context():
        with pytest.raises(ZeroDivisionError):
            write_and_fail(any_home.household)
        with reading() as session:
            assert session.get(Record, (any_home.household, "spot", "x")) is None


def test_a_row_of_no_household_is_refused(any_home: Home) -> None:
    with any_home.app.app_context(), pytest.raises(IntegrityError), writing() as session:
        session.add(Record(household_id="none", type="spot", id="x", seq=1, fields={}, stamps={},
                           erased=False))  # fmt: skip


@pytest.mark.filterwarnings("ignore:autogenerate skipping")
def test_the_migrations_make_exactly_the_models(any_home: Home) -> None:
    with any_home.app.app_context():
        flask_migrate.check(directory=str(MIGRATIONS))
        assert current_revision() == "0002"


PLANS = {"sqlite": "EXPLAIN QUERY PLAN ", "postgresql": "EXPLAIN "}


@pytest.mark.parametrize(
    ("type", "name"), [(type, name) for type, names in LOOKED_UP.items() for name in names]
)
def test_records_are_found_by_a_field_through_its_index(
    any_home: Home, type: str, name: str
) -> None:
    with any_home.app.app_context(), reading() as session:
        query = sa.select(Record.id).where(
            Record.household_id == any_home.household, having(type, name, "x")
        )
        sql = query.compile(db.engine, compile_kwargs={"literal_binds": True})
        kind = db.engine.dialect.name
        if kind == "postgresql":
            session.execute(sa.text("SET enable_seqscan = off"))
        plan = session.execute(sa.text(PLANS[kind] + str(sql))).all()
        assert f"ix_record_{type}_{name}" in str(plan)


def test_text_sorts_by_its_bytes_on_every_database(any_home: Home) -> None:
    with any_home.app.app_context():
        now = datetime(2026, 5, 1, tzinfo=UTC)
        with writing() as session:
            for id in ("devB", "deva"):
                session.add(Household(id=id, epoch="", counter=0, book_seq=0, high_stamp="",
                                      server_device="", created_at=now,
                                      last_commit_at=now))  # fmt: skip
        with reading() as session:
            query = sa.select(Household.id).where(Household.id.like("dev%"))
            assert session.scalars(query.order_by(Household.id)).all() == ["devB", "deva"]


def test_the_file_is_copied_whole(home: Home) -> None:
    phone = home.pair()
    made = phone.change("spot", {"name": "Barn"})
    phone.sync([made])
    with home.app.app_context():
        copy = copy_aside("before")
    assert copy is not None
    engine = sa.create_engine(f"sqlite:///{copy}")
    with engine.connect() as connection:
        ids = connection.execute(sa.text("SELECT id FROM record WHERE type = 'spot'")).scalars()
        assert list(ids) == [made["id"]]
    engine.dispose()


def test_a_moment_without_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        Instant().process_bind_param(datetime(2026, 5, 1), sa.create_engine("sqlite://").dialect)  # noqa: DTZ001


@pytest.mark.parametrize(
    "text",
    ["000000000001.7.00000000000a", "000000000001.7.00000000000a.9.00000000000b"],
)
def test_a_cursor_is_read_as_it_was_written(text: str) -> None:
    assert str(Cursor.parse(text)) == text


@pytest.mark.parametrize(
    "text", ["", "1.2.3", "000000000001.-7.00000000000a", "000000000001.7.00000000000A", "x" * 200]
)
def test_what_is_no_cursor_is_none(text: str) -> None:
    assert Cursor.parse(text) is None


def test_a_fresh_folder_becomes_a_database(tmp_path: Path, home: Home) -> None:
    assert (tmp_path / "data" / "crestrail.sqlite3").is_file()
    assert home.settings.database_url.endswith("crestrail.sqlite3")
