"""Writes changes as two phones of the invented household would have made them."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from crestrail.records.schema import fields_of

ZONE = ZoneInfo("America/Chicago")
HOUSEHOLD = "0198f000-0000-7000-8000-00000000cafe"
BENCH_PHONE = "5a3d1e0000000001"
KITCHEN_PHONE = "5a3d1e0000000002"


def moment(day: date, hour: int = 12, minute: int = 0) -> datetime:
    """An instant in UTC from a day and a wall-clock time in the household's zone."""
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZONE).astimezone(UTC)


def text(at: datetime) -> str:
    """An instant as the records write it."""
    return at.strftime("%Y-%m-%dT%H:%M:%S.") + f"{at.microsecond // 1000:03d}Z"


def day_text(at: datetime) -> str:
    """The household's calendar day of an instant."""
    return at.astimezone(ZONE).date().isoformat()


@dataclass
class Writer:
    """Collects changes; remembers the latest stamp of every group to give honest bases."""

    random: random.Random
    changes: list[dict[str, Any]] = field(default_factory=list)
    stamps: dict[tuple[str, str], str] = field(default_factory=dict)
    first_stamps: dict[tuple[str, str], str] = field(default_factory=dict)
    _counter: int = 0

    def new_id(self, at: datetime) -> str:
        """A version 7 UUID of this moment from the seeded generator."""
        ms = int(at.timestamp() * 1000)
        digits = f"{ms:012x}7{self.random.getrandbits(12):03x}"
        digits += f"{0x8000 | self.random.getrandbits(14):04x}{self.random.getrandbits(48):012x}"
        return f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"

    def put(
        self,
        type_name: str,
        at: datetime,
        fields: dict[str, Any],
        record_id: str | None = None,
        device: str = BENCH_PHONE,
    ) -> str:
        """Create or edit a record at a moment; returns its id."""
        record_id = record_id or self.new_id(at)
        self.changes.append(self._change(type_name, at, fields, (record_id, device)))
        return record_id

    def put_unaware(
        self, type_name: str, at: datetime, fields: dict[str, Any], record_id: str
    ) -> None:
        """An edit on the kitchen phone by somebody who had not seen the latest values."""
        seen = dict(self.stamps)
        for group in self._groups(type_name, fields):
            first = self.first_stamps.get((record_id, group))
            if first:
                self.stamps[(record_id, group)] = first
        self.changes.append(self._change(type_name, at, fields, (record_id, KITCHEN_PHONE)))
        self.stamps = {**seen, **{k: max(v, seen.get(k, "")) for k, v in self.stamps.items()}}

    def happened(self, at: datetime) -> dict[str, str]:
        """The two fields that say when a fact happened."""
        return {"at": text(at), "on": day_text(at)}

    def _groups(self, type_name: str, fields: dict[str, Any]) -> set[str]:
        known = fields_of(type_name)
        return {known[name].stamp_group for name in fields}

    def _change(
        self, type_name: str, at: datetime, fields: dict[str, Any], who: tuple[str, str]
    ) -> dict[str, Any]:
        record_id, device = who
        self._counter = (self._counter + 1) % 0x10000
        stamp = f"{int(at.timestamp() * 1000):012x}-{self._counter:04x}-{device}"
        groups = self._groups(type_name, fields)
        bases = {g: self.stamps.get((record_id, g)) for g in sorted(groups)}
        for group in groups:
            self.stamps[(record_id, group)] = stamp
            self.first_stamps.setdefault((record_id, group), stamp)
        return {
            "key": self.new_id(at + timedelta(seconds=1)),
            "type": type_name,
            "id": record_id,
            "fields": self._whole_groups(type_name, fields),
            "stamps": dict.fromkeys(sorted(groups), stamp),
            "bases": bases,
        }

    def _whole_groups(self, type_name: str, fields: dict[str, Any]) -> dict[str, Any]:
        groups = self._groups(type_name, fields)
        return {
            name: fields.get(name)
            for name, known in fields_of(type_name).items()
            if known.stamp_group in groups
        }
