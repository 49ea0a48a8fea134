"""How good the numbers were: what was said when pieces were bought, against what happened.

A *pair* is one piece: what the pad said, frozen at that moment, and what came of it, None where
nothing has yet (or where the frozen answer is too old to say). Its keys:

``level`` (guess, thin, fair, good, or typed where the person's own figure was used), ``low``,
``likely``, ``high`` and ``price``; ``spread``, what the book had widened the range by;
``saidMinutes`` and ``minutes`` at the bench; ``saidDays`` and ``days`` on offer; ``saidUnsold``,
the chance not to sell in time, and ``unsold``; ``saidClear`` and ``clear``, money before own
time; ``saidLoss`` and ``lost``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from crestrail.pricing.normal import Z90, inverse

FEW = 10
"""Below this many nothing is judged."""
SHOWN = 0.8
"""The share of pieces that the shown range, 10% to 90%, promises to hold."""
Z95 = 1.959963984540054
CORRECTED_FROM = 20
"""Ranges are corrected from this many sales on."""
CORRECTION_WORTH = 20.0
"""The record is weighed against this many sales that held as promised."""
NARROWEST, WIDEST = 0.8, 1.6
LEVELS = ("guess", "thin", "fair", "good", "typed")

Pair = Mapping[str, Any]


def wilson(held: int, of: int, z: float) -> tuple[float, float]:
    """The interval of a share (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927); 0 to 1 for none."""
    if of == 0:
        return (0.0, 1.0)
    share, more = held / of, z * z / of
    middle = (share + more / 2.0) / (1.0 + more)
    half = z * math.sqrt(share * (1.0 - share) / of + more / (4.0 * of)) / (1.0 + more)
    return (max(0.0, middle - half), min(1.0, middle + half))


def at_most(chances: Sequence[float], happened: int) -> float:
    """The chance that at most so many of independent events come about (Poisson binomial)."""
    counts = [1.0]
    for p in chances:
        counts = [
            (counts[k] * (1.0 - p) if k < len(counts) else 0.0)
            + (counts[k - 1] * p if k > 0 else 0.0)
            for k in range(len(counts) + 1)
        ]
    return min(1.0, sum(counts[: happened + 1]))


def spread_of(book: Mapping[str, Any]) -> float:
    """What the ranges of a book were widened by; 1 in one that says nothing of it."""
    return float(book.get("corrections", {}).get("spread", 1.0))


def spread_scale(held: int, of: int) -> float:
    """What to widen (or narrow) ranges by, of which ``held`` of ``of`` came true.

    1 until there are enough sales and chance can no longer explain the share; then what would
    have held the promised share, weighed against sales that did, within bounds.
    """
    low, high = wilson(held, of, Z95)
    if of < CORRECTED_FROM or low <= SHOWN <= high:
        return 1.0
    share = (held + SHOWN * CORRECTION_WORTH) / (of + CORRECTION_WORTH)
    return min(WIDEST, max(NARROWEST, Z90 / inverse((1.0 + share) / 2.0)))


def held_plainly(pair: Pair) -> bool:
    """Whether the price lay in the range as it would have been without a correction."""
    off: float = math.log(pair["price"] / pair["likely"]) * pair["spread"]
    least, most = (math.log(pair[side] / pair["likely"]) for side in ("low", "high"))
    return least <= off <= most


def correction(pairs: Sequence[Pair]) -> dict[str, Any]:
    """The part ``corrections`` of the book, from what it said itself of pieces since sold."""
    own = [p for p in pairs if p["price"] is not None and p["level"] != "typed"]
    held = sum(held_plainly(p) for p in own)
    return {"spread": round(spread_scale(held, len(own)), 6), "held": held, "of": len(own)}


def _has(pairs: Sequence[Pair], *names: str) -> list[Pair]:
    return [p for p in pairs if all(p[name] is not None for name in names)]


def _range(pairs: Sequence[Pair]) -> dict[str, Any]:
    sold = _has(pairs, "price")
    held = sum(p["low"] <= p["price"] <= p["high"] for p in sold)
    low, high = wilson(held, len(sold), Z95)
    says = "as_said"
    if len(sold) < FEW:
        says = "few"
    elif high < SHOWN:
        says = "too_narrow"
    elif low > SHOWN:
        says = "too_wide"
    return {"n": len(sold), "held": held, "low": low, "high": high, "says": says}


def _ratio(pairs: Sequence[Pair], said: str, came: str) -> dict[str, Any]:
    """Sums, and the middle ratio of what came to what was said with its 95% interval."""
    both = [p for p in _has(pairs, said, came) if p[said] > 0 and p[came] > 0]
    n, logs = len(both), [math.log(p[came] / p[said]) for p in both]
    sums = {"n": n, "said": sum(p[said] for p in both), "came": sum(p[came] for p in both)}
    if n < FEW:
        return {**sums, "ratio": None, "low": None, "high": None, "says": "few"}
    mean = math.fsum(logs) / n
    off = Z95 * math.sqrt(math.fsum((x - mean) ** 2 for x in logs) / (n - 1) / n)
    low, high = math.exp(mean - off), math.exp(mean + off)
    says = "more" if low > 1.0 else "less" if high < 1.0 else "as_said"
    return {**sums, "ratio": math.exp(mean), "low": low, "high": high, "says": says}


def _chance(pairs: Sequence[Pair], said: str, came: str) -> dict[str, Any]:
    """How many were to be expected, how many came, and whether chance explains the difference."""
    both = _has(pairs, said, came)
    chances, happened = [p[said] for p in both], sum(bool(p[came]) for p in both)
    says = "as_said"
    if len(both) < FEW:
        says = "few"
    elif 1.0 - at_most(chances, happened - 1) < 0.025:
        says = "more"
    elif at_most(chances, happened) < 0.025:
        says = "less"
    return {"n": len(both), "said": math.fsum(chances), "came": happened, "says": says}


def _difference(pairs: Sequence[Pair], said: str, came: str) -> dict[str, Any]:
    """What was said and what came in all, with the 95% interval of the difference a piece."""
    both = _has(pairs, said, came)
    n, off = len(both), [p[came] - p[said] for p in both]
    sums = {"n": n, "said": sum(p[said] for p in both), "came": sum(p[came] for p in both)}
    if n < FEW:
        return {**sums, "low": None, "high": None, "says": "few"}
    mean = math.fsum(off) / n
    half = Z95 * math.sqrt(math.fsum((x - mean) ** 2 for x in off) / (n - 1) / n)
    says = "more" if mean - half > 0.0 else "less" if mean + half < 0.0 else "as_said"
    return {**sums, "low": mean - half, "high": mean + half, "says": says}


def _measures(pairs: Sequence[Pair]) -> dict[str, Any]:
    return {
        "range": _range(pairs),
        "minutes": _ratio(pairs, "saidMinutes", "minutes"),
        "days": _difference(pairs, "saidDays", "days"),
        "unsold": _chance(pairs, "saidUnsold", "unsold"),
        "clear": _difference(pairs, "saidClear", "clear"),
        "loss": _chance(pairs, "saidLoss", "lost"),
    }


def score(pairs: Sequence[Pair]) -> dict[str, Any]:
    """All measures over all pairs, and by level of evidence where there are any."""
    by_level = {name: [p for p in pairs if p["level"] == name] for name in LEVELS}
    return {
        "n": len(pairs),
        **_measures(pairs),
        "levels": [
            {"level": name, "n": len(some), **_measures(some)}
            for name, some in by_level.items()
            if some
        ],
    }
