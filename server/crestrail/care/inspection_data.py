"""What to check before paying, and the flaws that can be noted, as data.

An item without ``care`` is for every kind. ``raises`` is the flaw to note when the check finds
something; the checks themselves are common practice unless a source stands beside them.
"""

from __future__ import annotations

from typing import Any

from crestrail.care.sources import PRACTICE

FLAWS: list[dict[str, Any]] = [
    {"code": code, "name": name, "deal_breaker": code in ("live-bugs", "recalled", "drop-side")}
    for code, name in (
        ("live-bugs", "Live bugs"),
        ("recalled", "Recalled"),
        ("drop-side", "Drop-side crib"),
        ("bug-signs", "Signs of bugs"),
        ("smoke", "Smoke smell"),
        ("pet-smell", "Pet smell"),
        ("mould", "Mould, musty smell"),
        ("old-paint", "Old or unknown paint"),
        ("wobbly", "Wobbly"),
        ("loose-joint", "Loose joint"),
        ("broken-part", "Broken part"),
        ("missing-part", "Missing part"),
        ("missing-hardware", "Missing hardware"),
        ("split-wood", "Split or cracked wood"),
        ("worm-holes", "Worm holes"),
        ("water-marks", "Water marks"),
        ("scratches", "Scratches, dents"),
        ("veneer-loose", "Loose veneer"),
        ("veneer-missing", "Missing veneer"),
        ("stuck-drawer", "Drawer sticks"),
        ("rust", "Rust"),
        ("stained", "Stained fabric"),
        ("torn", "Torn fabric"),
        ("sagging", "Sagging seat"),
        ("broken-cane", "Broken cane or rush"),
        ("cracked-glass", "Cracked or chipped glass"),
        ("bad-cord", "Bad cord or plug"),
    )
]


def _look(code: str, text: str, raises: str, **more: Any) -> dict[str, Any]:
    care = sorted(more.get("care", "").split())
    breaker = any(f["deal_breaker"] for f in FLAWS if f["code"] == raises)
    return {
        "code": code, "text": text, "raises": raises, "deal_breaker": breaker, "care": care,
        "sources": more.get("sources", PRACTICE).split(),
    }  # fmt: skip


BUGS = "Seams, piping, tufts, under the cushions, screw heads"

ITEMS: list[dict[str, Any]] = [
    _look("bugs-live", f"{BUGS}: anything alive?", "live-bugs",
          care="upholstered mattress-or-bedding", sources="bed-bugs"),
    _look("bugs-signs", f"{BUGS}: rusty stains, dark dots, pale skins, eggs?", "bug-signs",
          care="upholstered mattress-or-bedding", sources="bed-bugs"),
    _look("bugs-wood", "Drawer joints, screw holes, the back: dark dots, pale skins?", "bug-signs",
          care="storage-unit children", sources="bed-bugs"),
    _look("drop-side", "A crib: does a side slide down?", "drop-side",
          care="children", sources="cribs"),
    _look("nursery-whole", "Every part there, nothing broken?", "missing-part",
          care="children", sources="cpsc-resale"),
    _look("recall-label", "Maker's label, model and date: take a picture and check recalls",
          "recalled", care="children storage-unit powered mattress-or-bedding",
          sources="cpsc-resale"),
    _look("stands-firm", "Push it at the top corner: does it rock, does it tip with a drawer out?",
          "wobbly", care="storage-unit", sources="tip-over"),
    _look("wobble", "On flat ground, a hand on top: does it rock?", "wobbly"),
    _look("joints", "Lift one corner a little: do the joints open?", "loose-joint"),
    _look("parts", "Legs, rails, arms, back: cracked or mended?", "broken-part"),
    _look("smell", "Nose close, doors and drawers open: smoke?", "smoke"),
    _look("musty", "Inside, underneath, the back: musty, spots of mould?", "mould"),
    _look("pets", "Low down at the legs and skirts: pet smell, scratching?", "pet-smell"),
    _look("holes", "Small round holes with fresh dust below?", "worm-holes"),
    _look("paint", "Painted, and older or of unknown age?", "old-paint",
          care="painted children", sources="lead-paint"),
    _look("veneer", "A hand over tops and edges: lifting or missing veneer?", "veneer-loose"),
    _look("drawers", "Every drawer out and in again: does one stick, is a bottom loose?",
          "stuck-drawer", care="storage-unit"),
    _look("hardware", "Count pulls, hinges, shelf pins", "missing-hardware", care="storage-unit"),
    _look("fabric", "Arms, front edge, under the cushions: stains?", "stained",
          care="upholstered"),
    _look("seat", "Sit on every seat: does it sag, does a spring poke?", "sagging",
          care="upholstered"),
    _look("edges", "Edges and corners of glass: chips, cracks?", "cracked-glass",
          care="glass mirror"),
    _look("cord", "Cord and plug, cold: bare, taped, brittle?", "bad-cord", care="powered"),
]  # fmt: skip
"""In the order in which a person walks round a piece: what stops the deal first."""
