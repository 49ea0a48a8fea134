"""Hidden markets to try the numbers on: all invented, each drawn from its seed.

A market has kinds, free traits that move prices, people who misjudge typical prices, and noise.
The worlds differ in what they do to a person who learns from their own sales. Nothing here is
data of anybody; the sizes of effects are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from crestrail.pricing.history import History, Kind, Sale, Thing, Trait

AS_OF = date(2026, 5, 1)
YEAR = 365.25
SPAN_DAYS = 1100
"""Own sales lie evenly over the last three years."""
GROUPS = {"material": 9, "feature": 8, "style": 4, "colour": 3, "maker": 2}
CHANCE = {"material": 0.75, "feature": 0.55, "style": 0.45, "colour": 0.4, "maker": 0.12}
"""Traits in each group, and how often a piece shows one of the group."""
SECOND, TWICE = 0.35, ("material", "feature")
"""How often it shows a second one, and of which groups."""
COUNTS, COUNT_SHARES = (1, 2, 4, 6), (0.82, 0.09, 0.06, 0.03)
GRADES, GRADE_SHARES = (2, 3, 4, 5), (0.08, 0.25, 0.47, 0.20)


@dataclass(frozen=True, slots=True)
class World:
    """What makes a family of markets: standard deviations of logs, shares and degrees of
    freedom. ``typical_sd`` is how far the person's typical price of a kind is off, ``typical_bias``
    how far all of them together; ``kind_noise`` how much the noise differs between kinds."""

    name: str
    noise: float = 0.30
    tails: float | None = None
    slips: float = 0.0
    interaction: float = 0.0
    drift: float = 0.0
    typical_sd: float = 0.25
    typical_bias: float = 0.10
    trait_sd: float = 0.18
    sparse: float = 0.0
    kind_noise: float = 0.0
    season: float = 0.0


WORLDS = (
    World("additive"),
    World("interactions, heavy tails, slips", 0.25, tails=4.0, slips=0.02, interaction=0.15),
    World("drifting", drift=0.10),
    World("typical prices badly wrong", typical_sd=0.60, typical_bias=0.35),
    World("few strong traits", trait_sd=0.40, sparse=0.75),
    World("noise by kind", kind_noise=0.45),
    World("seasons", season=0.15),
)


@dataclass(frozen=True, slots=True)
class Truth:
    """The hidden numbers of one market, kinds by index; slopes are per year."""

    level: np.ndarray
    share: np.ndarray
    noise: np.ndarray
    trait: np.ndarray
    likes: np.ndarray
    both: np.ndarray
    slope: np.ndarray
    phase: float
    grade: float
    count: float


def kind_index(thing: Thing) -> int:
    """The number of a piece's kind in its market."""
    return int((thing.kind or "").split("-")[1])


class Market:
    """One market of a world; ``rng`` draws its pieces, so a seed gives everything."""

    def __init__(self, world: World, seed: int, kinds: int = 12) -> None:
        self.world = world
        self.rng = np.random.default_rng(seed)
        self.traits = tuple(
            Trait(f"{group}-{i}", group) for group, many in GROUPS.items() for i in range(many)
        )
        self._index = {trait.slug: i for i, trait in enumerate(self.traits)}
        self.truth = self._truth(kinds)
        self.kinds = self._kinds()

    def _truth(self, kinds: int) -> Truth:
        rng, w, many = self.rng, self.world, len(self.traits)
        popular = rng.dirichlet(np.full(kinds, 1.2))
        effect = rng.normal(0.04, w.trait_sd, many) * (rng.random(many) >= w.sparse)
        likes = np.concatenate([rng.dirichlet(np.full(n, 1.5)) for n in GROUPS.values()])
        slope = rng.normal(0.0, w.drift) + rng.normal(0.0, w.drift / 2.0, kinds)
        return Truth(
            level=rng.normal(math.log(11000), 0.65, kinds),
            share=popular,
            noise=w.noise * np.exp(rng.normal(0.0, w.kind_noise, kinds)),
            trait=effect,
            likes=likes,
            both=rng.normal(0.0, w.interaction, (kinds, many)),
            slope=slope,
            phase=rng.uniform(0.0, 2.0 * math.pi),
            grade=rng.normal(0.15, 0.05),
            count=rng.normal(0.9, 0.08),
        )

    def _kinds(self) -> tuple[Kind, ...]:
        """The person's idea of each kind: of its usual piece, finished good, off by their error."""
        rng, w = self.rng, self.world
        bias = rng.normal(0.0, w.typical_bias)
        found = []
        for k, level in enumerate(self.truth.level):
            typical = math.exp(level + self._usual_worth(k) + bias + rng.normal(0.0, w.typical_sd))
            rounded = max(500, round(typical / 500) * 500)
            found.append(Kind(f"kind-{k}", rounded, "fair", 21))
        return tuple(found)

    def _traits(self) -> tuple[int, ...]:
        rng, start, found = self.rng, 0, []
        for group, many in GROUPS.items():
            if rng.random() < CHANCE[group]:
                twice = group in TWICE and rng.random() < SECOND
                likes = self.truth.likes[start : start + many]
                picked = rng.choice(many, 2 if twice else 1, replace=False, p=likes)
                found += [start + int(i) for i in picked]
            start += many
        return tuple(found)

    def _usual_worth(self, kind: int) -> float:
        """What the traits of a piece of a kind add on average (a second one as a first)."""
        often = np.concatenate(
            [np.full(many, CHANCE[g] * (1.0 + SECOND * (g in TWICE))) for g, many in GROUPS.items()]
        )
        return float(often * self.truth.likes @ (self.truth.trait + self.truth.both[kind]))

    def _traits_worth(self, kind: int, traits: Iterable[int]) -> float:
        t = self.truth
        return float(sum(t.trait[i] + t.both[kind, i] for i in traits))

    def looks_worth(self, thing: Thing) -> float:
        """What its traits add to a piece, in logs."""
        return self._traits_worth(kind_index(thing), (self._index[s] for s in thing.traits))

    def middle(self, thing: Thing, age: float) -> float:
        """The log of what such a thing brought, in the middle, ``age`` days ago."""
        t, kind = self.truth, kind_index(thing)
        worth = t.level[kind] + self.looks_worth(thing)
        worth += t.grade * ((thing.grade or 4) - 4) + t.count * math.log(thing.count)
        worth -= t.slope[kind] * age / YEAR
        angle = 2.0 * math.pi * ((AS_OF.timetuple().tm_yday - age) / YEAR) + t.phase
        return float(worth + self.world.season * math.sin(angle))

    def thing(self) -> Thing:
        """A piece as it comes along."""
        rng = self.rng
        kind = int(rng.choice(len(self.truth.share), p=self.truth.share))
        slugs = tuple(self.traits[i].slug for i in self._traits())
        count = int(rng.choice(COUNTS, p=COUNT_SHARES))
        return Thing(f"kind-{kind}", slugs, count, int(rng.choice(GRADES, p=GRADE_SHARES)))

    def noise(self, thing: Thing) -> float:
        """How far one piece strays from the middle, in logs."""
        rng, w = self.rng, self.world
        drawn = rng.standard_normal() if w.tails is None else rng.standard_t(w.tails)
        return float(self.truth.noise[kind_index(thing)] * drawn)

    def sale(self, age: int) -> Sale:
        """One own sale so many days ago, now and then mistyped by a nought."""
        thing = self.thing()
        price = math.exp(self.middle(thing, age) + self.noise(thing))
        if self.rng.random() < self.world.slips:
            price *= 10.0 if self.rng.random() < 0.5 else 0.1
        return Sale(thing, max(100, round(price)), AS_OF - timedelta(days=age))

    def past(self, n: int) -> History:
        """A person who sold ``n`` pieces, the oldest first."""
        ages = sorted((int(a) for a in self.rng.integers(1, SPAN_DAYS, n)), reverse=True)
        return History(
            kinds=self.kinds, traits=self.traits, sales=tuple(self.sale(age) for age in ages)
        )

    def new(self, n: int) -> list[tuple[Thing, float]]:
        """Pieces sold today, as they truly are, with the log of what they bring."""
        things = [self.thing() for _ in range(n)]
        return [(x, self.middle(x, 0.0) + self.noise(x)) for x in things]
