"""Writes scores.json. Run in the folder tests: ``../.venv/bin/python -m vectors.make_scores``,
after ``vectors.make_pricing``."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import Any

from crestrail.pricing.effort import pace
from crestrail.pricing.moves import moved_by
from crestrail.pricing.scores import at_most, score, wilson
from crestrail.pricing.words import moved_words, pace_words

HERE = Path(__file__).parent
LEVELS = ("guess", "thin", "fair", "good", "typed")
SHAPES: tuple[dict[str, float], ...] = (
    {},
    {"noise": 2.0, "slow": 0.5, "dear": -2500.0, "late": 30.0, "bad": 3.0},
    {"noise": 0.3, "slow": -0.5, "dear": 2500.0, "late": -9.0, "bad": 0.0},
)
"""How reality differs from what was said: as said, worse, better."""


def drawn(rng: random.Random, shape: dict[str, float]) -> dict[str, Any]:
    """One piece: what was said, and what came of it, some of it not yet known."""
    s, likely = rng.uniform(0.2, 0.6), rng.uniform(2000, 30000)
    spread = rng.choice((1.0, 1.0, 1.25))
    said_days, said_minutes = rng.uniform(5, 50), rng.uniform(10, 200)
    unsold, loss = rng.uniform(0.02, 0.3), rng.uniform(0.02, 0.5)
    profit, bad = rng.uniform(500, 9000), shape.get("bad", 1.0)
    pair = {
        "level": rng.choice(LEVELS),
        "low": round(likely * math.exp(-1.2816 * s)),
        "likely": round(likely),
        "high": round(likely * math.exp(1.2816 * s)),
        "spread": spread,
        "price": round(likely * math.exp(rng.gauss(0, s * shape.get("noise", 1.0)))),
        "saidMinutes": round(said_minutes),
        "minutes": round(said_minutes * math.exp(rng.gauss(shape.get("slow", 0.0), 0.3))),
        "saidDays": round(said_days),
        "days": round(max(0.0, rng.expovariate(1 / said_days) + shape.get("late", 0.0))),
        "saidUnsold": unsold,
        "unsold": rng.random() < unsold * bad,
        "saidClear": round(profit),
        "clear": round(profit + rng.gauss(shape.get("dear", 0.0), 2000)),
        "saidLoss": loss,
        "lost": rng.random() < loss * bad,
    }
    for name in ("price", "saidMinutes", "minutes", "days", "unsold", "clear", "saidLoss"):
        if rng.random() < 0.1:
            pair[name] = None
    return pair


def evidence(books: dict[str, Any]) -> list[dict[str, Any]]:
    """What moves prices and minutes in each book, in figures and in words."""

    def money(minor: int) -> str:
        return f"{minor / 100:.2f}"

    traits = ["oak", "cane", "makers-label", "unheard-of", "constructor"]
    found = []
    for name, book in books.items():
        moves, paces = moved_by(book, 14000, traits), pace(book)
        found.append({
            "book": name, "moves": moves, "pace": paces,
            "said": [moved_words(m, "Oak", money) for m in moves],
            "paceSaid": [pace_words(p, "Wax") for p in paces],
        })  # fmt: skip
    return found


def main() -> None:
    """Draw, score, write."""
    rng = random.Random(20260909)
    books = json.loads((HERE / "pricing_books.json").read_text())
    tasks = [[drawn(rng, shape) for _ in range(n)] for shape in SHAPES for n in (0, 1, 9, 12, 80)]
    cases = [{"pairs": t, "score": score(t)} for t in tasks]
    shares = [(k, n) for n in (0, 1, 10, 25, 200) for k in sorted({0, n // 2, 4 * n // 5, n})]
    chances = [[rng.random() for _ in range(n)] for n in (0, 1, 5, 60)]
    vectors = {
        "wilson": [[k, n, *wilson(k, n, 1.96)] for k, n in shares],
        "at_most": [[c, k, at_most(c, k)] for c in chances for k in (-1, 0, len(c) // 2, len(c))],
        "evidence": evidence(books),
    }
    head = json.dumps(vectors)[:-1]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "scores.json").write_text(head + ',\n"cases": [\n' + listed + "\n]}\n")


if __name__ == "__main__":
    main()
