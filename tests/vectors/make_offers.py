"""Writes offers.json. Run in the folder tests: ``../.venv/bin/python -m vectors.make_offers``."""

from __future__ import annotations

import json
import math
import random
from dataclasses import asdict
from pathlib import Path

from crestrail.pricing.offers import answer_offer
from vectors.make_asking import drawn

HERE = Path(__file__).parent
BAD = (
    {},
    {"offer": 0, "price": 5000},
    {"offer": -5, "price": 1.5},
    {"offer": "ten", "price": 100, "others": 51},
    {"offer": 100, "price": 100, "holds": 2, "failed": 3, "hold_days": 91},
)


def main() -> None:
    """Draw, answer, write."""
    rng = random.Random(20260702)
    cases = []
    for i in range(60):
        market = drawn(rng)
        likely = math.exp(market.resale.mu)
        data = {
            "offer": max(1, round(likely * rng.uniform(0.2, 1.3))),
            "price": max(1, round(likely * rng.uniform(0.8, 1.3))),
            "others": rng.choice((0, 0, 1, 4)),
            "holds": 9,
            "failed": rng.choice((0, 1, 9)),
            "hold_days": rng.choice((0, 3)),
        }
        given = BAD[i] if i < len(BAD) else data
        value = likely * rng.uniform(0.3, 0.9)
        answer = answer_offer(market, value, given)
        cases.append({"market": asdict(market), "value": value, "data": given, "answer": answer})
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "offers.json").write_text("[\n" + listed + "\n]\n")


if __name__ == "__main__":
    main()
