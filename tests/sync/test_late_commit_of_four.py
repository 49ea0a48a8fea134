"""I4 with four writers, the first of them held before its first row is written.

Beside ``test_late_commit.py``, where the rows are written and the household's own row is changed
already: here only the lock itself holds the others back. They push until each either waits for it
or is through; then a reader reads as far as it can, and afterwards has to find the rest.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import event, text
from sqlalchemy.orm import Session

from crestrail.store.db import db
from crestrail.store.models import Record
from helpers import app as apps
from helpers.app import Client, Home
from helpers.exchanges import all_pages, outcomes

OTHERS = 3
PATIENCE = 30
_WAITING = "wait_event_type = 'Lock' AND datname = current_database()"


@dataclass(eq=False)
class Held:
    """A transaction of one thread, stopped once it has taken a number and written nothing."""

    reached: threading.Event = field(default_factory=threading.Event)
    go_on: threading.Event = field(default_factory=threading.Event)
    thread: threading.Thread | None = None

    def __call__(self, session: Session, *_: Any) -> None:
        if threading.current_thread() is not self.thread or self.reached.is_set():
            return
        if any(isinstance(row, Record) and row.seq for row in session):
            self.reached.set()
            assert self.go_on.wait(PATIENCE)


@contextmanager
def listening(held: Held) -> Iterator[Held]:
    event.listen(Session, "before_flush", held)
    try:
        yield held
    finally:
        held.go_on.set()
        event.remove(Session, "before_flush", held)


def pushing(phone: Client, answers: list[Any]) -> threading.Thread:
    """A thread that pushes two new spots; its answer, or what went wrong, is added at its end."""

    def push() -> None:
        batch = [phone.change("spot", {"name": f"Of {phone.device}"}) for _ in range(2)]
        try:
            answers.append((batch, phone.sync(batch)))
        except Exception as error:
            answers.append((batch, error))

    return threading.Thread(target=push)


def wait_until_all_wait_or_are_through(home: Home, threads: list[threading.Thread]) -> None:
    deadline = time.monotonic() + PATIENCE
    with home.app.app_context(), db.engine.connect() as watcher:
        while time.monotonic() < deadline:
            running = sum(thread.is_alive() for thread in threads)
            query = text(f"SELECT count(*) FROM pg_stat_activity WHERE {_WAITING}")
            if watcher.scalar(query) == running:
                return
            watcher.rollback()
            time.sleep(0.01)
    raise AssertionError("the other writers neither wait nor end")


def test_I4_a_reader_misses_nothing_of_a_number_taken_early_and_written_late(
    tmp_path: Path, postgres_url: str
) -> None:
    answers: list[Any] = []
    with apps.opened(tmp_path / "data", postgres_url) as home, listening(Held()) as held:
        reader, late, *others = (home.pair() for _ in range(2 + OTHERS))
        held.thread = pushing(late, answers)
        held.thread.start()
        assert held.reached.wait(PATIENCE)
        threads = [pushing(phone, answers) for phone in others]
        for thread in threads:
            thread.start()
        wait_until_all_wait_or_are_through(home, threads)
        early = reader.sync()
        held.go_on.set()
        for thread in (held.thread, *threads):
            thread.join(PATIENCE)
        assert [a for _, a in answers if isinstance(a, Exception)] == []
        assert [outcomes(answer) for _, answer in answers] == [["applied"] * 2] * (1 + OTHERS)
        rows = [*early["records"], *all_pages(reader, 3, early["cursor"])]
        written = [change["id"] for batch, _ in answers for change in batch]
        assert sorted(r["id"] for r in rows if r["type"] == "spot") == sorted(written)
