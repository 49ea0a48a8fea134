"""The phone's core answers generated calls exactly as the server's does.

The vectors hold what is right; here only agreement is asked for, on cases nobody chose.
"""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from crestrail.basis import clock, ids, money, rounding, units
from crestrail.basis.clock import AsOf
from crestrail.basis.errors import CrestrailError
from crestrail.records import stamps
from crestrail.records.rules import broken_rules
from crestrail.records.schema import RECORD_TYPES, Field
from crestrail.records.stages import PieceFacts, stage
from crestrail.records.values import check_fields
from helpers.vectors import vectors

MIRROR = Path(__file__).resolve().parents[1] / "helpers" / "core_mirror.mjs"
Call = tuple[str, list[Any]]

ANSWERS: dict[str, Callable[..., Any]] = {
    "check_fields": lambda t, fields, creating: check_fields(t, fields, creating=creating),
    "parse_money": money.parse_money,
    "format_money": lambda amount, whole: money.format_money(amount, whole=whole),
    "split": money.split,
    "half_up": rounding.half_up,
    "to_minor": rounding.to_minor,
    "parse_measure": units.parse_measure,
    "show_measure": units.show_measure,
    "parse_tag_code": ids.parse_tag_code,
    "local_day": lambda ms, zone: clock.local_day(clock.from_ms(ms), zone),
    "is_instant": clock.is_instant,
    "tick": stamps.tick,
    "receive": stamps.receive,
    "restamp": stamps.restamp,
    "broken_rules": lambda t, fields: [list(rule) for rule in broken_rules(t, fields)],
    "stage": lambda facts, as_of: stage(PieceFacts(**facts), AsOf(**as_of)),
}

MOMENTS = [
    f"2026-{m:02d}-{d:02d}T{h:02d}:00:00.000Z" for m in (1, 6) for d in (1, 2) for h in (0, 9)
]
DAYS = ["2026-01-01", "2026-01-02", "2026-06-01", "2026-06-02", "2026-12-31"]
IDS = [f"017f22e2-79b0-7cc3-98c4-dc0c0c0739{n:02x}" for n in range(6)]
TEXTS = [
    "",
    "a",
    "é😀",
    "x" * 120,
    "x" * 300,
    "a\x00",
    "\ud83d",
    "oak",
    "7K3M9QXDA",
    "us",
    "a" * 64,
]
ODD = [None, True, False, 0, 1, -1, 5, 1.5, 10**11, 10**11 + 1, 2**53, [], {}, ["oak", "oak"]]
ZONES = ["America/New_York", "America/Los_Angeles", "Asia/Kathmandu", "Pacific/Apia", "UTC"]


def answer(name: str, args: list[Any]) -> Any:
    """The server's answer, or its refusal in the form that the mirror gives."""
    try:
        return ANSWERS[name](*args)
    except CrestrailError as error:
        return {"refused": error.code, "message": error.message}


def likely(rng: random.Random, field: Field) -> Any:
    """A value that often fits the field."""
    fitting: dict[str, list[Any]] = {
        "int": [field.min, field.max, 3], "money": [field.min, field.max, 1250],
        "instant": MOMENTS, "date": DAYS, "id": IDS, "ids": [IDS[:2], []], "bool": [True, False],
        "choice": list(field.choices), "slugs": [["oak", "cane-seat"]], "slug": ["chair"],
    }  # fmt: skip
    pool = fitting.get(field.type, TEXTS)
    return rng.choice(
        pool if pool and rng.random() < 0.7 else [*TEXTS, *ODD, *MOMENTS, *DAYS, *IDS]
    )


def values_and_rules(rng: random.Random) -> list[Call]:
    kind = rng.choice(RECORD_TYPES)
    chosen = rng.sample(kind.fields, min(len(kind.fields), rng.randrange(6)))
    fields = {field.name: likely(rng, field) for field in chosen}
    if rng.random() < 0.3:
        fields[rng.choice(["later", "Later", "a b", ""])] = rng.choice([*TEXTS, *ODD])
    calls: list[Call] = [("check_fields", [kind.name, fields, rng.random() < 0.3])]
    right = [field for field in kind.fields if field.type in ("int", "money", "instant", "date")]
    fitting = {f.name: rng.choice([None, likely_right(rng, f)]) for f in right}
    return [*calls, ("broken_rules", [kind.name, fitting])]


def likely_right(rng: random.Random, field: Field) -> Any:
    """A value that fits the field."""
    pools: dict[str, list[Any]] = {"instant": MOMENTS, "date": DAYS}
    return rng.choice(pools.get(field.type) or [field.min, field.max, (field.min or 0) + 1])


def amounts(rng: random.Random) -> list[Call]:
    text = "".join(rng.choice("0123456789.,$ -k") for _ in range(rng.randrange(1, 9)))
    weights = [rng.randrange(10 ** rng.randrange(1, 10)) for _ in range(rng.randrange(1, 7))]
    amount = rng.randrange(-(10**12), 10**12)
    value = rng.choice([rng.uniform(-1e6, 1e6), rng.randrange(-999, 999) + 0.5, rng.gauss(0, 1e12)])
    return [
        ("parse_money", [text]),
        ("format_money", [amount, rng.random() < 0.5]),
        ("split", [amount, weights]),
        ("half_up", [amount * 3, rng.randrange(1, 10**6)]),
        ("to_minor", [value]),
    ]


def edges(rng: random.Random) -> list[Call]:
    measure, system = rng.choice(list(units.UNITS)), rng.choice(["us", "metric"])
    typed = "".join(rng.choice("0123456789./, ") for _ in range(rng.randrange(1, 8)))
    code = "".join(rng.choice(ids.SYMBOLS + "ILOUio- ") for _ in range(rng.choice((8, 9, 10))))
    moment = rng.choice(MOMENTS)
    at = rng.randrange(len(moment))
    spoilt = moment[:at] + rng.choice("0123456789TZ:.-x") + moment[at + 1 :]
    return [
        ("parse_measure", [typed, measure, system]),
        ("show_measure", [rng.randrange(-(10**6), 10**7), measure, system]),
        ("parse_tag_code", [code]),
        ("local_day", [rng.randrange(0, 4 * 10**12), rng.choice(ZONES)]),
        ("is_instant", [spoilt]),
    ]


def readings(rng: random.Random) -> list[Call]:
    def stamp(device: str) -> str:
        ms, counter = rng.choice((0, 10, 11, 2**40)), rng.choice((0, 1, 65535))
        return f"{ms:012x}-{counter:04x}-{device * 16}"

    now = rng.choice((0, 9, 10, 11, 12, 2**40 + 5))
    return [
        ("tick", [stamp("a"), now]),
        ("receive", [stamp("a"), stamp("b"), now]),
        ("restamp", [stamp("a"), rng.choice([None, stamp("b")]), now]),
    ]


def lives(rng: random.Random) -> list[Call]:
    """The facts of several cases of the stage vectors thrown together."""
    cases = vectors("stages")
    drawn = [case["facts"] for case in rng.sample(cases["cases"], rng.randrange(1, 5))]
    facts = asdict(PieceFacts(id="p5"))
    for some in drawn:
        for name, value in some.items():
            if name == "piece":
                facts["piece"] = {**facts["piece"], **value}
            elif isinstance(value, list):
                facts[name] = [*facts[name], *value]
            else:
                facts[name] = value
    return [("stage", [facts, cases["as_of"]])]


@pytest.mark.parametrize(
    "make", [values_and_rules, amounts, edges, readings, lives], ids=lambda f: f.__name__
)
def test_both_languages_answer_alike(make: Callable[[random.Random], list[Call]]) -> None:
    rng = random.Random(20_260_501)
    calls = [call for _ in range(600) for call in make(rng)]
    done = subprocess.run(
        ["node", MIRROR], input=json.dumps(calls), capture_output=True, text=True, check=True
    )
    for call, theirs in zip(calls, json.loads(done.stdout), strict=True):
        assert theirs == answer(*call), call
