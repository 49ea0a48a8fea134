"""One round trip with a phone: take what it pushes, hand out what it lacks.

All of it happens in one transaction under the lock of the household's row, so an outcome is
answered only for what is committed, and a number becomes visible only after those below it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from crestrail.basis.clock import from_ms, to_ms
from crestrail.basis.errors import CrestrailError, detail
from crestrail.basis.ids import is_id
from crestrail.records.merge import Conflict, conflicts, is_erased, merge, same_values, writes_of
from crestrail.records.stamps import parse_stamp
from crestrail.services import erasing, incoming, looks, refusals
from crestrail.services.incoming import Incoming
from crestrail.services.refusals import Refusal
from crestrail.services.writer import Key, Writer
from crestrail.store.changes import Commit, Cursor, as_row, is_known, lock, read_page
from crestrail.store.db import reading, writing
from crestrail.store.models import Household, Record, SeenChange

LEEWAY = timedelta(minutes=10)
"""How far ahead of home a stamp may lie."""

_CHUNK = 500


@dataclass(frozen=True, slots=True)
class Request:
    """What a phone asks: its changes, how far it has read, how much it takes at once."""

    household: str
    device: str
    cursor: str | None = None
    changes: list[Any] = field(default_factory=list)
    limit: int = 500


@dataclass(slots=True)
class Answer:
    """What the phone gets; ``erased_pictures`` are files that may be removed now."""

    clock: int
    outcomes: list[dict[str, Any]] = field(default_factory=list)
    records: list[dict[str, Any]] = field(default_factory=list)
    cursor: str | None = None
    more: bool = False
    reset: bool = False
    behind: bool = False
    erased_pictures: list[str] = field(default_factory=list)


def exchange(asked: Request, now: datetime) -> Answer:
    """Take and give in one transaction; raises ``clock_ahead`` when nothing was taken."""
    answer = Answer(clock=to_ms(now))
    if not asked.changes:
        with reading() as session:
            home = session.get_one(Household, asked.household)
            answer.behind = now < home.last_commit_at
            _give(session, home, asked, answer, set())
        return answer
    with writing() as session:
        home = lock(session, asked.household)
        answer.behind = now < home.last_commit_at
        if _read_so_far(session, home, asked) is None:
            # home was restored: an edit may be of a record that it has lost; first things first
            answer.reset, answer.more = True, True
            return answer
        push = _Push(Writer(Commit(session, home, now)), asked.device)
        answer.outcomes = push.take([Incoming(body) for body in asked.changes])
        answer.erased_pictures = push.erased_pictures()
        _give(session, home, asked, answer, push.writer.created)
    return answer


def _give(
    session: Session, home: Household, asked: Request, answer: Answer, created: set[Key]
) -> None:
    """Fill in the page after the phone's cursor, without rows that this push created."""
    after = _read_so_far(session, home, asked)
    if after is None:
        answer.reset, answer.more = True, True
        return
    page = read_page(session, home, after, asked.limit)
    answer.records = [as_row(row) for row in page.rows if (row.type, row.id) not in created]
    answer.cursor, answer.more = str(page.cursor), page.more


def _read_so_far(session: Session, home: Household, asked: Request) -> int | None:
    """The number up to which the phone has read; None for a cursor that this home never gave."""
    if asked.cursor is None:
        return 0
    cursor = Cursor.parse(asked.cursor)
    return cursor.counter if cursor and is_known(session, home, cursor) else None


@dataclass(slots=True)
class _Push:
    """The changes of one request being taken, in their order.

    ``seen`` maps the keys of changes that were taken to their digests; ``taken`` are the rows
    that will say so of this request's.
    """

    writer: Writer
    device: str
    seen: dict[str, str] = field(default_factory=dict)
    taken: list[dict[str, Any]] = field(default_factory=list)
    refused: set[str] = field(default_factory=set)
    pictures: list[str] = field(default_factory=list)

    def take(self, changes: list[Incoming]) -> list[dict[str, Any]]:
        """Each change's outcome; the commit is closed at the end."""
        _refuse_future(self.writer, changes)
        self._recall(changes)
        self.writer.preload((change.type, change.id) for change in changes if change.id)
        outcomes = [self._outcome(change) for change in changes]
        if self.taken:
            self.writer.session.execute(insert(SeenChange), self.taken)
        self.writer.close()
        return outcomes

    def erased_pictures(self) -> list[str]:
        """The pictures that no record shows any more."""
        home = self.writer.home
        return erasing.orphaned_pictures(self.writer.session, home.id, self.pictures)

    def _recall(self, changes: list[Incoming]) -> None:
        """Find which of these changes were taken before."""
        keys = [change.key for change in changes if is_id(change.key)]
        for start in range(0, len(keys), _CHUNK):
            query = select(SeenChange.key, SeenChange.digest).where(
                SeenChange.household_id == self.writer.home.id,
                SeenChange.key.in_(keys[start : start + _CHUNK]),
            )
            self.seen |= {row.key: row.digest for row in self.writer.session.execute(query)}
        digests = [change.digest for change in changes]
        self.refused = refusals.known(self.writer.session, self.writer.home.id, digests)

    def _outcome(self, change: Incoming) -> dict[str, Any]:
        try:
            return {"key": change.key, "outcome": self._take(change)}
        except CrestrailError as why:
            writer = self.writer
            refusal = Refusal(self.device, change, why, writer.commit.now)
            refusals.keep(writer.session, writer.home.id, refusal)
            return {"key": change.key, "outcome": "refused", **why.as_data()}

    def _take(self, change: Incoming) -> str:
        """Merge one change; raises a CrestrailError where it cannot be taken."""
        seen = self.seen.get(change.key) if is_id(change.key) else None
        if seen == change.digest:
            return "known"
        held = self.writer.find(change.type, change.id) if change.id else None
        incoming.check(change, creating=held is None)
        outcome = self._merge(held, change.as_change())
        if change.digest in self.refused:
            refusals.settle(self.writer.session, self.writer.home.id, change)
        if not seen:
            self._remember(change, outcome)
        return outcome

    def _merge(self, held: Record | None, body: dict[str, Any]) -> str:
        current = as_row(held) if held is not None else None
        _refuse_second_meaning(current, body)
        found = [one for one in conflicts(current, body) if not self._is_old_news(body, one)]
        merged = merge(current, body)
        if is_erased(merged.record) and not is_erased(body):
            return "known"
        if merged.winners:
            self._note_picture(held, merged.record)
            self.writer.put(merged, [conflict.group for conflict in found])
            if is_erased(merged.record):
                self._erase_looks(body)
        lost = self._remember_losers(body, merged.losers, [c.group for c in found])
        looks.raise_looks(self.writer, current["fields"] if current else {}, merged, found)
        if any(not conflict.quiet for conflict in found):
            return "conflict"
        return "applied" if merged.winners or lost else "known"

    def _is_old_news(self, body: dict[str, Any], found: Conflict) -> bool:
        """Whether home held this write before: a file or a restored phone says it again."""
        said = next(w for w in (found.kept, found.other) if w.stamp == body["stamps"][found.group])
        return self.writer.is_remembered(body, said)

    def _remember_losers(
        self, body: dict[str, Any], losers: list[Any], contested: list[str]
    ) -> bool:
        """Keep the incoming writes that do not stand; whether there was a new one."""
        new = [
            write
            for write in losers
            if body["stamps"].get(write.group) == write.stamp
            and not self.writer.is_remembered(body, write)
        ]
        self.writer.remember(body, new, "superseded", contested)
        return bool(new)

    def _note_picture(self, held: Record | None, record: dict[str, Any]) -> None:
        if held is not None and is_erased(record) and held.fields.get("sha256"):
            self.pictures.append(held.fields["sha256"])

    def _erase_looks(self, body: dict[str, Any]) -> None:
        writer = self.writer
        for look in erasing.looks_about(writer.session, writer.home.id, body["type"], body["id"]):
            writer.held[(look.type, look.id)] = look
            writer.erase(look.type, look.id)

    def _remember(self, change: Incoming, outcome: str) -> None:
        self.seen[change.key] = change.digest
        self.taken.append(
            {
                "household_id": self.writer.home.id,
                "key": change.key,
                "digest": change.digest,
                "outcome": outcome,
                "at": self.writer.commit.now,
            }
        )


def _refuse_future(writer: Writer, changes: list[Incoming]) -> None:
    """Raise ``clock_ahead`` for a push with a stamp from the future: none of it is taken.

    What the household holds already is no future, so that after an evening with a wrong clock
    at home the phones need not go below the stamps of that evening.
    """
    now = writer.commit.now
    high = writer.home.high_stamp
    known = from_ms(parse_stamp(high).ms) if high else now
    latest = to_ms(max(now, known) + LEEWAY)
    stamps = [stamp for change in changes for stamp in change.stamps]
    if stamps and parse_stamp(max(stamps)).ms > latest:
        found = detail("clock", "clock_ahead") | {"clock": to_ms(now)}
        raise CrestrailError("clock_ahead", [found])


def _refuse_second_meaning(current: dict[str, Any] | None, body: dict[str, Any]) -> None:
    """A stamp names one write: the same stamp with other values cannot be told apart later."""
    if current is None or is_erased(current) or is_erased(body):
        return
    held = writes_of(current)
    for group, write in writes_of(body).items():
        mine = held.get(group)
        if mine and mine.stamp == write.stamp and not same_values(mine.values, write.values):
            reason = "the stamp names another value already"
            found = detail(f"stamps.{group}", "conflict", reason=reason)
            raise CrestrailError("conflict", [found], reason=reason)
