"""One line of the ledger for every piece that was ever ours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from crestrail.basis.money import scale
from crestrail.basis.rounding import half_up
from crestrail.books.facts import Facts, Record
from crestrail.books.minutes import Spent, spent_by_piece
from crestrail.books.postings import Posting
from crestrail.books.sales import endings, standing_by_piece
from crestrail.books.stock import purchases

COST = ("stock", "cost_of_sold", "written_off", "withdrawn")
"""What a piece cost stands on one of these, so their sum is it, wherever the piece is."""
BROUGHT = ("sales", "delivery", "returns")
SUPPLIES = ("supplies", "tools")
"""Categories of an expense on a piece that count as its supplies; the rest is ``other``."""


def piece_lines(facts: Facts, posted: Sequence[Posting]) -> list[dict[str, Any]]:
    """For each piece: what it brought and cost, its minutes, and what that makes.

    ``status`` is in_stock, sold, kept or let_go. While a piece is here, and when it is kept,
    there is no ``clear`` and no ``profit`` (None).
    """
    by_piece: dict[str, list[Posting]] = {}
    for posting in posted:
        by_piece.setdefault(posting.piece or "", []).append(posting)
    spent, supplies, other = spent_by_piece(facts), supplies_used(facts), other_costs(facts)
    return [
        identity
        | _result(
            identity["status"],
            _sums(by_piece.get(piece, []), supplies.get(piece, 0), other.get(piece, 0)),
            _time(facts.setting(), spent.get(piece, Spent())),
        )
        for piece, identity in _identities(facts).items()
    ]


def _identities(facts: Facts) -> dict[str, dict[str, Any]]:
    """What is said of each piece that was ever ours, in order of id."""
    members, standing = facts.members(), standing_by_piece(facts)
    bought = {p: one.purchase["on"] for one in purchases(facts) for p in one.shares}
    split_off = {facts.piece(s["child_id"]) or "": s["on"] for s in facts.splits}
    opened = {p: on for p, rows in members.items() if (on := _opened_on(rows))}
    ours = opened | bought | split_off
    sold = {p: one.live for p, one in standing.items() if one.live}
    gone = dict.fromkeys(sold, "sold") | {
        p: "kept" if end.account == "withdrawn" else "let_go"
        for p, end in endings(facts, standing).items()
    }
    return {
        piece: {
            "piece": piece,
            "title": (members.get(piece) or [{}])[0].get("title") or "",
            "kind": (members.get(piece) or [{}])[0].get("kind") or "",
            "status": gone.get(piece, "in_stock"),
            "bought_on": ours.get(piece),
            "sold_on": sold[piece]["on"] if piece in sold else None,
        }
        for piece in sorted(ours.keys() | standing.keys())
    }


def _opened_on(rows: Sequence[Record]) -> str | None:
    """The day a piece was there from the start; a cost without a day counts from its record."""
    for row in rows:
        if row.get("opening_on") or row.get("opening_cost") is not None:
            return str(row.get("opening_on") or row["on"])
    return None


def _sums(mine: Iterable[Posting], supplies: int, other: int) -> dict[str, int]:
    brings = fees = cost = 0
    for posting in mine:
        if posting.account in BROUGHT:
            brings -= posting.amount
        elif posting.account == "fees":
            fees += posting.amount
        elif posting.account in COST:
            cost += posting.amount
    return {"brings": brings, "fees": fees, "cost": cost, "supplies": supplies, "other": other}


def _time(setting: Record, spent: Spent) -> dict[str, int]:
    """Minutes, and what they come to at the wage; the setting says which of them it covers."""
    everything = spent.everything()
    paid = everything if setting.get("wage_covers") == "everything" else spent.work
    own_time = scale(setting.get("wage_per_hour") or 0, paid, 60)
    return {"work_minutes": spent.work, "all_minutes": everything, "own_time": own_time}


def _result(status: str, sums: dict[str, int], time: dict[str, int]) -> dict[str, Any]:
    out = ("fees", "cost", "supplies", "other")
    clear = sums["brings"] - sum(sums[name] for name in out)
    ended = status in ("sold", "let_go")
    return {
        **sums,
        **time,
        "clear": clear if ended else None,
        "profit": clear - time["own_time"] if ended else None,
        "work_per_hour": per_hour(clear, time["work_minutes"]) if ended else None,
        "all_per_hour": per_hour(clear, time["all_minutes"]) if ended else None,
    }


def per_hour(clear: int, minutes: int) -> int | None:
    """Minor units an hour, halves up; None where no minute was recorded."""
    return half_up(clear * 60, minutes) if minutes else None


def use_cost(use: Record, supply: Record | None) -> int:
    """What a use of a supply cost: as recorded, else its part of the supply's price, halves up.

    0 when neither is known.
    """
    if use.get("cost") is not None:
        return int(use["cost"])
    if not supply or not supply.get("milliunits") or supply.get("cost") is None:
        return 0
    return scale(supply["cost"], use.get("milliunits") or 0, supply["milliunits"])


def supplies_used(facts: Facts) -> dict[str, int]:
    """Supplies of each piece: uses, and expenses for supplies that were bought for it alone."""
    known = {s["id"]: s for s in facts.rows("supply")}
    uses = [(r, use_cost(r, known.get(r.get("supply_id")))) for r in facts.rows("supply_use")]
    bought = [(r, r["amount"]) for r in _on_a_piece(facts) if r["category"] in SUPPLIES]
    return _spread(facts, [*uses, *bought])


def other_costs(facts: Facts) -> dict[str, int]:
    """Other money spent on each piece alone: a hired van, an advertisement."""
    rows = [(r, r["amount"]) for r in _on_a_piece(facts) if r["category"] not in SUPPLIES]
    return _spread(facts, rows)


def _on_a_piece(facts: Facts) -> list[Record]:
    """Expenses for one piece; one for a supply reaches pieces by its uses, not twice."""
    return [r for r in facts.rows("expense") if r.get("piece_id") and not r.get("supply_id")]


def _spread(facts: Facts, amounts: Iterable[tuple[Record, int]]) -> dict[str, int]:
    found: dict[str, int] = {}
    for row, amount in amounts:
        piece = facts.piece(row.get("piece_id"))
        for heir, share in facts.spread(piece, row["at"], amount).items() if piece else ():
            found[heir] = found.get(heir, 0) + share
    return found
