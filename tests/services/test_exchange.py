"""What becomes of changes: conflicts, looks, erasures, histories, refusals."""

from __future__ import annotations

import uuid
from itertools import permutations
from typing import Any

import pytest

from helpers.app import Client, Home

WHEN = {"at": "2026-05-01T12:00:00.000Z", "on": "2026-05-01"}


def looks(client: Client) -> list[dict[str, Any]]:
    """The fields of all looks."""
    return [row["fields"] for row in client.rows("look").values()]


def outcomes(answer: dict[str, Any]) -> list[str]:
    return [outcome["outcome"] for outcome in answer["outcomes"]]


def test_two_phones_editing_different_fields_keep_both(any_home: Home) -> None:
    one, other = any_home.pair(), any_home.pair()
    made = one.change("spot", {"name": "Barn"})
    one.sync([made])
    one.sync([one.change("spot", {"note": "dry"}, made["id"])])
    answer = other.sync([other.change("spot", {"litres": 40}, made["id"])])
    assert outcomes(answer) == ["applied"]
    assert one.rows()[made["id"]]["fields"] == {"name": "Barn", "note": "dry", "litres": 40}
    assert looks(one) == []


def test_the_same_field_on_two_phones_stands_under_looks_once(any_home: Home) -> None:
    one, other = any_home.pair(), any_home.pair()
    made = one.change("spot", {"name": "Barn"})
    seen = made["stamps"]["name"]
    first = one.change("spot", {"name": "Loft"}, made["id"], bases={"name": seen}, at_ms=1)
    second = other.change("spot", {"name": "Shed"}, made["id"], bases={"name": seen}, at_ms=2)
    one.sync([made])
    assert outcomes(one.sync([first])) == ["applied"]
    assert outcomes(other.sync([second])) == ["conflict"]
    assert outcomes(other.sync([second])) == ["known"]
    found = looks(one)
    assert [(k["reason"], k["about_id"], k["about_group"]) for k in found] == [
        ("both_edited", made["id"], "name")
    ]
    assert (found[0]["kept"]["name"], found[0]["other"]["name"]) == ("Shed", "Loft")
    assert one.rows()[made["id"]]["fields"]["name"] == "Shed"


def test_the_phone_whose_push_raised_a_look_is_told_of_it(home: Home) -> None:
    one, other = home.pair(), home.pair()
    made = one.change("spot", {"name": "Barn"})
    one.sync([made])
    cursor = other.sync()["cursor"]
    later = other.change("spot", {"name": "Shed"}, made["id"], at_ms=5)
    answer = other.sync([later], cursor=cursor)
    assert [row["type"] for row in answer["records"]] == ["spot", "look"]


def test_a_quiet_field_goes_to_the_history_only(home: Home) -> None:
    one, other = home.pair(), home.pair()
    made = one.change("spot", {"name": "Barn", "sort": 1})
    one.sync([made])
    other.sync([other.change("spot", {"sort": 2}, made["id"], at_ms=5)])
    assert looks(one) == []
    entries = one.web.get(f"/api/history/spot/{made['id']}").json["entries"]
    assert [e["values"]["sort"] for e in entries if e["group"] == "sort"] == [2, 1]


def test_equal_values_are_no_conflict(home: Home) -> None:
    one, other = home.pair(), home.pair()
    made = one.change("spot", {"name": "Barn"})
    one.sync([made])
    answer = other.sync([other.change("spot", {"name": "Barn"}, made["id"], at_ms=5)])
    assert outcomes(answer) == ["applied"]
    assert looks(one) == []


def sale(client: Client, piece: str, **more: Any) -> dict[str, Any]:
    return client.change("sale", WHEN | {"piece_id": piece, "price": 9000} | more)


def test_two_sales_of_a_piece_are_flagged_and_both_kept(any_home: Home) -> None:
    one, other = any_home.pair(), any_home.pair()
    piece = one.change("piece", WHEN | {"title": "Chair"})
    one.sync([piece, sale(one, piece["id"])])
    second = sale(other, piece["id"], price=9500)
    other.sync([second])
    other.sync([second])
    assert [k["reason"] for k in looks(one)] == ["two_sales"]
    assert len(one.rows("sale")) == 2


@pytest.mark.parametrize("at_once", [True, False])
@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_sales_of_two_records_of_one_piece_are_flagged_in_any_order(
    home: Home, order: tuple[int, ...], at_once: bool
) -> None:
    """Two phones each made a record of the piece and sold it; then somebody says so, over a
    third record that neither sale names."""
    phone = home.pair()
    one, other, between = sorted(str(uuid.uuid4()) for _ in range(3))
    facts = [
        sale(phone, one), sale(phone, other, price=9500),
        same_as(phone, one, between), same_as(phone, other, between),
    ]  # fmt: skip
    arriving = [facts[number] for number in order]
    for batch in [arriving] if at_once else [[fact] for fact in arriving]:
        assert set(outcomes(phone.sync(batch))) == {"applied"}
    (look,) = looks(phone)
    assert (look["reason"], look["about_type"], look["about_id"]) == ("two_sales", "piece", one)
    sales = {look[side]["sale_id"] for side in ("kept", "other")}
    assert sales == {facts[0]["id"], facts[1]["id"]}


def test_sales_of_records_that_are_not_the_same_after_all_need_no_look(home: Home) -> None:
    phone = home.pair()
    one, other = str(uuid.uuid4()), str(uuid.uuid4())
    pair = same_as(phone, one, other)
    phone.sync([pair, phone.change("same_as", {"deleted": True}, pair["id"])])
    phone.sync([sale(phone, one), sale(phone, other)])
    assert looks(phone) == []


def same_as(client: Client, duplicate: str, survivor: str) -> dict[str, Any]:
    ends = {"duplicate_id": duplicate, "survivor_id": survivor}
    return client.change("same_as", {"at": WHEN["at"]} | ends)


def test_selling_again_what_came_back_is_no_second_sale(home: Home) -> None:
    phone = home.pair()
    piece = phone.change("piece", WHEN | {"title": "Chair"})
    first = sale(phone, piece["id"])
    back = phone.change("return", WHEN | {
        "sale_id": first["id"], "refund": 9000, "back_in_stock": True,
    })  # fmt: skip
    phone.sync([piece, first, back, sale(phone, piece["id"])])
    assert looks(phone) == []


@pytest.mark.parametrize("undoing", [
    {"deleted": True},
    {"refund": 9000, "back_in_stock": False},
    {"sale_id": "01900000-0000-7000-8000-00000000000f"},
])  # fmt: skip
def test_a_sale_that_stands_again_beside_a_later_one_is_flagged(
    any_home: Home, undoing: dict[str, Any]
) -> None:
    phone = any_home.pair()
    piece = phone.change("piece", WHEN | {"title": "Chair"})
    first, again = sale(phone, piece["id"]), sale(phone, piece["id"], price=9500)
    back = phone.change("return", WHEN | {
        "sale_id": first["id"], "refund": 9000, "back_in_stock": True,
    })  # fmt: skip
    phone.sync([piece, first, back, again])
    phone.sync([phone.change("return", undoing, back["id"])])
    (look,) = looks(phone)
    assert look["reason"] == "two_sales"
    assert {look[side]["sale_id"] for side in ("kept", "other")} == {first["id"], again["id"]}


def test_of_three_sales_the_two_left_when_one_is_deleted_are_flagged(home: Home) -> None:
    phone = home.pair()
    piece = phone.change("piece", WHEN | {"title": "Chair"})
    hours = ("12", "13", "14")
    sales = [sale(phone, piece["id"], at=f"2026-05-01T{hour}:00:00.000Z") for hour in hours]
    phone.sync([piece, *sales])
    phone.sync([phone.change("sale", {"deleted": True}, sales[0]["id"])])
    left = {one["id"] for one in sales[1:]}
    assert left in [{k[side]["sale_id"] for side in ("kept", "other")} for k in looks(phone)]


def test_two_sales_of_one_record_are_flagged_when_it_is_told_apart_from_an_earlier_sold(
    home: Home,
) -> None:
    phone = home.pair()
    one, other = str(uuid.uuid4()), str(uuid.uuid4())
    pair = same_as(phone, one, other)
    earliest = sale(phone, one, at="2026-05-01T10:00:00.000Z")
    sales = [sale(phone, other), sale(phone, other)]
    phone.sync([pair, earliest, *sales])
    phone.sync([phone.change("same_as", {"deleted": True}, pair["id"])])
    left = {one["id"] for one in sales}
    assert left in [{k[side]["sale_id"] for side in ("kept", "other")} for k in looks(phone)]


def test_one_label_on_two_pieces_is_flagged(home: Home) -> None:
    one, other = home.pair(), home.pair()
    bound = {"code": "000000000", "piece_id": str(uuid.uuid4())}
    one.sync([one.change("tag", bound)])
    other.sync([other.change("tag", bound | {"piece_id": str(uuid.uuid4())})])
    assert [k["reason"] for k in looks(one)] == ["two_bindings"]


def test_values_that_do_not_fit_together_are_taken_and_flagged(home: Home) -> None:
    phone = home.pair()
    piece = phone.change("piece", WHEN | {"low": 900, "likely": 500, "high": 600})
    assert outcomes(phone.sync([piece])) == ["applied"]
    phone.sync([phone.change("piece", {"note": "still so"}, piece["id"])])
    assert [(k["reason"], k["about_group"]) for k in looks(phone)] == [("rule", "estimate_order")]


def test_an_erasure_beats_later_stamps_and_blanks_every_trace(any_home: Home) -> None:
    one, other = any_home.pair(), any_home.pair()
    made = one.change("inquiry", WHEN | {"name": "A. Buyer"})
    one.sync([made])
    other.sync([other.change("inquiry", {"name": "B. Buyer"}, made["id"], at_ms=5)])
    one.sync([one.change("inquiry", {"name": 5}, made["id"])])
    assert len(looks(one)) == 1
    assert outcomes(one.sync([one.erasure("inquiry", made["id"])])) == ["applied"]
    late = other.change("inquiry", {"name": "C. Buyer"}, made["id"], at_ms=60_000)
    assert outcomes(other.sync([late])) == ["known"]
    rows = one.rows()
    assert (rows[made["id"]]["fields"], rows[made["id"]]["erased"]) == ({}, True)
    everything = str([
        list(rows.values()), one.web.get("/api/refused").json,
        one.web.get(f"/api/history/inquiry/{made['id']}").json,
    ])  # fmt: skip
    assert "Buyer" not in everything


def test_a_refused_change_is_kept_once_and_leaves_when_it_is_taken(home: Home) -> None:
    phone = home.pair()
    early = phone.change("spot", {"note": "before its record"})
    for _ in range(2):
        assert outcomes(phone.sync([early])) == ["refused"]
    assert len(phone.web.get("/api/refused").json["refused"]) == 1
    phone.sync([phone.change("spot", {"name": "Barn"}, early["id"])])
    assert outcomes(phone.sync([early])) == ["applied"]
    assert phone.web.get("/api/refused").json["refused"] == []


def test_a_stamp_that_names_another_value_is_refused_not_swallowed(home: Home) -> None:
    phone = home.pair()
    made = phone.change("spot", {"name": "Barn"})
    twin = made | {"key": str(uuid.uuid4()), "fields": {"name": "Other"}}
    answer = phone.sync([made, twin])
    assert outcomes(answer) == ["applied", "refused"]
    assert answer["outcomes"][1]["code"] == "conflict"


def test_a_field_of_a_newer_phone_is_kept(any_home: Home) -> None:
    phone = any_home.pair()
    made = phone.change("spot", {"name": "Barn", "shade_of_door": {"hue": [1, 2]}})
    assert outcomes(phone.sync([made])) == ["applied"]
    assert phone.rows()[made["id"]]["fields"]["shade_of_door"] == {"hue": [1, 2]}


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"stamps": {}}, "stamps.name"),
        ({"stamps": {"name": "x"}}, "stamps.name"),
        ({"bases": {"name": 7}}, "bases.name"),
        ({"key": "x"}, "key"),
        ({"id": "X"}, "id"),
        ({"erase": True}, "stamps.*"),
        ({"fields": {"name": None}}, "name"),
    ],
)
def test_a_malformed_change_is_refused_by_the_name_of_its_fault(
    home: Home, wrong: dict[str, Any], path: str
) -> None:
    phone = home.pair()
    answer = phone.sync([phone.change("spot", {"name": "Barn"}) | wrong])
    assert outcomes(answer) == ["refused"]
    assert [d["path"] for d in answer["outcomes"][0]["details"]] == [path]


def test_a_page_stops_at_its_bytes(home: Home) -> None:
    phone = home.pair()
    phone.sync([phone.change("piece", WHEN | {"listing_text": "x" * 8000}) for _ in range(60)])
    answer = phone.sync(limit=500)
    assert answer["more"]
    assert len(str(answer["records"])) < 300_000
    assert len(phone.rows("piece")) == 60
