"""What each piece cost, and stock at cost.

One price paid for several pieces is shared by weight, costs of buying folded in first, to the
cent (largest remainder, ties to the smaller id): the lump-sum method, IRS Publication 551.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.basis import money
from crestrail.books.facts import Facts, Record


def whole_cost(purchase: Record) -> int:
    """The price with the costs of buying (fuel, hire) folded in."""
    return int(purchase["total"] + (purchase.get("extra_costs") or 0))


def purchase_shares(purchase: Record, pieces: Sequence[Record]) -> dict[str, int]:
    """What each of the pieces cost; the shares add up to the cent.

    Weights are the pieces' ``share_weight``; when one of them lacks it the shares are equal.
    ValueError without a piece.
    """
    ordered = sorted(pieces, key=lambda p: p["id"])
    weights = [p.get("share_weight") for p in ordered]
    known = [w for w in weights if w is not None]
    if len(known) < len(weights):
        known = [1] * len(weights)
    shares = money.split(whole_cost(purchase), known)
    return {piece["id"]: share for piece, share in zip(ordered, shares, strict=True)}


def piece_cost(piece: Record, purchase: Record, siblings: Sequence[Record]) -> int:
    """A piece's share of a purchase; ``siblings`` are all pieces of it, the piece among them."""
    return purchase_shares(purchase, siblings)[piece["id"]]


@dataclass(frozen=True, slots=True)
class Bought:
    """A purchase as the books read it: what each piece cost, or that it waits in question."""

    purchase: Record
    shares: dict[str, int]
    in_question: bool = False


def purchases(facts: Facts) -> list[Bought]:
    """Every purchase with its shares.

    A piece recorded twice was paid once: its earlier purchase counts, and a later one that no
    other piece points to waits in question. A piece that came out of another has no purchase.
    """
    order = {p["id"]: n for n, p in enumerate(facts.rows("purchase"))}
    claims: dict[str, list[Record]] = {}
    lost: set[str] = set()
    children = facts.children()
    for piece, rows in facts.members().items():
        ids = {r["purchase_id"] for r in rows if r.get("purchase_id") in order}
        if not ids or piece in children:
            continue
        first = min(ids, key=lambda i: order[i])
        row = next(r for r in rows if r.get("purchase_id") == first)
        claims.setdefault(first, []).append({"id": piece, "share_weight": row.get("share_weight")})
        lost |= ids - {first}
    return [_bought(p, claims.get(p["id"], []), p["id"] in lost) for p in facts.rows("purchase")]


def _bought(purchase: Record, pieces: list[Record], lost: bool) -> Bought:
    if pieces:
        return Bought(purchase, purchase_shares(purchase, pieces))
    return Bought(purchase, {}, in_question=lost)
