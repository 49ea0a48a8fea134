"""Which cautions are shown, and what their words must and must not say."""

from __future__ import annotations

import re

import pytest

from crestrail.care.caution_data import CAUTIONS, LEVELS
from crestrail.care.cautions import Situation, cautions_for, deal_breakers
from crestrail.care.inspection_data import FLAWS
from crestrail.care.sources import SOURCES
from helpers.vectors import vectors

KIND_CARE = {
    "upholstered", "mattress-or-bedding", "children", "storage-unit", "glass", "painted", "heavy",
    "powered", "mirror",
}  # fmt: skip
STEP_CARE = {"solvents", "oily-rags", "old-paint-dust", "lifting", "sharp", "reupholstering"}
WORDS = " ".join(f"{e['title']} {e['text']}" for e in CAUTIONS)


def codes(*words: str, checked: str | None = None) -> list[str]:
    found = cautions_for(Situation(care=frozenset(words), recalls_checked_on=checked))
    return [c.code for c in found]


def stops(*words: str) -> list[str]:
    return [c.code for c in deal_breakers(cautions_for(Situation(flaws=frozenset(words))))]


@pytest.mark.parametrize(
    ("words", "stop"),
    [
        (["live-bugs"], "live-bugs"),
        (["recalled"], "recalled"),
        (["drop-side"], "drop-side"),
        (["children", "wobbly"], "nursery-broken"),
        (["children", "missing-part"], "nursery-broken"),
    ],
)
def test_a_deal_breaker_says_walk_away(words: list[str], stop: str) -> None:
    assert stops(*words) == [stop]
    [first] = deal_breakers(cautions_for(Situation(flaws=frozenset(words))))
    assert first.title.endswith("walk away")


@pytest.mark.parametrize("words", [["wobbly"], ["children"], ["bug-signs"], ["old-paint"], []])
def test_what_can_be_mended_or_checked_is_no_deal_breaker(words: list[str]) -> None:
    assert stops(*words) == []


def test_a_piece_without_any_care_has_no_caution() -> None:
    assert cautions_for(Situation()) == []


def test_every_care_word_brings_a_caution() -> None:
    assert [word for word in sorted(KIND_CARE | STEP_CARE) if not codes(word)] == []


def test_every_word_that_brings_a_caution_is_a_care_word_or_a_flaw() -> None:
    known = KIND_CARE | STEP_CARE | {f["code"] for f in FLAWS}
    used = {w for e in CAUTIONS for words in e["when"] for w in words}
    assert used <= known
    assert all(re.fullmatch("[a-z0-9-]{1,40}", word) for word in known)


def test_the_gravest_caution_comes_first() -> None:
    found = cautions_for(Situation(care=frozenset(KIND_CARE), flaws=frozenset({"live-bugs"})))
    ranks = [LEVELS.index(c.level) for c in found]
    assert ranks == sorted(ranks)
    assert found[0].code == "live-bugs"


def test_recalls_stay_unchecked_until_a_day_is_recorded() -> None:
    assert "recalls-unchecked" in codes("storage-unit")
    assert "recalls-unchecked" not in codes("storage-unit", checked="2026-05-01")


def test_the_upholstery_tag_is_named_before_buying() -> None:
    [caution] = [
        c
        for c in cautions_for(Situation(care=frozenset({"upholstered"})))
        if c.code == "upholstery-tag"
    ]
    assert "check your state before you pay" in caution.text


@pytest.mark.parametrize("code", ["old-paint", "old-paint-dust", "painted"])
def test_old_paint_is_lead_unless_a_laboratory_says_otherwise(code: str) -> None:
    [entry] = [e for e in CAUTIONS if e["code"] == code]
    assert "treat as lead unless a laboratory says otherwise" in entry["text"]


@pytest.mark.parametrize(
    "claim",
    ["bleach", "ammonia", "vinegar", "two people can", "two can lift", "2024", "test kit says"],
)
def test_nothing_is_said_that_no_source_bears_out(claim: str) -> None:
    assert claim not in WORDS.lower()


@pytest.mark.parametrize("entry", CAUTIONS, ids=lambda e: e["code"])
def test_every_caution_names_a_source_and_sends_on(entry: dict[str, object]) -> None:
    sources = entry["sources"]
    assert isinstance(sources, list)
    assert sources
    assert all(name in SOURCES for name in sources)
    assert re.search(r"\b([Cc]heck|[Aa]sk|licensed)\b", str(entry["text"]))


def test_codes_are_given_once() -> None:
    found = [e["code"] for e in CAUTIONS]
    assert len(found) == len(set(found))


@pytest.mark.parametrize("row", vectors("care")["rows"], ids=lambda r: "+".join(r["words"]))
def test_cautions_are_those_that_the_phone_is_held_to(row: dict[str, object]) -> None:
    words = row["words"]
    assert isinstance(words, list)
    day = row["recalls_checked_on"]
    found = cautions_for(
        Situation(flaws=frozenset(words), recalls_checked_on=None if day is None else str(day))
    )
    assert [[c.level, c.code] for c in found] == row["cautions"]
