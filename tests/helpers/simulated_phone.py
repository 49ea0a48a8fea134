"""A phone as the client is meant to be: the real merge rules, an outbox, a wrong clock.

It has no network of its own: ``request`` gives the body to send, ``receive`` takes the answer,
and whoever sits between may lose, double or delay either.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Any

from crestrail.records.groups import group_of
from crestrail.records.merge import is_erased, merge
from crestrail.records.stamps import first_stamp, parse_stamp, receive, restamp, tick

Row = dict[str, Any]
Key = tuple[str, str]
SMALL_MS = 60_000
"""Clocks that are off by less are left alone."""


@dataclass
class SimulatedPhone:
    """``home_ms`` tells the true time; ``off_ms`` is how wrong the phone's clock is."""

    device: str
    household: str
    home_ms: Callable[[], int]
    chance: Random
    off_ms: int = 0
    limit: int = 500
    rows: dict[Key, Row] = field(default_factory=dict)
    outbox: list[Row] = field(default_factory=list)
    refused: list[Row] = field(default_factory=list)
    cursor: str | None = None
    learned_ms: int = 0
    known_home: dict[Key, Row] | None = None
    echoes: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.last = first_stamp(self.device)

    def now_ms(self) -> int:
        """The phone's own time, put right by what it has learned."""
        return self.home_ms() + self.off_ms + self.learned_ms

    def write(self, type: str, fields: Row, id: str | None = None) -> str:
        """An edit of a person: stamped, merged, queued; the record's id."""
        id = id or str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        self.last = tick(self.last, self.now_ms())
        held = self.rows.get((type, id))
        groups = {group_of(type, name) for name in fields}
        bases = {group: (held["stamps"].get(group) if held else None) for group in groups}
        stamps = dict.fromkeys(sorted(groups), self.last)
        self._queue({"type": type, "id": id, "fields": fields, "stamps": stamps, "bases": bases})
        return id

    def erase(self, type: str, id: str) -> None:
        """Erase a record for good."""
        self.last = tick(self.last, self.now_ms())
        self._queue({"type": type, "id": id, "erase": True, "stamps": {"*": self.last}})

    def request(self, most: int = 50) -> Row:
        """The body of the next round trip."""
        return {
            "protocol": 1,
            "household": self.household,
            "device": self.device,
            "cursor": self.cursor,
            "clock": max(0, self.home_ms() + self.off_ms),
            "changes": [dict(change) for change in self._ready(most)],
            "limit": self.limit,
        }

    def _ready(self, most: int) -> list[Row]:
        """Nothing is sent before it is known what a home that was copied back has lost."""
        return [] if self.known_home is not None else self.outbox[:most]

    def receive(self, asked: Row, answer: Row) -> None:
        """Take an answer to ``asked``; an older request than the last may be answered late."""
        self._take_outcomes(answer["outcomes"])
        if asked["cursor"] != self.cursor:
            self._apply(answer["records"])
            return
        if answer["reset"]:
            self.cursor, self.known_home = None, {}
            self._set_clock(answer["clock"])
            return
        self._apply(answer["records"])
        if self.known_home is not None:
            self.known_home |= {(r["type"], r["id"]): r for r in answer["records"]}
        self.cursor = answer["cursor"]
        if self.known_home is not None and not answer["more"]:
            self._push_what_home_lacks(self.known_home)
            self.known_home = None

    def _set_clock(self, home_ms: int) -> None:
        """As the client asks home's clock first: its own writes are put right before it reads."""
        if abs(self.now_ms() - home_ms) > SMALL_MS:
            self.clock_ahead(home_ms)

    def clock_ahead(self, home_ms: int) -> None:
        """Home says that the stamps lie in the future: learn, and stamp the outbox anew."""
        wrong = self.home_ms() + self.off_ms
        shift, before = home_ms - wrong, self.learned_ms
        self.learned_ms = shift
        self.last = first_stamp(self.device)
        renamed: dict[tuple[str, str, str], str] = {}
        for change in self.outbox:
            if change["key"] not in self.echoes:
                renamed |= self._restamp(change, shift - before, home_ms)
        for change in (c for c in self.outbox if c["key"] in self.echoes):
            names = {g: (change["type"], change["id"], s) for g, s in change["stamps"].items()}
            change["stamps"] = {g: renamed.get(name, name[2]) for g, name in names.items()}

    def _restamp(self, change: Row, shift: int, home_ms: int) -> dict[tuple[str, str, str], str]:
        """Stamp a write anew; its old stamp's new name."""
        bases = [stamp for stamp in change.get("bases", {}).values() if stamp]
        old = next(iter(change["stamps"].values()))
        corrected = min(parse_stamp(old).ms + shift, home_ms)
        self.last = restamp(self.last, max(bases, default=None), corrected)
        change["stamps"] = dict.fromkeys(change["stamps"], self.last)
        held = self.rows.get((change["type"], change["id"]))
        for group in change["stamps"]:
            if held and held["stamps"].get(group) == old:
                held["stamps"][group] = self.last
        if held:
            self._merge(change)
        for later in self.outbox:
            for group, base in later.get("bases", {}).items():
                if base == old and (later["type"], later["id"]) == (change["type"], change["id"]):
                    later["bases"][group] = self.last
        return {(change["type"], change["id"], old): self.last}

    def _queue(self, change: Row) -> None:
        change["key"] = str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        self.outbox.append(change)
        self._merge(change)

    def _merge(self, row: Row) -> None:
        key = (row["type"], row["id"])
        self.rows[key] = merge(self.rows.get(key), row).record

    def _apply(self, rows: list[Row]) -> None:
        for row in rows:
            self._merge(row)
            for stamp in row["stamps"].values():
                self.last = receive(self.last, stamp, self.now_ms())

    def _take_outcomes(self, outcomes: list[Row]) -> None:
        named = {outcome["key"]: outcome for outcome in outcomes}
        for change in self.outbox:
            if named.get(change["key"], {}).get("outcome") == "refused":
                self.refused.append(change)
        self.outbox = [change for change in self.outbox if change["key"] not in named]

    def _push_what_home_lacks(self, home: dict[Key, Row]) -> None:
        """After a reset, in front of what waits: records and groups that home has lost."""
        queued = {(c["type"], c["id"], s) for c in self.outbox for s in c["stamps"].values()}
        lost = []
        for key, row in self.rows.items():
            there = home.get(key)
            stamps = there["stamps"] if there else {}
            newer = {
                group: stamp
                for group, stamp in row["stamps"].items()
                if stamp > stamps.get(group, "") and (there is None or (*key, stamp) not in queued)
            }
            if newer:
                lost.append(self._as_change(row, newer, stamps))
        self.echoes |= {change["key"] for change in lost}
        self.outbox[:0] = lost

    def _as_change(self, row: Row, newer: dict[str, str], there: dict[str, str]) -> Row:
        key = str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        about = {"key": key, "type": row["type"], "id": row["id"], "stamps": newer}
        if is_erased(row):
            return about | {"erase": True}
        fields = {n: v for n, v in row["fields"].items() if group_of(row["type"], n) in newer}
        return about | {"fields": fields, "bases": {group: there.get(group) for group in newer}}
