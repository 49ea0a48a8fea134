"""Writes loading.json. Run in the folder tests: ``../.venv/bin/python -m vectors.make_loading``."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

from crestrail.pricing.loading import answer_load

HERE = Path(__file__).parent
CAR = {"hold": [1800, 1100, 850], "opening": [1050, 750]}
BAD: tuple[tuple[Any, Any], ...] = (
    (None, None),
    ([None, 3, {"size": "abc"}], {"hold": [1, 2], "opening": {}}),
    ([{"size": [900, 900, 800]}] * 3, CAR),
    ([], CAR),
    ([{}], {}),
    ([{"size": [1, -2, 1.5]}], CAR),
    ([{"size": [1, None, 90000]}], CAR),
    ([{"size": [1, 1, 1]}] * 41, CAR),
    ([{"size": [600, 500, 400]}] * 3, CAR),
)


def main() -> None:
    """Draw, load, write."""
    rng = random.Random(20260704)
    tasks = list(BAD)
    for _ in range(40):
        pieces = [
            {"size": [rng.randrange(150, 1100) for _ in range(3)], "upright": rng.random() < 0.3}
            for _ in range(rng.randrange(1, 8))
        ]
        tasks.append((pieces, CAR))
    cases = [{"pieces": p, "car": c, "answer": answer_load(p, c)} for p, c in tasks]
    listed = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    (HERE / "loading.json").write_text("[\n" + listed + "\n]\n")


if __name__ == "__main__":
    main()
