"""The household's records as the books read them: live, up to a moment, on the right piece.

A household is a mapping from record type to flat records ``{id, **fields}``. Facts recorded on
a duplicate are read as facts of the one piece it is the same as.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from crestrail.basis import money
from crestrail.basis.clock import from_text, local_day
from crestrail.records.schema import BY_NAME, fields_of
from crestrail.records.stages import canonical_id

Record = Mapping[str, Any]
Household = Mapping[str, Sequence[Record]]

_MOMENTS = {"stint": "started_at", "setting": "set_up_at"}


class Facts:
    """Facts up to ``as_of`` (an instant as text, included), days in ``time_zone`` (IANA name)."""

    def __init__(self, household: Household, as_of: str, time_zone: str) -> None:
        self._household = household
        self._zone = time_zone
        self._rows: dict[str, list[Record]] = {}
        self.as_of = as_of
        self._survivors = _survivors(self.rows("same_as"))
        self.splits = self._live_splits()
        self._members: dict[str, list[Record]] | None = None

    @property
    def today(self) -> str:
        """The household's calendar day of ``as_of``."""
        return self.day(self.as_of)

    def rows(self, type_name: str) -> list[Record]:
        """The live records of a type, up to ``as_of``, earliest first.

        A record whose needed fields have not all arrived is left out until they have.
        """
        if type_name not in self._rows:
            moment = _MOMENTS.get(type_name, "at")
            needed = _needed(type_name)
            live = [r for r in self._household.get(type_name, ()) if _is_live(r, needed)]
            upto = [r for r in live if (r.get(moment) or "") <= self.as_of]
            self._rows[type_name] = sorted(upto, key=lambda r: (r.get(moment) or "", r["id"]))
        return self._rows[type_name]

    def setting(self) -> Record:
        """The household's own numbers; empty before they are known."""
        return next(iter(self.rows("setting")), {})

    def piece(self, piece_id: str | None) -> str | None:
        """The piece that an id stands for: itself, or the one it is a duplicate of."""
        return self._survivors.get(piece_id, piece_id) if piece_id else None

    def members(self) -> dict[str, list[Record]]:
        """For each piece its records, its own first and then its duplicates' by id."""
        if self._members is None:
            self._members = self._grouped()
        return self._members

    def _grouped(self) -> dict[str, list[Record]]:
        groups: dict[str, list[Record]] = {}
        for row in self.rows("piece"):
            groups.setdefault(self.piece(row["id"]) or "", []).append(row)
        for survivor, rows in groups.items():
            rows.sort(key=lambda r: (r["id"] != survivor, r["id"]))
        return dict(sorted(groups.items()))

    def day(self, instant: str) -> str:
        """The calendar day of an instant in the household's time zone."""
        return local_day(from_text(instant), self._zone)

    def _live_splits(self) -> list[Record]:
        return [
            r for r in self.rows("split") if self.piece(r["parent_id"]) != self.piece(r["child_id"])
        ]

    def children(self) -> set[str]:
        """The pieces that came out of another one; their cost comes from there alone."""
        return {self.piece(r["child_id"]) or "" for r in self.splits}

    def spread(self, piece: str, at: str, amount: int) -> dict[str, int]:
        """An amount of a piece at a moment, shared over what it was divided into afterwards."""
        shares = {piece: amount}
        for row in self.splits:
            parent = self.piece(row["parent_id"]) or ""
            if row["at"] <= at or parent not in shares:
                continue
            weights = (row["child_weight"], row["parent_weight"])
            gone, shares[parent] = money.split(shares[parent], weights)
            child = self.piece(row["child_id"]) or ""
            shares[child] = shares.get(child, 0) + gone
        return shares


@cache
def _needed(type_name: str) -> tuple[str, ...]:
    known = fields_of(type_name).values() if type_name in BY_NAME else ()
    return tuple(field.name for field in known if field.required)


def _is_live(row: Record, needed: tuple[str, ...]) -> bool:
    return not row.get("deleted") and all(row.get(name) is not None for name in needed)


def _survivors(pairs: Sequence[Record]) -> dict[str, str]:
    """Each piece named in a pair -> the one id that stands for it."""
    named = {pair[end] for pair in pairs for end in ("duplicate_id", "survivor_id")}
    return {name: canonical_id(name, pairs) for name in named}
