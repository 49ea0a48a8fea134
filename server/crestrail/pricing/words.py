"""The pad's answer in the short plain words that are shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from crestrail.basis.rounding import to_minor

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

GOING_BACK = {
    "surplus": "Profit at their price",
    "gone": "It may be gone",
    "way": "The extra way",
    "time": "Your time on it",
    "value": "Going back is worth",
}

NEEDED_TO_GO = {
    "book": "Your numbers come to this phone with the first sync.",
    "ask": "Say first what they asked for it.",
    "miles": "Say how far it is, there and back: 0 or more.",
    "minutes": "Say how many extra minutes it takes, all in all: 0 or more.",
    "seen_at": "It is not known when it was seen, or that lies in the future.",
    "closes_at": "The closing time is not one of the clock.",
    "here": "Where you are cannot be used: type the miles.",
    "there": "Where it stands cannot be used: type the miles.",
}
NOT_PRICED = "Your numbers cannot price it yet: bring it back to the pad first."

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


FEW_RETURNS = 10
"""Below this many own returns the chance that a find is still there is said roughly."""


def there_words(chance: float, visits: int) -> str:
    """The chance that it is still there: rough until there are enough own returns."""
    if visits < FEW_RETURNS:
        rough = ((0.2, "Little chance"), (0.5, "Some chance"), (0.8, "A good chance"))
        return next((said for below, said in rough if chance < below), "A very good chance")
    tenths = to_minor(10.0 * chance)
    if tenths in (0, 10):
        return "Hardly any chance" if tenths == 0 else "Almost certain"
    return f"About {tenths} in 10"


def _hours(hours: float) -> str:
    """Hours in words: "40 min", "3 h 20", "2 days"."""
    return f"{to_minor(hours / 24.0)} days" if hours >= 47.5 else duration(to_minor(hours * 60.0))


def _worth_going(answer: Mapping[str, Any], money: Money) -> str:
    if answer["worth"] == "go":
        return f"Go back: worth about {money(answer['value'])} after the way and your time."
    if answer["worth"] == "nothing_there":
        return "Not worth going back: at their price it leaves you nothing."
    if answer["value"] == 0:
        return "Not worth going back: the way and your time eat up what it promises."
    short = money(-answer["value"])
    return f"Not worth going back: the way and your time cost {short} more than it promises."


def back_sentences(answer: Mapping[str, Any], money: Money) -> dict[str, Any]:
    """The sentences of an answer of ``going_back.go_back``; None where nothing is to be said."""
    n = answer["visits"]
    by = "a guess until you have gone back a few times"
    if n >= FEW_RETURNS:
        by = f"from {n} returns of yours"
    closed = " Its sale will have closed." if answer["pastClosing"] else ""
    return {
        "worth": _worth_going(answer, money),
        "chance": f"{there_words(answer['chance'], n)} that it is still there.{closed}",
        "half": f"Half of such pieces are gone after {_hours(answer['halfLife'])}: {by}.",
        "miles": "Your numbers count nothing for a mile." if answer["perMile"] == 0 else None,
    }


def cure_to_go(details: Sequence[Mapping[str, Any]]) -> list[str]:
    """What to do where going back cannot be answered, each thing once."""
    said = [NEEDED_TO_GO.get(d["path"], NOT_PRICED) for d in details]
    return list(dict.fromkeys(said))


def _signed(amount: int, money: Money) -> str:
    return f"+{money(amount)}" if amount > 0 else money(amount)


def moved_words(move: Mapping[str, Any], name: str, money: Money) -> str:
    """What a look does to the price: "Cane seat: +$18, from 7 of your sales (−$2 to +$38)."."""
    if not move["known"]:
        return f"{name}: your numbers do not know it yet."
    n, amount = move["sales"], _signed(move["amount"], money)
    between = f"({_signed(move['low'], money)} to {_signed(move['high'], money)})"
    if n > 0:
        return f"{name}: {amount}, from {n} of your sales {between}."
    if move["amount"] == 0:
        return f"{name}: no evidence yet."
    return f"{name}: {amount}, only from what stands unsold or was seen elsewhere {between}."


def times_words(ratio: float) -> str:
    """A ratio to one decimal: "1.4 times"."""
    tenths = to_minor(10.0 * ratio)
    return f"{tenths // 10}.{tenths % 10} times"


PACE = {
    "longer": "You usually take longer than you think",
    "quicker": "You are usually quicker than you think",
}
"""What is said of a pace that leaves no doubt."""


def pace_words(pace: Mapping[str, Any], name: str) -> str | None:
    """A person's own figure against what a step takes them; None where nothing is to be said."""
    said = PACE.get(pace["says"])
    return f"{said}: {times_words(pace['ratio'])} on {name}." if said else None
