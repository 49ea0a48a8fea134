"""What each piece and the household made, from the postings; all whole numbers.

*Clear* is what came in less what went out for a piece: price, delivery charged, less returns,
fees, what it cost, supplies used on it and other money spent on it. *Profit* is clear less
one's own time at one's wage. Mirrored in ``web/js/books/profit.js``; results carry the same
names there. Figures for the person's own records, not tax advice.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crestrail.books.accounts import ACCOUNTS, RESULT
from crestrail.books.facts import Facts, Household, Record
from crestrail.books.lines import per_hour, piece_lines
from crestrail.books.mileage import driven
from crestrail.books.minutes import stint_minutes
from crestrail.books.postings import Posting, postings
from crestrail.books.sales import counted_sales, standing_by_piece


def ledger(household: Household, as_of: str, time_zone: str) -> dict[str, Any]:
    """Lines per piece, totals, and sums by month and year, up to an instant.

    ``lines`` are in order of id; ``totals`` sums the pieces that are gone (sold or let go) and
    says what else there is; ``months`` and ``years`` sum the postings, minutes and metres driven
    by their local day.
    """
    facts = Facts(household, as_of, time_zone)
    posted = postings(facts)
    lines = piece_lines(facts, posted)
    return {
        "lines": lines,
        "totals": totals(facts, posted, lines),
        "months": periods(facts, posted, len("2026-05")),
        "years": periods(facts, posted, len("2026")),
    }


def balance(posted: Sequence[Posting], account: str) -> int:
    """The sum of an account's postings."""
    return sum(p.amount for p in posted if p.account == account)


def stock_on(posted: Sequence[Posting], day: str) -> dict[str, int]:
    """What each piece in stock at the end of a local day stands at, at cost."""
    stands: dict[str, int] = {}
    for posting in posted:
        if posting.account == "stock" and posting.on <= day:
            piece = posting.piece or ""
            stands[piece] = stands.get(piece, 0) + posting.amount
    return {piece: amount for piece, amount in sorted(stands.items()) if amount}


def earned(posted: Sequence[Posting]) -> int:
    """Everything that came in less everything it cost, before one's own time."""
    return -sum(p.amount for p in posted if ACCOUNTS[p.account].kind in RESULT)


SUMMED = (
    "brings", "fees", "cost", "supplies", "other", "clear", "work_minutes", "all_minutes",
    "own_time", "profit",
)  # fmt: skip


def totals(
    facts: Facts, posted: Sequence[Posting], lines: Sequence[dict[str, Any]]
) -> dict[str, Any]:
    """The household's sums.

    ``earned`` is from the postings; ``elsewhere`` is how far it differs from the pieces' clear
    (tools, supplies not used up yet, what pieces still here have had).
    """
    gone = [line for line in lines if line["clear"] is not None]
    sums = {name: sum(line[name] for line in gone) for name in SUMMED}
    made = earned(posted)
    return sums | {
        "sold": sum(line["status"] == "sold" for line in gone),
        "work_per_hour": per_hour(sums["clear"], sums["work_minutes"]),
        "all_per_hour": per_hour(sums["clear"], sums["all_minutes"]),
        "earned": made,
        "elsewhere": made - sums["clear"],
        "cash": balance(posted, "cash"),
        "stock": balance(posted, "stock"),
        "unassigned": balance(posted, "unassigned"),
        "buyers": balance(posted, "buyers"),
        "in_question": balance(posted, "question_cash"),
        "goal": goal(facts.setting(), made),
    }


def goal(setting: Record, made: int) -> dict[str, Any] | None:
    """How far what was earned reaches towards the goal; None without one.

    ``ppm`` is the part reached, in parts per million, from 0 to 1,000,000.
    """
    amount = setting.get("goal_amount")
    if not amount:
        return None
    so_far = min(max(0, made), amount)
    return {
        "name": setting.get("goal_name") or "",
        "amount": amount,
        "so_far": so_far,
        "left": amount - so_far,
        "ppm": so_far * 1_000_000 // amount,
    }


def periods(facts: Facts, posted: Sequence[Posting], length: int) -> list[dict[str, Any]]:
    """Sums by the first ``length`` characters of the day: 7 for months, 4 for years."""
    found: dict[str, dict[str, Any]] = {}

    def of(on: str) -> dict[str, Any]:
        return found.setdefault(on[:length], {"period": on[:length]} | dict.fromkeys(_SUMS, 0))

    for posting in posted:
        _add(of(posting.on), posting)
    counts = counted_sales(standing_by_piece(facts))
    for sale in facts.rows("sale"):
        of(sale["on"])["sold"] += counts[sale["id"]]
    for stint in facts.rows("stint"):
        of(stint["on"])["minutes"] += stint_minutes(stint)
    for drive in (*facts.rows("outing"), *facts.rows("delivery")):
        of(drive["on"])["distance_m"] += driven(drive)
    return [found[key] for key in sorted(found)]


_SUMS = (
    "sold", "brings", "fees", "cost", "expenses", "earned", "cash_in", "cash_out", "minutes",
    "distance_m",
)  # fmt: skip
_COLUMN = {
    "sales": "brings", "delivery": "brings", "returns": "brings", "fees": "fees",
    "cost_of_sold": "cost", "written_off": "cost",
}  # fmt: skip


def _add(sums: dict[str, Any], posting: Posting) -> None:
    kind = ACCOUNTS[posting.account].kind
    if kind in RESULT:
        column = _COLUMN.get(posting.account, "expenses")
        sums[column] += -posting.amount if column == "brings" else posting.amount
        sums["earned"] -= posting.amount
    if posting.account == "cash":
        sums["cash_in" if posting.amount > 0 else "cash_out"] += abs(posting.amount)
