"""Kinds whose prices stray and seasons: what the book learns of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crestrail.pricing.book import build_book
from crestrail.pricing.history import History, Sale, Settings, Thing
from crestrail.pricing.pad import price_find
from helpers.pricing_histories import AS_OF, FRESH

DESK = Thing("desk", (), 1, 4)
YESTERDAY = AS_OF - timedelta(days=1)


def likely_on(history: History, day: date) -> int:
    book = build_book(history, Settings(), day)
    return int(price_find(book, {"kind": "desk"})["range"]["likely"])


def test_a_kind_whose_prices_stray_gets_a_wider_range_than_a_steady_one() -> None:
    dresser = Thing("dresser", (), 1, 4)
    wild = [Sale(DESK, price, YESTERDAY) for price in (7000, 28000)] * 15
    steady = [Sale(dresser, price, YESTERDAY) for price in (23000, 25000)] * 15
    history = replace(FRESH, sales=(*wild, *steady))
    book = build_book(history, Settings(), AS_OF)
    ranges = [price_find(book, {"kind": kind})["range"] for kind in ("desk", "dresser")]
    of_desk, of_dresser = (r["high"] / r["low"] for r in ranges)
    assert book["price"]["noise"]["desk"] > 1.0 > book["price"]["noise"]["dresser"]
    assert of_desk > 1.5 * of_dresser


def test_what_brings_more_in_summer_is_worth_more_to_who_sells_in_summer() -> None:
    def sold(month: int, price: int) -> list[Sale]:
        return [Sale(DESK, price, date(year, month, 20)) for year in (2023, 2024, 2025)] * 5

    history = replace(FRESH, sales=(*sold(6, 20000), *sold(12, 12000)))
    summer, winter = (likely_on(history, date(2026, month, 1)) for month in (6, 12))
    assert 1.1 * winter < summer < 20000
    even = replace(FRESH, sales=(*sold(6, 15000), *sold(12, 15000)))
    summer, winter = (likely_on(even, date(2026, month, 1)) for month in (6, 12))
    assert summer == pytest.approx(winter, rel=0.03)
