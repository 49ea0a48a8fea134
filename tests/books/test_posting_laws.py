"""What holds for the postings of any household, however odd its history."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from crestrail.books.accounts import ACCOUNTS
from crestrail.books.facts import Facts
from crestrail.books.postings import postings
from helpers.households import LATER, ZONE, by_fact, random_household

SEEDS = st.integers(0, 10**6)


@settings(deadline=None)
@given(SEEDS)
def test_every_fact_balances_and_only_money_facts_touch_cash(seed: int) -> None:
    posted = postings(Facts(random_household(seed), LATER, ZONE))
    assert all(total == 0 for total in by_fact(posted).values())
    assert {p.account for p in posted} <= set(ACCOUNTS)
    cash = {p.fact_type for p in posted if p.account == "cash"}
    assert cash <= {
        "setting", "cash_move", "expense", "purchase", "payment", "sale", "return",
    }  # fmt: skip


@settings(deadline=None)
@given(SEEDS)
def test_no_cent_of_a_purchase_is_deducted_twice(seed: int) -> None:
    home = random_household(seed)
    posted = postings(Facts(home, LATER, ZONE))
    paid = sum(
        r["total"] + (r.get("extra_costs") or 0) for r in home["purchase"] if not r.get("deleted")
    )
    opening = -sum(p.amount for p in posted if p.account == "owner" and p.fact_type == "piece")
    stands = ("stock", "unassigned", "cost_of_sold", "written_off", "withdrawn")
    found = sum(p.amount for p in posted if p.account in stands)
    waiting = sum(p.amount for p in posted if p.account == "question" and p.fact_type == "purchase")
    assert found + waiting == paid + opening


@settings(deadline=None)
@given(SEEDS)
def test_a_piece_never_leaves_stock_for_more_than_it_cost(seed: int) -> None:
    left: dict[str | None, int] = {}
    for p in postings(Facts(random_household(seed), LATER, ZONE)):
        if p.account == "stock":
            left[p.piece] = left.get(p.piece, 0) + p.amount
    assert min(left.values(), default=0) >= 0


@settings(deadline=None)
@given(SEEDS, st.randoms(use_true_random=False))
def test_the_order_in_which_records_arrive_does_not_matter(seed: int, shuffle: Any) -> None:
    home = random_household(seed)
    before = postings(Facts(home, LATER, ZONE))
    for rows in home.values():
        shuffle.shuffle(rows)
    assert postings(Facts(home, LATER, ZONE)) == before
