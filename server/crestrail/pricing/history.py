"""What the book is made from: one's own past, as plain facts, and one's own expectations.

Whoever builds these from records leaves out what was deleted, divided away or returned. All
money is whole minor units, all days are the household's own calendar days.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any


@dataclass(frozen=True, slots=True)
class Thing:
    """What a price depends on. ``kind`` and ``grade`` (finished, 1 to 5) may be unknown."""

    kind: str | None
    traits: tuple[str, ...] = ()
    count: int = 1
    grade: int | None = None


@dataclass(frozen=True, slots=True)
class Sale:
    """A piece sold for ``price`` in all on a day; ``id`` and ``title`` to name it as evidence."""

    thing: Thing
    price: int
    on: date
    id: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a piece was listed at from a day on."""

    amount: int
    on: date


@dataclass(frozen=True, slots=True)
class Listing:
    """A piece that was offered: its asking prices in order of days, and how it ended.

    ``sold_price`` is None unless it sold; ``ended_on`` is the day it sold or was taken down,
    None while it is still offered.
    """

    thing: Thing
    asked: tuple[Asked, ...]
    ended_on: date | None = None
    sold_price: int | None = None


@dataclass(frozen=True, slots=True)
class Stint:
    """Minutes that ``units`` of a step took on one piece, found in that grade."""

    step: str
    minutes: float
    on: date
    units: int = 1
    found_grade: int | None = None


@dataclass(frozen=True, slots=True)
class SeenElsewhere:
    """What a similar piece is asked, or was said to have brought (``sold``), elsewhere."""

    thing: Thing
    amount: int
    sold: bool
    on: date


@dataclass(frozen=True, slots=True)
class Used:
    """What supplies a finished piece used up in money, and its steps with their units."""

    cost: int
    steps: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """A return to a find: the hours its sale was open since it was seen, and how it went."""

    open_hours: float
    found: bool
    past_closing: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind with what the person expects of one such piece, finished as usual."""

    slug: str
    typical_price: int | None = None
    sureness: str = "fair"
    typical_days: int | None = None


@dataclass(frozen=True, slots=True)
class Trait:
    """Something that may move a price, in one of the groups of the schema."""

    slug: str
    group: str


@dataclass(frozen=True, slots=True)
class StepOfWork:
    """A step with its usual minutes and supplies per unit; ``standing`` ones are in every plan."""

    slug: str
    typical_minutes: int | None = None
    supplies_cost: int = 0
    standing: bool = False


@dataclass(frozen=True, slots=True)
class History:
    """Everything known: the past and the vocabulary with the person's expectations."""

    kinds: tuple[Kind, ...] = ()
    traits: tuple[Trait, ...] = ()
    steps: tuple[StepOfWork, ...] = ()
    sales: tuple[Sale, ...] = ()
    listings: tuple[Listing, ...] = ()
    stints: tuple[Stint, ...] = ()
    seen: tuple[SeenElsewhere, ...] = ()
    visits: tuple[Visit, ...] = ()
    used: tuple[Used, ...] = ()
    foretold: tuple[Mapping[str, Any], ...] = ()
    """What own answers said of pieces that have sold since: pairs as in ``scores``."""


@dataclass(frozen=True, slots=True)
class Settings:
    """The household's own terms, under the names of the setting record; common practice, no
    source, until a person sets their own."""

    wage_per_hour: int = 1500
    min_profit: int = 1500
    fee_ppm: int = 0
    fee_fixed: int = 0
    delivery_cost: int = 0
    hold_per_day: int = 10
    salvage_ppm: int = 350_000
    tolerance_ppm: int = 350_000
    note_step: int = 500
    per_mile: int = 0
    wage_covers: str = "everything"
