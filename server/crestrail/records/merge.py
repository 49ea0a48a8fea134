"""Merging writes of one record, group by group: the larger stamp stands.

Under "a stamp names one write" the merge commutes, associates and is idempotent, so replays,
duplicates, reordering and lost answers are harmless. ``deleted`` is a group like any other.
An erased record keeps its id only and beats every stamp. All functions are pure; records and
changes are the plain data of the contract (``{type, id, fields, stamps}``).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from crestrail.records.groups import is_quiet, names_in

Record = Mapping[str, Any]
ERASED = "*"
"""The group under which the stamp of an erasure is kept."""


class Write(NamedTuple):
    """One write of one group."""

    group: str
    stamp: str
    values: dict[str, Any]


class Merged(NamedTuple):
    """The merged record, the incoming writes that stand now, and every write that does not."""

    record: dict[str, Any]
    winners: list[Write]
    losers: list[Write]


class Conflict(NamedTuple):
    """Two people wrote the same group: ``kept`` stands, ``other`` goes to the history."""

    group: str
    kept: Write
    other: Write
    quiet: bool


def is_erased(record: Record) -> bool:
    """Whether a record is erased, or a change erases."""
    return bool(record.get("erased") or record.get("erase"))


def write_of(record: Record, group: str) -> Write:
    """The write of a group that a record or change holds; KeyError where it holds none."""
    fields = record["fields"]
    names = names_in(record["type"], group)
    values = {name: fields[name] for name in names if name in fields}
    return Write(group, record["stamps"][group], values)


def writes_of(record: Record) -> dict[str, Write]:
    """Every write that a record or change holds, by group; values without a stamp are none."""
    return {group: write_of(record, group) for group in record["stamps"]}


def merge(current: Record | None, incoming: Record) -> Merged:
    """Merges a change, or another copy of the record, into the current record (None: new)."""
    if is_erased(incoming) or (current is not None and is_erased(current)):
        return _merge_erased(current, incoming)
    mine = writes_of(current) if current else {}
    merged, winners, losers = dict(mine), [], []
    for group, write in writes_of(incoming).items():
        held = mine.get(group)
        if held is None or write.stamp > held.stamp:
            merged[group] = write
            winners.append(write)
        if held is not None and write.stamp != held.stamp:
            losers.append(min(write, held, key=lambda w: w.stamp))
    return Merged(_record(incoming, merged), winners, losers)


def _record(like: Record, writes: Mapping[str, Write]) -> dict[str, Any]:
    ordered = sorted(writes.values())
    return {
        "type": like["type"],
        "id": like["id"],
        "fields": {name: value for write in ordered for name, value in write.values.items()},
        "stamps": {write.group: write.stamp for write in ordered},
    }


def _merge_erased(current: Record | None, incoming: Record) -> Merged:
    """Nothing is left but the id and the latest stamp of an erasure; no values are handed on."""
    erasures = [r for r in (current, incoming) if r is not None and is_erased(r)]
    stamp = max(r["stamps"][ERASED] for r in erasures)
    record = {
        "type": incoming["type"],
        "id": incoming["id"],
        "fields": {},
        "stamps": {ERASED: stamp},
        "erased": True,
    }
    is_news = current is None or current["stamps"].get(ERASED) != stamp
    return Merged(record, [Write(ERASED, stamp, {})] if is_news else [], [])


def conflicts(current: Record | None, change: Record) -> list[Conflict]:
    """The groups that two people wrote without having seen each other's value.

    That is so where the current stamp is neither the change's base nor by the same device,
    and the values differ.
    """
    if current is None or is_erased(current) or is_erased(change):
        return []
    mine, found = writes_of(current), []
    for group, write in writes_of(change).items():
        held = mine.get(group)
        base = change.get("bases", {}).get(group)
        if held and _collide(held, write, base):
            kept, other = (held, write) if held.stamp > write.stamp else (write, held)
            found.append(Conflict(group, kept, other, is_quiet(change["type"], group)))
    return found


def _collide(held: Write, write: Write, base: str | None) -> bool:
    if held.stamp in (base, write.stamp) or device_of(held.stamp) == device_of(write.stamp):
        return False
    return not same_values(held.values, write.values)


def device_of(stamp: str) -> str:
    """The device that made a stamp."""
    return stamp[18:]


def same_values(a: Mapping[str, Any], b: Mapping[str, Any]) -> bool:
    """Whether two writes say the same; a value that is absent is as one that was cleared."""
    return all(_equal(a.get(name), b.get(name)) for name in {*a, *b})


def _equal(a: Any, b: Any) -> bool:
    """Equality as JSON has it: true is not 1, inside lists and objects too."""
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(_equal(a[name], b[name]) for name in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(_equal, a, b))
    return isinstance(a, bool) == isinstance(b, bool) and bool(a == b)


def changed_after_deleted(record: Record) -> list[str]:
    """Groups of a deleted record that were written later than the deletion, to be settled."""
    if is_erased(record) or record["fields"].get("deleted") is not True:
        return []
    stamps = record["stamps"]
    return sorted(group for group in stamps if stamps[group] > stamps["deleted"])
