"""The cautions themselves, as data; ``cautions.py`` picks from them.

``when`` lists alternatives; an alternative is a set of words that must all be there. The words
are care slugs of kinds (``upholstered mattress-or-bedding children storage-unit glass painted
heavy powered mirror``), care slugs of steps (``solvents oily-rags old-paint-dust lifting sharp
reupholstering``) and flaws (``inspection_data.FLAWS``). ``until`` names the answer after which
the caution is no longer shown. ``sources`` are names in ``sources.SOURCES``.
"""

from __future__ import annotations

from typing import Any

from crestrail.care.sources import PRACTICE

LEVELS = ("stop", "warn", "note")
"""Stop: walk away, no number is shown. Warn: said before the person decides. Note: the rest."""

RECALLS_CHECKED = "recalls-checked"


def _entry(code: str, level: str, when: str, words: tuple[str, str, str]) -> dict[str, Any]:
    title, text, source = words
    alternatives = [sorted(part.split("+")) for part in when.split()]
    return {
        "code": code, "level": level, "when": alternatives, "until": "",
        "title": title, "text": text, "sources": source.split(),
    }  # fmt: skip


def _stop(code: str, when: str, title: str, text: str, source: str) -> dict[str, Any]:
    return _entry(code, "stop", when, (title, text, source))


def _warn(code: str, when: str, title: str, text: str, source: str) -> dict[str, Any]:
    return _entry(code, "warn", when, (title, text, source))


def _note(code: str, when: str, title: str, text: str, source: str) -> dict[str, Any]:
    return _entry(code, "note", when, (title, text, source))


STOPS = [
    _stop(
        "live-bugs",
        "live-bugs",
        "Live bugs: walk away",
        "Live bed bugs were seen. Don't load it and don't bring it indoors. Getting rid of them "
        "is work for a licensed pest controller.",
        "bed-bugs",
    ),
    _stop(
        "recalled",
        "recalled",
        "Recalled: walk away",
        "A recalled product may not be sold, not at a yard sale either. When in doubt, throw it "
        "out; the recall notice says what the maker offers. Check the notice at cpsc.gov/Recalls.",
        "cpsc-resale",
    ),
    _stop(
        "drop-side",
        "drop-side children+drop-side",
        "Drop-side crib: walk away",
        "A crib whose side slides down can't meet the crib rules that have bound used cribs since "
        "28 June 2011, and can't be mended into meeting them. It may not be sold. Check "
        "cpsc.gov before taking any other crib: you can't tell by looking.",
        "cribs",
    ),
    _stop(
        "nursery-broken",
        "children+wobbly children+loose-joint children+broken-part children+missing-part "
        "children+missing-hardware",
        "Broken nursery furniture: walk away",
        "Children's furniture that is broken, wobbly or lacks a part is never sold on. Check "
        "cpsc.gov for the product; when in doubt, throw it out.",
        "cpsc-resale",
    ),
]

WARNINGS = [
    _warn(
        "bug-signs",
        "bug-signs",
        "Signs of bugs",
        "Rusty or reddish stains, dark spots the size of a pen's dot, pale shed skins or tiny "
        "eggs were seen. Leave it unless somebody licensed in pest control says it is clear.",
        "bed-bugs",
    ),
    _warn(
        "recalls-unchecked",
        "children storage-unit powered mattress-or-bedding",
        "Recalls not checked",
        "Recalls can't be looked up without signal. Check cpsc.gov/Recalls before it joins your "
        "stock, in any case before it is listed, and note the day.",
        "cpsc-resale",
    )
    | {"until": RECALLS_CHECKED},
    _warn(
        "cribs",
        "children",
        "Children's furniture",
        "Cribs, used ones too, must meet the federal crib rules, and you can't tell by looking. "
        "Sellers need not test, but may not knowingly sell what fails the law. Paint on anything "
        "for children must be within the lead limit. Check cpsc.gov before you pay.",
        "cribs cpsc-resale lead-paint",
    ),
    _warn(
        "old-paint",
        "old-paint children+painted",
        "Old paint: treat as lead",
        "Painted and perhaps from before 1978, or of unknown age: treat as lead unless a "
        "laboratory says otherwise. No dry sanding, no dry scraping, no open flame, no hot air "
        "gun; keep children and food away. Home test kits don't prove that there is none. Ask a "
        "certified lead professional.",
        "lead-work lead-kits",
    ),
    _warn(
        "old-paint-dust",
        "old-paint-dust",
        "Dust from a finish",
        "Unless you know the finish is not old paint, treat as lead unless a laboratory says "
        "otherwise: work wet, no power sanding without a HEPA vacuum, no open flame, keep children "
        "and food away. Ask a certified lead professional.",
        "lead-work",
    ),
    _warn(
        "oily-rags",
        "oily-rags",
        "Oily rags can catch fire by themselves",
        "Rags with oil-based stain, varnish or paint heat up as they dry; most gel stains are "
        "oil-based. Never pile them. Hang them outside or spread them flat and weighted, away "
        "from buildings; when dry, into a metal can with a tight lid, filled with water and "
        "detergent. Check how your town takes them.",
        "oily-rags",
    ),
    _warn(
        "solvents",
        "solvents",
        "Solvents and strippers",
        "Work outdoors or with windows open, follow the label, and keep flames away; vapours "
        "stay in the air after the work. Check the label of an old can: paint removers with "
        "methylene chloride are no longer sold to consumers.",
        "indoor-air strippers",
    ),
    _warn(
        "lifting",
        "lifting heavy",
        "Beyond one person",
        "Furniture is bulky and poor to grip, so it soon goes beyond what one person should "
        "lift. The published lifting limit doesn't cover carrying, stairs or a lift shared by "
        "several people. Empty it, take out drawers, use straps or a dolly, or ask a licensed "
        "mover.",
        "lifting",
    ),
    _warn(
        "tip-over",
        "storage-unit",
        "Chests and dressers tip over",
        "A free-standing clothing storage unit can fall on a child. The federal stability rule "
        "binds units made after 1 September 2023; older ones aren't covered, but recalled ones "
        "may not be sold. Pass on an anti-tip kit and say so in the listing. Check cpsc.gov for "
        "the maker.",
        "tip-over cpsc-resale",
    ),
    _warn(
        "powered",
        "powered bad-cord",
        "Electric parts",
        "Look at cord, plug and motor cold, then running. A bare, hot or taped cord: don't plug "
        "it in; repair is for a licensed electrician. Check cpsc.gov for recalls.",
        f"{PRACTICE} cpsc-resale",
    ),
    _warn(
        "broken-glass",
        "cracked-glass",
        "Cracked glass",
        "Don't lift the piece by it and don't sell it so. Tape it, wear gloves, and ask a "
        "glazier about safety glass before it is used again.",
        PRACTICE,
    ),
    _warn(
        "mould",
        "mould",
        "Mould or a musty smell",
        "It comes back from padding and raw wood, and some people react to it. Keep it away from "
        "other pieces and wear a mask; ask a licensed remediator if it is more than a spot. "
        "Say it in the listing.",
        PRACTICE,
    ),
    _warn(
        "unstable",
        "wobbly broken-part",
        "Not safe to use as it is",
        "Don't sit or stand on it until it is mended. If you can't mend it soundly, don't sell it "
        "for use: check with a licensed furniture restorer.",
        PRACTICE,
    ),
    _warn(
        "bedding-rules",
        "mattress-or-bedding",
        "Used bedding",
        "If a mattress or bedding comes with it: many states want it treated, registered and "
        "tagged before it is sold. Check your state before you pay. Look in seams and piping for "
        "bugs first.",
        "state-tags",
    ),
    _warn(
        "upholstery-tag",
        "upholstered",
        "Used upholstery: check your state before buying",
        "Several states want the seller of second-hand upholstery to register, to have it "
        "disinfected or to tag it, some of them in yellow. Rules differ, and some exempt "
        "antiques: check your state before you pay.",
        "state-tags",
    ),
    _warn(
        "reupholstering",
        "reupholstering",
        "New upholstery for sale",
        "A piece reupholstered for sale must meet the federal rule on upholstery fire, with its "
        "permanent label. Cleaning and touching up wood doesn't count as reupholstering. Check "
        "the rule or ask a licensed upholsterer.",
        "upholstery-fire",
    ),
]

NOTES = [
    _note(
        "bugs-look",
        "upholstered mattress-or-bedding",
        "Look for bugs before it is loaded",
        "Seams, piping, tufts, under cushions, screw heads: rusty stains, dark dots, "
        "pale skins, eggs of about a millimetre. If unsure, ask a licensed pest controller.",
        "bed-bugs",
    ),
    _note(
        "painted",
        "painted",
        "Paint of unknown age",
        "Furniture paint has been limited in lead since 1978, and more strictly since 2009. If "
        "the paint may be older, treat as lead unless a laboratory says otherwise; mark it as "
        "old paint. Check with a certified lead professional.",
        "lead-paint",
    ),
    _note(
        "glass",
        "glass",
        "Glass tops and doors",
        "Carry glass apart from its frame and on edge, with gloves. Older glass may not be "
        "safety glass: look for a mark etched in a corner and check with a glazier.",
        PRACTICE,
    ),
    _note(
        "mirror",
        "mirror",
        "Mirrors",
        "Carry upright, never flat. The hanger must bear the weight: check cord, hooks and frame "
        "before it is hung.",
        PRACTICE,
    ),
    _note(
        "sharp",
        "sharp",
        "Staples and tacks",
        "Eye protection and gloves; count what falls, sweep with a magnet, and check the floor "
        "before children or pets come in.",
        PRACTICE,
    ),
    _note(
        "smoke",
        "smoke",
        "Smoke smell",
        "It sits in padding and raw wood and may come back in warm weather. Say it in the "
        "listing; check it again after cleaning before you call it gone.",
        PRACTICE,
    ),
    _note(
        "cleaners",
        "solvents mould",
        "Cleaning products",
        "Follow each product's label and don't mix products. Check the label for gloves and air.",
        PRACTICE,
    ),
]

CAUTIONS: list[dict[str, Any]] = [*STOPS, *WARNINGS, *NOTES]
"""In the order shown: the gravest first."""
