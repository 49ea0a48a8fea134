"""Which of several finds to buy within one's cash, minutes and litres: exact up to 25 finds.

Branch and bound with a Lagrangian bound: each limit gets a price per unit, found by subgradient
steps, and what is left of a find's value after these prices bounds what can still be won. The
search starts from the better of two greedy choices mended by swaps, and never takes a find while
one that is at least as good in everything stays out. Of choices worth the same the one that takes
the least cash is meant.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crestrail.pricing.find import Problems

LIMITS = ("cash", "minutes", "litres")
MOST_FINDS = 25
STEPS = 150
SHRINK = 0.95
QUICK = 20_000
"""So many nodes are looked at where a person waits: some 20 ms on a slow phone."""
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
    """Prices per unit of each limit, by subgradient steps from their even start."""
    total = float(sum(task.worth))
    prices = [total / 2.0 / len(task.room)] * len(task.room)
    best, found, reach = math.inf, prices, total / 2.0
    shares = [[n / c if c else 0.0 for n, c in zip(x, task.room, strict=True)] for x in task.need]
    for _ in range(STEPS):
        slope, bound = [1.0] * len(prices), 0.0
        for p in prices:
            bound += p
        for worth, share in zip(task.worth, shares, strict=True):
            left = _less(worth, prices, share)
            if left > 0.0:
                bound += left
                slope = [g - s for g, s in zip(slope, share, strict=True)]
        if bound < best:
            best, found = bound, prices
        norm = 0.0
        for g in slope:
            norm += g * g
        if norm == 0.0:
            break
        size = reach / math.sqrt(norm)
        reach *= SHRINK
        prices = [max(0.0, p - size * g) for p, g in zip(prices, slope, strict=True)]
    return [p / c if c else 0.0 for p, c in zip(found, task.room, strict=True)]


def _less(worth: float, prices: Sequence[float], need: Sequence[float]) -> float:
    left = float(worth)
    for p, n in zip(prices, need, strict=True):
        left -= p * n
    return left


class _Search:
    """A depth-first search through the finds, the clearest first; sets of finds are bit masks."""

    def __init__(self, task: _Task, budget: int) -> None:
        self.prices, self.budget = _prices(task), budget
        reduced = [_less(w, self.prices, n) for w, n in zip(task.worth, task.need, strict=True)]
        self.order = sorted(range(len(reduced)), key=lambda i: (-abs(reduced[i]), i))
        self.worth = [task.worth[i] for i in self.order]
        self.need = [task.need[i] for i in self.order]
        self.reduced = [reduced[i] for i in self.order]
        self.rest = [0.0] * (len(reduced) + 1)
        for at in range(len(reduced) - 1, -1, -1):
            self.rest[at] = self.rest[at + 1] + max(0.0, self.reduced[at])
        self.slack = 1e-9 * sum(task.worth)
        self.above, self.under = self._ranks()
        self.best = self.chosen = 0
        for rank in (self.reduced, self.worth):
            self._start([i for _, i in sorted((-r, i) for i, r in enumerate(rank))], task.room)
        self._walk(0, 0, task.room, (0, 0))

    def _ranks(self) -> tuple[list[int], list[int]]:
        """For each find those at least as good in everything, and those it is as good as."""
        n = len(self.worth)
        above, under = [0] * n, [0] * n
        for a in range(n):
            for b in range(n):
                same = self.worth[a] == self.worth[b] and self.need[a] == self.need[b]
                good = self.worth[a] >= self.worth[b] and all(
                    x <= y for x, y in zip(self.need[a], self.need[b], strict=True)
                )
                if good and (not same or a < b):
                    above[b] |= 1 << a
                    under[a] |= 1 << b
        return above, under

    def _start(self, order: Sequence[int], room: Sequence[int]) -> None:
        """A greedy choice in this order, then swaps of one for one while they pay."""
        left, inside, total = list(room), 0, 0

        def fits(i: int, out: int) -> bool:
            freed = self.need[out] if out >= 0 else [0] * len(left)
            return all(n - f <= x for n, f, x in zip(self.need[i], freed, left, strict=True))

        def put(i: int, way: int) -> None:
            nonlocal left, inside, total
            left = [x - way * n for x, n in zip(left, self.need[i], strict=True)]
            inside ^= 1 << i
            total += way * self.worth[i]

        def fill() -> None:
            for i in order:
                if not inside >> i & 1 and fits(i, -1):
                    put(i, 1)

        def swap() -> bool:
            for out in range(len(order)):
                for i in range(len(order)):
                    apart = inside >> out & 1 and not inside >> i & 1
                    if apart and self.worth[i] > self.worth[out] and fits(i, out):
                        put(out, -1)
                        put(i, 1)
                        return True
            return False

        fill()
        while swap():
            fill()
        if total > self.best:
            self.best, self.chosen = total, inside

    def _walk(self, at: int, worth: int, room: Sequence[int], sides: tuple[int, int]) -> None:
        """Everything below one node, unless it cannot be better or the budget is spent."""
        inside, outside = sides
        if worth > self.best:
            self.best, self.chosen = worth, inside
        if at == len(self.worth) or self.budget <= 0:
            return
        bound = worth + self.rest[at]
        for p, r in zip(self.prices, room, strict=True):
            bound += p * r
        if bound + self.slack < self.best + 1:
            return
        self.budget -= 1
        left = [r - n for r, n in zip(room, self.need[at], strict=True)]
        first = self.reduced[at] > 0.0
        for take in (first, not first):
            if take and not self.above[at] & outside and min(left) >= 0:
                self._walk(at + 1, worth + self.worth[at], left, (inside | 1 << at, outside))
            elif not take and not self.under[at] & inside:
                self._walk(at + 1, worth, room, (inside, outside | 1 << at))


def choose(
    finds: Sequence[Mapping[str, int]], limits: Mapping[str, int], budget: int = QUICK
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
    search = _Search(_Task(worth, need, [limits[k] for k in names]), budget)
    chosen = (able[i] for at, i in enumerate(search.order) if search.chosen >> at & 1)
    return Choice(tuple(sorted(chosen)), search.budget > 0)


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
    finds: Any, limits: Any, problems: Problems
) -> tuple[list[dict[str, int]], dict[str, int]]:
    room = {}
    limits = limits if isinstance(limits, Mapping) else {}
    for k in LIMITS:
        value = problems.whole(limits.get(k), f"limits.{k}", (0, LARGEST))
        if value is not None:
            room[k] = value
    if not isinstance(finds, list | tuple):
        problems.add("finds", "wrong_type", expected="a list")
        return [], room
    read = []
    for i, given in enumerate(finds):
        find, one = given if isinstance(given, Mapping) else {}, {}
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


def answer_choice(finds: Any, limits: Any, budget: int = QUICK) -> dict[str, Any]:
    """``{ok, chosen: [index], value, used: {limit}, left: {limit}, out: [{find, why: [code]}],
    proven}`` for ``finds`` as ``{value, cash, minutes, litres}``; a limit left out does not bind.

    Input that makes no sense gives ``{ok: False, details: [{path, code, message}]}``.
    """
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
