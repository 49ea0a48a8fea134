"""The accounts that facts are posted to. Debits are positive; every fact's postings sum to 0."""

from __future__ import annotations

from dataclasses import dataclass

from crestrail.records.schema import EXPENSE_CATEGORIES


@dataclass(frozen=True, slots=True)
class Account:
    """``kind`` is asset, owner, income, cost or question (waits for a person's answer)."""

    name: str
    kind: str
    meaning: str


ACCOUNTS: dict[str, Account] = {
    "cash": Account("Cash", "asset", "what is in hand, as far as it was written down"),
    "stock": Account("Stock at cost", "asset", "what was paid for pieces still ours"),
    "unassigned": Account("Paid, piece unknown", "asset", "a purchase no piece points to"),
    "buyers": Account("Buyers", "asset", "owed by buyers; below zero: paid ahead by them"),
    "owner": Account("Owner", "owner", "put in or taken out, and what was there at the start"),
    "withdrawn": Account("Kept pieces", "owner", "pieces taken for ourselves, at cost"),
    "sales": Account("Sales", "income", "prices of sold pieces"),
    "delivery": Account("Delivery charged", "income", "what buyers paid for bringing it"),
    "returns": Account("Returns", "income", "money given back to buyers"),
    "cost_of_sold": Account("Cost of sold pieces", "cost", "what was paid for sold pieces"),
    "written_off": Account("Written off", "cost", "what was paid for pieces let go"),
    "fees": Account("Fees", "cost", "what selling cost in fees"),
    "question_cash": Account("In question, money", "question", "money of a fact recorded twice"),
    "question": Account("In question", "question", "the other side of it"),
} | {
    f"expense_{name}": Account(name.replace("_", " ").capitalize(), "cost", "money spent")
    for name in EXPENSE_CATEGORIES
}

RESULT = ("income", "cost")
"""The kinds of accounts that make up what was earned."""


def expense_account(category: str) -> str:
    """The account of an expense; a category from a newer phone counts as ``other``."""
    code = f"expense_{category}"
    return code if code in ACCOUNTS else "expense_other"
