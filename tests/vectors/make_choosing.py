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
BAD: tuple[tuple[Any, Any], ...] = (
    (None, None),
    ([None, 5, ONE, []], {"cash": None, "litres": ""}),
    ({"value": 3}, [5]),
    ([], {}),
    ([ONE], {}),
    ([{}], {"cash": 5}),
    ([{**ONE, "minutes": -3}], {"cash": 1.5}),
    ([ONE] * 26, {"cash": 500}),
    ([{**ONE, "value": 10**9, "cash": 10**9}] * 2, {"cash": 500}),
    ([ONE, ONE], {"cash": 0, "litres": 50}),
    ([ONE], {"cash": 50}),
    ([ONE] * 3, {"cash": 100}),
    ([{**ONE, "cash": 0}, ONE], {"cash": 0, "minutes": 5}),
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


def alike(rng: random.Random, n: int) -> tuple[list[dict[str, int]], dict[str, int]]:
    """Finds whose value goes with what they need: hard to choose among."""
    finds = [
        {
            "value": 0,
            "cash": 100 * rng.randrange(5, 120),
            "minutes": 5 * rng.randrange(4, 60),
            "litres": rng.randrange(20, 900),
        }
        for _ in range(n)
    ]
    spread = rng.choice((0, 1, 500))
    for f in finds:
        value = f["cash"] // 3 + 12 * f["minutes"] + 4 * f["litres"] + rng.randint(0, spread)
        f["value"] = 1000 + (value if rng.random() < 0.8 else f["cash"])
    share = rng.uniform(0.25, 0.7)
    limits = {k: int(sum(f[k] for f in finds) * share) for k in ("cash", "minutes", "litres")}
    return finds, limits


def main() -> None:
    """Draw, choose, write."""
    rng = random.Random(20260703)
    tasks = [(f, li, 200_000) for f, li in BAD]
    tasks += [(*drawn(rng, rng.randrange(1, 20)), 200_000) for _ in range(40)]
    tasks += [(*alike(rng, rng.randrange(5, 15)), 200_000) for _ in range(15)]
    tasks += [(*alike(rng, 25), 300) for _ in range(6)]
    cases = [
        {"finds": f, "limits": li, "budget": b, "answer": answer_choice(f, li, b)}
        for f, li, b in tasks
    ]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "choosing.json").write_text("[\n" + listed + "\n]\n")


if __name__ == "__main__":
    main()
