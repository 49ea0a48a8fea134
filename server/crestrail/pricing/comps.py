"""The nearest of one's own sales, with the reasons why they are near.

How far a sale is from a find is the squared difference in log price that the prior expects
between them: for every column in which they differ its squared prior mean and its prior
variance, and the noise that the sale's age adds (an old sale counts like a noisier one).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

KIND_VARIANCE = 2 * 0.35**2
TRAIT_VARIANCE = 0.20**2
GRADE_VARIANCE = 0.15**2 + 0.08**2
COUNT_VARIANCE = 0.90**2 + 0.15**2
NOISE_VARIANCE = 0.35**2
HALF_LIFE_DAYS = 3 * 365.25
FARTHEST = 0.5
"""Sales further off say too little about a find to be shown."""
SHOWN = 3


def distance(find: Mapping[str, Any], sale: Mapping[str, Any]) -> float:
    """How far off a sale is; 0 for one just like the find, sold today."""
    ours, theirs = set(find["traits"]), set(sale["traits"])
    far = 0.0 if find["kind"] == sale["kind"] else KIND_VARIANCE
    far += TRAIT_VARIANCE * len(ours ^ theirs)
    far += GRADE_VARIANCE * (find["grade"] - sale["grade"]) ** 2
    far += COUNT_VARIANCE * math.log(find["count"] / sale["count"]) ** 2
    return float(far + NOISE_VARIANCE * (2.0 ** (sale["ageDays"] / HALF_LIFE_DAYS) - 1.0))


def _reasons(find: Mapping[str, Any], sale: Mapping[str, Any]) -> dict[str, Any]:
    shared = [t for t in find["traits"] if t in sale["traits"]]
    return {
        "sameKind": find["kind"] == sale["kind"],
        "shared": shared,
        "lacks": [t for t in find["traits"] if t not in sale["traits"]],
        "adds": [t for t in sale["traits"] if t not in find["traits"]],
        "sameCount": find["count"] == sale["count"],
        "gradeStep": sale["grade"] - find["grade"],
        "ageDays": sale["ageDays"],
    }


def nearest_sales(
    find: Mapping[str, Any], sales: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """At most three of the sales, nearest first: ``{id, price, distance, reasons}``.

    ``find`` is ``{kind, traits, count, grade}``, a sale also has ``id``, ``price`` and
    ``ageDays``. Ties go to the younger sale, then to the smaller id.
    """
    scored = [(distance(find, s), s["ageDays"], s["id"], s) for s in sales]
    near = sorted((x for x in scored if x[0] <= FARTHEST), key=lambda x: x[:3])
    return [
        {"id": id_, "price": sale["price"], "distance": far, "reasons": _reasons(find, sale)}
        for far, _, id_, sale in near[:SHOWN]
    ]


def why(reasons: Mapping[str, Any], names: Mapping[str, str]) -> str:
    """The reasons in words: "same kind, also Oak; without Cane; 3 months ago".

    ``names`` gives traits their shown names.
    """

    def listed(slugs: Sequence[str]) -> str:
        return ", ".join(names.get(s, s) for s in slugs)

    parts = ["same kind" if reasons["sameKind"] else "another kind"]
    if reasons["shared"]:
        parts[0] += f", also {listed(reasons['shared'])}"
    if reasons["lacks"]:
        parts.append(f"without {listed(reasons['lacks'])}")
    if reasons["adds"]:
        parts.append(f"with {listed(reasons['adds'])}")
    if not reasons["sameCount"]:
        parts.append("another number of items")
    if reasons["gradeStep"]:
        parts.append("in better shape" if reasons["gradeStep"] > 0 else "in worse shape")
    return "; ".join([*parts, ago(reasons["ageDays"])])


def ago(days: float) -> str:
    """An age in words, to days, weeks, months or years."""
    for size, name in ((365.25, "year"), (30.4375, "month"), (7, "week"), (1, "day")):
        n = int(days // size)
        if n >= 1:
            return f"{n} {name}{'' if n == 1 else 's'} ago"
    return "today"
