"""Every fact posts to balanced books, and every cent once."""

from __future__ import annotations

from typing import Any

import pytest

from crestrail.books.facts import Facts
from crestrail.books.postings import Posting, postings
from helpers.households import LATER, ZONE, household, rec

BOUGHT = [
    rec("purchase", "2026-03-01", id="b1", total=2000),
    rec("piece", "2026-03-01", id="p1", purchase_id="b1"),
]
SOLD = rec("sale", "2026-04-01", id="s1", piece_id="p1", price=12_000, fee=300)


def post(*rows: dict[str, Any], as_of: str = LATER) -> list[Posting]:
    return postings(Facts(household(*rows), as_of, ZONE))


def balances(*rows: dict[str, Any], as_of: str = LATER) -> dict[str, int]:
    sums: dict[str, int] = {}
    for p in post(*rows, as_of=as_of):
        sums[p.account] = sums.get(p.account, 0) + p.amount
    return {account: amount for account, amount in sums.items() if amount}


def test_a_purchase_moves_cash_into_stock() -> None:
    assert balances(*BOUGHT) == {"cash": -2000, "stock": 2000}


def test_a_sale_brings_cash_less_the_fee_and_takes_the_cost_out_of_stock() -> None:
    assert balances(*BOUGHT, SOLD) == {
        "cash": 9700, "sales": -12_000, "fees": 300, "cost_of_sold": 2000,
    }  # fmt: skip


def test_nothing_after_the_moment_asked_about_is_posted() -> None:
    assert balances(*BOUGHT, SOLD, as_of="2026-03-31T00:00:00.000Z") == {
        "cash": -2000, "stock": 2000,
    }  # fmt: skip


def test_deleted_facts_are_not_posted() -> None:
    assert balances(*BOUGHT, SOLD | {"deleted": True}) == {"cash": -2000, "stock": 2000}


def test_of_two_sales_the_earlier_counts_and_the_later_waits_in_question() -> None:
    second = rec("sale", "2026-04-02", id="s2", piece_id="p1", price=9000, fee=100)
    for order in ([SOLD, second], [second, SOLD]):
        assert balances(*BOUGHT, *order) == {
            "cash": 9700, "sales": -12_000, "fees": 300, "cost_of_sold": 2000,
            "question_cash": 8900, "question": -8900,
        }  # fmt: skip


def test_a_return_into_stock_gives_the_cost_back_and_stays_a_return() -> None:
    back = rec(
        "return", "2026-05-01", sale_id="s1", refund=12_000, fee_back=300, back_in_stock=True
    )
    assert balances(*BOUGHT, SOLD, back) == {
        "cash": -2000, "stock": 2000, "sales": -12_000, "returns": 12_000,
    }  # fmt: skip


def test_money_given_back_without_the_piece_leaves_its_cost_where_it_was() -> None:
    back = rec("return", "2026-05-01", sale_id="s1", refund=1500, back_in_stock=False)
    assert balances(*BOUGHT, SOLD, back) == {
        "cash": 8200, "sales": -12_000, "fees": 300, "returns": 1500, "cost_of_sold": 2000,
    }  # fmt: skip


def test_a_piece_sold_again_after_it_came_back_counts_twice_and_costs_once() -> None:
    back = rec("return", "2026-05-01", sale_id="s1", refund=12_000, back_in_stock=True)
    again = rec("sale", "2026-06-01", id="s2", piece_id="p1", price=10_000)
    found = balances(*BOUGHT, SOLD, back, again)
    assert found["sales"] == -22_000
    assert found["cost_of_sold"] == 2000
    assert "question" not in found


def test_a_lump_price_is_shared_by_weight_with_its_costs_folded_in() -> None:
    rows = post(
        rec("purchase", id="b1", total=10_000, extra_costs=1),
        *(
            rec("piece", id=f"p{n}", purchase_id="b1", share_weight=w)
            for n, w in enumerate([1, 1, 1])
        ),
    )
    assert [(p.piece, p.amount) for p in rows if p.account == "stock"] == [
        ("p0", 3334), ("p1", 3334), ("p2", 3333),
    ]  # fmt: skip


def test_a_missing_weight_makes_the_shares_equal() -> None:
    rows = post(
        rec("purchase", id="b1", total=1000),
        rec("piece", id="p1", purchase_id="b1", share_weight=9),
        rec("piece", id="p2", purchase_id="b1"),
    )
    assert [p.amount for p in rows if p.account == "stock"] == [500, 500]


def test_a_purchase_that_no_piece_points_to_is_set_apart() -> None:
    assert balances(rec("purchase", total=700)) == {"unassigned": 700, "cash": -700}


@pytest.mark.parametrize(
    ("ending", "account"),
    [({"kept_at": "2026-05-01T10:00:00.000Z"}, "withdrawn"),
     ({"let_go_at": "2026-05-01T10:00:00.000Z", "let_go_how": "dumped"}, "written_off")],
)  # fmt: skip
def test_a_piece_that_leaves_without_a_sale_leaves_stock_at_cost(
    ending: dict[str, str], account: str
) -> None:
    purchase, piece = BOUGHT
    assert balances(purchase, piece | ending) == {"cash": -2000, account: 2000}


def test_a_sold_piece_that_is_also_marked_kept_counts_as_sold() -> None:
    purchase, piece = BOUGHT
    found = balances(purchase, piece | {"kept_at": "2026-03-15T10:00:00.000Z"}, SOLD)
    assert found["cost_of_sold"] == 2000
    assert "withdrawn" not in found


def test_a_divided_set_shares_its_cost_by_the_weights() -> None:
    split = rec(
        "split", "2026-03-10", parent_id="p1", child_id="p2", child_weight=1, parent_weight=2
    )
    rows = post(*BOUGHT, rec("piece", "2026-03-10", id="p2"), split, SOLD)
    assert [p.amount for p in rows if p.account == "cost_of_sold"] == [1333]
    assert sum(p.amount for p in rows if p.account == "stock" and p.piece == "p2") == 667


def test_two_records_of_one_piece_cost_what_was_paid_once() -> None:
    second = [
        rec("purchase", "2026-03-01", id="b2", total=2000),
        rec("piece", "2026-03-01", id="p2", purchase_id="b2"),
    ]
    same = rec("same_as", "2026-03-02", duplicate_id="p2", survivor_id="p1")
    sale = rec("sale", "2026-04-01", id="s1", piece_id="p2", price=5000)
    assert balances(*BOUGHT, *second, same, sale) == {
        "cash": 3000, "sales": -5000, "cost_of_sold": 2000,
        "question": 2000, "question_cash": -2000,
    }  # fmt: skip


def test_a_price_that_becomes_known_after_the_sale_follows_the_piece() -> None:
    late = [
        rec("purchase", "2026-05-01", id="b1", total=2000),
        rec("piece", "2026-03-01", id="p1", purchase_id="b1"),
    ]
    assert balances(*late, SOLD)["cost_of_sold"] == 2000


def test_a_price_that_becomes_known_after_the_piece_came_back_is_stock() -> None:
    late = [
        rec("purchase", "2026-06-01", id="b1", total=2000),
        rec("piece", "2026-03-01", id="p1", purchase_id="b1"),
        rec("return", "2026-05-01", sale_id="s1", refund=12_000, back_in_stock=True),
    ]
    found = balances(*late, SOLD)
    assert found["stock"] == 2000
    assert "cost_of_sold" not in found


@pytest.mark.parametrize(
    ("day", "cash_of_second_sale"), [("2026-03-20", 10_000), ("2026-05-20", 7000)]
)
def test_a_deposit_counts_towards_the_next_sale_of_its_piece(
    day: str, cash_of_second_sale: int
) -> None:
    rows = post(
        *BOUGHT, SOLD,
        rec("return", "2026-05-01", sale_id="s1", refund=12_000, back_in_stock=True),
        rec("sale", "2026-06-01", id="s2", piece_id="p1", price=10_000),
        rec("payment", day, piece_id="p1", amount=3000),
    )  # fmt: skip
    cash = [p.amount for p in rows if p.fact_id == "s2" and p.account == "cash"]
    assert cash == [cash_of_second_sale]


def test_a_payment_after_the_only_sale_belongs_to_it() -> None:
    rest = rec("payment", "2026-04-20", piece_id="p1", amount=5000)
    rows = post(*BOUGHT, SOLD, rest)
    assert sum(p.amount for p in rows if p.account == "buyers") == 0
    assert [p.amount for p in rows if p.account == "cash" and p.fact_id == "s1"] == [7000, -300]


def test_a_piece_marked_both_kept_and_let_go_counts_as_kept() -> None:
    purchase, piece = BOUGHT
    both = {"kept_at": "2026-05-02T10:00:00.000Z", "let_go_at": "2026-05-01T10:00:00.000Z"}
    assert balances(purchase, piece | both) == {"cash": -2000, "withdrawn": 2000}


def test_a_deposit_is_owed_to_the_buyer_until_the_sale_and_then_counts_towards_it() -> None:
    deposit = rec("payment", "2026-03-20", piece_id="p1", amount=3000)
    assert balances(*BOUGHT, deposit) == {"cash": 1000, "stock": 2000, "buyers": -3000}
    assert balances(*BOUGHT, deposit, SOLD)["cash"] == 9700


def test_a_rest_paid_later_is_not_counted_twice() -> None:
    rest = rec("payment", "2026-04-20", piece_id="p1", sale_id="s1", amount=5000)
    rows = post(*BOUGHT, SOLD, rest)
    cash = {p.on: p.amount for p in rows if p.account == "cash" and p.amount > 0}
    assert cash == {"2026-04-01": 7000, "2026-04-20": 5000}


def test_opening_stock_and_cash_come_from_the_owner() -> None:
    setting = {"type": "setting", "id": "h", "cash_start": 5000, "opened_on": "2026-01-01"}
    old = rec("piece", "2026-02-01", id="p9", opening_on="2026-01-01", opening_cost=1500)
    assert balances(setting, old) == {"cash": 5000, "stock": 1500, "owner": -6500}


def test_an_expense_stands_on_the_account_of_its_category_and_an_unknown_one_on_other() -> None:
    rows = [
        rec("expense", amount=250, category="supplies"),
        rec("expense", amount=40, category="category-of-next-year"),
    ]
    assert balances(*rows) == {"expense_supplies": 250, "expense_other": 40, "cash": -290}


def test_using_up_a_supply_posts_nothing() -> None:
    use = rec("supply_use", piece_id="p1", supply_id="x", milliunits=500, cost=80)
    assert balances(*BOUGHT, use) == balances(*BOUGHT)


def test_the_day_of_an_ending_is_the_households_own() -> None:
    purchase, piece = BOUGHT
    rows = post(purchase, piece | {"let_go_at": "2027-01-01T03:00:00.000Z"})
    assert [p.on for p in rows if p.account == "written_off"] == ["2026-12-31"]


@pytest.mark.parametrize(
    "row",
    [
        rec("sale", piece_id="p1", price=None),
        rec("sale", price=500),
        rec("purchase", total=None),
        rec("expense", amount=400),
        rec("return", sale_id="s1", refund=500),
        rec("payment", amount=500),
        rec("split", parent_id="p1", child_id="p2"),
        rec("cash_move"),
        {"type": "same_as", "at": "2026-03-01T18:00:00.000Z", "duplicate_id": "p1"},
        {"type": "purchase", "total": 500},
    ],
    ids=lambda row: str(row["type"]),
)
def test_a_record_that_has_not_wholly_arrived_waits(row: dict[str, Any]) -> None:
    assert balances(*BOUGHT, SOLD, row) == balances(*BOUGHT, SOLD)
