"""The vocabulary a new household starts with; a person changes all of it to their own.

Prices, days, minutes, supplies and sizes are common practice, no source: rough starting points
for a piece in ordinary condition, in minor units of a currency near the US dollar. Prices are
marked as a guess so that a few own sales outweigh them.
"""

from __future__ import annotations

from typing import Any

Starting = tuple[str, str, int, int, int, tuple[str, ...]]

# slug, name, typical price of one finished piece, days to sell, litres in the car, care
KINDS: tuple[Starting, ...] = (
    ("side-chair", "Side chair", 4500, 21, 180, ("upholstered",)),
    ("armchair", "Armchair", 12000, 21, 500, ("upholstered",)),
    ("rocking-chair", "Rocking chair", 9000, 21, 450, ()),
    ("stool", "Stool", 3500, 14, 80, ()),
    ("bench", "Bench", 9500, 21, 300, ()),
    ("ottoman", "Ottoman", 5500, 14, 150, ("upholstered",)),
    ("sofa", "Sofa", 26000, 30, 1800, ("upholstered", "heavy")),
    ("coffee-table", "Coffee table", 9500, 14, 250, ()),
    ("side-table", "Side table", 6000, 14, 120, ()),
    ("dining-table", "Dining table", 22000, 30, 900, ("heavy",)),
    ("desk", "Desk", 14000, 21, 600, ("heavy",)),
    ("dresser", "Dresser", 24000, 30, 800, ("storage-unit", "heavy")),
    ("chest-of-drawers", "Chest of drawers", 18000, 30, 600, ("storage-unit", "heavy")),
    ("nightstand", "Nightstand", 7000, 14, 120, ()),
    ("bookcase", "Bookcase", 9000, 21, 450, ("storage-unit",)),
    ("sideboard", "Sideboard", 28000, 45, 900, ("storage-unit", "heavy")),
    ("display-cabinet", "Display cabinet", 16000, 45, 1000, ("storage-unit", "glass", "heavy")),
    ("wardrobe", "Wardrobe", 20000, 60, 1600, ("storage-unit", "heavy")),
    ("bed-frame", "Bed frame", 15000, 30, 500, ("mattress-or-bedding", "heavy")),
    ("crib", "Crib", 7000, 21, 400, ("children", "mattress-or-bedding")),
    ("childs-chair", "Child's chair", 3000, 21, 80, ("children",)),
    ("mirror", "Mirror", 7500, 21, 60, ("mirror", "glass")),
    ("lamp", "Lamp", 4500, 21, 60, ("powered",)),
    ("recliner", "Recliner", 16000, 21, 900, ("upholstered", "heavy", "powered")),
)

# slug, name, group
TRAITS: tuple[tuple[str, str, str], ...] = (
    ("oak", "Oak", "material"),
    ("walnut", "Walnut", "material"),
    ("teak", "Teak", "material"),
    ("mahogany", "Mahogany", "material"),
    ("pine", "Pine", "material"),
    ("maple", "Maple", "material"),
    ("solid-wood", "Solid wood", "material"),
    ("veneer", "Veneer", "material"),
    ("particle-board", "Particle board", "material"),
    ("metal", "Metal", "material"),
    ("leather", "Leather", "material"),
    ("wicker", "Wicker or rattan", "material"),
    ("cane", "Cane seat or panel", "feature"),
    ("stone-top", "Stone top", "feature"),
    ("glass-top", "Glass top", "feature"),
    ("drawers", "Drawers", "feature"),
    ("extends", "Extends or folds", "feature"),
    ("carved", "Carved", "feature"),
    ("inlay", "Inlay", "feature"),
    ("dovetails", "Dovetailed drawers", "feature"),
    ("original-hardware", "Original hardware", "feature"),
    ("mid-century", "Mid-century", "style"),
    ("antique", "Antique", "style"),
    ("farmhouse", "Farmhouse", "style"),
    ("modern", "Modern", "style"),
    ("ornate", "Ornate", "style"),
    ("dark", "Dark wood", "colour"),
    ("light", "Light wood", "colour"),
    ("white", "White", "colour"),
    ("bright", "A bright colour", "colour"),
    ("makers-label", "Maker's label", "maker"),
    ("sought-maker", "A sought-after maker", "maker"),
)

# slug, name, unit, minutes and supplies per unit, in every plan, care
STEPS: tuple[tuple[str, str, str, int, int, bool, tuple[str, ...]], ...] = (
    ("photograph", "Photograph", "piece", 15, 0, True, ()),
    ("list", "List it", "piece", 15, 0, True, ()),
    ("answer", "Answer buyers", "piece", 20, 0, True, ()),
    ("hand-over", "Hand over", "piece", 20, 0, True, ("lifting",)),
    ("wipe-down", "Wipe down", "piece", 10, 50, False, ()),
    ("deep-clean", "Deep clean", "piece", 30, 200, False, ()),
    ("clean-upholstery", "Clean upholstery", "seat", 25, 300, False, ()),
    ("strip-trim", "Strip trim, pull staples", "seat", 10, 0, False, ("sharp",)),
    ("recover-seat", "Recover a seat", "seat", 35, 900, False, ("sharp",)),
    ("tighten", "Tighten and glue joints", "joint", 12, 50, False, ()),
    ("touch-up", "Touch up nicks", "piece", 15, 100, False, ()),
    ("scuff-sand", "Scuff sand", "piece", 30, 150, False, ("old-paint-dust",)),
    ("gel-stain", "Gel stain", "piece", 40, 500, False, ("solvents", "oily-rags")),
    ("oil-or-wax", "Oil or wax", "piece", 25, 200, False, ("oily-rags",)),
    ("paint", "Paint", "piece", 75, 1000, False, ("old-paint-dust",)),
    ("strip-finish", "Strip the old finish", "piece", 90, 1200, False,
     ("solvents", "old-paint-dust")),
    ("clear-coat", "Clear coat", "piece", 45, 500, False, ("solvents",)),
    ("fix-drawers", "Make drawers run", "drawer", 15, 50, False, ()),
    ("change-hardware", "Change hardware", "handle", 4, 200, False, ()),
)  # fmt: skip


def starting_kinds() -> list[dict[str, Any]]:
    """Fields of the ``kind`` records of a new household."""
    return [
        {
            "slug": slug,
            "name": name,
            "typical_price": price,
            "sureness": "guess",
            "typical_days": days,
            "typical_litres": litres,
            "care": list(care),
            "sort": i,
        }
        for i, (slug, name, price, days, litres, care) in enumerate(KINDS)
    ]


def starting_traits() -> list[dict[str, Any]]:
    """Fields of the ``trait`` records of a new household."""
    return [
        {"slug": slug, "name": name, "trait_group": group, "sort": i}
        for i, (slug, name, group) in enumerate(TRAITS)
    ]


def starting_steps() -> list[dict[str, Any]]:
    """Fields of the ``step`` records of a new household."""
    return [
        {
            "slug": slug,
            "name": name,
            "unit": unit,
            "typical_minutes": minutes,
            "supplies_cost": supplies,
            "standing": standing,
            "care": list(care),
            "sort": i,
        }
        for i, (slug, name, unit, minutes, supplies, standing, care) in enumerate(STEPS)
    ]
