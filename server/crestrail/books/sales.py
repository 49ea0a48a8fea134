"""Which sales count, and what was paid towards each.

A piece is sold once: of two sales that stand, the earlier counts and the later waits in
question. A sale whose piece came back into stock stays counted, with its return.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crestrail.books.facts import Facts, Record
from crestrail.records.stages import SaleStanding, sale_standing


def standing_by_piece(facts: Facts) -> dict[str, SaleStanding]:
    """For each piece with sales, which of them counts, which wait, which came back."""
    sales: dict[str, list[Record]] = {}
    for sale in facts.rows("sale"):
        sales.setdefault(facts.piece(sale["piece_id"]) or "", []).append(sale)
    returns = facts.rows("return")
    return {piece: sale_standing(rows, returns) for piece, rows in sales.items()}


def counted_sales(standing: Mapping[str, SaleStanding]) -> dict[str, bool]:
    """For each sale whether it counts; False: it waits in question."""
    waiting = {s["id"] for one in standing.values() for s in one.in_question}
    every = [
        s
        for one in standing.values()
        for s in (*([one.live] if one.live else []), *one.in_question, *one.returned)
    ]
    return {sale["id"]: sale["id"] not in waiting for sale in every}


@dataclass(frozen=True, slots=True)
class End:
    """A piece that left without a sale: when, to which account, by which record."""

    at: str
    account: str
    record: Record


def endings(facts: Facts, standing: Mapping[str, SaleStanding]) -> dict[str, End]:
    """Kept and let go, by piece; a piece that is sold as well counts as sold."""
    found: dict[str, End] = {}
    for piece, rows in facts.members().items():
        if piece in standing and standing[piece].live:
            continue
        ends = [End(r[at], account, r) for r in rows for at, account in _ENDS if r.get(at)]
        ends = [end for end in ends if end.at <= facts.as_of]
        if ends:
            found[piece] = min(ends, key=lambda e: (e.account != "withdrawn", e.at))
    return found


_ENDS = (("kept_at", "withdrawn"), ("let_go_at", "written_off"))


def paid_towards(facts: Facts, counts: Mapping[str, bool]) -> dict[str, int]:
    """For each sale the payments (deposits, rest paid later) that were recorded apart."""
    mine: dict[str, list[Record]] = {}
    for sale in facts.rows("sale"):
        if counts[sale["id"]]:
            mine.setdefault(facts.piece(sale["piece_id"]) or "", []).append(sale)
    paid: dict[str, int] = {}
    for payment in facts.rows("payment"):
        piece = facts.piece(payment["piece_id"]) or ""
        sale_id = sale_of_payment(payment, mine.get(piece, []))
        if sale_id:
            paid[sale_id] = paid.get(sale_id, 0) + payment["amount"]
    return paid


def sale_of_payment(payment: Record, sales: Sequence[Record]) -> str | None:
    """The sale that a payment belongs to: the one it names, else the next one, else the last.

    ``sales`` are those of its piece that count, in order of time. None while there is no such
    sale: money paid ahead.
    """
    if payment.get("sale_id"):
        return str(payment["sale_id"])
    later = [sale for sale in sales if sale["at"] >= payment["at"]]
    chosen = later[0] if later else sales[-1] if sales else None
    return chosen["id"] if chosen else None
