"""What a piece and the household made, worked out by hand, and the laws that hold always."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crestrail.books.facts import Facts
from crestrail.books.postings import postings
from crestrail.books.profit import ledger, per_hour, stock_on
from helpers.households import LATER, ZONE, household, random_household, rec
from helpers.vectors import vectors

SETTING = {
    "type": "setting", "id": "h", "wage_per_hour": 1800, "goal_name": "Kiln",
    "goal_amount": 100_000,
}  # fmt: skip
STEPS = [
    rec("step", slug="clean", name="Clean"),
    rec("step", slug="photograph", name="Photograph", standing=True),
]
PIECE = [
    rec("outing", "2026-03-01", id="o1") | {"ended_at": "2026-03-01T19:30:00.000Z"},
    rec("purchase", "2026-03-01", id="b1", total=2000, outing_id="o1"),
    rec("piece", "2026-03-01", id="p1", purchase_id="b1", title="Cane chair", kind="chair"),
    rec("stint", "2026-03-05", piece_ids=["p1"], step="clean", minutes=80),
    rec("stint", "2026-03-06", piece_ids=["p1"], step="photograph", minutes=15),
    rec("supply", "2026-03-01", id="y1", name="Oil soap", cost=800, milliunits=1000),
    rec("supply_use", "2026-03-05", piece_id="p1", supply_id="y1", milliunits=500),
    rec("sale", "2026-04-01", id="s1", piece_id="p1", price=12_000, fee=300, delivery_charged=500),
    rec("delivery", "2026-04-02", piece_id="p1", minutes=25, distance_m=16_093),
]


def book(*rows: dict[str, Any], as_of: str = LATER) -> dict[str, Any]:
    return ledger(household(*rows), as_of, ZONE)


def line(*rows: dict[str, Any]) -> dict[str, Any]:
    [found] = book(*rows)["lines"]
    return dict(found)


def test_a_sold_piece_worked_out_by_hand() -> None:
    assert line(SETTING, *STEPS, *PIECE) == {
        "piece": "p1", "title": "Cane chair", "kind": "chair", "status": "sold",
        "bought_on": "2026-03-01", "sold_on": "2026-04-01",
        "brings": 12_500, "fees": 300, "cost": 2000, "supplies": 400, "other": 0,
        "clear": 12_500 - 300 - 2000 - 400,
        "work_minutes": 80, "all_minutes": 80 + 15 + 25 + 90,
        "own_time": 2400, "profit": 9800 - 2400,
        "work_per_hour": 7350, "all_per_hour": 2800,
    }  # fmt: skip


def test_the_wage_covers_what_the_household_says() -> None:
    everything = line(SETTING | {"wage_covers": "everything"}, *STEPS, *PIECE)
    assert everything["own_time"] == 210 * 1800 // 60
    assert everything["clear"] == 9800


def test_a_piece_still_here_has_no_clear_and_no_profit() -> None:
    found = line(SETTING, *PIECE[:3])
    assert found["status"] == "in_stock"
    assert (found["clear"], found["profit"], found["work_per_hour"]) == (None, None, None)
    assert found["cost"] == 2000


def test_pay_per_hour_is_not_named_where_no_minute_was_recorded() -> None:
    found = line(*PIECE[1:3], PIECE[7])
    assert (found["work_per_hour"], found["all_per_hour"]) == (None, None)


def test_a_free_find_has_a_line_that_cost_nothing() -> None:
    found = line(
        rec("purchase", id="b1", total=0), rec("piece", id="p1", purchase_id="b1"),
        rec("sale", "2026-04-01", piece_id="p1", price=4000),
    )  # fmt: skip
    assert (found["cost"], found["clear"]) == (0, 4000)


def test_a_piece_from_before_the_books_has_a_line_whether_its_cost_is_known_or_not() -> None:
    known = rec("piece", "2026-02-01", id="p1", opening_cost=700)
    unknown = rec("piece", "2026-02-01", id="p2", opening_on="2026-01-15")
    lines = book(known, unknown)["lines"]
    assert [(one["bought_on"], one["cost"], one["status"]) for one in lines] == [
        ("2026-02-01", 700, "in_stock"), ("2026-01-15", 0, "in_stock"),
    ]  # fmt: skip


def test_stock_on_a_day_is_what_was_paid_for_what_was_here() -> None:
    posted = postings(Facts(household(*PIECE), LATER, ZONE))
    assert stock_on(posted, "2026-02-28") == {}
    assert stock_on(posted, "2026-03-31") == {"p1": 2000}
    assert stock_on(posted, "2026-04-01") == {}


def test_a_find_that_was_passed_has_no_line() -> None:
    passed = rec("piece", id="p1", passed_at="2026-03-01T18:05:00.000Z")
    assert book(passed)["lines"] == []


def test_a_piece_let_go_shows_the_loss_and_a_kept_one_neither_gain_nor_loss() -> None:
    purchase = rec("purchase", id="b1", total=2000)
    piece = rec("piece", id="p1", purchase_id="b1")
    gone = line(purchase, piece | {"let_go_at": "2026-05-01T18:00:00.000Z"})
    kept = line(purchase, piece | {"kept_at": "2026-05-01T18:00:00.000Z"})
    assert (gone["status"], gone["clear"]) == ("let_go", -2000)
    assert (kept["status"], kept["clear"], kept["cost"]) == ("kept", None, 2000)


def test_a_return_lowers_what_the_piece_brought() -> None:
    back = rec("return", "2026-04-09", sale_id="s1", refund=2000, back_in_stock=False)
    assert line(SETTING, *STEPS, *PIECE, back)["brings"] == 10_500


def test_a_second_sale_changes_neither_line_nor_cash_until_it_is_settled() -> None:
    again = rec("sale", "2026-04-03", id="s2", piece_id="p1", price=9000)
    once, twice = book(*PIECE), book(*PIECE, again)
    assert twice["lines"] == once["lines"]
    assert twice["months"] == once["months"]
    assert twice["totals"] | {"in_question": 0} == once["totals"]
    assert twice["totals"]["in_question"] == 9000


def test_a_supply_bought_counts_once_however_often_its_use_is_written_down() -> None:
    bought = rec("expense", "2026-03-01", amount=800, category="supplies", supply_id="y1",
                 piece_id="p1")  # fmt: skip
    found = book(*PIECE, bought)
    assert found["lines"][0]["supplies"] == 400
    assert found["totals"]["earned"] == 12_500 - 300 - 2000 - 800
    assert found["totals"]["elsewhere"] == -400


def test_an_expense_for_one_piece_lowers_its_clear() -> None:
    part = rec("expense", "2026-03-02", amount=150, category="supplies", piece_id="p1")
    van = rec("expense", "2026-03-02", amount=1000, category="vehicle_hire", piece_id="p1")
    found = line(*PIECE, part, van)
    assert (found["supplies"], found["other"]) == (550, 1000)
    assert found["clear"] == 9800 - 150 - 1000


def test_time_and_supplies_of_a_set_go_with_the_part_that_is_split_off_later() -> None:
    rows = [
        rec("purchase", "2026-03-01", id="b1", total=4000),
        rec("piece", "2026-03-01", id="p1", purchase_id="b1", count=4),
        rec("stint", "2026-03-02", piece_ids=["p1"], minutes=100),
        rec("supply_use", "2026-03-02", piece_id="p1", cost=400),
        rec("piece", "2026-03-10", id="p2", count=1),
        rec("split", "2026-03-10", parent_id="p1", child_id="p2", child_weight=1, parent_weight=3),
        rec("stint", "2026-03-12", piece_ids=["p1"], minutes=30),
    ]
    parent, child = book(*rows)["lines"]
    assert (child["cost"], child["supplies"], child["work_minutes"]) == (1000, 100, 25)
    assert (parent["cost"], parent["supplies"], parent["work_minutes"]) == (3000, 300, 105)
    assert child["bought_on"] == "2026-03-10"


def test_facts_written_on_a_duplicate_belong_to_the_one_piece() -> None:
    rows = [
        *PIECE, rec("piece", "2026-03-01", id="p2"),
        rec("same_as", "2026-03-02", duplicate_id="p1", survivor_id="p2"),
        rec("stint", "2026-03-07", piece_ids=["p2", "p1"], step="clean", minutes=20),
    ]  # fmt: skip
    found = line(*STEPS, *rows)
    assert (found["piece"], found["work_minutes"], found["cost"]) == ("p1", 100, 2000)


def test_sets_divided_back_and_forth_keep_every_minute_and_answer_at_once() -> None:
    rows = [
        rec("purchase", "2026-01-01", id="b1", total=4000),
        rec("piece", "2026-01-01", id="p1", purchase_id="b1"),
        rec("piece", "2026-01-01", id="p2"),
        rec("stint", "2026-01-02", piece_ids=["p1"], minutes=100),
        *(
            rec("split", f"2026-02-{n % 28 + 1:02d}", parent_id=a, child_id=b, child_weight=1,
                parent_weight=1)
            for n in range(100)
            for a, b in (("p1", "p2"), ("p2", "p1"))
        ),
    ]  # fmt: skip
    lines = book(*rows)["lines"]
    assert sum(one["work_minutes"] for one in lines) == 100
    assert [one["piece"] for one in lines] == ["p1", "p2"]


def test_what_happened_in_the_moment_of_the_division_stays_with_the_set() -> None:
    rows = [
        rec("purchase", "2026-03-01", id="b1", total=4000),
        rec("piece", "2026-03-01", id="p1", purchase_id="b1"),
        rec("supply_use", "2026-03-10", piece_id="p1", cost=400),
        rec("piece", "2026-03-10", id="p2"),
        rec("split", "2026-03-10", parent_id="p1", child_id="p2", child_weight=1, parent_weight=1),
    ]
    assert [one["supplies"] for one in book(*rows)["lines"]] == [400, 0]


def test_a_piece_named_twice_in_a_stretch_of_work_has_one_share_of_it() -> None:
    rows = [
        rec("purchase", id="b1", total=300),
        *(rec("piece", id=f"p{n}", purchase_id="b1") for n in (1, 2)),
        rec("stint", piece_ids=["p1", "p2", "p1"], minutes=60),
    ]
    assert [found["work_minutes"] for found in book(*rows)["lines"]] == [30, 30]


def test_one_stretch_of_work_on_three_pieces_is_shared_to_the_minute() -> None:
    rows = [
        rec("purchase", id="b1", total=300),
        *(rec("piece", id=f"p{n}", purchase_id="b1") for n in (1, 2, 3)),
        rec("stint", piece_ids=["p3", "p1", "p2"], minutes=50),
    ]
    assert [found["work_minutes"] for found in book(*rows)["lines"]] == [17, 17, 16]


def test_an_evening_sale_on_new_years_eve_counts_in_the_old_year() -> None:
    sale = {
        "type": "sale", "id": "s9", "piece_id": "p1", "price": 5000,
        "at": "2027-01-01T04:10:00.000Z", "on": "2026-12-31",
    }  # fmt: skip
    found = book(*PIECE[1:3], sale)
    assert [(year["period"], year["sold"]) for year in found["years"]] == [("2026", 1)]
    assert [month["period"] for month in found["months"]] == ["2026-03", "2026-12"]


def test_months_hold_what_came_in_and_went_out_in_them() -> None:
    march, april = book(SETTING, *STEPS, *PIECE)["months"]
    assert march == {
        "period": "2026-03", "sold": 0, "brings": 0, "fees": 0, "cost": 0, "expenses": 0,
        "earned": 0, "cash_in": 0, "cash_out": 2000, "minutes": 95, "distance_m": 0,
    }  # fmt: skip
    assert april == {
        "period": "2026-04", "sold": 1, "brings": 12_500, "fees": 300, "cost": 2000,
        "expenses": 0, "earned": 10_200, "cash_in": 12_500, "cash_out": 300, "minutes": 0,
        "distance_m": 16_093,
    }  # fmt: skip


def test_the_goal_is_reached_by_what_was_earned_and_never_overshown() -> None:
    reached = book(SETTING, *PIECE)["totals"]["goal"]
    assert reached == {
        "name": "Kiln", "amount": 100_000, "so_far": 10_200, "left": 89_800, "ppm": 102_000,
    }  # fmt: skip
    small = SETTING | {"goal_amount": 500}
    assert book(small, *PIECE)["totals"]["goal"]["ppm"] == 1_000_000
    assert book(small, *PIECE[1:2])["totals"]["goal"]["so_far"] == 0
    assert book(*PIECE)["totals"]["goal"] is None


@pytest.mark.parametrize(
    ("clear", "minutes", "hourly"),
    [(100, 0, None), (100, 60, 100), (1, 120, 1), (-1, 120, 0), (-3, 120, -1), (125, 40, 188)],
)
def test_pay_per_hour_is_rounded_once_halves_up(
    clear: int, minutes: int, hourly: int | None
) -> None:
    assert per_hour(clear, minutes) == hourly


SEEDS = st.integers(0, 10**6)


@settings(deadline=None)
@given(SEEDS)
def test_months_years_and_totals_tell_the_same_story(seed: int) -> None:
    found = ledger(random_household(seed), LATER, ZONE)
    for name in ("sold", "brings", "fees", "cost", "expenses", "earned", "minutes"):
        months = sum(month[name] for month in found["months"])
        assert months == sum(year[name] for year in found["years"])
    totals = found["totals"]
    assert totals["earned"] == sum(month["earned"] for month in found["months"])
    cash = sum(month["cash_in"] - month["cash_out"] for month in found["months"])
    assert totals["cash"] == cash
    assert totals["clear"] + totals["elsewhere"] == totals["earned"]


@settings(deadline=None)
@given(SEEDS)
def test_lines_hold_the_cost_that_was_posted_and_only_whole_numbers(seed: int) -> None:
    home = random_household(seed)
    found = ledger(home, LATER, ZONE)
    stands = ("stock", "cost_of_sold", "written_off", "withdrawn")
    posted = postings(Facts(home, LATER, ZONE))
    known = {line["piece"] for line in found["lines"]}
    mine = sum(p.amount for p in posted if p.account in stands and p.piece in known)
    assert sum(line["cost"] for line in found["lines"]) == mine
    for one in found["lines"]:
        assert all(isinstance(v, int) for k, v in one.items() if k.endswith(("minutes", "time")))
        if one["clear"] is not None:
            spent = one["fees"] + one["cost"] + one["supplies"] + one["other"]
            assert one["brings"] - spent == one["clear"]
            assert one["clear"] - one["own_time"] == one["profit"]


@pytest.mark.parametrize("case", vectors("books")["cases"])
def test_the_ledger_is_the_one_that_the_phone_is_held_to(case: dict[str, Any]) -> None:
    assert ledger(case["household"], case["as_of"], case["zone"]) == case["ledger"]
