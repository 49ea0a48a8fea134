"""Buying, selling, returning, dividing and joining on simulated phones, and what must hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from random import Random
from typing import Any

from crestrail.basis.clock import AsOf, from_ms, to_text
from crestrail.books.facts import Facts
from crestrail.books.postings import postings
from crestrail.books.sales import standing_by_piece
from crestrail.records.stages import PieceFacts, same_ids, stage
from helpers.simulated_phone import SimulatedPhone

TRADES = ("find", "buy", "sell", "return", "split", "same", "delete")
DELETED = ("piece", "purchase", "sale", "return", "split", "same_as")

LAST = AsOf("9999-12-31T23:59:59.999Z", "9999-12-31")

Row = dict[str, Any]
Rows = Iterable[Row]


def held(phone: SimulatedPhone, type: str) -> list[str]:
    """The ids of the records of a type that the phone knows and that are not erased."""
    return sorted(id for (of, id), row in phone.rows.items() if of == type and not is_gone(row))


def is_gone(row: Row) -> bool:
    return bool(row.get("erased"))


def trade(phone: SimulatedPhone, what: str, pick: Random) -> None:
    """One act of a person on a phone; nothing where there is nothing to act on."""
    at = to_text(from_ms(max(0, phone.home_ms())))
    when = {"at": at, "on": at[:10]}
    pieces, sales = held(phone, "piece"), held(phone, "sale")
    if what == "find" or not pieces:
        phone.write("piece", when | {"title": "Chair", "ask": 100 * pick.randrange(90)})
    elif what == "buy":
        purchase = phone.write("purchase", when | {"total": pick.randrange(9_000)})
        fields = {"purchase_id": purchase, "share_weight": 1}
        phone.write("piece", fields, pick.choice(pieces))
    elif what == "sell":
        money = {"price": pick.randrange(1, 20_000), "fee": pick.randrange(90)}
        phone.write("sale", when | money | {"piece_id": pick.choice(pieces)})
    elif what == "return" and sales:
        money = {"refund": pick.randrange(900), "back_in_stock": pick.random() < 0.5}
        phone.write("return", when | money | {"sale_id": pick.choice(sales)})
    elif what == "split":
        child = phone.write("piece", when | {"title": "Part"})
        ends = {"parent_id": pick.choice(pieces), "child_id": child}
        phone.write("split", when | ends | {"child_weight": 1, "parent_weight": pick.randrange(2)})
    elif what == "same" and len(pieces) > 1:
        one, other = pick.sample(pieces, 2)
        phone.write("same_as", {"at": at, "duplicate_id": one, "survivor_id": other})
    elif what == "delete":
        type = pick.choice(DELETED)
        if known := held(phone, type):
            phone.write(type, {"deleted": True}, pick.choice(known))


def household_of(rows: Rows) -> dict[str, list[Row]]:
    """The rows as the books read them."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        if not is_gone(row):
            found.setdefault(row["type"], []).append({**row["fields"], "id": row["id"]})
    return found


def stages(rows: Rows) -> dict[str, str]:
    """The stage of every piece."""
    of = household_of(rows)
    purchases = {purchase["id"]: purchase for purchase in of.get("purchase", [])}
    pairs = of.get("same_as", [])

    def facts(piece: Row) -> PieceFacts:
        ids = same_ids(piece["id"], pairs)
        sales = [sale for sale in of.get("sale", []) if sale["piece_id"] in ids]
        sold = {sale["id"] for sale in sales}
        returns = [back for back in of.get("return", []) if back["sale_id"] in sold]
        bought = purchases.get(piece.get("purchase_id"))
        return PieceFacts(piece["id"], piece, bought, sales=sales, returns=returns,
                          splits=of.get("split", []), same_as=pairs)  # fmt: skip

    return {piece["id"]: stage(facts(piece), LAST) for piece in of.get("piece", [])}


def check_books(rows: list[Row]) -> None:
    """Each fact's postings balance; of one piece no two sales are summed that both stand; and
    each sale in question has its look."""
    facts = Facts(household_of(rows), LAST.at, "UTC")
    posted = postings(facts)
    sums: Counter[str] = Counter()
    for posting in posted:
        sums[posting.fact_id] += posting.amount
    assert not any(sums.values()), sums
    standing = standing_by_piece(facts).values()
    counted = [s for one in standing for s in (*([one.live] if one.live else []), *one.returned)]
    brought = -sum(p.amount for p in posted if p.account == "sales")
    assert brought == sum(sale["price"] for sale in counted)
    looks = [row for row in household_of(rows).get("look", []) if row["reason"] == "two_sales"]
    flagged = {look[side]["sale_id"] for look in looks for side in ("kept", "other")}
    waiting = {sale["id"] for one in standing for sale in one.in_question}
    assert waiting <= flagged, waiting - flagged
