"""Notes of what is asked or paid elsewhere reach the price book, apart from own sales."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from crestrail.basis.clock import AsOf
from crestrail.pricing.history import SeenElsewhere, Thing
from crestrail.pricing.pad import price_find
from crestrail.services.own_history import history_of
from helpers.app import Client, Home

DAY = AsOf("2026-05-01T23:59:59.000Z", "2026-05-01")


def seen(on: str, **more: Any) -> dict[str, Any]:
    return {"at": f"{on}T12:00:00.000Z", "on": on, "kind": "chair", "amount": 30_000, **more}


def likely(book: dict[str, Any]) -> int:
    answer = price_find(book, {"kind": "chair", "traits": [], "count": 1, "steps": []})
    assert answer["ok"]
    return int(answer["range"]["likely"])


def book_of(client: Client) -> dict[str, Any]:
    return dict(client.web.get("/api/price-book").json)


@pytest.mark.parametrize("sold", [True, False])
def test_a_note_reaches_the_book_and_moves_what_such_a_piece_brings(home: Home, sold: bool) -> None:
    client = home.pair()
    kind = {"slug": "chair", "name": "Chair", "typical_price": 9000}
    client.sync([client.change("kind", kind)])
    before = book_of(client)
    client.sync([client.change("seen_elsewhere", seen("2026-04-20", sold=sold))])
    after = book_of(client)
    assert likely(after) > likely(before)
    counts = after["counts"]
    assert (counts["seen_elsewhere"], counts["sales"], counts["kinds"]) == (1, 0, {})
    assert after["version"] != before["version"]


def test_a_note_is_read_as_it_was_made_and_one_taken_back_or_of_a_day_to_come_is_not() -> None:
    rows = [
        {"id": "a", **seen("2026-04-20", traits=["oak"], count=2, sold=True)},
        {"id": "b", **seen("2026-04-21", deleted=True)},
        {"id": "c", **seen("2026-09-01")},
    ]
    (found,) = history_of({"seen_elsewhere": rows}, "UTC", DAY).seen
    assert isinstance(found, SeenElsewhere)
    assert isinstance(found.thing, Thing)
    assert (found.thing.kind, found.thing.traits, found.thing.count) == ("chair", ("oak",), 2)
    assert (found.sold, found.on) == (True, date(2026, 4, 20))
