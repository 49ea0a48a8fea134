"""The price book: every fitted number a phone needs to price offline, as plain data."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import asdict
from datetime import date
from typing import Any

from crestrail.pricing import fit_effort
from crestrail.pricing.fit_back import fit_back
from crestrail.pricing.fit_effort import fit_effort as fit_minutes
from crestrail.pricing.fit_resale import days_of_kinds, price_part
from crestrail.pricing.fit_selling import fit_haggle, fit_selling
from crestrail.pricing.fit_supplies import fit_supplies
from crestrail.pricing.history import History, Listing, Settings
from crestrail.pricing.linear import dot, model_from
from crestrail.pricing.resale import REFERENCE_GRADE, Looks, row_of
from crestrail.pricing.scores import correction

VERSION = 1


def _log_price(price: dict[str, Any], listing: Listing) -> float:
    """What the book expects a listed piece to bring, in logs; no bound where it cannot tell."""
    model, thing = model_from(price), listing.thing
    if f"kind:{thing.kind}" not in model.index:
        return math.inf
    grade = REFERENCE_GRADE if thing.grade is None else thing.grade
    return dot(model, row_of(model, Looks(thing.kind, thing.traits, thing.count, grade)))


def _counts(history: History) -> dict[str, Any]:
    """Own sales in all, by kind and by trait, finished steps; seen elsewhere is counted apart."""
    return {
        "sales": len(history.sales),
        "kinds": dict(Counter(s.thing.kind for s in history.sales if s.thing.kind)),
        "traits": dict(sorted(Counter(t for s in history.sales for t in s.thing.traits).items())),
        "steps": dict(sorted(Counter(s.step for s in history.stints if s.minutes > 0).items())),
        "stints": len(history.stints),
        "listings": len(history.listings),
        "used": len(history.used),
        "seen_elsewhere": len(history.seen),
    }


def build_book(history: History, settings: Settings, as_of: date) -> dict[str, Any]:
    """The book of a day: ``price``, ``sell``, ``effort``, ``kinds``, ``traits``, ``steps``,
    ``money`` (names of the setting record), ``back``, ``corrections``, ``counts``,
    ``made`` and ``v``.

    All numbers are rounded here, before anybody evaluates them, so that every phone and the
    server compute with the same ones.
    """
    haggle = fit_haggle(history, as_of)
    price = price_part(history, as_of, haggle)
    effort = fit_minutes(history, as_of).as_data()
    days = days_of_kinds(history)
    supplies, corrections = fit_supplies(history), correction(history.foretold)
    price["c"] = float(f"{price['c'] * corrections['spread']:.9g}")
    return {
        "v": VERSION,
        "made": as_of.isoformat(),
        "price": price,
        "sell": fit_selling(history, as_of, haggle, lambda x: _log_price(price, x)),
        "effort": effort | {"rho": fit_effort.RHO, "v0": fit_effort.unknown_levels()},
        "kinds": {k.slug: {"price": k.typical_price, "days": days[k.slug]} for k in history.kinds},
        "traits": {t.slug: t.group for t in history.traits},
        "steps": {
            s.slug: {
                "minutes": s.typical_minutes or 0,
                "supplies": supplies[s.slug],
                "standing": s.standing,
            }
            for s in history.steps
        },
        "money": asdict(settings),
        "back": fit_back(history.visits),
        "corrections": corrections,
        "counts": _counts(history),
    }
