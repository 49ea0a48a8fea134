"""Writes tests/vectors/lifting.json and care.json from the Python modules.

Run ``.venv/bin/python tests/helpers/make_care_vectors.py``. The values are held against the
published ones in tests/external and tests/care; the files hold the two languages together.
"""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

from crestrail.care.caution_data import CAUTIONS
from crestrail.care.cautions import Situation, cautions_for
from crestrail.care.inspection import inspection_for
from crestrail.care.lifting import Lift, one_person_limit, recommended_limit
from crestrail.care.lifting_tables import METRIC, US

VECTORS = Path(__file__).resolve().parents[1] / "vectors"


def lifting() -> dict[str, object]:
    """Lifts in both systems, rounded and not, over every branch of the formula."""
    places = [
        (250, 750, 250),
        (558.8, 381, 1244.6),
        (635, 762, 0),
        (640, 900, 300),
        (400, 1760, 500),
        (0, 0, 1751),
    ]
    habits = [
        (0, 0.2, 1, "poor"),
        (45, 2.5, 1.5, "fair"),
        (136, 9, 8, "good"),
        (10, 15.5, 1, "fair"),
        (0, 0.1, 9, "poor"),
    ]
    rows = []
    for (h, v, d), (a, f, hours, grip) in product(places, habits):
        given = {
            "horizontal": h,
            "vertical": v,
            "travel": d,
            "asymmetry": a,
            "per_minute": f,
            "hours": hours,
            "coupling": grip,
            "origin_vertical": 558.8 if a == 45 else None,
        }
        conditions = ["stairs", "carrying"] if h == 0 and a == 0 else []
        for system, rounded in product(("metric", "us"), (False, True)):
            units = METRIC if system == "metric" else US
            found = recommended_limit(Lift(**given), conditions, system=units, rounded=rounded)
            rows.append(
                {
                    "lift": given,
                    "conditions": conditions,
                    "system": system,
                    "rounded": rounded,
                    "limit_g": found.limit_g,
                    "factors": list(found.factors),
                    "reasons": list(found.reasons),
                }
            )
    depths = [None, 0, 200, 500, 860, 861, 2000]
    return {"about": "recommended limits in g", "lifts": rows,
            "one_person": [[d, one_person_limit(d)] for d in depths]}  # fmt: skip


def care() -> dict[str, object]:
    """Every caution's own words, each once with and without the recalls looked up."""
    groups = sorted({tuple(words) for entry in CAUTIONS for words in entry["when"]})
    cases = [(), *groups, ("children", "painted", "glass", "wobbly"), ("unheard-of",)]
    rows = []
    for words, day in product(cases, (None, "2026-05-01")):
        found = cautions_for(Situation(care=frozenset(words), recalls_checked_on=day))
        rows.append(
            {
                "words": list(words),
                "recalls_checked_on": day,
                "cautions": [[c.level, c.code] for c in found],
                "checks": [check.code for check in inspection_for(words)],
            }
        )
    return {"about": "care slugs and flaws; the cautions and checks they give", "rows": rows}


def write(name: str, data: dict[str, object]) -> None:
    """Writes one file, a row a line."""
    parts = []
    for key, value in data.items():
        if isinstance(value, list):
            body = ",\n    ".join(json.dumps(v) for v in value)
            parts.append(f'  "{key}": [\n    {body}\n  ]')
        else:
            parts.append(f'  "{key}": {json.dumps(value)}')
    text = "{\n" + ",\n".join(parts) + "\n}\n"
    (VECTORS / f"{name}.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write("lifting", lifting())
    write("care", care())
