"""A commit that is late: its numbers are taken, and it is not there yet (I4, PostgreSQL)."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from crestrail.store.changes import Commit
from helpers import app as apps
from helpers.app import Client, Home
from helpers.exchanges import all_pages, outcomes

PATIENCE = 30.0


@pytest.fixture
def postgres_home(tmp_path: Path, postgres_url: str) -> Iterator[Home]:
    """A household on PostgreSQL, where a second writer is not kept out by the file."""
    with apps.opened(tmp_path / "data", postgres_url) as opened:
        yield opened


def waiting_for_a_lock(url: str) -> int:
    """How many of the server's sessions wait for a lock that another one holds."""
    engine = sa.create_engine(url)
    try:
        with engine.connect() as connection:
            query = "SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock'"
            return int(connection.execute(sa.text(query)).scalar_one())
    finally:
        engine.dispose()


def test_I4_a_reader_passes_no_commit_that_took_its_numbers_early_and_comes_late(
    postgres_home: Home, postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first writer stands still between taking its numbers and its commit; a second one
    writes meanwhile, and a reader pulls all the time."""
    early, second, reader = (postgres_home.pair() for _ in range(3))
    slow, quick = early.change("spot", {"name": "Early"}), second.change("spot", {"name": "Late"})
    took_numbers, may_commit, done = threading.Event(), threading.Event(), threading.Event()
    close = Commit.close

    def held_open(commit: Commit) -> None:
        close(commit)
        commit.session.flush()
        if threading.current_thread().name == "early":
            took_numbers.set()
            assert may_commit.wait(PATIENCE)

    monkeypatch.setattr(Commit, "close", held_open)
    told: list[list[str]] = []

    def push(phone: Client, change: dict[str, object]) -> None:
        told.append(outcomes(phone.sync([change])))

    cursor = reader.sync()["cursor"]
    first = threading.Thread(target=push, args=(early, slow), name="early")
    first.start()
    assert took_numbers.wait(PATIENCE)

    def push_second() -> None:
        push(second, quick)
        done.set()

    other = threading.Thread(target=push_second, name="second")
    other.start()
    while not done.is_set() and waiting_for_a_lock(postgres_url) == 0:
        done.wait(0.05)
    page = reader.sync(cursor=cursor)
    seen = [row["id"] for row in page["records"]]
    may_commit.set()
    for thread in (first, other):
        thread.join(PATIENCE)
        assert not thread.is_alive()
    seen += [row["id"] for row in all_pages(reader, 500, page["cursor"])]
    assert told == [["applied"], ["applied"]]
    assert seen == [slow["id"], quick["id"]]
