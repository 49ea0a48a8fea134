"""Writing records within one commit: the merge, the history and the household's counter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from crestrail.basis.clock import to_ms
from crestrail.records.groups import group_of
from crestrail.records.merge import ERASED, Merged, Write, device_of, is_erased
from crestrail.records.stamps import Stamp, format_stamp, parse_stamp, tick
from crestrail.services import erasing
from crestrail.store.changes import Commit
from crestrail.store.models import History, Household, Record, having

BOOK_TYPES = {
    "setting", "kind", "trait", "step", "piece", "purchase", "piece_step", "stint", "asking_price",
    "sale", "return", "split", "same_as", "seen_elsewhere", "supply", "supply_use",
    "visit", "prediction", "expense",
}  # fmt: skip
"""The types that the price book is made from."""

Key = tuple[str, str]
_WriteKey = tuple[str, str, str, str]
"""Type and id of a record, group and stamp: what names one write in the history."""

_CHUNK = 500


@dataclass(slots=True)
class Writer:
    """A commit in the making, with the records it has read so far.

    ``created`` are the records that the pushing phone made, which it need not be told of. What
    goes to the history is written all at once; ``close`` has to be called at the end.
    """

    commit: Commit
    held: dict[Key, Record | None] = field(default_factory=dict)
    created: set[Key] = field(default_factory=set)
    high: str = ""
    _unsaved: dict[_WriteKey, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.high = self.home.high_stamp

    @property
    def session(self) -> Session:
        """The session of the transaction."""
        return self.commit.session

    @property
    def home(self) -> Household:
        """The household that is written to; its row is locked."""
        return self.commit.household

    def preload(self, keys: Iterable[Key]) -> None:
        """Read all records with these types and ids at once, instead of one by one."""
        keys = set(keys)
        self.held |= dict.fromkeys(keys - self.held.keys())
        wanted = sorted({id for _, id in keys})
        for start in range(0, len(wanted), _CHUNK):
            query = select(Record).where(
                Record.household_id == self.home.id,
                Record.id.in_(wanted[start : start + _CHUNK]),
            )
            self.held |= {(r.type, r.id): r for r in self.session.scalars(query)}

    def find(self, type: str, id: str) -> Record | None:
        """The record as it stands now, this commit's writes included."""
        key = (type, id)
        if key not in self.held:
            self.held[key] = self.session.get(Record, (self.home.id, type, id))
        return self.held[key]

    def put(self, merged: Merged, conflicting: Iterable[str] = ()) -> None:
        """Write a merged record and the history of its new writes.

        ``conflicting`` names the groups whose write stands against another person's.
        """
        data = merged.record
        record = self.find(data["type"], data["id"])
        if record is None:
            record = Record(household_id=self.home.id, type=data["type"], id=data["id"])
            self.held[(record.type, record.id)] = record
            self.created.add((record.type, record.id))
        if is_erased(data):
            self.save()
            erasing.erase_traces(self.session, self.home.id, record)
        else:
            self.remember(data, merged.winners, "applied", conflicting)
        record.fields, record.stamps = data["fields"], data["stamps"]
        record.erased = is_erased(data)
        self.commit.put(record)
        self._note(record, merged.winners)

    def remember(
        self,
        about: Mapping[str, Any],
        writes: Iterable[Write],
        outcome: str,
        conflicting: Iterable[str] = (),
    ) -> None:
        """Append writes of a record to its history."""
        contested = set(conflicting)
        for write in writes:
            self._unsaved[_key_of(about, write)] = {
                "household_id": self.home.id,
                "type": about["type"],
                "record_id": about["id"],
                "group": write.group,
                "stamp": write.stamp,
                "values": write.values,
                "device": device_of(write.stamp),
                "at": self.commit.now,
                "outcome": "conflict" if write.group in contested else outcome,
            }

    def is_remembered(self, about: Mapping[str, Any], write: Write) -> bool:
        """Whether the history holds this very write."""
        if _key_of(about, write) in self._unsaved:
            return True
        query = select(History.number).where(
            History.household_id == self.home.id,
            History.type == about["type"],
            History.record_id == about["id"],
            History.group == write.group,
            History.stamp == write.stamp,
        )
        with self.session.no_autoflush:
            return self.session.scalar(query) is not None

    def save(self) -> None:
        """Send to the database what waits for it: one statement for many rows."""
        self.session.flush()
        if self._unsaved:
            self.session.execute(insert(History), list(self._unsaved.values()))
            self._unsaved.clear()

    def close(self) -> None:
        """Send all of it and name the commit."""
        self.save()
        self.commit.close()

    def having(self, type: str, name: str, value: Any) -> list[dict[str, Any]]:
        """Records of a type that are not deleted and whose field, an indexed one, has the value.

        This commit's own writes count, though the database may not have them yet.
        """
        query = select(Record).where(Record.household_id == self.home.id, having(type, name, value))
        with self.session.no_autoflush:
            found = {record.id: record for record in self.session.scalars(query)}
        found |= {id: r for (of, id), r in self.held.items() if of == type and r is not None}
        rows = [{"id": r.id, **r.fields} for r in found.values() if not r.erased]
        return [row for row in rows if row.get(name) == value and not row.get("deleted")]

    def say(self, type: str, id: str, fields: dict[str, Any]) -> None:
        """Write a new record in the server's own name."""
        stamp = self.stamp()
        stamps = {group_of(type, name): stamp for name in fields}
        record = {"type": type, "id": id, "fields": fields, "stamps": stamps}
        writes = [
            Write(group, stamp, {n: v for n, v in fields.items() if group_of(type, n) == group})
            for group in stamps
        ]
        self.put(Merged(record, writes, []))
        self.created.discard((type, id))

    def erase(self, type: str, id: str) -> None:
        """Erase a record in the server's own name, also one that is not here (yet)."""
        stamp = self.stamp()
        data = {"type": type, "id": id, "fields": {}, "stamps": {ERASED: stamp}, "erased": True}
        self.put(Merged(data, [Write(ERASED, stamp, {})], []))

    def stamp(self) -> str:
        """A stamp of the server's own, later than every one the household holds."""
        seen = parse_stamp(self.high) if self.high else Stamp(0, 0, "")
        last = format_stamp(Stamp(seen.ms, seen.counter, self.home.server_device))
        self.high = tick(last, to_ms(self.commit.now))
        self.home.high_stamp = self.high
        return self.high

    def _note(self, record: Record, writes: Iterable[Write]) -> None:
        """Keep the household's largest stamp, and whether the price book is out of date."""
        self.high = max([self.high, *(write.stamp for write in writes)])
        self.home.high_stamp = self.high
        if record.type in BOOK_TYPES:
            self.home.book_seq = record.seq


def _key_of(about: Mapping[str, Any], write: Write) -> _WriteKey:
    return about["type"], about["id"], write.group, write.stamp
