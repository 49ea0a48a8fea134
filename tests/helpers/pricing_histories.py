"""Invented pasts for tests of pricing: a hidden market, and a person who sells in it.

Prices, minutes and days come from known true values with noise, so that a test can ask whether
the book finds them. Nothing here is data of anybody.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import date, timedelta

from crestrail.pricing.history import (
    Asked,
    History,
    Kind,
    Listing,
    Sale,
    SeenElsewhere,
    StepOfWork,
    Stint,
    Thing,
    Trait,
)

AS_OF = date(2026, 5, 1)

KINDS = (
    Kind("side-chair", 4500, "guess", 21),
    Kind("dresser", 24000, "fair", 30),
    Kind("desk", 14000, "sure", 14),
    Kind("mirror", 7500, "fair", 60),
    Kind("stool", 3000, "fair", 5),
    Kind("odd-thing", None, "guess", None),
)
TRUE_FACTOR = {"side-chair": 1.3, "dresser": 0.9, "desk": 1.0, "mirror": 1.15, "stool": 0.8}
TRAITS = (
    Trait("oak", "material"),
    Trait("cane", "feature"),
    Trait("mid-century", "style"),
    Trait("white", "colour"),
    Trait("makers-label", "maker"),
)
TRUE_TRAIT = {"oak": 0.15, "cane": 0.2, "mid-century": 0.3, "white": -0.05, "makers-label": 0.25}
STEPS = (
    StepOfWork("photograph", 15, 0, True),
    StepOfWork("list", 15, 0, True),
    StepOfWork("answer", 20, 0, True),
    StepOfWork("hand-over", 20, 100, True),
    StepOfWork("deep-clean", 30, 200),
    StepOfWork("gel-stain", 40, 500),
    StepOfWork("tighten", 12, 50),
    StepOfWork("look-over", 0, 0),
)
GOLD_LEAF = StepOfWork("gold-leaf", 10, 10**11)
"""As dear as anything can be typed."""
FRESH = History(kinds=KINDS, traits=TRAITS, steps=STEPS)
"""A household on its first day: expectations only."""


def free_of_supplies(steps: tuple[StepOfWork, ...]) -> tuple[StepOfWork, ...]:
    """The same steps for nothing."""
    return tuple(replace(step, supplies_cost=0) for step in steps)


def _thing(rng: random.Random) -> Thing:
    kind = rng.choice(list(TRUE_FACTOR))
    traits = tuple(t.slug for t in TRAITS if rng.random() < 0.3)
    return Thing(kind, traits, rng.choice((1, 1, 1, 2, 4)), rng.choice((None, 3, 4, 4, 5)))


def true_log_price(thing: Thing) -> float:
    """What such a thing brings in the middle, in logs of minor units."""
    typical = {k.slug: k.typical_price or 1 for k in KINDS}[thing.kind or ""]
    worth = math.log(typical * TRUE_FACTOR[thing.kind or ""])
    worth += sum(TRUE_TRAIT[t] for t in thing.traits) + 0.9 * math.log(thing.count)
    return worth + 0.15 * ((thing.grade or 4) - 4)


def _sold(rng: random.Random) -> tuple[Sale, Listing]:
    thing = _thing(rng)
    on = AS_OF - timedelta(days=rng.randrange(2, 900))
    price = max(100, round(math.exp(true_log_price(thing) + rng.gauss(0, 0.3))))
    first = on - timedelta(days=rng.randrange(1, 80))
    asked = (Asked(round(price * 1.25), first), Asked(round(price * 1.06), on))
    return Sale(thing, price, on), Listing(thing, asked, on, price)


def _unsold(rng: random.Random) -> Listing:
    thing = _thing(rng)
    ask = max(100, round(math.exp(true_log_price(thing)) * 1.3))
    first = AS_OF - timedelta(days=rng.randrange(5, 200))
    taken_down = AS_OF - timedelta(days=3) if rng.random() < 0.3 else None
    return Listing(thing, (Asked(ask, first),), taken_down)


def _stint(rng: random.Random) -> Stint:
    step = rng.choice([s for s in STEPS if s.typical_minutes])
    units = rng.choice((1, 1, 2, 4))
    minutes = (step.typical_minutes or 1) * 1.2 * units**0.9 * math.exp(rng.gauss(0, 0.4))
    on = AS_OF - timedelta(days=rng.randrange(1, 600))
    return Stint(step.slug, minutes, on, units, rng.choice((None, 1, 2, 3, 4)))


def _seen(rng: random.Random) -> SeenElsewhere:
    thing, sold = _thing(rng), rng.random() < 0.5
    amount = round(math.exp(true_log_price(thing) + rng.gauss(0, 0.4)))
    return SeenElsewhere(thing, amount, sold, AS_OF - timedelta(days=rng.randrange(1, 300)))


def past(seed: int, sales: int) -> History:
    """A past of so many sales, with unsold stock, stints and things seen in proportion."""
    rng = random.Random(seed)
    pairs = [_sold(rng) for _ in range(sales)]
    return History(
        kinds=KINDS,
        traits=TRAITS,
        steps=STEPS,
        sales=tuple(sale for sale, _ in pairs),
        listings=(*(x for _, x in pairs), *(_unsold(rng) for _ in range(sales // 4))),
        stints=tuple(_stint(rng) for _ in range(2 * sales)),
        seen=tuple(_seen(rng) for _ in range(sales // 3)),
    )


def quicker(history: History) -> History:
    """The same past of somebody who needs a third of the minutes."""
    return replace(history, stints=tuple(replace(x, minutes=x.minutes / 3) for x in history.stints))


def unsold_only(seed: int, pieces: int) -> History:
    """Somebody who has sold nothing yet: stock that stands, and things seen elsewhere."""
    rng = random.Random(seed)
    listings = tuple(_unsold(rng) for _ in range(pieces))
    return replace(FRESH, listings=listings, seen=tuple(_seen(rng) for _ in range(pieces // 2)))


def large_past(sold: int) -> History:
    """60 kinds, 35 traits, 40 steps and so many sales of them, with listings and stints."""
    base = past(1, sold)
    kinds = tuple(Kind(f"a-kind-of-furniture-{i}", 9000 + 100 * i, "fair", 21) for i in range(60))
    traits = tuple(Trait(f"some-trait-{i}", "feature") for i in range(35))
    steps = tuple(StepOfWork(f"some-step-{i}", 20, 100) for i in range(40))

    def thing(i: int) -> Thing:
        return Thing(kinds[i % 60].slug, (traits[i % 35].slug, traits[i % 11].slug), 1, 4)

    return History(
        kinds,
        traits,
        steps,
        sales=tuple(replace(x, thing=thing(i)) for i, x in enumerate(base.sales)),
        listings=tuple(replace(x, thing=thing(i)) for i, x in enumerate(base.listings)),
        stints=tuple(replace(x, step=steps[i % 40].slug) for i, x in enumerate(base.stints)),
    )
