"""What to check before paying."""

from __future__ import annotations

import pytest

from crestrail.care.cautions import Situation, cautions_for, deal_breakers
from crestrail.care.inspection import flaw_name, inspection_for
from crestrail.care.inspection_data import FLAWS, ITEMS
from crestrail.care.sources import SOURCES
from helpers.vectors import vectors


def checks(*care: str) -> list[str]:
    return [check.code for check in inspection_for(care)]


def test_a_plain_piece_gets_the_checks_that_every_kind_gets() -> None:
    assert checks() == ["wobble", "joints", "parts", "smell", "musty", "pets", "holes", "veneer"]


def test_upholstery_is_looked_at_for_bugs_first_with_the_places_named() -> None:
    first = inspection_for(["upholstered"])[0]
    assert first.raises == "live-bugs"
    assert first.deal_breaker
    assert "piping" in first.text
    assert "EPA" in first.source


@pytest.mark.parametrize(
    ("care", "check"),
    [
        ("storage-unit", "drawers"),
        ("storage-unit", "stands-firm"),
        ("children", "drop-side"),
        ("children", "recall-label"),
        ("painted", "paint"),
        ("glass", "edges"),
        ("powered", "cord"),
    ],
)
def test_a_care_word_brings_its_check_and_its_absence_does_not(care: str, check: str) -> None:
    assert check in checks(care)
    assert check not in checks()


def test_every_check_raises_a_known_flaw_and_names_its_source() -> None:
    known = {f["code"] for f in FLAWS}
    assert [i["code"] for i in ITEMS if i["raises"] not in known] == []
    assert [i["code"] for i in ITEMS if not set(i["sources"]) <= set(SOURCES)] == []


@pytest.mark.parametrize("flaw", [f["code"] for f in FLAWS])
def test_a_flaw_breaks_the_deal_exactly_when_its_caution_says_walk_away(flaw: str) -> None:
    [entry] = [f for f in FLAWS if f["code"] == flaw]
    found = deal_breakers(cautions_for(Situation(flaws=frozenset({flaw}))))
    assert bool(found) == entry["deal_breaker"]


def test_a_flaw_from_a_newer_phone_is_shown_by_its_code() -> None:
    assert flaw_name("smoke") == "Smoke smell"
    assert flaw_name("loose-thing") == "loose thing"


@pytest.mark.parametrize("row", vectors("care")["rows"], ids=lambda r: "+".join(r["words"]))
def test_checks_are_those_that_the_phone_is_held_to(row: dict[str, object]) -> None:
    words = row["words"]
    assert isinstance(words, list)
    assert checks(*words) == row["checks"]
