"""Writes going_back.json. Run in the folder tests:
``../.venv/bin/python -m vectors.make_going_back``, after ``vectors.make_pricing``."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from crestrail.basis.clock import to_text
from crestrail.pricing.going_back import go_back
from crestrail.pricing.words import back_sentences, cure_to_go

HERE = Path(__file__).parent
NOW = datetime(2026, 5, 2, 16, tzinfo=UTC)
DESK = {"kind": "desk", "ask": 2000}
SEEN = to_text(NOW - timedelta(hours=3))
TRIP = {"seen_at": SEEN, "now": to_text(NOW), "miles": 8}
WORN = {"kind": "stool", "ask": 90_000}
BACK: dict[str, Any] = {
    "few": {"half_life_h": 4.5, "p_after": 0.3, "visits": 4},
    "many": {"half_life_h": 2.25, "p_after": 0.1, "visits": 12},
    "slow": {"half_life_h": 120.0, "p_after": 1.0, "visits": 30},
    "quick": {"half_life_h": 0.01, "p_after": 0.0, "visits": 30},
}
"""Lessons put into the book "many"; "none" is that book without the part."""

BY_HAND: tuple[tuple[dict[str, Any], dict[str, Any]], ...] = (
    (DESK, TRIP),
    (DESK, {**TRIP, "miles": 0, "minutes": 0}),
    (DESK, {**TRIP, "miles": None, "here": [40.0, -90.0], "there": [40.1, -90.2]}),
    (DESK, {**TRIP, "miles": None, "here": [40.0, -90.0], "there": [40.0, -90.0]}),
    (DESK, {**TRIP, "miles": None, "here": [40.0, -90.0], "there": [-40.0, 90.0]}),
    (DESK, {**TRIP, "miles": None}),
    (DESK, {**TRIP, "miles": "", "here": [40.0, -90.0]}),
    (DESK, {**TRIP, "miles": -1}),
    (DESK, {**TRIP, "miles": 2001, "minutes": 6001}),
    (DESK, {**TRIP, "miles": "far", "minutes": True}),
    (DESK, {**TRIP, "miles": None, "here": [91, 0], "there": [0, "east"]}),
    (DESK, {**TRIP, "miles": None, "here": 40, "there": [0, 0, 0]}),
    (DESK, {**TRIP, "miles": 900, "minutes": 2200}),
    (DESK, {**TRIP, "seen_at": None, "now": ""}),
    (DESK, {**TRIP, "seen_at": "yesterday", "now": 5, "closes_at": "16:00"}),
    (DESK, {**TRIP, "seen_at": to_text(NOW + timedelta(minutes=1))}),
    (DESK, {**TRIP, "seen_at": to_text(NOW)}),
    (DESK, {**TRIP, "closes_at": to_text(NOW - timedelta(hours=1))}),
    (DESK, {**TRIP, "closes_at": to_text(NOW + timedelta(hours=1))}),
    (DESK, {**TRIP, "closes_at": to_text(NOW - timedelta(hours=5))}),
    (DESK, {**TRIP, "miles": 100, "closes_at": to_text(NOW + timedelta(minutes=20))}),
    (WORN, TRIP),
    (WORN, {**TRIP, "miles": 0, "minutes": 0}),
    ({"kind": "desk"}, TRIP),
    ({"kind": "no-such-kind", "ask": 100}, TRIP),
    ({}, {}),
    (DESK, {}),
)


def drawn(rng: random.Random) -> tuple[dict[str, Any], dict[str, Any]]:
    """A find left somewhere this morning, and a way back."""
    find = {
        "kind": rng.choice(("side-chair", "dresser", "desk", "mirror", "stool")),
        "ask": rng.randrange(0, 9000),
    }
    trip: dict[str, Any] = {
        "now": to_text(NOW),
        "seen_at": to_text(NOW - timedelta(minutes=rng.randrange(0, 3000))),
        "closes_at": rng.choice((None, to_text(NOW + timedelta(minutes=rng.randrange(-300, 300))))),
        "minutes": rng.choice((None, rng.randrange(0, 90))),
    }
    if rng.random() < 0.5:
        trip["miles"] = rng.randrange(0, 300) / 10
    else:
        trip["here"] = [40 + rng.random() / 4, -90 + rng.random() / 4]
        trip["there"] = [40 + rng.random() / 4, -90 + rng.random() / 4]
    return find, trip


def case(books: dict[str, Any], which: tuple[str, str], task: tuple[Any, Any]) -> dict[str, Any]:
    """One find with one way back, by a book with one of the lessons."""
    name, lesson = which
    book = dict(books[name])
    book.pop("back", None)
    if lesson in BACK:
        book["back"] = BACK[lesson]
    if lesson != "few":
        book["money"] = book["money"] | {"per_mile": 65}
    answer = go_back(book, *task)

    def money(minor: int) -> str:
        return f"{minor / 100:.2f}"

    said = back_sentences(answer, money) if answer["ok"] else cure_to_go(answer["details"])
    return {"book": name, "lesson": lesson, "find": task[0], "trip": task[1], "answer": answer,
            "said": said}  # fmt: skip


def just_worth_nothing(book: dict[str, Any]) -> dict[str, Any]:
    """A way back that costs to the cent what it promises."""
    ways = ({**TRIP, "miles": thousandths / 1000} for thousandths in range(200_000))
    return next(way for way in ways if go_back(book, DESK, way)["value"] == 0)


def main() -> None:
    """Draw, answer, write."""
    rng = random.Random(20260808)
    books = json.loads((HERE / "pricing_books.json").read_text())
    by_hand = (*BY_HAND, (DESK, just_worth_nothing(books["many"] | {"back": BACK["few"]})))
    cases = [case(books, ("many", "few"), task) for task in by_hand]
    for name, lesson in (("many", "none"), ("many", "many"), ("dear", "slow"), ("some", "quick")):
        cases += [case(books, (name, lesson), drawn(rng)) for _ in range(25)]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    head = json.dumps({"back": BACK})[:-1]
    (HERE / "going_back.json").write_text(head + ',\n"cases": [\n' + listed + "\n]}\n")


if __name__ == "__main__":
    main()
