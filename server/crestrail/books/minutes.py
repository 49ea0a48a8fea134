"""Whose time went into which piece: work, and everything else that takes an evening.

A stretch of work on several pieces is shared equally to the minute, an outing equally over the
pieces bought on it. Time spent on a set that was divided afterwards is divided with it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crestrail.basis import money
from crestrail.basis.clock import from_text, to_ms
from crestrail.books.facts import Facts, Record
from crestrail.books.stock import purchases

_MINUTE_MS = 60_000


@dataclass(slots=True)
class Spent:
    """Minutes of one piece.

    ``work`` are stints at the bench, ``around`` those of standing steps (photographs, listing,
    answering, handing over), ``driving`` deliveries, ``finding`` its share of the outing.
    """

    work: int = 0
    around: int = 0
    driving: int = 0
    finding: int = 0

    def everything(self) -> int:
        """All of it."""
        return self.work + self.around + self.driving + self.finding


def whole_minutes(start: str | None, end: str | None) -> int:
    """Whole minutes from one instant to the other, a begun one not counted; 0 if unknown."""
    if not start or not end:
        return 0
    return max(0, (to_ms(from_text(end)) - to_ms(from_text(start))) // _MINUTE_MS)


def stint_minutes(stint: Record) -> int:
    """The minutes of a stint as recorded, else from start to stop; 0 while it runs."""
    minutes = stint.get("minutes")
    if minutes is not None:
        return int(minutes)
    return whole_minutes(stint["started_at"], stint.get("stopped_at"))


def spent_by_piece(facts: Facts) -> dict[str, Spent]:
    """The minutes of every piece that any were recorded for."""
    spent: dict[str, Spent] = {}
    for part, piece, minutes in (*_stints(facts), *_drives(facts), *_outings(facts)):
        one = spent.setdefault(piece, Spent())
        setattr(one, part, getattr(one, part) + minutes)
    return spent


_Part = tuple[str, str, int]


def _share(facts: Facts, part: str, at: str, pieces: list[str], minutes: int) -> Iterable[_Part]:
    if not pieces:
        return
    for piece, share in zip(pieces, money.split(minutes, [1] * len(pieces)), strict=True):
        for heir, amount in facts.spread(piece, at, share).items():
            yield part, heir, amount


def _stints(facts: Facts) -> Iterable[_Part]:
    standing = {s["slug"] for s in facts.rows("step") if s.get("standing")}
    for stint in facts.rows("stint"):
        part = "around" if stint.get("step") in standing else "work"
        pieces = sorted({facts.piece(i) or "" for i in stint["piece_ids"]})
        yield from _share(facts, part, stint["started_at"], pieces, stint_minutes(stint))


def _drives(facts: Facts) -> Iterable[_Part]:
    for drive in facts.rows("delivery"):
        piece = facts.piece(drive.get("piece_id"))
        minutes = drive.get("minutes") or 0
        yield from _share(facts, "driving", drive["at"], [piece] if piece else [], minutes)


def _outings(facts: Facts) -> Iterable[_Part]:
    bought = purchases(facts)
    for outing in facts.rows("outing"):
        mine = [one for one in bought if one.purchase.get("outing_id") == outing["id"]]
        pieces = sorted({piece for one in mine for piece in one.shares})
        minutes = whole_minutes(outing["at"], outing.get("ended_at"))
        yield from _share(facts, "finding", outing["at"], pieces, minutes)
