"""Slow and obvious answers for records, and the generated cases that both languages meet.

python -m helpers.oracles_records        (from tests/) writes tests/vectors/merge.json
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterable, Mapping
from typing import Any

from crestrail.records.groups import groups_of
from helpers.vectors import VECTORS

DEVICES = ("a" * 16, "b" * 16, "c" * 16)
GROUPS = ("money", "when", "buyer", "handover", "deleted", "of_a_later_version")
VALUES: dict[str, tuple[Any, ...]] = {
    "price": (None, 1000, 2000), "fee": (None, 0, 100), "delivery_charged": (None, 500),
    "at": ("2026-05-01T14:03:00.000Z", "2026-05-02T09:00:00.000Z"),
    "on": ("2026-05-01", "2026-05-02"), "buyer": (None, "Ada", "Bo"),
    "handover": (None, "pickup", "delivery"), "handed_over_at": (None, "2026-05-03T10:00:00.000Z"),
    "deleted": (None, True, False), "of_a_later_version": (None, 1, [1, "x"], {"b": 1, "a": 2}),
}  # fmt: skip

Record = dict[str, Any]


def slow_merge(records: Iterable[Mapping[str, Any]]) -> Record:
    """The merge of all copies of a sale at once: for each group, the write of largest stamp."""
    copies = list(records)
    like = {"type": copies[0]["type"], "id": copies[0]["id"]}
    erasures = [c["stamps"]["*"] for c in copies if c.get("erased") or c.get("erase")]
    if erasures:
        return {**like, "fields": {}, "stamps": {"*": max(erasures)}, "erased": True}
    fields, stamps = {}, {}
    for group in sorted({g for c in copies for g in c["stamps"]}):
        winner = max((c for c in copies if group in c["stamps"]), key=lambda c: c["stamps"][group])
        stamps[group] = winner["stamps"][group]
        for name in groups_of("sale").get(group, (group,)):
            if name in winner["fields"]:
                fields[name] = winner["fields"][name]
    return {**like, "fields": fields, "stamps": stamps}


class Writes:
    """Makes copies of one sale out of a pool of writes, in which a stamp names one write."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.pool: dict[str, list[tuple[str, dict[str, Any]]]] = {
            group: [self._write(group, n) for n in range(4)] for group in GROUPS
        }

    def _write(self, group: str, number: int) -> tuple[str, dict[str, Any]]:
        ms, counter = self.rng.choice((1000, 1001, 5000)), self.rng.randrange(3)
        device = self.rng.choice(DEVICES)
        stamp = f"{ms + 10_000 * number:012x}-{counter:04x}-{device}"
        names = groups_of("sale").get(group, (group,))
        return stamp, {name: self.rng.choice(VALUES[name]) for name in names}

    def record(self) -> Record:
        """A copy holding some of the writes, now and then an erased one."""
        record: Record = {"type": "sale", "id": "s", "fields": {}, "stamps": {}}
        if self.rng.random() < 0.06:
            stamp = f"{self.rng.choice((500, 90_000)):012x}-0000-{self.rng.choice(DEVICES)}"
            return {**record, "stamps": {"*": stamp}, "erased": True}
        for group in GROUPS:
            if self.rng.random() < 0.6:
                stamp, values = self.rng.choice(self.pool[group])
                record["stamps"][group] = stamp
                record["fields"].update(values)
        return record

    def change(self) -> Record:
        """A change of some groups, its bases right, wrong or absent."""
        change = self.record()
        if change.pop("erased", False):
            return {**change, "erase": True}
        known: list[str | None] = [stamp for group in GROUPS for stamp, _ in self.pool[group]]
        bases = {group: self.rng.choice([None, *known]) for group in change["stamps"]}
        return {**change, "bases": bases}


def slow_conflicts(current: Mapping[str, Any], change: Mapping[str, Any]) -> list[list[Any]]:
    """Group, kept stamp, other stamp of every conflict, from the contract's sentence alone."""
    if "*" in current["stamps"] or "*" in change["stamps"]:
        return []
    found = []
    for group, stamp in change["stamps"].items():
        held = current["stamps"].get(group)
        names = groups_of("sale").get(group, (group,))
        same = all(
            json.dumps(current["fields"].get(name), sort_keys=True)
            == json.dumps(change["fields"].get(name), sort_keys=True)
            for name in names
        )
        unseen = held is not None and held not in (stamp, change["bases"][group])
        if unseen and not same and held.split("-")[2] != stamp.split("-")[2]:
            found.append([group, max(held, stamp), min(held, stamp)])
    return sorted(found)


def merge_cases(count: int = 100, seed: int = 20_260_501) -> dict[str, Any]:
    """The generated cases; the same seed gives the same cases."""
    rng = random.Random(seed)
    merges, conflicts = [], []
    for _ in range(count):
        writes = Writes(rng)
        copies = [writes.record() for _ in range(rng.choice((1, 2, 3, 4)))]
        merges.append({"copies": copies, "merged": slow_merge(copies)})
        current, change = writes.record(), writes.change()
        found = slow_conflicts(current, change)
        conflicts.append({"current": current, "change": change, "found": found})
    return {"about": ABOUT, "merges": merges, "conflicts": conflicts}


ABOUT = (
    "Copies of one sale and what they merge to, whatever the order; a record, a change and the"
    " conflicts between them (group, kept stamp, other stamp). Made by tests/helpers/"
    "oracles_records.py from the contract's sentences, not by the merge under test."
)


def written(cases: Mapping[str, Any]) -> str:
    """The vector file, one case a line."""
    parts = [f'  "about": {json.dumps(cases["about"])}']
    for name in ("merges", "conflicts"):
        lines = ",\n".join("    " + json.dumps(case) for case in cases[name])
        parts.append(f'  "{name}": [\n{lines}\n  ]')
    return "{\n" + ",\n".join(parts) + "\n}\n"


if __name__ == "__main__":
    (VECTORS / "merge.json").write_text(written(merge_cases()), encoding="utf-8")
