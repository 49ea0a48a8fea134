"""What to check before paying, by kind; mirrored in ``web/js/care/inspection.js``."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crestrail.care.inspection_data import FLAWS, ITEMS
from crestrail.care.sources import SOURCES


@dataclass(frozen=True, slots=True)
class Check:
    """One check before paying: what to do, and the flaw to note when it finds something."""

    code: str
    text: str
    raises: str
    deal_breaker: bool
    source: str


def inspection_for(care: Iterable[str]) -> list[Check]:
    """The checks for a kind with these care slugs, what stops the deal first."""
    mine = frozenset(care)
    return [
        Check(
            code=item["code"],
            text=item["text"],
            raises=item["raises"],
            deal_breaker=item["deal_breaker"],
            source="; ".join(SOURCES[s] for s in item["sources"]),
        )
        for item in ITEMS
        if not item["care"] or mine.intersection(item["care"])
    ]


def flaw_name(code: str) -> str:
    """A flaw in words; an unknown one (from a newer phone) is shown by its code."""
    return next((f["name"] for f in FLAWS if f["code"] == code), code.replace("-", " "))
