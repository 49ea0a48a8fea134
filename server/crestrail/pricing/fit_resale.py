"""Fitting what pieces bring: own sales, unsold stock and what was seen elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from crestrail.pricing.conjugate import Groups, Noise, Posterior, Prior, Rows, design, fit
from crestrail.pricing.history import History, Kind, Listing, SeenElsewhere, Thing
from crestrail.pricing.resale import REFERENCE_GRADE

YEAR_DAYS = 365.25
HALF_LIFE_YEARS = 3.0
NOISE = Noise(s0=0.26, nu0=12.0)
KIND_NOISE_WORTH = 20.0
"""So many sales of a kind count as much as the belief that its prices stray like all others."""
ALL_SD, GRADE_SD, COUNT_SD, TREND_SD = 0.20, 0.08, 0.15, 0.06
KIND_SD = {"sure": 0.20, "fair": 0.35, "guess": 0.60}
TRAIT_SD = 0.20
SEASON_SD = 0.07
SEASON = ("season:sin", "season:cos")
"""A wave of one year, the same for all kinds."""
GRADE_MEAN, COUNT_MEAN = 0.15, 0.90
UNSOLD_WEIGHT, SEEN_WEIGHT, ASKED_HAIRCUT = 0.5, 0.25, 0.10
UNSOLD, UNSOLD_SD = "unsold", 0.20
"""What unsold stock is asked above what it would bring, beyond the usual haircut, in logs: learned
beside own sales, for some people ask far too much."""
USUAL_DAYS = 21

Observation = tuple[dict[str, float], float, float]
"""One row: columns by name, log of the price, weight."""


def recency(on: date, as_of: date) -> float:
    """The weight of something that happened on a day: half after three years."""
    return float(0.5 ** (age_days(on, as_of) / YEAR_DAYS / HALF_LIFE_YEARS))


def age_days(on: date, as_of: date) -> float:
    """Days since; nothing is younger than today."""
    return float(max(0, (as_of - on).days))


def season_of(on: date) -> dict[str, float]:
    """Where a day stands in the year."""
    turn = 2.0 * math.pi * on.timetuple().tm_yday / YEAR_DAYS
    return dict(zip(SEASON, (math.sin(turn), math.cos(turn)), strict=True))


def columns_of(thing: Thing, on: date, as_of: date) -> dict[str, float]:
    """The row of a thing by column names; what is not known of it adds nothing."""
    grade = REFERENCE_GRADE if thing.grade is None else thing.grade
    row = {"all": 1.0, f"kind:{thing.kind}": 1.0}
    row |= {f"trait:{t}": 1.0 for t in thing.traits}
    row |= {"grade": float(grade - REFERENCE_GRADE), "lnn": math.log(thing.count)}
    return row | season_of(on) | {"trend": -age_days(on, as_of) / YEAR_DAYS}


def priced_kinds(history: History) -> list[Kind]:
    """The kinds the book can price: those with a typical price. Others need a typed figure."""
    return [k for k in history.kinds if k.typical_price]


def prior_of(history: History) -> Prior:
    """The prior: what the person expects of each kind, and that most traits do little."""
    kinds = priced_kinds(history)
    names = ("all", *(f"kind:{k.slug}" for k in kinds))
    names += tuple(f"trait:{t.slug}" for t in history.traits)
    names += ("grade", "lnn", *SEASON, UNSOLD, "trend")
    means = [0.0, *(math.log(k.typical_price or 1) for k in kinds)]
    means += [*(0.0 for _ in history.traits), GRADE_MEAN, COUNT_MEAN, 0.0, 0.0, 0.0, 0.0]
    tau = [ALL_SD, *(KIND_SD.get(k.sureness, KIND_SD["fair"]) for k in kinds)]
    tau += [*(TRAIT_SD for _ in history.traits), GRADE_SD, COUNT_SD, SEASON_SD, SEASON_SD]
    tau += [UNSOLD_SD, TREND_SD]
    return Prior(names, np.array(means), np.array(tau), NOISE)


def days_of_kinds(history: History) -> dict[str, int]:
    """The typical days to sell of every kind, the usual where nothing was said."""
    return {k.slug: k.typical_days or USUAL_DAYS for k in history.kinds}


def usable(listings: Iterable[Listing], as_of: date) -> list[Listing]:
    """The listings that say something, without asking prices from after their end."""
    found = []
    for x in listings:
        end = x.ended_on or as_of
        asked = tuple(a for a in x.asked if a.amount > 0 and a.on <= end)
        if asked and (x.sold_price is None or x.sold_price > 0):
            found.append(replace(x, asked=asked))
    return found


def haircut(listing: Listing, as_of: date, typical_days: float) -> float:
    """How far below its last ask an unsold piece may go, in logs: more the longer it stood."""
    end = listing.ended_on or as_of
    stood = age_days(listing.asked[0].on, end)
    return 0.05 + 0.10 * min(2.0, stood / typical_days)


def _sales(history: History, as_of: date) -> list[Observation]:
    return [
        (
            columns_of(s.thing, s.on, as_of),
            math.log(s.price),
            recency(s.on, as_of),
        )
        for s in history.sales
        if s.price > 0
    ]


def _unsold(history: History, as_of: date, haggle: float) -> list[Observation]:
    days = days_of_kinds(history)
    rows: list[Observation] = []
    for listing in usable(history.listings, as_of):
        if listing.sold_price is not None:
            continue
        end = listing.ended_on or as_of
        cut = haircut(listing, as_of, days.get(listing.thing.kind or "", USUAL_DAYS))
        y = math.log(listing.asked[-1].amount) - haggle - cut
        row = columns_of(listing.thing, end, as_of) | {UNSOLD: 1.0}
        rows.append((row, y, UNSOLD_WEIGHT * recency(end, as_of)))
    return rows


def _seen(seen: SeenElsewhere, as_of: date) -> Observation:
    y = math.log(seen.amount) - (0.0 if seen.sold else ASKED_HAIRCUT)
    return columns_of(seen.thing, seen.on, as_of), y, SEEN_WEIGHT * recency(seen.on, as_of)


def observations(history: History, as_of: date, haggle: float) -> list[Observation]:
    """All rows of evidence about prices. A thing of a kind the book lacks says nothing."""
    known = {k.slug for k in priced_kinds(history)}
    rows = _sales(history, as_of) + _unsold(history, as_of, haggle)
    rows += [_seen(s, as_of) for s in history.seen if s.amount > 0]
    return [row for row in rows if any(f"kind:{k}" in row[0] for k in known)]


def rows_of(prior: Prior, rows: list[Observation]) -> Rows:
    """The observations as arrays in the prior's columns."""
    x = design(prior.names, [row[0] for row in rows])
    return Rows(x, np.array([row[1] for row in rows]), np.array([row[2] for row in rows]))


def _kinds_of(prior: Prior, rows: Rows) -> Groups:
    """The column of each row's kind."""
    kinds = np.array([name.startswith("kind:") for name in prior.names])
    return Groups((rows.x * kinds).argmax(axis=1), KIND_NOISE_WORTH)


def _fitted(prior: Prior, rows: Rows) -> Posterior:
    """The posterior of all columns; unsold stock is never taken for worth more than what
    was asked for it, less the haircut."""
    found, at = fit(prior, rows, _kinds_of(prior, rows)), prior.names.index(UNSOLD)
    if found.m[at] >= 0.0:
        return found
    plain = replace(rows, x=rows.x.copy())
    plain.x[:, at] = 0.0
    return fit(prior, plain, _kinds_of(prior, plain))


def fit_resale(history: History, as_of: date, haggle: float) -> Posterior:
    """What pieces bring when they are bought today and sold after the usual days; trend and what
    unsold stock is asked too much are integrated out, the season is that of the sale."""
    prior = prior_of(history)
    rows = rows_of(prior, observations(history, as_of, haggle))
    found = _fitted(prior, rows).without("trend").without(UNSOLD)
    for name, value in season_of(as_of + timedelta(days=USUAL_DAYS)).items():
        found = found.folded(name, "all", value)
    return found


def price_part(history: History, as_of: date, haggle: float) -> dict[str, Any]:
    """The part ``price`` of the book; ``noise`` names the kinds that stray more or less."""
    found = fit_resale(history, as_of, haggle)
    straying = {
        name.removeprefix("kind:"): round(float(noise), 6)
        for name, noise in zip(found.names, found.noise, strict=True)
        if name.startswith("kind:") and round(float(noise), 6) != 1.0
    }
    return found.as_data() | {"noise": straying, "v0": unknown_levels()}


def unknown_levels() -> dict[str, float]:
    """Prior variance, per noise variance, of a kind the book does not hold."""
    return {"kind": (KIND_SD["fair"] / NOISE.s0) ** 2}
