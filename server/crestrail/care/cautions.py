"""Which cautions apply to a piece: pure picking from ``caution_data``.

Mirrored in ``web/js/care/cautions.js``; both read the same texts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from crestrail.care.caution_data import CAUTIONS, RECALLS_CHECKED
from crestrail.care.sources import SOURCES


@dataclass(frozen=True, slots=True)
class Situation:
    """What is known of a piece.

    ``care`` holds the care slugs of its kind and of its chosen steps, ``flaws`` the recorded
    flaws, ``recalls_checked_on`` the day on which somebody looked recalls up.
    """

    care: frozenset[str] = frozenset()
    flaws: frozenset[str] = frozenset()
    recalls_checked_on: str | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. ``level`` is ``stop`` (walk away), ``warn`` or ``note``."""

    code: str
    level: str
    title: str
    text: str
    source: str


def _applies(entry: dict[str, Any], known: frozenset[str], answered: frozenset[str]) -> bool:
    if entry["until"] in answered:
        return False
    return any(known.issuperset(alternative) for alternative in entry["when"])


def cautions_for(situation: Situation) -> list[Caution]:
    """Every caution that applies, the gravest first."""
    known = situation.care | situation.flaws
    answered = frozenset([RECALLS_CHECKED] if situation.recalls_checked_on else [])
    return [_caution(e) for e in CAUTIONS if _applies(e, known, answered)]


def _caution(entry: dict[str, Any]) -> Caution:
    source = "; ".join(SOURCES[name] for name in entry["sources"])
    return Caution(entry["code"], entry["level"], entry["title"], entry["text"], source)


def deal_breakers(cautions: Iterable[Caution]) -> list[Caution]:
    """Those before which no price is named: walk away."""
    return [c for c in cautions if c.level == "stop"]
