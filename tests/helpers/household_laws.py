"""What holds of any household's records, whole or half arrived: stages, books, sales."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from crestrail.basis.clock import AsOf
from crestrail.books.facts import Facts
from crestrail.books.postings import Posting, postings
from crestrail.records.merge import is_erased
from crestrail.records.stages import STAGES, PieceFacts, canonical_id, same_ids, stage
from helpers.households import by_fact

EVER = "9999-12-31T23:59:59.999Z"
COST = ("stock", "unassigned", "cost_of_sold", "written_off", "withdrawn")

Flat = dict[str, list[dict[str, Any]]]


def flat(rows: Iterable[dict[str, Any]]) -> Flat:
    """Rows as they travel, as flat records by type in the order given; erased ones left out."""
    found: Flat = defaultdict(list)
    for row in rows:
        if not is_erased(row):
            found[row["type"]].append({**row["fields"], "id": row["id"]})
    return found


def stages_of(home: Flat, as_of: AsOf) -> dict[str, str]:
    """The stage of every piece."""
    return {piece["id"]: stage(_facts_of(home, piece), as_of) for piece in home["piece"]}


def _facts_of(home: Flat, piece: dict[str, Any]) -> PieceFacts:
    same = same_ids(piece["id"], home["same_as"])
    sales = [sale for sale in home["sale"] if sale.get("piece_id") in same]
    sold = {sale["id"] for sale in sales}
    return PieceFacts(
        piece["id"],
        piece,
        purchase=next((p for p in home["purchase"] if p["id"] == piece.get("purchase_id")), None),
        sales=sales,
        returns=[back for back in home["return"] if back.get("sale_id") in sold],
        splits=[s for s in home["split"] if piece["id"] in (s.get("parent_id"), s.get("child_id"))],
        same_as=home["same_as"],
    )


def check(home: Flat, as_of: AsOf) -> None:
    """Assert what holds whatever has arrived so far, and in whatever order."""
    assert set(stages_of(home, as_of).values()) <= set(STAGES)
    facts = Facts(home, EVER, "UTC")
    posted = postings(facts)
    assert all(total == 0 for total in by_fact(posted).values())
    _every_cent_paid_stands_in_one_place(facts, posted)
    _no_two_live_sales_are_summed(home, facts, posted)


def _every_cent_paid_stands_in_one_place(facts: Facts, posted: list[Posting]) -> None:
    paid = sum(one["total"] + (one.get("extra_costs") or 0) for one in facts.rows("purchase"))
    stands = sum(p.amount for p in posted if p.account in COST)
    waits = sum(p.amount for p in posted if p.account == "question" and p.fact_type == "purchase")
    assert stands + waits == paid
    stock: dict[str | None, int] = defaultdict(int)
    for one in posted:
        stock[one.piece] += one.amount if one.account == "stock" else 0
    assert min(stock.values(), default=0) >= 0


def _no_two_live_sales_are_summed(home: Flat, facts: Facts, posted: list[Posting]) -> None:
    """A sale is summed once or waits in question; of a piece's standing ones one is summed."""
    summed = {p.fact_id: -p.amount for p in posted if p.account == "sales"}
    waiting = {p.fact_id for p in posted if p.account == "question" and p.fact_type == "sale"}
    live = {sale["id"]: sale for sale in facts.rows("sale")}
    assert summed.keys() | waiting == live.keys()
    assert not summed.keys() & waiting
    assert all(live[id]["price"] == amount for id, amount in summed.items())
    back = {one["sale_id"] for one in facts.rows("return") if one["back_in_stock"]}
    standing: dict[str, int] = defaultdict(int)
    for id, sale in live.items():
        standing[canonical_id(sale["piece_id"], home["same_as"])] += id in summed and id not in back
    assert max(standing.values(), default=0) <= 1
