"""The moments worth telling: lots, a return, a split set, crossed edits."""

from __future__ import annotations

from datetime import date, timedelta

from sample.world import World
from sample.writer import KITCHEN_PHONE, moment, text


def opening_stock(world: World) -> None:
    """Three pieces stood in the garage already; what they cost is known for one only."""
    at = moment(date(2025, 8, 1), 19)
    for title, kind, cost in [
        ("Grandmother's blanket bench", "bench", None),
        ("Oak stool with a burn mark", "stool", 400),
        ("Tall narrow bookcase", "bookcase", 0),
    ]:
        world.w.put("piece", at, {
            **world.w.happened(at), "kind": kind, "title": title, "count": 1, "traits": [],
            "found_grade": 2, "finished_grade": 3, "opening_on": "2025-08-01",
            "opening_cost": cost,
        })  # fmt: skip


def chairs_in_a_bundle(world: World) -> None:
    """Three chairs for one price; two are sold, one came back, its money was given back."""
    at = moment(date(2025, 9, 20), 9, 40)
    chairs = [
        world.w.put("piece", at, {
            **world.w.happened(at), "kind": "chair", "title": title, "count": 1,
            "traits": ["cane"], "found_grade": 3, "finished_grade": 4, "ask": 6000,
        })
        for title in ("Cane chair, left arm worn", "Cane chair, straight", "Cane chair, pale")
    ]  # fmt: skip
    world.buy(chairs, at + timedelta(minutes=4), 5000, {"ask": 6000})
    for number, chair in enumerate(chairs):
        evening = moment(date(2025, 9, 23 + number), 19)
        world.stint(chair, "mend-cane", 1, evening, 48 + 7 * number)
        world.w.put("piece", evening, {"ready_at": text(evening + timedelta(hours=2))}, chair)
    first = world.sale(chairs[0], moment(date(2025, 10, 11), 15), 5200)
    world.sale(chairs[1], moment(date(2025, 10, 19), 11), 4800)
    back = moment(date(2025, 10, 14), 17)
    world.w.put("return", back, {
        **world.w.happened(back), "sale_id": first, "refund": 5200, "fee_back": 0,
        "back_in_stock": True, "note": "A leg came loose on the way home.",
    })  # fmt: skip
    world.tally.refunds_minor += 5200
    world.accounts.came_back(chairs[0], 5200)


def a_set_divided(world: World) -> None:
    """Four stools bought as one set; a buyer wanted two."""
    at = moment(date(2026, 4, 11), 10, 5)
    parent = world.w.put("piece", at, {
        **world.w.happened(at), "kind": "stool", "title": "Four oak stools", "count": 4,
        "traits": ["oak"], "found_grade": 3, "finished_grade": 4, "ask": 4000,
    })  # fmt: skip
    world.buy([parent], at + timedelta(minutes=2), 3600, {"ask": 4000})
    evening = moment(date(2026, 4, 14), 18, 30)
    world.stint(parent, "tighten-joints", 12, evening, 84)
    world.w.put("piece", evening, {"ready_at": text(evening + timedelta(hours=2))}, parent)
    cut = moment(date(2026, 5, 2), 10)
    child = world.w.put("piece", cut, {
        **world.w.happened(cut), "kind": "stool", "title": "Two oak stools", "count": 2,
        "traits": ["oak"], "found_grade": 3, "finished_grade": 4,
        "ready_at": text(evening + timedelta(hours=2)),
    })  # fmt: skip
    world.w.put("split", cut, {
        **world.w.happened(cut), "parent_id": parent, "child_id": child, "child_weight": 2,
        "parent_weight": 2,
    })  # fmt: skip
    world.accounts.of[child] = world.accounts.of[parent].half()
    world.sale(child, cut + timedelta(hours=1), 5600)


def kept_and_let_go(world: World) -> None:
    """One piece stays in the house, one goes to the neighbour, one was free at the kerb."""
    at = moment(date(2025, 11, 8), 9, 15)
    kept, given, free = (
        world.w.put("piece", at, {
            **world.w.happened(at), "kind": kind, "title": title, "count": 1, "traits": [],
            "found_grade": 3, "finished_grade": 4, "ask": ask,
        })
        for kind, title, ask in [
            ("mirror", "Round hall mirror", 1500), ("nightstand", "Wobbly nightstand", 500),
            ("bookcase", "Bookcase from the kerb", 0),
        ]
    )  # fmt: skip
    world.buy([kept], at + timedelta(minutes=5), 1200, {"ask": 1500})
    world.buy([given], at + timedelta(minutes=9), 500, {"ask": 500})
    world.buy([free], at + timedelta(minutes=15), 0, {"ask": 0})
    later = moment(date(2025, 12, 6), 12)
    world.w.put("piece", later, {"kept_at": text(later)}, kept)
    world.w.put("piece", later, {"let_go_at": text(later), "let_go_how": "given"}, given)
    world.accounts.of[given].gone = True


def wants_and_sightings(world: World) -> None:
    """Somebody is waiting; and what similar pieces were asked elsewhere."""
    for day, kind, traits, limit, name, note in [
        (date(2026, 11, 9), "bench", ["cane"], 16000, "Eska", "A cane bench for a hallway"),
        (date(2026, 9, 27), "dresser", ["pine"], 22000, "Hale", "Low and wide, for twins"),
        (date(2026, 8, 3), "mirror", [], 9000, "Ilse", "Anything oval"),
    ]:
        at = moment(day, 17)
        world.w.put("want", at, {
            **world.w.happened(at), "kind": kind, "traits": traits, "limit": limit, "name": name,
            "note": note, "until_on": None,
        })  # fmt: skip
    for day, kind, amount, sold in [
        (date(2026, 5, 9), "desk", 14000, False),
        (date(2026, 6, 1), "armchair", 11000, True),
        (date(2026, 7, 19), "dresser", 24000, False),
        (date(2026, 9, 5), "bench", 9500, True),
    ]:
        at = moment(day, 21)
        world.w.put("seen_elsewhere", at, {
            **world.w.happened(at), "kind": kind, "traits": [], "count": 1, "grade": 4,
            "amount": amount, "sold": sold, "where": "board at the chapel hall",
        })  # fmt: skip


def spending(world: World) -> None:
    """Supplies, tools and a hired van."""
    for day, amount, category, note in [
        (date(2025, 8, 5), 4380, "supplies", "wax, rags, sandpaper"),
        (date(2025, 10, 2), 3150, "tools", "clamps"),
        (date(2025, 12, 1), 2790, "supplies", "gel stain"),
        (date(2026, 2, 14), 1925, "supplies", "cane webbing"),
        (date(2026, 4, 20), 5500, "vehicle_hire", "van for one dresser and a desk"),
        (date(2026, 6, 8), 3340, "supplies", "stain, knobs"),
        (date(2026, 9, 3), 1200, "advertising", "printed cards"),
    ]:
        at = moment(day, 13)
        world.w.put("expense", at, {
            **world.w.happened(at), "amount": amount, "category": category, "note": note,
        })  # fmt: skip
        world.tally.expenses_minor += amount


def two_people_at_once(world: World) -> None:
    """Edits that crossed: two of one field, one after a deletion, and one piece sold twice."""
    at = moment(date(2026, 10, 24), 9, 30)
    crossed, twice, gone = (
        world.w.put("piece", at, {
            **world.w.happened(at), "kind": kind, "title": title, "count": 1, "traits": [],
            "found_grade": 3, "finished_grade": 4, "ask": 2000,
        })
        for kind, title in [
            ("desk", "Small writing desk"), ("stool", "Milking stool"), ("chair", "Broken chair"),
        ]
    )  # fmt: skip
    world.buy([crossed], at + timedelta(minutes=3), 2000, {"ask": 2000})
    world.buy([twice], at + timedelta(minutes=6), 800, {"ask": 1000})
    world.w.put("piece", at + timedelta(hours=6), {"title": "Writing desk, one drawer"}, crossed)
    world.w.put_unaware(
        "piece", at + timedelta(hours=7), {"title": "Clerk's desk, drawer sticks"}, crossed
    )
    sold = moment(date(2026, 11, 7), 11)
    world.sale(twice, sold, 3400)
    second = sold + timedelta(hours=2)
    world.w.put("sale", second, {
        **world.w.happened(second), "piece_id": twice, "price": 3600, "fee": 0,
        "delivery_charged": 0, "buyer": "Gorran", "handover": "pickup",
        "handed_over_at": text(second), "receipt": "B-0001",
    }, device=KITCHEN_PHONE)  # fmt: skip
    world.w.put("piece", at + timedelta(days=2), {"deleted": True}, gone)
    world.w.put_unaware("piece", at + timedelta(days=3), {"note": "Legs are worth saving"}, gone)


def holds(world: World) -> None:
    """One of the listed pieces is promised until the weekend after the story ends."""
    at = moment(date(2026, 11, 20), 18)
    if world.pieces:
        piece = world.pieces[-1]["id"]
        world.w.put("hold", at, {
            **world.w.happened(at), "piece_id": piece, "name": "Corrin",
            "until_at": text(moment(date(2026, 12, 5), 12)),
            "terms": "Deposit goes back if the piece is not as shown.",
        })  # fmt: skip
        world.w.put("payment", at, {
            **world.w.happened(at), "piece_id": piece, "amount": 2000, "note": "deposit, cash",
        })  # fmt: skip


def on_the_bench(world: World) -> None:
    """What three pieces still need, one step of each is done; told last so that no other chance of
    the story moves."""
    named = {c["fields"].get("title"): c["id"] for c in world.w.changes if c["type"] == "piece"}
    at = moment(date(2026, 11, 20), 19)
    for title, steps in [
        ("Tall narrow bookcase", [("deep-clean", 1), ("touch-up", 2), ("wax", 1)]),
        ("Cane chair, left arm worn", [("tighten-joints", 4), ("mend-cane", 1)]),
        ("Small writing desk", [("deep-clean", 1), ("scuff-sand", 1), ("gel-stain", 2)]),
    ]:
        for sort, (step, units) in enumerate(steps):
            world.w.put("piece_step", at + timedelta(minutes=sort), {
                "piece_id": named[title], "step": step, "units": units, "sort": sort,
                **({} if sort else {"done_at": text(at)}),
            })  # fmt: skip


def all_of_them(world: World) -> None:
    """Every episode, in the order of the story."""
    opening_stock(world)
    chairs_in_a_bundle(world)
    kept_and_let_go(world)
    a_set_divided(world)
    wants_and_sightings(world)
    spending(world)
    two_people_at_once(world)
    holds(world)
