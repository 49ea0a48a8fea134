"""The vectors that both languages are held to: still true of Python, and covering every branch."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from crestrail.pricing.comps import nearest_sales, why
from crestrail.pricing.pad import price_find
from crestrail.pricing.words import CAVEATS, NOTHING, WATERFALL, sentences
from vectors.make_pricing import figures

VECTORS = Path(__file__).parent.parent / "vectors"
BOOKS = json.loads((VECTORS / "pricing_books.json").read_text())
DATA = json.loads((VECTORS / "pricing.json").read_text())
CASES = DATA["cases"]
ANSWERS = [c["answer"] for c in CASES if c["answer"]["ok"]]


def same(got: Any, wanted: Any) -> bool:
    """Equal in shape and value, fractions to 1e-9."""
    if isinstance(wanted, float) and not isinstance(got, bool) and isinstance(got, int | float):
        return got == pytest.approx(wanted, rel=1e-9, abs=1e-300)
    if isinstance(wanted, dict):
        return got.keys() == wanted.keys() and all(same(got[k], wanted[k]) for k in wanted)
    if isinstance(wanted, list):
        return len(got) == len(wanted) and all(map(same, got, wanted))
    return bool(got == wanted)


def test_every_answer_is_still_what_python_says() -> None:
    assert len(CASES) >= 300
    for case in CASES:
        book = BOOKS[case["book"]]
        assert same(price_find(book, case["find"]), case["answer"]), case["find"]
        assert same(figures(book, case["find"]), case["figures"]), case["find"]


def test_every_sentence_is_still_what_python_says() -> None:
    for case in CASES:
        if case["answer"]["ok"]:
            said = sentences(case["answer"], lambda minor: f"{minor / 100:.2f}")
            assert said == case["sentences"]


def test_the_nearest_sales_are_still_what_python_says() -> None:
    for case in DATA["comps"]:
        near = nearest_sales(case["find"], case["sales"])
        assert same(near, case["near"])
        assert [why(x["reasons"], {"oak": "Oak"}) for x in near] == case["words"]


@pytest.mark.parametrize(
    ("seen", "possible"),
    [
        ({a["binding"] for a in ANSWERS}, {"profit", "loss", "none"}),
        ({a["nothingReason"] for a in ANSWERS}, {None, *NOTHING}),
        ({c for a in ANSWERS for c in a["caveats"]}, set(CAVEATS)),
        ({r["key"] for a in ANSWERS for r in a["waterfall"]}, set(WATERFALL)),
        ({a["evidence"]["level"] for a in ANSWERS}, {"guess", "thin", "fair", "good"}),
        ({a["evidence"]["source"] for a in ANSWERS}, {"book", "typed"}),
        (
            {d["code"] for c in CASES if not c["answer"]["ok"] for d in c["answer"]["details"]},
            {"required", "wrong_type", "too_small", "too_big", "conflict"},
        ),
        (
            {a["atAsk"]["lossWords"].rstrip("0123456789") for a in ANSWERS if a["atAsk"]},
            {"low", "some", "high", "about 1 in ", "more than half", "less than 1 in "},
        ),
    ],
)
def test_the_cases_cover_every_outcome(seen: set[Any], possible: set[Any]) -> None:
    assert seen == possible
