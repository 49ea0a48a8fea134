"""The household's own bookkeeping: sums in plain arithmetic, kept while the story is told.

It knows nothing of the tool's books, so that these can be checked against it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Any


def even_shares(amount: int, pieces: Iterable[str]) -> dict[str, int]:
    """An amount in equal parts; what is left over goes one by one to the smaller ids."""
    ordered = sorted(pieces)
    each, left = divmod(amount, len(ordered))
    return {piece: each + (number < left) for number, piece in enumerate(ordered)}


def per_hour(clear: int, minutes: int) -> int | None:
    """Cents an hour to the nearest cent; None where no minute was spent."""
    return floor(Fraction(clear * 60, minutes) + Fraction(1, 2)) if minutes else None


@dataclass
class Account:
    """What one piece cost, brought and took, in cents and minutes; ``gone``: sold or let go."""

    cost: int = 0
    brought: int = 0
    fees: int = 0
    work: int = 0
    finding: int = 0
    gone: bool = False

    @property
    def clear(self) -> int:
        """What is left before one's own time."""
        return self.brought - self.fees - self.cost

    @property
    def minutes(self) -> int:
        """Work, and the piece's part of the outing."""
        return self.work + self.finding

    def half(self) -> Account:
        """Half of what it cost and took, which has to divide evenly; the other half goes off."""
        values = (self.cost, self.work, self.finding)
        if any(value % 2 for value in values):
            raise ValueError("the story divides only what divides evenly")
        self.cost, self.work, self.finding = (value // 2 for value in values)
        return Account(self.cost, work=self.work, finding=self.finding)


class Accounts:
    """An account for every piece that was paid for."""

    def __init__(self) -> None:
        self.of: dict[str, Account] = {}
        self.outings: dict[str, list[str]] = {}

    def bought(self, pieces: list[str], paid: int, outing: str | None) -> None:
        """One payment for one or several pieces, on an outing or not."""
        for piece, cost in even_shares(paid, pieces).items():
            self.of[piece] = Account(cost)
        if outing:
            self.outings.setdefault(outing, []).extend(pieces)

    def came_home(self, outing: str, minutes: int) -> None:
        """An outing's minutes go to what was bought on it, if anything was."""
        for piece, part in even_shares(minutes, self.outings.get(outing) or [""]).items():
            if piece:
                self.of[piece].finding += part

    def sold(self, piece: str, price: int, fee: int) -> None:
        """A sale that counts."""
        one = self.of[piece]
        one.brought, one.fees, one.gone = one.brought + price, one.fees + fee, True

    def came_back(self, piece: str, refund: int) -> None:
        """A sold piece stands in the garage again, its money was given back."""
        self.of[piece].brought -= refund
        self.of[piece].gone = False

    def ended(self) -> dict[str, dict[str, Any]]:
        """Clear, minutes and pay per hour of all time, of each piece that is gone."""
        return {
            piece: {
                "clear": one.clear,
                "minutes": one.minutes,
                "per_hour": per_hour(one.clear, one.minutes),
            }
            for piece, one in sorted(self.of.items())
            if one.gone
        }

    def in_all(self) -> dict[str, int | None]:
        """The same over all pieces that are gone, and what an hour at the bench made."""
        gone = [one for one in self.of.values() if one.gone]
        clear, work = sum(one.clear for one in gone), sum(one.work for one in gone)
        minutes = sum(one.minutes for one in gone)
        return {
            "pieces": len(gone),
            "clear": clear,
            "work_minutes": work,
            "minutes": minutes,
            "per_hour_of_work": per_hour(clear, work),
            "per_hour": per_hour(clear, minutes),
        }
