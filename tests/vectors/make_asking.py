"""Writes asking.json: drop plans that both languages are tested on.

Run in the folder tests: ``../.venv/bin/python -m vectors.make_asking``.
"""

from __future__ import annotations

import json
import random
from dataclasses import asdict
from pathlib import Path
from typing import Any

from crestrail.pricing.asking import Market, best_constant, best_plan, chance_by, week_costs
from crestrail.pricing.resale import Resale
from crestrail.pricing.selling import Rate

HERE = Path(__file__).parent


def market_of(data: dict[str, Any]) -> Market:
    """The market of a vector."""
    rest = {k: v for k, v in data.items() if k not in ("resale", "rate")}
    return Market(Resale(**data["resale"]), Rate(**data["rate"]), **rest)


def answers(market: Market) -> dict[str, Any]:
    """What the two languages have to agree on."""
    horizon = market.rate.horizon
    plan = best_plan(market, horizon)
    return {
        "constant": asdict(best_constant(market, horizon)),
        "plan": asdict(plan),
        "by": [chance_by(market, plan, day) for day in (0, 7, 30, horizon, 2 * horizon)],
        "week": week_costs(market, plan),
    }


def drawn(rng: random.Random) -> Market:
    """A market as it may be met."""
    rate = Rate(rng.uniform(1.5, 30), rng.uniform(5, 200), rng.choice((6.0, 7.0, 90.0, 240.0)))
    return Market(
        Resale(rng.uniform(7, 11), rng.choice((0.02, rng.uniform(0.1, 0.9)))),
        rate,
        0.25,
        rng.choice((0.0, 0.08, 1.0)),
        rng.uniform(0, 1500),
        rng.choice((0.0, 10.0, 60.0)),
        rng.choice((0.0, -500.0, 2000.0)),
    )


def main() -> None:
    """Draw, solve, write."""
    rng = random.Random(20260701)
    cases = []
    for _ in range(24):
        market = drawn(rng)
        cases.append({"market": asdict(market), "answers": answers(market)})
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "asking.json").write_text("[\n" + listed + "\n]\n")


if __name__ == "__main__":
    main()
