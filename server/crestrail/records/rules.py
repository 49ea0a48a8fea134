"""What should hold between the fields of a record.

A merged record is never refused for these: each part was right when it was written. What does
not fit is named, and stands under "needs settling". Mirrored in ``web/js/records/rules.js``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from functools import partial
from itertools import pairwise
from typing import Any, NamedTuple

from crestrail.basis.clock import day_from_text, from_text, to_ms

Fields = Mapping[str, Any]
MINUTE_MS = 60_000
LONGEST_STINT_MINUTES = 16 * 60


class Rule(NamedTuple):
    """A rule: its code, what to say when it is broken, and whether it is."""

    code: str
    message: str
    is_broken: Callable[[Fields], bool]


def _falls(names: tuple[str, ...], fields: Fields) -> bool:
    values = [fields[name] for name in names if fields.get(name) is not None]
    return any(a > b for a, b in pairwise(values))


def _rising(*names: str) -> Callable[[Fields], bool]:
    """Whether the values that are there fall somewhere in this order (numbers or moments)."""
    return partial(_falls, names)


def _both(*names: str) -> Callable[[Fields], bool]:
    """Whether all of the fields are there."""
    return lambda fields: all(fields.get(name) is not None for name in names)


def _same(a: str, b: str) -> Callable[[Fields], bool]:
    """Whether the two fields are there and equal."""
    return lambda fields: fields.get(a) is not None and fields.get(a) == fields.get(b)


def _is_apart(at: str, on: str, fields: Fields) -> bool:
    if fields.get(at) is None or fields.get(on) is None:
        return False
    gap = from_text(fields[at]).date() - day_from_text(fields[on])
    return abs(gap) > timedelta(days=1)


def _day_apart(at: str, on: str) -> Callable[[Fields], bool]:
    """Whether the day is further than one from the moment's day in UTC (no zone is that far)."""
    return partial(_is_apart, at, on)


def _stretch_minutes(fields: Fields) -> int | None:
    """Whole minutes of a stint from start to stop, a begun one counted; None without both."""
    if fields.get("started_at") is None or fields.get("stopped_at") is None:
        return None
    gap = to_ms(from_text(fields["stopped_at"])) - to_ms(from_text(fields["started_at"]))
    return -(-gap // MINUTE_MS)


def _works_longer_than_stretch(fields: Fields) -> bool:
    stretch, minutes = _stretch_minutes(fields), fields.get("minutes")
    return stretch is not None and minutes is not None and 0 <= stretch < minutes


def _is_endless(fields: Fields) -> bool:
    return (_stretch_minutes(fields) or 0) > LONGEST_STINT_MINUTES


def _no_weight(fields: Fields) -> bool:
    return fields.get("child_weight") == 0 and fields.get("parent_weight") == 0


def _countered_without_amount(fields: Fields) -> bool:
    return fields.get("answer") == "countered" and fields.get("counter") is None


WHEN = Rule("day_apart", "The day and the moment are more than a day apart.",
            _day_apart("at", "on"))  # fmt: skip

RULES: dict[str, tuple[Rule, ...]] = {
    "outing": (
        Rule("ends_before_start", "The outing ends before it starts.", _rising("at", "ended_at")),
        Rule("odometer_falls", "The odometer reads less at the end than at the start.",
             _rising("odometer_start_m", "odometer_end_m")),
    ),
    "piece": (
        Rule("estimate_order", "Low, likely and high are not in this order.",
             _rising("low", "likely", "high")),
        Rule("grade_falls", "The finished grade is below the grade it was found in.",
             _rising("found_grade", "finished_grade")),
        Rule("opening_and_bought", "It was there at the start and was bought later.",
             _both("opening_on", "purchase_id")),
        Rule("kept_and_let_go", "It was kept and let go.", _both("kept_at", "let_go_at")),
    ),
    "purchase": (
        Rule("fetched_before_bought", "It was fetched before it was bought.",
             _rising("at", "fetched_at")),
    ),
    "stint": (
        Rule("stops_before_start", "The work stops before it starts.",
             _rising("started_at", "stopped_at")),
        Rule("minutes_too_many", "More minutes than there are between start and stop.",
             _works_longer_than_stretch),
        Rule("stint_endless", "The work took more than 16 hours: did the timer run on?",
             _is_endless),
        Rule("day_apart", WHEN.message, _day_apart("started_at", "on")),
    ),
    "want": (Rule("over_before_start", "It is over before it starts.", _rising("on", "until_on")),),
    "inquiry": (
        Rule("closed_before_start", "It was closed before it came.", _rising("at", "closed_at")),
    ),
    "offer": (
        Rule("counter_missing", "It was countered, but with no amount.",
             _countered_without_amount),
        Rule("counter_below", "The counter is below what was offered.",
             _rising("amount", "counter")),
    ),
    "hold": (
        Rule("over_before_start", "The hold is over before it starts.", _rising("at", "until_at")),
    ),
    "sale": (
        Rule("handed_over_before_sale", "It was handed over before it was sold.",
             _rising("at", "handed_over_at")),
        Rule("fee_above_price", "The fee is more than the price.", _rising("fee", "price")),
    ),
    "split": (
        Rule("split_of_itself", "A piece cannot be split off itself.",
             _same("parent_id", "child_id")),
        Rule("no_weight", "No share is left for either part.", _no_weight),
    ),
    "same_as": (
        Rule("same_as_itself", "Both sides are the same record already.",
             _same("duplicate_id", "survivor_id")),
    ),
}  # fmt: skip


def broken_rules(type_name: str, fields: Fields) -> list[tuple[str, str]]:
    """Code and message of every rule that a record's fields break; empty when all fits."""
    rules = (*RULES.get(type_name, ()), WHEN)
    return [(rule.code, rule.message) for rule in rules if rule.is_broken(fields)]
