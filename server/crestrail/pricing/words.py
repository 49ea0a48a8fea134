"""The pad's answer in the short plain words that are shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Money = Callable[[int], str]
"""Writes an amount in minor units, for instance "$145"."""

NOTHING = {
    "costs": "Selling it costs more than it is likely to bring.",
    "time": "It would bring a little, but not enough to pay for your time.",
    "min_profit": "It would pay for your time, but leave less than your least profit.",
    "tolerance": "It may well stand unsold for longer than your limit for losses allows.",
    "caution": "The chance of a loss is above your limit at any price.",
    "less_than_note": "It is worth less to you than your smallest note.",
}

CAVEATS = {
    "guess": "A guess: you have fewer than 20 sales of your own yet.",
    "typed_price": "This goes by the price you typed.",
    "unknown_kind": "Your numbers do not know this kind yet.",
    "slow_kind": "A slow kind: it often stands for more than a month.",
    "tolerance_low": "Your limit for losses is below the chance that it stays unsold.",
    "wide_range": "Such pieces bring very different prices.",
    "unknown_trait": "Your numbers do not know one of these looks yet.",
    "unknown_step": "Your numbers do not know one of these steps: its time is not counted.",
    "no_steps": "No bench work is planned.",
}

WATERFALL = {
    "likely": "Likely brings",
    "more": "Some bring more",
    "unsold": "Might not sell",
    "fees": "Fees",
    "delivery": "Delivery",
    "pickup": "Pickup",
    "supplies": "Supplies",
    "standing": "Standing cost",
    "time": "Your time",
    "min_profit": "Least profit",
    "caution": "Caution",
    "note": "Down to a whole note",
    "short": "Falls short by",
    "most": "Most to pay",
}

LOSS_MEANS = "to get back less cash than you put in."
_ROUGH = {"low": "A low chance", "some": "Some chance", "high": "A high chance"}


def duration(minutes: int) -> str:
    """Minutes in words: "45 min", "1 h", "1 h 20"; to 5 minutes from half an hour on."""
    shown = minutes if minutes < 30 else 5 * int((minutes + 2.5) // 5)
    if shown < 60:
        return f"{shown} min"
    hours, rest = divmod(shown, 60)
    return f"{hours} h" if rest == 0 else f"{hours} h {rest:02d}"


def _brings(answer: Mapping[str, Any], money: Money) -> str:
    minutes = answer["minutes"]["likely"]
    work = f"needs {duration(minutes)} of work" if minutes > 0 else "no work counted"
    return f"Likely brings {money(answer['range']['likely'])}, {work}."


def _at_ask(at: Mapping[str, Any], money: Money) -> str:
    start = "Free, " if at["ask"] == 0 else f"At their {money(at['ask'])} "
    if at["clear"] < 0:
        return f"{start}you lose {money(-at['clear'])}."
    hourly = "" if at["hourly"] is None else f", {money(at['hourly'])} an hour"
    return f"{start}you clear {money(at['clear'])}{hourly}."


def _chance(at: Mapping[str, Any]) -> str:
    said = _ROUGH.get(at["lossWords"], f"A chance of {at['lossWords']}")
    return f"{said} {LOSS_MEANS}"


def _sales(n: int) -> str:
    return "1 sale" if n == 1 else f"{n} sales"


def _evidence(evidence: Mapping[str, Any]) -> str:
    if evidence["source"] == "typed":
        return "From your own figure."
    if evidence["ownSales"] == 0:
        return "From what you expect: no sales of your own yet."
    n = evidence["ownSalesOfKind"]
    of_kind = "no sales" if n == 0 else _sales(n)
    return f"From {of_kind} of yours of this kind, {evidence['ownSales']} in all."


def sentences(answer: Mapping[str, Any], money: Money) -> dict[str, Any]:
    """The sentences of an answer; None where there is nothing to say."""
    at, shown = answer["atAsk"], answer["range"]
    reason = answer["nothingReason"]
    over = 0 if at is None else at["over"]
    return {
        "brings": _brings(answer, money),
        "range": f"4 of 5 such pieces bring {money(shown['low'])} to {money(shown['high'])}.",
        "nothing": None if reason is None else NOTHING[reason],
        "atAsk": None if at is None else _at_ask(at, money),
        "over": f"Over by {money(over)}." if over else None,
        "chance": None if at is None else _chance(at),
        "evidence": _evidence(answer["evidence"]),
        "caveats": [CAVEATS[code] for code in answer["caveats"]],
    }
