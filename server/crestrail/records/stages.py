"""The stage of a piece, from its facts alone; it is never stored.

Precedence, first that holds: duplicate, divided, sold, kept, let_go, on_hold, listed, ready,
in_work, to_fetch, bought, passed, seen. So the end of a piece outranks its life, and of its
life the furthest step counts. Facts are plain mappings ``{id, ...fields}``; those that are
deleted count as absent. Instants and days are compared as texts, which is time order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from crestrail.basis.clock import AsOf

Fact = Mapping[str, Any]

STAGES = (
    "duplicate", "divided", "sold", "kept", "let_go", "on_hold", "listed", "ready", "in_work",
    "to_fetch", "bought", "passed", "seen",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """All that decides the stage of one piece.

    ``piece`` holds its fields; ``purchase`` is the record that its ``purchase_id`` names, or
    the parent's for a piece split off, None where it is not known (yet). ``sales`` and the
    like are those of the piece itself and of its duplicates; ``returns`` those of the sales;
    ``splits`` where it is parent or child; ``same_as`` at least its connected set.
    """

    id: str
    piece: Fact = field(default_factory=dict)
    purchase: Fact | None = None
    steps: Sequence[Fact] = ()
    stints: Sequence[Fact] = ()
    asking_prices: Sequence[Fact] = ()
    holds: Sequence[Fact] = ()
    sales: Sequence[Fact] = ()
    returns: Sequence[Fact] = ()
    splits: Sequence[Fact] = ()
    same_as: Sequence[Fact] = ()


@dataclass(frozen=True, slots=True)
class SaleStanding:
    """Which sale of a piece counts: the earliest that did not come back into stock.

    ``in_question`` are further sales of the same piece (two phones sold it); ``returned``
    those whose piece came back into stock. All in order of (at, id).
    """

    live: Fact | None
    in_question: list[Fact]
    returned: list[Fact]


def live(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that are not deleted."""
    return [fact for fact in facts if fact.get("deleted") is not True]


def _by_time(facts: Iterable[Fact]) -> list[Fact]:
    return sorted(live(facts), key=lambda fact: (fact.get("at") or "", fact["id"]))


def same_ids(piece_id: str, same_as: Iterable[Fact]) -> set[str]:
    """All ids that are said to be one and the same piece, over any chain or cycle of pairs."""
    found, waiting = {piece_id}, [piece_id]
    pairs = [(p["duplicate_id"], p["survivor_id"]) for p in live(same_as) if _is_whole(p)]
    while waiting:
        one = waiting.pop()
        for a, b in pairs:
            for other in {a, b} - found if one in (a, b) else ():
                found.add(other)
                waiting.append(other)
    return found


def _is_whole(pair: Fact) -> bool:
    return bool(pair.get("duplicate_id") and pair.get("survivor_id"))


def canonical_id(piece_id: str, same_as: Iterable[Fact]) -> str:
    """The id that stands for all ids of the same piece: the smallest, whoever said so first."""
    return min(same_ids(piece_id, same_as))


def sale_standing(sales: Iterable[Fact], returns: Iterable[Fact]) -> SaleStanding:
    """Which sale counts, which are in question, which came back into stock."""
    back = {r.get("sale_id") for r in live(returns) if r.get("back_in_stock") is True}
    ordered = _by_time(sales)
    standing = [sale for sale in ordered if sale["id"] not in back]
    returned = [sale for sale in ordered if sale["id"] in back]
    return SaleStanding(standing[0] if standing else None, standing[1:], returned)


def live_sale(sales: Iterable[Fact], returns: Iterable[Fact]) -> Fact | None:
    """The sale that counts, or None."""
    return sale_standing(sales, returns).live


def live_hold(holds: Iterable[Fact], as_of: AsOf) -> Fact | None:
    """The hold that stands at the moment: not released, its time not over; the earliest made."""
    standing = (h for h in _by_time(holds) if not h.get("released_at"))
    return next((h for h in standing if (h.get("until_at") or "") > as_of.at), None)


def current_asking(piece: Fact, asking_prices: Iterable[Fact], as_of: AsOf) -> Fact | None:
    """The asking price of the day, or None when the piece is not listed.

    The latest day counts that has come, of several the one written last; prices set before
    the piece was taken off the list ("unlisted") do not, nor do drops that were only planned:
    whoever drops the price where it is listed says so.
    """
    off = piece.get("unlisted_at") or ""
    begun = [
        price
        for price in live(asking_prices)
        if price.get("from_on")
        and price["from_on"] <= as_of.on
        and price.get("at")
        and price["at"] > off
        and price.get("planned") is not True
    ]
    return max(begun, key=lambda p: (p["from_on"], p["at"], p["id"]), default=None)


def is_divided(piece_id: str, splits: Iterable[Fact]) -> bool:
    """Whether a set was divided until nothing was left of it (no share stayed with it)."""
    own = (s for s in live(splits) if s.get("parent_id") == piece_id)
    return any(s.get("parent_weight") == 0 for s in own)


def is_owned(facts: PieceFacts) -> bool:
    """Whether the piece was bought, was there at the start, or was split off another."""
    piece = facts.piece
    if piece.get("opening_on") or piece.get("opening_cost") is not None:
        return True
    if any(s.get("child_id") == facts.id for s in live(facts.splits)):
        return True
    known = facts.purchase
    return bool(piece.get("purchase_id")) and (known is None or bool(live([known])))


def _waits_to_be_fetched(purchase: Fact | None) -> bool:
    if purchase is None or not live([purchase]) or purchase.get("fetched_at"):
        return False
    return bool(purchase.get("fetch_by") or purchase.get("fetch_where"))


def _is_worked_on(facts: PieceFacts) -> bool:
    return bool(live(facts.stints)) or any(step.get("done_at") for step in live(facts.steps))


def _ended(facts: PieceFacts) -> str | None:
    if canonical_id(facts.id, facts.same_as) != facts.id:
        return "duplicate"
    if is_divided(facts.id, facts.splits):
        return "divided"
    if live_sale(facts.sales, facts.returns):
        return "sold"
    if facts.piece.get("kept_at"):
        return "kept"
    return "let_go" if facts.piece.get("let_go_at") else None


def _offered(facts: PieceFacts, as_of: AsOf) -> str | None:
    if live_hold(facts.holds, as_of):
        return "on_hold"
    return "listed" if current_asking(facts.piece, facts.asking_prices, as_of) else None


def _in_hand(facts: PieceFacts) -> str:
    if facts.piece.get("ready_at"):
        return "ready"
    if _is_worked_on(facts):
        return "in_work"
    if is_owned(facts):
        return "to_fetch" if _waits_to_be_fetched(facts.purchase) else "bought"
    return "passed" if facts.piece.get("passed_at") else "seen"


def stage(facts: PieceFacts, as_of: AsOf) -> str:
    """The stage of a piece, one of ``STAGES``.

    ``as_of`` decides on holds and asking prices only: a fact counts because it was written.
    """
    return _ended(facts) or _offered(facts, as_of) or _in_hand(facts)
