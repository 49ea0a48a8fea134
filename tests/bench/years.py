"""Years of buying and selling in a hidden market, and rules to buy by.

Finds come along at weekends with an ask; whatever the person buys is worked on, listed under the
default drop plan around a price misjudged by some error, and bought by the first of a Poisson
stream of buyers who thinks it worth the price. What would happen to a find is drawn once, so all
rules meet the same year. Nobody haggles: who buys pays the ask.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from scipy.special import ndtr

from bench.worlds import AS_OF, Market, World, kind_index
from crestrail.pricing import defaults
from crestrail.pricing.fit_selling import OMEGA, PLAN
from crestrail.pricing.history import (
    Asked,
    History,
    Kind,
    Listing,
    Sale,
    Settings,
    StepOfWork,
    Stint,
    Thing,
)
from crestrail.pricing.selling import horizon_of

OUTINGS, OUTING_HOURS = 50, 3.0
FINDS = 10
"""Buying trips a year, hours of each, and finds on each that could be bought."""
WORK_DAYS = 14
TERMS = Settings()
STEPS = tuple(
    StepOfWork(slug, minutes, supplies, standing)
    for slug, _, _, minutes, supplies, standing, _ in defaults.STEPS
)
BENCH = tuple(s for s in STEPS if not s.standing)
STANDING = tuple(s for s in STEPS if s.standing)


@dataclass(frozen=True, slots=True)
class Habit:
    """How a person sells and how the market is: ``miss`` how far asks miss the going price (sd of
    the log), ``slow`` how much longer things take than the person thinks, ``plan`` the log offsets
    of the asks from the going price, a quarter of the time each."""

    name: str
    miss: float = 0.25
    slow: float = 1.0
    plan: tuple[float, ...] = PLAN


HABITS = (Habit("usual"), Habit("noisy asks", miss=0.50), Habit("slow market", slow=2.0))


@dataclass(frozen=True, slots=True)
class FindOf:
    """A find with everything that would come of it; money in minor units."""

    day: int
    thing: Thing
    found_grade: int
    steps: tuple[tuple[StepOfWork, int], ...]
    ask: int
    minutes: tuple[float, ...]
    asked: tuple[int, ...]
    step_days: float
    brought: float | None
    written: int | None
    days: float
    salvage: float
    worth: float

    @property
    def supplies(self) -> int:
        """What its supplies cost."""
        return sum(s.supplies_cost * units for s, units in self.steps)

    @property
    def hours(self) -> float:
        """The hours it takes."""
        return sum(self.minutes) / 60.0

    @property
    def listed(self) -> int:
        """The day it is listed."""
        return self.day + WORK_DAYS

    @property
    def cash(self) -> float:
        """What is left of what it brings, but for what was paid for it."""
        return (self.salvage if self.brought is None else self.brought) - self.supplies

    @property
    def clear(self) -> float:
        """What is left before one's own time when the ask was paid."""
        return self.cash - TERMS.hold_per_day * self.days - self.ask

    @property
    def profit(self) -> float:
        """What is left after one's own time."""
        return self.clear - TERMS.wage_per_hour * self.hours


class Year:
    """A hidden market with its finds, of ``years`` years; drawn from one seed."""

    def __init__(self, world: World, habit: Habit, seed: int, years: int) -> None:
        self.market, self.habit = Market(world, seed), habit
        rng = self.rng = np.random.default_rng([seed, 1])
        kinds = len(self.market.kinds)
        self.typical_days = rng.choice((14, 21, 30, 45), kinds)
        self.true_days = self.typical_days * habit.slow * np.exp(rng.normal(0, 0.3, kinds))
        self.knows = float(rng.choice((0.0, 0.5, 1.0)))
        self.pace = {s.slug: math.exp(rng.normal(0.1, 0.3)) for s in STEPS}
        self.kinds = tuple(
            Kind(k.slug, k.typical_price, k.sureness, int(d))
            for k, d in zip(self.market.kinds, self.typical_days, strict=True)
        )
        days = [7 * w + 365 * y for y in range(years) for w in range(OUTINGS)]
        self.finds = [self._find(day) for day in days for _ in range(FINDS)]

    def _steps(self) -> tuple[tuple[StepOfWork, int], ...]:
        rng = self.rng
        picked = rng.choice(len(BENCH), int(rng.choice((0, 1, 2, 3), p=(0.1, 0.4, 0.35, 0.15))),
                            replace=False)  # fmt: skip
        return tuple((BENCH[i], int(rng.choice((1, 1, 1, 2, 4)))) for i in picked)

    def _minutes(self, steps: tuple[tuple[StepOfWork, int], ...], grade: int) -> list[float]:
        rng, hard = self.rng, self.rng.normal(0.0, 0.22)
        every = (*steps, *((s, 1) for s in STANDING))
        return [
            (s.typical_minutes or 1) * units**0.95 * self.pace[s.slug]
            * math.exp(hard + rng.normal(0.0, 0.36) - 0.08 * (grade - 3))
            for s, units in every
        ]  # fmt: skip

    def _ask(self, thing: Thing, worth: float, usual: float) -> int:
        """About a third of what the seller thinks a shop would take, with large differences."""
        believed = usual + self.knows * (worth - usual) + self.rng.normal(0.0, 0.25)
        ask = math.exp(believed + math.log(0.36) + self.rng.normal(0.0, 0.5))
        return max(100, round(ask / 100) * 100)

    def _find(self, day: int) -> FindOf:
        rng, market = self.rng, self.market
        thing = market.thing()
        kind = kind_index(thing)
        middle = market.middle(thing, -float(day))
        worth = middle + market.noise(thing)
        usual = middle - 0.5 * market.looks_worth(thing)
        steps = self._steps()
        grade = int(rng.choice((1, 2, 3, 4), p=(0.1, 0.3, 0.4, 0.2)))
        step = horizon_of(float(self.typical_days[kind]), 90.0) / len(PLAN)
        missed = rng.normal(0.0, self.habit.miss)
        price, days = self._sells(worth, missed, step, 2.0 / self.true_days[kind])
        written = None if price is None else max(100, round(price * self._slip()))
        return FindOf(
            day, thing, grade, steps, self._ask(thing, worth, usual),
            tuple(self._minutes(steps, grade)),
            tuple(round(math.exp(worth + missed + o + 0.05)) for o in self.habit.plan),
            step, price, written, days,
            TERMS.salvage_ppm / 1e6 * math.exp(worth + rng.normal(0.0, 0.2)),
            worth,
        )  # fmt: skip

    def _slip(self) -> float:
        rng = self.rng
        if rng.random() >= self.market.world.slips:
            return 1.0
        return float(rng.choice((0.1, 10.0)))

    def _sells(
        self, worth: float, missed: float, step: float, rate: float
    ) -> tuple[float | None, float]:
        """What it brings (None: nothing in time) and the days until then."""
        left = self.rng.exponential(1.0 / rate)
        for i, offset in enumerate(self.habit.plan):
            share = float(ndtr(-(missed + offset) / OMEGA))
            if left < share * step:
                return math.exp(worth + missed + offset), i * step + left / share
            left -= share * step
        return None, step * len(PLAN)


def on(day: float) -> date:
    """The calendar day of a day of the simulation."""
    return AS_OF + timedelta(days=math.floor(day))


def _listing(find: FindOf, day: int) -> Listing | None:
    if find.listed >= day:
        return None
    end = find.listed + find.days
    over = end < day
    last = min(end, float(day - 1))
    starts = [find.listed + i * find.step_days for i in range(len(PLAN))]
    asked = tuple(
        Asked(amount, on(start))
        for amount, start in zip(find.asked, starts, strict=True)
        if start <= last
    )
    return Listing(find.thing, asked, on(end) if over else None, find.written if over else None)


def history_on(year: Year, bought: list[FindOf], day: int) -> History:
    """What the person who bought these finds knows on a day."""
    sales, stints = [], []
    for f in bought:
        if f.written is not None and f.listed + f.days < day:
            sales.append(Sale(f.thing, f.written, on(f.listed + f.days)))
        if f.listed < day:
            every = (*f.steps, *((s, 1) for s in STANDING))
            stints += [
                Stint(s.slug, m, on(f.listed), units, f.found_grade)
                for (s, units), m in zip(every, f.minutes, strict=True)
            ]
    listings = [x for x in (_listing(f, day) for f in bought) if x is not None]
    return History(
        year.kinds, year.market.traits, STEPS, tuple(sales), tuple(listings), tuple(stints)
    )


def as_find(find: FindOf) -> dict[str, object]:
    """The find as the pad gets it."""
    return {
        "kind": find.thing.kind,
        "traits": list(find.thing.traits),
        "count": find.thing.count,
        "found_grade": find.found_grade,
        "finished_grade": find.thing.grade,
        "steps": [{"step": s.slug, "units": units} for s, units in find.steps],
        "ask": find.ask,
    }
