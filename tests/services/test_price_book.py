"""The price book: made from the household's records, named by what it was made from."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

from crestrail.basis.clock import AsOf
from crestrail.services.own_history import history_of
from helpers.app import Client, Home

DAY = AsOf("2026-05-01T23:59:59.000Z", "2026-05-01")


def when(day: str) -> dict[str, str]:
    return {"at": f"{day}T12:00:00.000Z", "on": day}


def row(id: str, **fields: Any) -> dict[str, Any]:
    return {"id": id, **fields}


def furnish(client: Client) -> str:
    kind = client.change("kind", {"slug": "chair", "name": "Chair", "typical_price": 9000})
    piece = client.change("piece", when("2026-04-01") | {"kind": "chair", "title": "Cane chair"})
    sold = client.change("sale", when("2026-04-20") | {"piece_id": piece["id"], "price": 12000})
    client.sync([kind, piece, sold])
    return str(piece["id"])


def test_the_book_counts_own_sales_and_says_which_it_is(any_home: Home) -> None:
    client = any_home.pair()
    furnish(client)
    answer = client.sync()
    found = client.web.get("/api/price-book")
    assert found.json["counts"]["kinds"] == {"chair": 1}
    assert found.json["version"] == answer["book"]
    assert found.json["kinds"]["chair"]["price"] == 9000


def test_a_phone_that_has_the_book_is_not_sent_it_again(home: Home) -> None:
    client = home.pair()
    furnish(client)
    tag = client.web.get("/api/price-book").headers["ETag"]
    assert client.web.get("/api/price-book", headers={"If-None-Match": tag}).status_int == 304


def test_the_version_changes_with_what_matters_and_with_the_day(home: Home) -> None:
    client = home.pair()
    furnish(client)
    first = client.sync()["book"]
    client.sync([client.change("spot", {"name": "Barn"})])
    assert client.sync()["book"] == first
    piece = client.change("piece", when("2026-04-02") | {"kind": "chair"})
    client.sync([piece])
    second = client.sync()["book"]
    assert second != first
    home.clock.advance(timedelta(days=1))
    assert client.sync()["book"] != second


def test_the_household_terms_are_in_the_book(home: Home) -> None:
    client = home.pair()
    client.sync([client.change("setting", {"wage_per_hour": 2300}, home.household)])
    assert client.web.get("/api/price-book").json["money"]["wage_per_hour"] == 2300


def test_returned_doubled_and_future_sales_are_no_evidence() -> None:
    pieces = [row(f"p{i}", **when("2026-01-01"), kind="chair") for i in range(4)]
    sales = [
        row("s0", **when("2026-02-01"), piece_id="p0", price=100),
        row("s1", **when("2026-02-01"), piece_id="p1", price=200),
        row("s2", **when("2026-02-02"), piece_id="p1", price=300),
        row("s3", **when("2026-09-01"), piece_id="p2", price=400),
        row("s4", **when("2026-02-01"), piece_id="p3", price=500, deleted=True),
    ]
    back = [row("r0", **when("2026-02-09"), sale_id="s0", refund=100, back_in_stock=True)]
    history = history_of({"piece": pieces, "sale": sales, "return": back}, "UTC", DAY)
    assert [(sale.id, sale.price) for sale in history.sales] == [("p1", 200)]


def test_a_listing_runs_from_its_first_price_to_its_end() -> None:
    """A drop that was planned and never made is no price it stood at."""
    pieces = [row("p", **when("2026-01-01"), kind="chair"),
              row("q", **when("2026-01-01"), kept_at="2026-03-01T12:00:00.000Z")]  # fmt: skip
    asking = [
        row("a", at="2026-02-01T12:00:00.000Z", from_on="2026-02-01", piece_id="p", amount=900),
        row("b", at="2026-02-01T12:00:01.000Z", from_on="2026-02-20", piece_id="p", amount=800),
        row("c", at="2026-02-01T12:00:00.000Z", from_on="2026-12-01", piece_id="p", amount=1),
        row("d", at="2026-02-01T12:00:00.000Z", from_on="2026-02-01", piece_id="q", amount=5),
        row("e", at="2026-02-01T12:00:02.000Z", from_on="2026-02-25", piece_id="p", amount=700,
            planned=True),
    ]  # fmt: skip
    sales = [row("s", **when("2026-03-02"), piece_id="p", price=750)]
    history = history_of({"piece": pieces, "asking_price": asking, "sale": sales}, "UTC", DAY)
    found = {
        listing.sold_price: ([a.amount for a in listing.asked], str(listing.ended_on))
        for listing in history.listings
    }
    assert found == {750: ([900, 800], "2026-03-02"), None: ([5], "2026-03-01")}


def test_stints_of_a_finished_step_count_together_and_are_shared_by_pieces() -> None:
    def stint(id: str, minutes: int, pieces: list[str]) -> dict[str, Any]:
        return row(id, piece_ids=pieces, step="sand", minutes=minutes, on="2026-02-01",
                   started_at="2026-02-01T10:00:00.000Z")  # fmt: skip

    household = {
        "piece": [row(p, **when("2026-01-01"), found_grade=2) for p in ("p", "q", "r")],
        "piece_step": [
            row("1", piece_id="p", step="sand", units=4, done_at="2026-02-02T10:00:00.000Z"),
            row("2", piece_id="r", step="sand", units=1),
        ],
        "stint": [stint("a", 30, ["p"]), stint("b", 20, ["p", "q"]), stint("c", 60, ["r"])],
    }
    found = {(s.minutes, s.units, s.found_grade) for s in history_of(household, "UTC", DAY).stints}
    assert found == {(40, 4, 2), (10, 1, 2)}


def test_facts_of_a_duplicate_belong_to_the_one_piece() -> None:
    one, other = sorted(str(uuid.uuid4()) for _ in range(2))
    household = {
        "piece": [row(one, **when("2026-01-01"), kind="chair"),
                  row(other, **when("2026-01-02"), kind="sofa")],
        "same_as": [row("x", at="2026-01-03T00:00:00.000Z", duplicate_id=other,
                        survivor_id=one)],
        "sale": [row("s", **when("2026-02-01"), piece_id=other, price=100)],
    }  # fmt: skip
    assert [s.thing.kind for s in history_of(household, "UTC", DAY).sales] == ["chair"]


def test_returns_to_finds_teach_by_the_hours_their_sale_was_open() -> None:
    def visit(id: str, at: str, **fields: Any) -> dict[str, Any]:
        moment = {"at": f"2026-04-01T{at}:00.000Z", "on": "2026-04-01"}
        return row(id, **moment, piece_id="p0", seen_at="2026-04-01T08:00:00.000Z", **fields)

    closes = "2026-04-01T14:00:00.000Z"
    visits = [
        visit("v0", "11:30", found=True, closes_at=closes),
        visit("v1", "15:00", found=False, closes_at=closes),
        visit("v2", "09:00", found=False),
        visit("v3", "09:00", found=False, deleted=True),
        visit("v4", "07:00", found=False),
    ]
    history = history_of({"visit": visits}, "UTC", DAY)
    known = [(v.open_hours, v.found, v.past_closing) for v in history.visits]
    assert sorted(known) == [(1.0, False, False), (3.5, True, False), (6.0, False, True)]


def test_a_return_to_a_find_makes_a_new_book(home: Home) -> None:
    client = home.pair()
    furnish(client)
    first = client.sync()["book"]
    piece = client.change("piece", when("2026-04-03") | {"kind": "chair"})
    gone = {"piece_id": piece["id"], "found": False, "seen_at": "2026-04-03T11:00:00.000Z"}
    client.sync([piece, client.change("visit", when("2026-04-03") | gone)])
    book = client.web.get("/api/price-book").json
    assert book["version"] != first
    assert book["back"]["visits"] == 1
    assert book["back"]["half_life_h"] < 3


def test_what_was_foretold_of_pieces_since_sold_is_set_beside_what_they_brought() -> None:
    shown = {"range": {"low": 70, "likely": 100, "high": 130},
             "evidence": {"level": "thin", "source": "book", "spread": 1.25}}  # fmt: skip
    typed = shown | {"evidence": {"level": "thin", "source": "typed"}}
    odd = [None, [], {"range": 5}, shown | {"range": {"low": 0, "likely": 0, "high": 0}},
           shown | {"range": {"low": 90, "likely": 80, "high": True}},
           shown | {"evidence": {"level": "no-such"}},
           shown | {"evidence": {"level": "thin", "spread": 99}}]  # fmt: skip
    answers = [shown, typed, shown, shown, shown, shown, *odd]
    pieces = [row(f"p{i:02d}", **when("2026-01-01"), kind="chair") for i in range(len(answers))]
    predictions = [
        row(f"q{i:02d}", **when("2026-01-01"), piece_id=f"p{i:02d}", for_what="bought", answer=a)
        for i, a in enumerate(answers)
    ]
    predictions += [
        row("later", **when("2026-01-09"), piece_id="p00", for_what="asking", answer=typed),
        row("none", **when("2026-01-09"), piece_id="p99", for_what="bought", answer=shown),
    ]
    sales = [
        row(f"s{i:02d}", **when("2026-02-01"), piece_id=f"p{i:02d}", price=110)
        for i in range(len(answers))
        if i != 5
    ]
    sales += [row("again", **when("2026-02-02"), piece_id="p02", price=120)]
    back = [row("r0", **when("2026-02-09"), sale_id="s03", refund=110, back_in_stock=True)]
    pairs = [row("same", **when("2026-02-01"), duplicate_id="p04", survivor_id="p98")]
    household = {"piece": pieces, "prediction": predictions, "sale": sales, "return": back,
                 "same_as": pairs}  # fmt: skip
    found = history_of(household, "UTC", DAY).foretold
    assert [(x["level"], x["spread"], x["price"]) for x in found] == [
        ("thin", 1.25, 110), ("typed", 1.0, 110)
    ]  # fmt: skip


def test_supplies_noted_on_finished_pieces_are_evidence_for_their_steps() -> None:
    done = {"step": "wax", "units": 2, "done_at": "2026-03-01T12:00:00.000Z"}
    household = {
        "supply": [row("wax", name="Wax", cost=1000, milliunits=10_000)],
        "supply_use": [
            row("u0", **when("2026-03-01"), piece_id="p0", supply_id="wax", milliunits=1000),
            row("u1", **when("2026-03-01"), piece_id="p0", cost=30),
            row("u2", **when("2026-03-01"), piece_id="p1", cost=70),
        ],
        "expense": [
            row("e0", **when("2026-03-01"), piece_id="p0", amount=50, category="supplies"),
            row("e1", **when("2026-03-01"), piece_id="p0", amount=900, category="tools"),
        ],
        "piece_step": [row("c0", piece_id="p0", **done), row("c1", piece_id="p1", step="wax")],
    }
    (used,) = history_of(household, "UTC", DAY).used
    assert (used.cost, used.steps) == (180, (("wax", 2),))
