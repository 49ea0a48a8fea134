"""The best falling price: one step after the other is bettered until none helps.

To try a price in one step, the steps before it need no second look: their value, and how far
buyers have come by then, are carried along (a ``Head``), and the shares of buyers who take each
price are computed once. The answer is the one that evaluating every whole plan gives.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.pricing.asking import Market, Plan, begun, evaluate, net, shares_at, weights
from crestrail.pricing.selling import unsold

Z80 = 0.8416212335729143
"""The 80% point of the standard normal distribution: no plan asks more than that price."""
OFFSETS = tuple(round(-0.80 + 0.02 * i, 2) for i in range(91))
"""Log distances from the likely price at which a price is tried."""
BETTER = 1e-9
"""A plan counts as better from this share of the likely price on."""
WEEK = 7.0
NEAR = 0.041
"""How far a step is moved at once, in logs, until only wider moves could help."""
FINER = 3
"""Into how many steps each step of a plan is cut, to see what fewer steps give up."""


@dataclass(slots=True)
class Head:
    """The steps before the one in question: their ``value``, and for every node of the piece's
    worth the ``exposure`` since it was listed and the chance ``left`` to stand."""

    value: float
    exposure: list[float]
    left: list[float]


@dataclass(slots=True)
class Ladder:
    """A plan while it is bettered: log offsets, days of each, how far one may move at once."""

    offsets: list[float]
    steps: Sequence[float]
    reach: float


class Board:
    """What does not change while plans of one market are compared."""

    def __init__(self, market: Market) -> None:
        self.market = market
        self.allowed = allowed(market)
        self.least = BETTER * math.exp(market.resale.mu)
        start = begun(market)
        self.weights = weights(market, start)
        self.start = Head(0.0, start, [unsold(market.rate, e) for e in start])
        self._rows: dict[float, list[float]] = {}
        self._nets: dict[float, float] = {}

    def row(self, offset: float) -> list[float]:
        """The shares of buyers who take the piece at an offset."""
        if offset not in self._rows:
            self._rows[offset] = shares_at(self.market, offset)
            self._nets[offset] = net(self.market, math.exp(self.market.resale.mu + offset))
        return self._rows[offset]

    def net(self, offset: float) -> float:
        """What a sale at an offset leaves."""
        self.row(offset)
        return self._nets[offset]

    def after(self, head: Head, offset: float, days: float) -> Head:
        """The head one step further."""
        rate, hold = self.market.rate, self.market.hold
        row, got = self.row(offset), self.net(offset)
        value, exposure, left = head.value, [], []
        for j, weight in enumerate(self.weights):
            e, before = head.exposure[j], head.left[j]
            now = e + row[j] * days
            then = unsold(rate, now)
            stood = dwelt(rate.a, (before, then), row[j] * days / (rate.b + e)) * days
            value += weight * (got * (before - then) - hold * stood)
            exposure.append(now)
            left.append(then)
        return Head(value, exposure, left)

    def worth(self, head: Head, offsets: Sequence[float], steps: Sequence[float]) -> float:
        """The value of a head followed by these steps."""
        market, rate = self.market, self.market.rate
        ladder = [(self.row(o), self.net(o), d) for o, d in zip(offsets, steps, strict=True)]
        value = head.value
        for j, weight in enumerate(self.weights):
            e, before, got = head.exposure[j], head.left[j], 0.0
            for row, price, days in ladder:
                gained = row[j] * days
                then = unsold(rate, e + gained)
                stood = dwelt(rate.a, (before, then), gained / (rate.b + e)) * days
                got += price * (before - then) - market.hold * stood
                e, before = e + gained, then
            value += weight * (got + market.salvage * before)
        return value


def dwelt(a: float, left: tuple[float, float], r: float) -> float:
    """The expected share of a step's days that the piece stands, from the chances to stand at
    its start and its end.

    ``r`` is the step's exposure per (b + exposure so far). As ``selling.dwell``, with the powers
    that are known already; a short series where they would cancel.
    """
    before, then = left
    if a * r < 1e-3:
        small = 1.0 - (a + 2.0) * r / 4.0 * (1.0 - (a + 3.0) * r / 5.0)
        return before * (1.0 - a * r / 2.0 * (1.0 - (a + 1.0) * r / 3.0 * small))
    return (before - (1.0 + r) * then) / ((a - 1.0) * r)


def allowed(market: Market) -> list[float]:
    """The offsets that may be asked: up to the price one such piece in five exceeds."""
    return [o for o in OFFSETS if o <= Z80 * market.resale.s + 1e-12]


def _constant(board: Board, horizon: float) -> float:
    best, most = OFFSETS[0], -math.inf
    for offset in board.allowed:
        value = board.worth(board.start, (offset,), (horizon,))
        if value > most + board.least:
            best, most = offset, value
    return best


def best_constant(board: Board, horizon: float) -> Plan:
    """The best single price for the whole ``horizon`` (days); of equals the lowest."""
    return evaluate(board.market, [_constant(board, horizon)], [horizon])


def _bettered(board: Board, head: Head, at: int, ladder: Ladder) -> float:
    """The best offset of one step within those of its neighbours and within ``reach`` of what
    it is, the others staying."""
    offsets, days = ladder.offsets, ladder.steps[at:]
    now, after = offsets[at], offsets[at + 1 :]
    top = min(now + ladder.reach, offsets[at - 1] if at > 0 else math.inf)
    bottom = max(now - ladder.reach, after[0] if after else -math.inf)
    best, most = now, board.worth(head, offsets[at:], days)
    for offset in board.allowed:
        if bottom <= offset <= top and offset != now:
            value = board.worth(head, [offset, *after], days)
            if value > most + board.least:
                best, most = offset, value
    return best


def _sweep(board: Board, ladder: Ladder) -> bool:
    """One step after the other bettered once; whether any moved."""
    before, head = list(ladder.offsets), board.start
    for at, days in enumerate(ladder.steps):
        ladder.offsets[at] = _bettered(board, head, at, ladder)
        head = board.after(head, ladder.offsets[at], days)
    return ladder.offsets != before


def _climb(board: Board, start: Sequence[float], steps: Sequence[float]) -> list[float]:
    offsets = list(start)
    while _sweep(board, Ladder(offsets, steps, math.inf)):
        while _sweep(board, Ladder(offsets, steps, NEAR)):
            pass
    return offsets


def climb(board: Board, start: Sequence[float], steps: Sequence[float]) -> Plan:
    """The plan reached from ``start`` by bettering one step after the other until none helps."""
    return evaluate(board.market, _climb(board, start, steps), steps)


def best_plan(board: Board, steps: Sequence[float]) -> Plan:
    """The best never rising plan of these steps (days) found from the best constant price."""
    return climb(board, [_constant(board, sum(steps))] * len(steps), steps)


def week_costs(board: Board, plan: Plan) -> float:
    """What it costs to list a week later with the last day unchanged: value lost and standing."""
    market, horizon = board.market, sum(plan.steps)
    if horizon <= WEEK:
        return plan.value - (market.salvage - market.hold * horizon)
    shorter = [(horizon - WEEK) / horizon * days for days in plan.steps]
    later = climb(board, plan.offsets, shorter)
    return plan.value - later.value + market.hold * WEEK


def finer(board: Board, plan: Plan) -> Plan:
    """The best plan of three times the steps, found from this one."""
    offsets = [o for o in plan.offsets for _ in range(FINER)]
    return climb(board, offsets, [d / FINER for d in plan.steps for _ in range(FINER)])
