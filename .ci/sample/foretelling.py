"""What the pad said in the driveway: the answers of the day, frozen when a piece was bought.

Nothing is made up here. The changes are told again in their order; at every purchase the price
book of that day is made from what the household knew by then, and asked as a phone asks it.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from typing import Any

from crestrail.basis.clock import AsOf, from_text
from crestrail.pricing.book import build_book
from crestrail.pricing.pad import price_find
from crestrail.services.own_history import history_of, settings_of
from sample.world import World
from sample.writer import moment

ZONE_NAME = "America/Chicago"
DECIMALS = 6


class Retelling:
    """The household's records as they stood after each change, and its book of a day."""

    def __init__(self) -> None:
        self.records: dict[str, dict[str, dict[str, Any]]] = defaultdict(dict)
        self._books: dict[str, dict[str, Any]] = {}

    def hear(self, change: dict[str, Any]) -> None:
        """Take in one change."""
        record = self.records[change["type"]].setdefault(change["id"], {"id": change["id"]})
        record.update(change["fields"])

    def book(self, day: str) -> dict[str, Any]:
        """The book that a phone had on its way out: made in the morning, before the day."""
        if day not in self._books:
            before = (date.fromisoformat(day) - timedelta(days=1)).isoformat()
            rows = {name: list(found.values()) for name, found in self.records.items()}
            history = history_of(rows, ZONE_NAME, AsOf(f"{before}T23:59:59.999Z", before))
            self._books[day] = build_book(history, settings_of(rows), date.fromisoformat(day))
        return self._books[day]


def asked_of_the_pad(piece: dict[str, Any], steps: list[tuple[str, int]]) -> dict[str, Any]:
    """The find as the screen hands it to the pad."""
    return {
        "kind": piece["kind"], "traits": piece.get("traits") or [],
        "count": piece.get("count") or 1, "found_grade": piece.get("found_grade"),
        "steps": [{"step": step, "units": units, "minutes": None} for step, units in steps],
        "typed": {"likely": None, "low": None, "high": None, "minutes": None, "supplies": None},
        "ask": piece.get("ask"), "kind_typical": {"price": None, "days": None},
    }  # fmt: skip


def rounded(value: Any) -> Any:
    """The same with fractions to six decimals, so that every computer writes the same file."""
    if isinstance(value, dict):
        return {name: rounded(x) for name, x in value.items()}
    if isinstance(value, list):
        return [rounded(x) for x in value]
    return round(value, DECIMALS) if isinstance(value, float) else value


def freeze_answers(world: World) -> None:
    """One prediction for every piece that was bought, of the moment it was paid for."""
    told = Retelling()
    steps: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for change in world.w.changes:
        if change["type"] == "piece_step" and change["fields"].get("piece_id"):
            steps[change["fields"]["piece_id"]].append(
                (change["fields"]["step"], change["fields"]["units"])
            )
    for change in sorted(world.w.changes, key=lambda c: max(c["stamps"].values())):
        told.hear(change)
        piece = told.records["piece"].get(change["id"], {})
        if change["type"] == "piece" and change["fields"].get("purchase_id") and piece.get("kind"):
            purchase = told.records["purchase"][change["fields"]["purchase_id"]]
            inputs = asked_of_the_pad(piece, steps[change["id"]])
            answer = price_find(told.book(purchase["on"]), inputs)
            at = from_text(purchase["at"])
            if answer["ok"]:
                world.w.put("prediction", at, {
                    **world.w.happened(at), "piece_id": change["id"], "for_what": "bought",
                    "book": f"1.{purchase['on']}", "inputs": inputs, "answer": rounded(answer),
                })  # fmt: skip


def going_back(world: World) -> None:
    """Now and then a find that was passed was looked for again the same day."""
    passed = {
        c["id"]: c["fields"]["passed_at"]
        for c in world.w.changes
        if c["type"] == "piece" and c["fields"].get("passed_at")
    }
    for number, (piece, seen) in enumerate(list(passed.items())[3::9][:12]):
        hours = (1, 2, 4, 6)[number % 4]
        at = from_text(seen) + timedelta(hours=hours)
        closes = moment(date.fromisoformat(world.w.happened(at)["on"]), 14)
        world.w.put("visit", at, {
            **world.w.happened(at), "piece_id": piece, "found": number % 3 != 2 and hours < 6,
            "seen_at": seen, "closes_at": world.w.happened(closes)["at"],
        })  # fmt: skip
