"""Every fact as balanced postings, replayed in the order in which things happened.

Stock is kept at cost, piece by piece. What a piece cost leaves stock once, to where the piece
went: sold, written off, or withdrawn by the owner (kept). Cost that becomes known after the
piece is gone follows it at once. What was recorded twice (a second sale of one piece, a second
purchase of it) is posted to the accounts in question and touches neither cash nor result.

Supplies have one home: the expense that bought them. Their use on a piece is shown with the
piece (``profit.py``) and never posted, so no cent is deducted twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from crestrail.basis import money
from crestrail.books.accounts import expense_account
from crestrail.books.facts import Facts, Record
from crestrail.books.sales import counted_sales, endings, paid_towards, standing_by_piece
from crestrail.books.stock import Bought, purchases, whole_cost


@dataclass(frozen=True, slots=True)
class Posting:
    """An amount in minor units on an account (debit positive), on a day, from a fact."""

    on: str
    account: str
    amount: int
    piece: str | None
    fact_type: str
    fact_id: str


Leg = tuple[str, int, str | None]
"""Account, amount, piece."""


@dataclass(frozen=True, slots=True)
class _Event:
    """Something to post; ``rank`` orders what happened in the same moment."""

    at: str
    rank: int
    fact_type: str
    fact_id: str
    on: str
    legs: Callable[[], Iterable[Leg]]


def postings(facts: Facts) -> list[Posting]:
    """All postings up to the moment of the facts, in order of time."""
    replay = _Replay(facts)
    events = sorted(replay.events(), key=lambda e: (e.at, e.rank, e.fact_id))
    return [
        Posting(e.on, account, amount, piece, e.fact_type, e.fact_id)
        for e in events
        for account, amount, piece in e.legs()
        if amount
    ]


class _Replay:
    """What is where while the facts are gone through in order of time."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.standing = standing_by_piece(facts)
        self.counts = counted_sales(self.standing)
        self.paid = paid_towards(facts, self.counts)
        self.bought = purchases(facts)
        self.sales = {sale["id"]: sale for sale in facts.rows("sale")}
        self.stock: dict[str, int] = {}
        self.gone: dict[str, tuple[str, str]] = {}
        self.cost_of_sale: dict[str, int] = {}

    def events(self) -> list[_Event]:
        """Every fact that moves money or stock."""
        ranked = (
            self._opening(), self._cash_moves(), self._expenses(), self._opening_stock(),
            self._purchases(), self._splits(), self._payments(), self._sales(), self._returns(),
            self._endings(),
        )  # fmt: skip
        return [
            _Event(at, rank, kind, row["id"], on, legs)
            for rank, found in enumerate(ranked)
            for at, on, kind, row, legs in found
        ]

    def _opening(self) -> Iterable[_Found]:
        setting = self.facts.setting()
        amount = setting.get("cash_start") or 0
        on = setting.get("opened_on") or "1970-01-01"
        if amount and on <= self.facts.today:
            legs = [("cash", amount, None), ("owner", -amount, None)]
            yield _midnight(on), on, "setting", setting, _fixed(legs)

    def _cash_moves(self) -> Iterable[_Found]:
        for row in self.facts.rows("cash_move"):
            legs = [("cash", row["amount"], None), ("owner", -row["amount"], None)]
            yield row["at"], row["on"], "cash_move", row, _fixed(legs)

    def _expenses(self) -> Iterable[_Found]:
        for row in self.facts.rows("expense"):
            piece = self.facts.piece(row.get("piece_id"))
            account = expense_account(row["category"])
            legs = [(account, row["amount"], piece), ("cash", -row["amount"], None)]
            yield row["at"], row["on"], "expense", row, _fixed(legs)

    def _opening_stock(self) -> Iterable[_Found]:
        elsewhere = {piece for one in self.bought for piece in one.shares} | self.facts.children()
        for piece, rows in self.facts.members().items():
            if piece in elsewhere:
                continue
            row = next((r for r in rows if r.get("opening_cost")), None)
            on = row and (row.get("opening_on") or row["on"])
            if row and on and on <= self.facts.today:
                legs = partial(self._into_stock, piece, row["opening_cost"], "owner")
                yield _midnight(on), on, "piece", row, legs

    def _purchases(self) -> Iterable[_Found]:
        for one in self.bought:
            row = one.purchase
            yield row["at"], row["on"], "purchase", row, partial(self._buy, one)

    def _splits(self) -> Iterable[_Found]:
        for row in self.facts.splits:
            yield row["at"], row["on"], "split", row, partial(self._divide, row)

    def _payments(self) -> Iterable[_Found]:
        for row in self.facts.rows("payment"):
            piece = self.facts.piece(row.get("piece_id"))
            legs = [("cash", row["amount"], None), ("buyers", -row["amount"], piece)]
            yield row["at"], row["on"], "payment", row, _fixed(legs)

    def _sales(self) -> Iterable[_Found]:
        for row in self.facts.rows("sale"):
            yield row["at"], row["on"], "sale", row, partial(self._sell, row)

    def _returns(self) -> Iterable[_Found]:
        for row in self.facts.rows("return"):
            yield row["at"], row["on"], "return", row, partial(self._take_back, row)

    def _endings(self) -> Iterable[_Found]:
        for piece, end in endings(self.facts, self.standing).items():
            legs = partial(self._leave, piece, end.account, end.record["id"])
            yield end.at, self.facts.day(end.at), "piece", end.record, legs

    def _into_stock(self, piece: str, amount: int, against: str) -> list[Leg]:
        legs: list[Leg] = [("stock", amount, piece), (against, -amount, None)]
        self.stock[piece] = self.stock.get(piece, 0) + amount
        return legs + (self._leave(piece, *self.gone[piece]) if piece in self.gone else [])

    def _leave(self, piece: str, account: str, why: str) -> list[Leg]:
        amount = self.stock.pop(piece, 0)
        self.gone[piece] = (account, why)
        if account == "cost_of_sold":
            self.cost_of_sale[why] = self.cost_of_sale.get(why, 0) + amount
        return [(account, amount, piece), ("stock", -amount, piece)]

    def _buy(self, one: Bought) -> list[Leg]:
        cost = whole_cost(one.purchase)
        if one.in_question:
            return [("question", cost, None), ("question_cash", -cost, None)]
        if not one.shares:
            return [("unassigned", cost, None), ("cash", -cost, None)]
        shares = one.shares.items()
        return [leg for piece, share in shares for leg in self._into_stock(piece, share, "cash")]

    def _divide(self, split: Record) -> list[Leg]:
        parent = self.facts.piece(split["parent_id"]) or ""
        child = self.facts.piece(split["child_id"]) or ""
        weights = (split["child_weight"], split["parent_weight"])
        share, rest = money.split(self.stock.get(parent, 0), weights)
        self.stock[parent] = rest
        legs = self._into_stock(child, share, "stock")
        return [(account, amount, piece or parent) for account, amount, piece in legs]

    def _sell(self, sale: Record) -> list[Leg]:
        piece = self.facts.piece(sale["piece_id"]) or ""
        price, brought = sale["price"], sale.get("delivery_charged") or 0
        whole, fee = price + brought, sale.get("fee") or 0
        if not self.counts[sale["id"]]:
            return [("question_cash", whole - fee, piece), ("question", fee - whole, piece)]
        due = max(0, whole - self.paid.get(sale["id"], 0))
        return [
            ("buyers", whole, piece), ("sales", -price, piece), ("delivery", -brought, piece),
            ("cash", due, None), ("buyers", -due, piece),
            ("fees", fee, piece), ("cash", -fee, None),
            *self._leave(piece, "cost_of_sold", sale["id"]),
        ]  # fmt: skip

    def _take_back(self, back: Record) -> list[Leg]:
        sale = back["sale_id"]
        piece = self._piece_of_sale(sale)
        refund, fee = back["refund"], back.get("fee_back") or 0
        if not self.counts.get(sale, True):
            return [("question", refund - fee, piece), ("question_cash", fee - refund, piece)]
        legs: list[Leg] = [
            ("returns", refund, piece), ("cash", -refund, None),
            ("cash", fee, None), ("fees", -fee, piece),
        ]  # fmt: skip
        if back["back_in_stock"] and piece and self.gone.get(piece) == ("cost_of_sold", sale):
            del self.gone[piece]
            cost = self.cost_of_sale.pop(sale, 0)
            self.stock[piece] = self.stock.get(piece, 0) + cost
            legs += [("stock", cost, piece), ("cost_of_sold", -cost, piece)]
        return legs

    def _piece_of_sale(self, sale_id: str) -> str | None:
        sale = self.sales.get(sale_id)
        return self.facts.piece(sale["piece_id"]) if sale else None


_Found = tuple[str, str, str, Record, Callable[[], Iterable[Leg]]]


def _midnight(day: str) -> str:
    return f"{day}T00:00:00.000Z"


def _fixed(legs: Sequence[Leg]) -> Callable[[], Iterable[Leg]]:
    return lambda: legs
