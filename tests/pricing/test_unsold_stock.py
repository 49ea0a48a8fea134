"""What unsold stock says of prices: less than what sold, and never more."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from crestrail.pricing.book import build_book
from crestrail.pricing.history import Asked, History, Listing, Sale, Settings, Thing
from crestrail.pricing.pad import price_find
from helpers.pricing_histories import AS_OF, FRESH

DESK = Thing("desk", (), 1, 4)
SOLD = replace(FRESH, sales=(Sale(DESK, 14000, AS_OF - timedelta(days=1)),) * 12)
"""A household that sold a dozen desks."""


def likely(history: History) -> int:
    book = build_book(history, Settings(), AS_OF)
    return int(price_find(book, {"kind": "desk"})["range"]["likely"])


def standing(history: History, ask: int, many: int) -> History:
    """The household with so many desks that have stood at one ask for sixty days."""
    listing = Listing(DESK, (Asked(ask, AS_OF - timedelta(days=60)),))
    return replace(history, listings=(listing,) * many)


def test_stock_that_stands_unsold_below_the_expected_price_lowers_it() -> None:
    assert likely(standing(FRESH, 9000, 4)) < likely(FRESH)


def test_what_is_offered_far_too_dear_hardly_raises_what_was_learned_from_sales() -> None:
    assert likely(SOLD) <= likely(standing(SOLD, 30000, 12)) < 1.06 * likely(SOLD)


def test_what_stands_below_what_others_brought_is_not_taken_for_worth_more() -> None:
    assert likely(standing(SOLD, 9000, 12)) < 0.92 * likely(SOLD)
