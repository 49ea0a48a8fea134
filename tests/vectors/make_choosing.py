"""Writes choosing.json. Run in the folder tests:
``../.venv/bin/python -m vectors.make_choosing``."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

from crestrail.pricing.choosing import answer_choice

HERE = Path(__file__).parent
ONE = {"value": 100, "cash": 50, "minutes": 5, "litres": 5}
BAD: tuple[tuple[list[dict[str, Any]], dict[str, Any]], ...] = (
    ([], {}),
    ([ONE], {}),
    ([{}], {"cash": 5}),
    ([{**ONE, "minutes": -3}], {"cash": 1.5}),
    ([ONE] * 26, {"cash": 500}),
    ([{**ONE, "value": 10**9, "cash": 10**9}] * 2, {"cash": 500}),
    ([ONE, ONE], {"cash": 0, "litres": 50}),
)


def drawn(rng: random.Random, n: int) -> tuple[list[dict[str, int]], dict[str, int]]:
    """Finds as may be met on a round, and limits that leave out about half."""
    finds = [
        {
            "value": rng.randrange(-1000, 15000),
            "cash": rng.randrange(0, 12000),
            "minutes": rng.randrange(0, 300),
            "litres": rng.randrange(5, 900),
        }
        for _ in range(n)
    ]
    limits = {
        k: round(sum(f[k] for f in finds) * rng.uniform(0.2, 0.7))
        for k in ("cash", "minutes", "litres")
        if rng.random() < 0.85
    }
    return finds, limits


def main() -> None:
    """Draw, choose, write."""
    rng = random.Random(20260703)
    tasks = [(f, li, 200_000) for f, li in BAD]
    tasks += [(*drawn(rng, rng.randrange(1, 20)), 200_000) for _ in range(40)]
    tasks += [(*drawn(rng, 25), 8) for _ in range(3)]
    cases = [
        {"finds": f, "limits": li, "budget": b, "answer": answer_choice(f, li, b)}
        for f, li, b in tasks
    ]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "choosing.json").write_text("[\n" + listed + "\n]\n")


if __name__ == "__main__":
    main()
