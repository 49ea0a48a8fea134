"""The first day of the books is a day of the household's calendar, wherever it lives."""

from __future__ import annotations

from typing import Any

import pytest

from crestrail.books.profit import ledger

HOUSEHOLD: dict[str, list[dict[str, Any]]] = {
    "setting": [
        {"id": "s", "cash_start": 20_000, "opened_on": "2026-05-02",
         "set_up_at": "2026-05-01T22:00:00.000Z"}
    ],
    "piece": [
        {"id": "p", "at": "2026-05-01T22:30:00.000Z", "on": "2026-05-02",
         "opening_on": "2026-05-02", "opening_cost": 700}
    ],
}  # fmt: skip


@pytest.mark.parametrize(
    ("zone", "cash"), [("Australia/Sydney", 20_000), ("UTC", 0), ("America/Los_Angeles", 0)]
)
def test_opening_cash_counts_from_the_local_morning(zone: str, cash: int) -> None:
    totals = ledger(HOUSEHOLD, "2026-05-01T23:00:00.000Z", zone)["totals"]
    assert (totals["cash"], totals["stock"]) == (cash, 700 if cash else 0)
