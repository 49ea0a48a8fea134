"""The price book of a household: fitted at home, shipped to the phones."""

from __future__ import annotations

from crestrail.store.db import reading
from crestrail.store.models import Household

FORM = 1
"""Raised when the same records would give another book."""


def version(household: str) -> str:
    """Names the book that the household's records give; changes when one that matters does."""
    with reading() as session:
        home = session.get_one(Household, household)
        return f"{FORM}.{home.epoch}.{home.book_seq}"
