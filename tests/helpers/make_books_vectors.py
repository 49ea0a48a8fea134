"""Writes tests/vectors/books.json and mileage.json: what both languages must give.

Run ``PYTHONPATH=tests .venv/bin/python tests/helpers/make_books_vectors.py``. The rules
themselves are held by tests/books against figures worked out by hand.
"""

from __future__ import annotations

import json
from dataclasses import astuple
from pathlib import Path
from typing import Any

from crestrail.books.accounts import ACCOUNTS
from crestrail.books.facts import Facts
from crestrail.books.mileage import trip_amount
from crestrail.books.postings import postings
from crestrail.books.profit import ledger
from crestrail.books.rates import MILE_RATES, MILE_RATES_UNTIL
from helpers.households import LATER, ZONE, random_household

SEEDS = range(24)
MOMENTS = (LATER, "2026-05-31T23:30:00.000Z")


def case(seed: int) -> dict[str, Any]:
    """One household at one moment."""
    home = random_household(seed, size=3 + seed % 5)
    moment = MOMENTS[seed % 2]
    posted = postings(Facts(home, moment, ZONE))
    return {
        "household": home,
        "as_of": moment,
        "zone": ZONE,
        "postings": [list(astuple(p)) for p in posted],
        "ledger": ledger(home, moment, ZONE),
    }


def mileage() -> dict[str, Any]:
    """Cents of drives on days about every change of the rate; 125 miles end in half a cent."""
    days = ("2022-06-30", "2022-07-01", "2023-05-05", "2024-02-29", "2025-12-31", "2026-06-30",
            "2026-07-01", "2026-12-31")  # fmt: skip
    lengths = (0, 1, 1609, 26_393, 201_168, 9_999_999)
    return {
        "about": "metres, day, cents at the standard mileage rate; rates in tenths of a cent",
        "rates": [astuple(rate) for rate in MILE_RATES],
        "until": MILE_RATES_UNTIL,
        "trips": [[m, day, trip_amount(m, day)] for day in days for m in lengths],
    }


def main() -> None:
    """Writes both files; of the books a household a line."""
    rows = ",\n".join(json.dumps(case(seed), separators=(",", ":")) for seed in SEEDS)
    about = "random invented households; postings: on, account, amount, piece, fact type, fact"
    accounts = json.dumps({code: [a.name, a.kind] for code, a in ACCOUNTS.items()})
    text = f'{{"about": "{about}", "accounts": {accounts}, "cases": [\n{rows}\n]}}\n'
    target = Path(__file__).resolve().parents[1] / "vectors" / "books.json"
    target.write_text(text, encoding="utf-8")
    other = json.dumps(mileage(), indent=1)
    target.with_name("mileage.json").write_text(other + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
