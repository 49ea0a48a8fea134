"""A find as the pad gets it: checked, with every problem named at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from crestrail.basis.errors import Detail, detail

MONEY_LIMIT = 10**11
WIDEST_RANGE = 50
"""Typed low and high further apart than this ratio say nothing about a price."""

USUAL_FINISHED_GRADE = 4
USUAL_FOUND_GRADE = 3


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """A step chosen for a find; ``minutes`` is what the person expects of one the book lacks."""

    step: str
    units: int
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class Typed:
    """What the person typed over the book: resale (minor units), bench minutes, supplies."""

    likely: int | None = None
    low: int | None = None
    high: int | None = None
    minutes: int | None = None
    supplies: int | None = None


@dataclass(frozen=True, slots=True)
class Find:
    """A find to be priced; ``kind_price`` and ``kind_days`` serve a kind newer than the book."""

    kind: str | None
    traits: tuple[str, ...]
    count: int
    found_grade: int
    finished_grade: int
    steps: tuple[PlannedStep, ...]
    typed: Typed
    ask: int | None
    pickup: int
    kind_price: int | None
    kind_days: int | None


@dataclass(slots=True)
class Problems:
    """What is wrong with an input, each as ``{path, code, message}``."""

    details: list[Detail] = field(default_factory=list)

    def add(self, path: str, code: str, **values: Any) -> None:
        """Note one problem, by its code in the table of errors."""
        self.details.append(detail(path, code, **values))

    def whole(self, value: Any, path: str, limits: tuple[int, int]) -> int | None:
        """A whole number within ``limits``; None when absent, and None noted when wrong."""
        if value is None or value == "":
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or value % 1 != 0:
            self.add(path, "wrong_type", expected="a whole number")
            return None
        low, high = limits
        if value < low:
            self.add(path, "too_small", min=low)
            return None
        if value > high:
            self.add(path, "too_big", max=high)
            return None
        return int(value)


def _part(data: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    value = data.get(name)
    return value if isinstance(value, Mapping) else {}


def _list(value: Any) -> list[Any]:
    return list(value) if isinstance(value, list | tuple) else []


def _steps(data: Mapping[str, Any], count: int, problems: Problems) -> tuple[PlannedStep, ...]:
    steps = []
    for i, entry in enumerate(_list(data.get("steps"))):
        step = entry.get("step") if isinstance(entry, Mapping) else None
        if not isinstance(step, str):
            problems.add(f"steps.{i}.step", "required")
            continue
        units = problems.whole(entry.get("units"), f"steps.{i}.units", (1, 1000))
        minutes = problems.whole(entry.get("minutes"), f"steps.{i}.minutes", (0, 100_000))
        steps.append(PlannedStep(step, count if units is None else units, minutes))
    return tuple(steps)


def _typed(data: Mapping[str, Any], problems: Problems) -> Typed:
    part = _part(data, "typed")

    def money(name: str, least: int) -> int | None:
        return problems.whole(part.get(name), f"typed.{name}", (least, MONEY_LIMIT))

    likely, low, high = money("likely", 1), money("low", 1), money("high", 1)
    pairs = ((low, likely, "low"), (likely, high, "high"), (low, high, "high"))
    for less, more, name in pairs:
        if less is not None and more is not None and less > more:
            problems.add(f"typed.{name}", "conflict", reason="low, likely, high have to rise")
            break
        if less is not None and more is not None and more > less * WIDEST_RANGE:
            problems.add(f"typed.{name}", "conflict", reason="the figures are too far apart")
            break
    minutes = problems.whole(part.get("minutes"), "typed.minutes", (0, 100_000))
    return Typed(likely, low, high, minutes, money("supplies", 0))


def _or(value: int | None, usual: int) -> int:
    return usual if value is None else value


def read_find(data: Mapping[str, Any], problems: Problems) -> Find:
    """The find in ``data``, what is left out at its usual value; problems are noted."""
    kind = data.get("kind")
    count = _or(problems.whole(data.get("count"), "count", (1, 500)), 1)
    found = problems.whole(data.get("found_grade"), "found_grade", (1, 5))
    finished = problems.whole(data.get("finished_grade"), "finished_grade", (1, 5))
    typical, costs = _part(data, "kind_typical"), _part(data, "costs")
    pickup = problems.whole(costs.get("pickup"), "costs.pickup", (0, MONEY_LIMIT))
    return Find(
        kind=kind if isinstance(kind, str) and kind != "" else None,
        traits=tuple(dict.fromkeys(t for t in _list(data.get("traits")) if isinstance(t, str))),
        count=count,
        found_grade=_or(found, USUAL_FOUND_GRADE),
        finished_grade=_or(finished, USUAL_FINISHED_GRADE),
        steps=_steps(data, count, problems),
        typed=_typed(data, problems),
        ask=problems.whole(data.get("ask"), "ask", (0, MONEY_LIMIT)),
        pickup=_or(pickup, 0),
        kind_price=problems.whole(typical.get("price"), "kind_typical.price", (1, MONEY_LIMIT)),
        kind_days=problems.whole(typical.get("days"), "kind_typical.days", (1, 1000)),
    )
