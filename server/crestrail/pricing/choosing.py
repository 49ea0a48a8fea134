"""Which of several finds to buy within one's cash, minutes and litres: exact up to 25 finds.

Branch and bound with a Lagrangian bound: each limit gets a price per unit, found by subgradient
steps, and what is left of a find's value after these prices bounds what can still be won. Of
choices worth the same the one that takes the least cash is meant.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.pricing.find import Problems

LIMITS = ("cash", "minutes", "litres")
MOST_FINDS = 25
STEPS = 400
BUDGET = 200_000
SAFE = 2**53
LARGEST = 10**9


@dataclass(frozen=True, slots=True)
class Choice:
    """Indices to buy, in rising order, and whether nothing better is possible for sure."""

    chosen: tuple[int, ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class _Task:
    worth: list[int]
    need: list[list[int]]
    room: list[int]


def _prices(task: _Task) -> list[float]:
    """Prices per share of each limit, by subgradient steps from their even start."""
    total = float(sum(task.worth))
    prices = [total / 2.0 / len(task.room)] * len(task.room)
    best, found = math.inf, prices
    shares = [[n / c if c else 0.0 for n, c in zip(x, task.room, strict=True)] for x in task.need]
    for t in range(STEPS):
        slope, bound = [1.0] * len(prices), sum(prices)
        for worth, share in zip(task.worth, shares, strict=True):
            left = worth - sum(p * s for p, s in zip(prices, share, strict=True))
            if left > 0.0:
                bound += left
                slope = [g - s for g, s in zip(slope, share, strict=True)]
        if bound < best:
            best, found = bound, prices
        norm = math.sqrt(sum(g * g for g in slope))
        if norm == 0.0:
            break
        size = total / 2.0 * 0.98**t / norm
        prices = [max(0.0, p - size * g) for p, g in zip(prices, slope, strict=True)]
    return found


class _Search:
    """A depth-first search through the finds, the clearest first."""

    def __init__(self, task: _Task, budget: int) -> None:
        self.task, self.budget = task, budget
        self.prices = [p / c if c else 0.0 for p, c in zip(_prices(task), task.room, strict=True)]
        reduced = [
            w - sum(p * n for p, n in zip(self.prices, need, strict=True))
            for w, need in zip(task.worth, task.need, strict=True)
        ]
        self.order = sorted(range(len(reduced)), key=lambda i: (-abs(reduced[i]), i))
        self.reduced = reduced
        self.rest = [0.0] * (len(reduced) + 1)
        for at in range(len(reduced) - 1, -1, -1):
            self.rest[at] = self.rest[at + 1] + max(0.0, reduced[self.order[at]])
        self.slack = 1e-9 * sum(task.worth)
        self.best = 0
        self.chosen: tuple[int, ...] = ()
        self.taken: list[int] = []

    def walk(self, at: int, worth: int, room: list[int]) -> None:
        """Everything below one node, unless it cannot be better or the budget is spent."""
        if worth > self.best:
            self.best, self.chosen = worth, tuple(sorted(self.taken))
        bound = worth + sum(p * r for p, r in zip(self.prices, room, strict=True)) + self.rest[at]
        if at == len(self.order) or bound + self.slack < self.best + 1 or self.budget <= 0:
            return
        self.budget -= 1
        i = self.order[at]
        left = [r - n for r, n in zip(room, self.task.need[i], strict=True)]
        for take in (self.reduced[i] > 0.0, self.reduced[i] <= 0.0):
            if not take:
                self.walk(at + 1, worth, room)
            elif min(left) >= 0:
                self.taken.append(i)
                self.walk(at + 1, worth + self.task.worth[i], left)
                self.taken.pop()


def choose(
    finds: Sequence[Mapping[str, int]], limits: Mapping[str, int], budget: int = BUDGET
) -> Choice:
    """The choice of most value, ``finds`` as ``{value, cash, minutes, litres}``."""
    names = [k for k in LIMITS if k in limits]
    able = [
        i for i, f in enumerate(finds) if f["value"] > 0 and all(f[k] <= limits[k] for k in names)
    ]
    if not names or not able:
        return Choice(tuple(able), proven=True)
    scale = 1 + sum(finds[i]["cash"] for i in able)
    worth = [finds[i]["value"] * scale - finds[i]["cash"] for i in able]
    need = [[finds[i][k] for k in names] for i in able]
    room = [limits[k] for k in names]
    search = _Search(_Task(worth, need, room), budget)
    search.walk(0, 0, room)
    return Choice(tuple(able[i] for i in search.chosen), search.budget > 0)


def why_left(
    find: Mapping[str, int], limits: Mapping[str, int], left: Mapping[str, int]
) -> list[str]:
    """Why a find is left out: ``not_worth``, ``alone:LIMIT`` where it does not fit even alone,
    else ``LIMIT`` for each one that the chosen finds leave too little of."""
    if find["value"] <= 0:
        return ["not_worth"]
    alone = [f"alone:{k}" for k in LIMITS if k in limits and find[k] > limits[k]]
    return alone or [k for k in LIMITS if k in limits and find[k] > left[k]]


def _read(
    finds: Sequence[Mapping[str, Any]], limits: Mapping[str, Any], problems: Problems
) -> tuple[list[dict[str, int]], dict[str, int]]:
    room = {}
    for k in LIMITS:
        value = problems.whole(limits.get(k), f"limits.{k}", (0, LARGEST))
        if value is not None:
            room[k] = value
    read = []
    for i, find in enumerate(finds):
        one = {}
        for k in ("value", *LIMITS):
            low = -LARGEST if k == "value" else 0
            value = problems.whole(find.get(k), f"finds.{i}.{k}", (low, LARGEST))
            if value is None and (k == "value" or k in room) and find.get(k) in (None, ""):
                problems.add(f"finds.{i}.{k}", "required")
            one[k] = value or 0
        read.append(one)
    if len(read) > MOST_FINDS:
        problems.add("finds", "too_big", max=MOST_FINDS)
    good = [f for f in read if f["value"] > 0]
    if sum(f["value"] for f in good) * (1 + sum(f["cash"] for f in good)) >= SAFE:
        problems.add("finds", "too_big", max=LARGEST)
    return read, room


def answer_choice(
    finds: Sequence[Mapping[str, Any]], limits: Mapping[str, Any], budget: int = BUDGET
) -> dict[str, Any]:
    """``{ok, chosen: [index], value, used: {limit}, left: {limit}, out: [{find, why: [code]}],
    proven}``; a limit left out of ``limits`` does not bind."""
    problems = Problems()
    read, room = _read(finds, limits, problems)
    if problems.details:
        return {"ok": False, "details": problems.details}
    choice = choose(read, room, budget)
    used = {k: sum(read[i][k] for i in choice.chosen) for k in LIMITS}
    left = {k: room[k] - used[k] for k in room}
    out = [
        {"find": i, "why": why_left(f, room, left)}
        for i, f in enumerate(read)
        if i not in choice.chosen
    ]
    return {
        "ok": True,
        "chosen": list(choice.chosen),
        "value": sum(read[i]["value"] for i in choice.chosen),
        "used": used,
        "left": left,
        "out": out,
        "proven": choice.proven,
    }
