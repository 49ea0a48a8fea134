"""What the invented household deals in. Prices, days and minutes are invented for the story."""

from __future__ import annotations

from sample.world import Line

KINDS: list[dict[str, object]] = [
    {"slug": slug, "name": name, "typical_price": price, "sureness": sure, "typical_days": days,
     "typical_litres": litres, "care": care, "sort": sort}
    for sort, (slug, name, price, sure, days, litres, care) in enumerate([
        ("chair", "Chair", 4500, "fair", 18, 220, []),
        ("armchair", "Armchair", 9500, "guess", 28, 700, ["upholstered", "heavy"]),
        ("side-table", "Side table", 5500, "fair", 14, 120, []),
        ("coffee-table", "Coffee table", 9000, "fair", 21, 400, []),
        ("dresser", "Dresser", 17000, "guess", 34, 900, ["storage-unit", "heavy"]),
        ("nightstand", "Nightstand", 6000, "fair", 16, 160, ["storage-unit"]),
        ("bench", "Bench", 8500, "fair", 20, 300, []),
        ("desk", "Desk", 12000, "guess", 30, 700, ["heavy"]),
        ("bookcase", "Bookcase", 8000, "fair", 24, 450, ["heavy"]),
        ("mirror", "Mirror", 6500, "fair", 18, 60, ["mirror", "glass"]),
        ("stool", "Stool", 3000, "sure", 12, 60, []),
    ])
]  # fmt: skip

TRAITS: list[dict[str, object]] = [
    {"slug": slug, "name": name, "trait_group": group, "sort": sort}
    for sort, (slug, name, group) in enumerate([
        ("oak", "Oak", "material"), ("walnut", "Walnut", "material"), ("pine", "Pine", "material"),
        ("cane", "Cane", "feature"), ("rush-seat", "Rush seat", "feature"),
        ("drawers", "Drawers", "feature"), ("marble-top", "Marble top", "feature"),
        ("mid-century", "Mid-century", "style"), ("farmhouse", "Farmhouse", "style"),
        ("painted", "Painted", "colour"), ("makers-label", "Maker's label", "maker"),
    ])
]  # fmt: skip

STEPS: list[dict[str, object]] = [
    {"slug": slug, "name": name, "unit": unit, "typical_minutes": minutes, "supplies_cost": cost,
     "standing": standing, "care": care, "sort": sort}
    for sort, (slug, name, unit, minutes, cost, standing, care) in enumerate([
        ("deep-clean", "Deep clean", "piece", 20, 60, False, []),
        ("tighten-joints", "Tighten joints", "joint", 9, 25, False, []),
        ("scuff-sand", "Scuff sand", "piece", 25, 150, False, ["old-paint-dust"]),
        ("gel-stain", "Gel stain", "coat", 30, 260, False, ["oily-rags", "solvents"]),
        ("wax", "Wax", "piece", 15, 80, False, ["oily-rags"]),
        ("mend-cane", "Mend cane", "panel", 55, 900, False, []),
        ("new-knobs", "New knobs", "knob", 3, 220, False, []),
        ("touch-up", "Touch up", "piece", 10, 40, False, []),
        ("photograph", "Photograph", "piece", 10, 0, True, []),
        ("list", "List", "piece", 12, 0, True, []),
        ("answer", "Answer people", "piece", 10, 0, True, []),
        ("hand-over", "Hand over", "piece", 15, 0, True, ["lifting"]),
    ])
]  # fmt: skip

LINES = [
    Line("chair", "Chair", 4600, 16, ("oak", "cane", "rush-seat", "mid-century"),
         (("deep-clean", 1), ("tighten-joints", 4), ("wax", 1)), 6),
    Line("side-table", "Side table", 5200, 12, ("oak", "walnut", "drawers"),
         (("deep-clean", 1), ("touch-up", 1)), 6),
    Line("coffee-table", "Coffee table", 9800, 20, ("walnut", "marble-top", "mid-century"),
         (("deep-clean", 1), ("scuff-sand", 1), ("gel-stain", 2)), 4),
    Line("dresser", "Dresser", 18500, 34, ("oak", "pine", "painted", "makers-label"),
         (("deep-clean", 2), ("new-knobs", 8), ("scuff-sand", 2), ("gel-stain", 2)), 3),
    Line("nightstand", "Nightstand", 6300, 14, ("pine", "drawers", "farmhouse"),
         (("deep-clean", 1), ("new-knobs", 2), ("wax", 1)), 5),
    Line("bench", "Bench", 8800, 18, ("cane", "oak", "farmhouse"),
         (("deep-clean", 1), ("mend-cane", 1)), 4),
    Line("bookcase", "Bookcase", 7600, 24, ("oak", "pine", "painted"),
         (("deep-clean", 1), ("touch-up", 2), ("wax", 1)), 3),
    Line("mirror", "Mirror", 6900, 16, ("walnut", "painted"),
         (("deep-clean", 1), ("touch-up", 1)), 3),
    Line("stool", "Stool", 2900, 10, ("oak", "rush-seat", "painted"),
         (("deep-clean", 1), ("tighten-joints", 3)), 4),
    Line("armchair", "Armchair", 9900, 27, ("oak", "mid-century", "makers-label"),
         (("deep-clean", 2), ("tighten-joints", 4), ("wax", 1)), 2),
    Line("desk", "Desk", 12500, 30, ("oak", "walnut", "drawers"),
         (("deep-clean", 1), ("scuff-sand", 1), ("gel-stain", 2)), 2),
]  # fmt: skip
