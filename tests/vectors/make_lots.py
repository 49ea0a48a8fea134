"""Writes lots.json. Run in the folder tests: ``../.venv/bin/python -m vectors.make_lots``.

The books are fitted as those of pricing_books.json and kept beside the cases; the finds are drawn
with a fixed seed.
"""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

from crestrail.pricing.book import build_book
from crestrail.pricing.figures import priced_find
from crestrail.pricing.find import Problems, read_find
from crestrail.pricing.lots import Lot, loss_chance, most_for
from crestrail.pricing.lots_answer import price_lot, shared_errors
from helpers.pricing_histories import AS_OF
from vectors.make_pricing import BOOKS, drawn

HERE = Path(__file__).parent
USED = ("fresh", "many", "careful", "wasteful", "taken", "odd")
DESK = {"kind": "desk"}
BY_HAND: tuple[tuple[Any, Any], ...] = (
    ([], None),
    (None, 4000),
    ([None, 5, DESK], 4000),
    ([DESK, {"kind": "no-such-kind"}], 4000),
    ([DESK, {"kind": "desk", "count": 0}, {"kind": "stool", "ask": 1.5}], -1),
    ([DESK], "many"),
    ([DESK] * 41, 4000),
    ([DESK], 6001),
    ([DESK, {"kind": "stool", "typed": {"likely": 1}}], 0),
    ([{"kind": "desk", "typed": {"likely": 9000}}, {"kind": "desk", "typed": {"low": 4000}}], 9000),
    ([{"kind": "new", "kind_typical": {"price": 5000, "days": 40}}] * 3, 3000),
    ([{"kind": None, "typed": {"likely": 9000}}] * 2, 3000),
    ([{"kind": "stool", "typed": {"minutes": 2000}}, {"kind": "stool"}], 500),
    ([{"kind": "desk", "typed": {"likely": 20000, "low": 1500, "high": 75000},
       "costs": {"pickup": 12000}}] * 2, 100),
    ([{"kind": "desk"}, {"kind": "stool"}, {"kind": "mirror"}] * 4, 30000),
    ([{"kind": "desk", "typed": {"likely": 5000}}] * 2, 100),
    ([{"kind": "desk", "typed": {"minutes": 0}}] * 2, 3000),
    ([{"kind": "desk", "typed": {"likely": 5700}}] * 2, 100),
)  # fmt: skip


def figures(book: dict[str, Any], finds: Any, ask: Any) -> dict[str, float] | None:
    """The unrounded figures behind an answer."""
    if not price_lot(book, finds, ask)["ok"]:
        return None
    problems = Problems()
    read = [read_find(f, problems) for f in finds]
    priced = [p for f in read if (p := priced_find(book, f, problems))]
    lot = Lot([p.deal for p in priced], shared_errors(book, read, priced))
    return {"most": most_for(lot)[0], "lossChance": loss_chance(lot, float(ask or 0))}


def main() -> None:
    """Draw, price, write."""
    rng = random.Random(20260705)
    books = {name: build_book(*BOOKS[name], AS_OF) for name in USED}
    tasks = [(name, f, a) for name in ("fresh", "many", "odd") for f, a in BY_HAND]
    for name in books:
        for _ in range(16):
            finds = [drawn(rng) for _ in range(rng.randrange(1, 6))]
            tasks.append((name, finds, rng.choice((None, rng.randrange(0, 60000)))))
    tasks += [("careful", [drawn(rng) for _ in range(n)], 20000) for n in (9, 13)]
    cases = [
        {"book": n, "finds": f, "ask": a, "answer": price_lot(books[n], f, a),
         "figures": figures(books[n], f, a)}
        for n, f, a in tasks
    ]  # fmt: skip
    none: dict[str, Any] = {"book": None, "finds": [], "ask": None, "figures": None}
    listed = [{**none, "answer": price_lot(None, [])}, *cases]
    lines = ",\n".join(json.dumps(c, separators=(",", ":")) for c in listed)
    kept = json.dumps(books, separators=(",", ":"))
    (HERE / "lots.json").write_text(f'{{"books":{kept},\n"cases":[\n{lines}\n]}}\n')


if __name__ == "__main__":
    main()
