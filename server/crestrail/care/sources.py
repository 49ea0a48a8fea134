"""Where the texts of this folder come from; one short name a public document.

A fact of the trade that nobody published is marked ``PRACTICE``, on screen too.
"""

from __future__ import annotations

PRACTICE = "practice"

SOURCES: dict[str, str] = {
    PRACTICE: "Common practice, no source",
    "cpsc-resale": (
        "U.S. Consumer Product Safety Commission (CPSC), Resale/Thrift Stores FAQ and Resellers "
        "Guide, publication 254; recalls at cpsc.gov/Recalls, reports at SaferProducts.gov"
    ),
    "cribs": "16 CFR 1219 and 1220, cribs, used as well as new; 75 FR 81766",
    "tip-over": ("16 CFR 1261, clothing storage units (ASTM F2057-23); 15 USC 2056f; 88 FR 28403"),
    "upholstery-fire": "16 CFR 1640, upholstered furniture flammability; 86 FR 18440",
    "state-tags": (
        "State rules differ; among them Ohio OAC 4101:6-1-08, Connecticut 21a-235-14, New York "
        "General Business Law 389-a, Pennsylvania's second-hand dealer registration"
    ),
    "lead-paint": "16 CFR 1303, lead in paint and furniture; 73 FR 77492",
    "lead-work": (
        "U.S. EPA, 40 CFR 745, and HUD, 24 CFR 35.140: work practices for old paint in housing, "
        "used here as a caution for furniture"
    ),
    "lead-kits": "U.S. EPA, report 747-R-94-002 (1994), on do-it-yourself lead test kits",
    "bed-bugs": "U.S. EPA, bed bugs: inspecting second-hand furniture before it comes home",
    "oily-rags": "National Fire Protection Association (NFPA), tip sheet Safety with Oily Rags",
    "indoor-air": "U.S. EPA, Volatile Organic Compounds' Impact on Indoor Air Quality",
    "strippers": "84 FR 11420 (27 March 2019), methylene chloride paint removers",
    "lifting": (
        "NIOSH publication 94-110, Applications Manual for the Revised NIOSH Lifting Equation"
    ),
}

DEFER = (
    "General cautions, not advice on your case. Local rules, the product's own label and "
    "licensed people come first."
)
"""The line that stands under every list of cautions."""
