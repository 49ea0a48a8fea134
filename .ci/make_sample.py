#!/usr/bin/env python3
"""Write sample_scenario/: changes as phones send them, drawn pictures, and the numbers to expect.

    .venv/bin/python .ci/make_sample.py

The numbers to expect come from the story's own tally, kept while it is told, not from the tool.
"""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from pathlib import Path

from sample import episodes, foretelling
from sample.catalogue import KINDS, LINES, STEPS, TRAITS
from sample.pictures import draw_picture
from sample.world import AS_OF, START, World, seeded
from sample.writer import HOUSEHOLD, Writer, moment, text

from crestrail.basis.ids import new_tag_code

OUT = Path(__file__).resolve().parents[1] / "sample_scenario"
SEED = 20_261_121
SETTING = {
    "household_name": "Tarrow Ford (invented)", "time_zone": "America/Chicago", "units": "us",
    "note_step": 100, "wage_per_hour": 1500, "min_profit": 1000, "fee_ppm": 10_000,
    "fee_fixed": 0, "delivery_cost": 0, "hold_per_day": 10, "salvage_ppm": 350_000,
    "tolerance_ppm": 350_000, "per_mile": 30, "wage_covers": "everything",
    "goal_name": "A wood-fired bread oven", "goal_amount": 650_000, "cash_start": 30_000,
    "opened_on": "2025-08-01", "load_litres": 1400, "hand": "right",
    "pickup_note": "Ring at the side door by the weir.", "set_up_at": "2025-08-01T23:30:00.000Z",
}  # fmt: skip


def set_up(writer: Writer) -> dict[str, str]:
    """The household's settings, kinds, traits, steps, spots and supplies."""
    at = moment(date(2025, 8, 1), 18, 30)
    writer.put("setting", at, SETTING, HOUSEHOLD)
    for type_name, rows in (("kind", KINDS), ("trait", TRAITS), ("step", STEPS)):
        for row in rows:
            writer.put(type_name, at, dict(row))
    spots = {
        name: writer.put("spot", at, {"name": name, "litres": litres, "sort": sort})
        for sort, (name, litres) in enumerate(
            [("Garage left", 6000), ("Garage right", 5000), ("Shed", 4000), ("Hall", 900)]
        )
    }
    for name, unit, cost, milliunits in [
        ("Gel stain", "ml", 1890, 473_000), ("Furniture wax", "g", 1450, 450_000),
        ("Cane webbing", "strip", 2600, 4000),
    ]:  # fmt: skip
        writer.put("supply", at, {
            "name": name, "unit": unit, "cost": cost, "milliunits": milliunits,
        })  # fmt: skip
    return spots


def draw_photo(writer: Writer, kind: str) -> str:
    """A picture of such a piece, written as <sha256>.jpg; its name."""
    name, content = draw_picture(kind, writer.random)
    (OUT / "photos" / f"{name}.jpg").write_bytes(content)
    return name


def furnish(world: World, spots: dict[str, str]) -> None:
    """What is still there stands somewhere; most of it has a picture, some carries a tag."""
    at = moment(AS_OF, 10)
    shutil.rmtree(OUT / "photos", ignore_errors=True)
    (OUT / "photos").mkdir(parents=True)
    for number, (piece, kind) in enumerate(world.still_here().items()):
        when = at + timedelta(minutes=3 * number)
        spot = list(spots.values())[number % len(spots)]
        world.w.put("piece", when, {"spot_id": spot}, piece)
        if number % 6 != 5:
            world.picture(piece, when, draw_photo(world.w, kind))
        if number % 3 == 0:
            code = new_tag_code(world.rng.randbytes)
            tag = {"code": code, "piece_id": piece, "bound_at": text(when)}
            world.w.put("tag", when, tag)


def tell() -> World:
    """The whole story from the seed."""
    writer = Writer(seeded(SEED))
    spots = set_up(writer)
    world = World(writer, LINES)
    world.learn_steps({str(s["slug"]): int(str(s["typical_minutes"])) for s in STEPS})
    day = START
    while day < AS_OF:
        good_autumn = 3 if day > AS_OF - timedelta(days=20) else 0
        world.outing(day, writer.random.choice([2, 2, 3, 3, 4]) + good_autumn)
        day += timedelta(days=writer.random.choice([7, 7, 14]))
    episodes.all_of_them(world)
    furnish(world, spots)
    world.plan_drops()
    foretelling.going_back(world)
    foretelling.freeze_answers(world)
    episodes.on_the_bench(world)
    return world


def main() -> None:
    """Write the data and the numbers to expect."""
    world = tell()
    changes = sorted(world.w.changes, key=lambda c: max(c["stamps"].values()))
    lines = (json.dumps(c, ensure_ascii=False, sort_keys=True) for c in changes)
    (OUT / "changes.jsonl").write_text("\n".join(lines) + "\n")
    expected = {
        "invented": True, "as_of": text(moment(AS_OF, 23)),
        "household": HOUSEHOLD, "changes": len(changes), "tally": vars(world.tally),
        "in_all": world.accounts.in_all(), "pieces": world.accounts.ended(),
        "looks": {"both_edited": 1, "two_sales": 1, "changed_after_deleted": 1},
    }  # fmt: skip
    (OUT / "expected.json").write_text(json.dumps(expected, indent=2, sort_keys=True) + "\n")


if __name__ == "__main__":
    main()
