"""The invented household, loaded like a phone's data, gives the numbers its own tally expects."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from crestrail.app import create_app
from crestrail.books.profit import ledger
from crestrail.config import Settings
from crestrail.records.schema import BY_NAME
from crestrail.sample import read_changes, sample_folder
from crestrail.services.own_history import read_household
from crestrail.store.db import reading
from helpers.sample_home import copy_of_sample

EXPECTED = json.loads((sample_folder() / "expected.json").read_text())
TALLY = EXPECTED["tally"]
ZONE = "America/Chicago"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    return create_app(Settings(data=copy_of_sample(tmp_path_factory), sample=True))


@pytest.fixture(scope="module")
def records(app: Flask) -> dict[str, list[dict[str, Any]]]:
    with app.app_context(), reading() as session:
        return read_household(session, EXPECTED["household"], tuple(BY_NAME))


@pytest.fixture(scope="module")
def books(records: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    return ledger(records, EXPECTED["as_of"], ZONE)


def test_it_says_everywhere_that_it_is_invented() -> None:
    assert EXPECTED["invented"] is True
    assert "invented" in (sample_folder() / "README.md").read_text().lower()
    assert "invented" in read_changes(sample_folder())[0]["fields"]["household_name"]


def test_it_is_large_enough_to_look_around_in(books: dict[str, Any], records: Any) -> None:
    status = Counter(line["status"] for line in books["lines"])
    assert status["sold"] >= 60
    assert status["in_stock"] >= 15
    assert TALLY["passed"] >= 20


def test_every_change_find_and_purchase_of_the_story_is_there(records: Any) -> None:
    assert len(read_changes(sample_folder())) == EXPECTED["changes"]
    passed = [piece for piece in records["piece"] if piece.get("passed_at")]
    assert len(passed) == TALLY["passed"]
    bought = [piece for piece in records["piece"] if piece.get("purchase_id")]
    assert len(bought) == TALLY["bought"]
    assert sum(purchase["total"] for purchase in records["purchase"]) == TALLY["purchases_minor"]
    assert sum(expense["amount"] for expense in records["expense"]) == TALLY["expenses_minor"]


def test_every_sale_is_in_the_books_once(books: dict[str, Any]) -> None:
    totals = books["totals"]
    years = {year["period"]: year for year in books["years"]}
    twice_sold_second = 3600
    assert totals["in_question"] == twice_sold_second
    brings = sum(year["brings"] for year in years.values())
    assert brings == TALLY["sales_minor"] - TALLY["refunds_minor"]
    assert sum(year["sold"] for year in years.values()) == TALLY["sold"]
    assert years["2025"]["brings"] == TALLY["sales_by_year"]["2025"] - TALLY["refunds_minor"]
    assert years["2026"]["brings"] == TALLY["sales_by_year"]["2026"]


def test_every_cent_paid_is_stock_or_cost_or_expense(books: dict[str, Any]) -> None:
    totals = books["totals"]
    opening_cost = 400
    cash_start, deposit = 30_000, 2_000
    expected_cash = (
        cash_start + TALLY["sales_minor"] - TALLY["refunds_minor"] - TALLY["fees_minor"]
        - TALLY["purchases_minor"] - TALLY["expenses_minor"] + deposit
    )  # fmt: skip
    assert totals["cash"] == expected_cash
    cost_of_gone = sum(y["cost"] for y in books["years"])
    kept = 1_200
    assert totals["stock"] == TALLY["purchases_minor"] + opening_cost - cost_of_gone - kept


def test_every_piece_that_is_gone_made_what_the_story_says(books: dict[str, Any]) -> None:
    """Each with its share of a lot, of a divided set and of the outing, a gift among them."""
    gone = [line for line in books["lines"] if line["clear"] is not None]
    assert len(gone) >= 60
    assert {
        line["piece"]: {
            "clear": line["clear"],
            "minutes": line["all_minutes"],
            "per_hour": line["all_per_hour"],
        }
        for line in gone
    } == EXPECTED["pieces"]


def test_in_all_it_made_what_the_story_says(books: dict[str, Any]) -> None:
    totals = books["totals"]
    in_all = {
        "pieces": sum(line["clear"] is not None for line in books["lines"]),
        "clear": totals["clear"],
        "work_minutes": totals["work_minutes"],
        "minutes": totals["all_minutes"],
        "per_hour_of_work": totals["work_per_hour"],
        "per_hour": totals["all_per_hour"],
    }
    assert in_all == EXPECTED["in_all"]


def test_every_minute_of_work_is_counted(books: dict[str, Any]) -> None:
    assert sum(year["minutes"] for year in books["years"]) == TALLY["stint_minutes"]


def test_every_metre_driven_is_counted(records: dict[str, list[dict[str, Any]]]) -> None:
    by_year: Counter[str] = Counter()
    for outing in records["outing"]:
        by_year[outing["on"][:4]] += outing["distance_m"]
    assert dict(by_year) == TALLY["metres_by_year"]


def test_what_crossed_stands_under_needs_a_look(records: dict[str, list[dict[str, Any]]]) -> None:
    assert Counter(look["reason"] for look in records["look"]) == EXPECTED["looks"]


def test_its_pictures_are_at_home(app: Flask) -> None:
    names = {path.stem for path in (sample_folder() / "photos").glob("*.jpg")}
    stored = {path.name for path in Path(app.extensions["crestrail"].data).rglob("*")}
    assert names <= {name.removesuffix(".jpg") for name in stored}
