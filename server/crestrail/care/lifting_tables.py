"""Constants and tables of the lifting equation, NIOSH publication 94-110."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class System:
    """The manual's formulas in one system of units; ``mm`` and ``grams`` are its units' size."""

    load_constant: float
    h_least: float
    h_most: float
    low: float
    v_slope: float
    d_part: float
    far: float
    mm: float
    grams: float


METRIC = System(23.0, 25.0, 63.0, 75.0, 0.003, 4.5, 175.0, mm=10.0, grams=1000.0)
US = System(51.0, 10.0, 25.0, 30.0, 0.0075, 1.8, 70.0, mm=25.4, grams=453.59237)

PRINTED_HORIZONTAL_US = {22.0: 0.46, 23.0: 0.44}
"""Table 1 prints these two, where 10/H gives 0.45 and 0.43."""

FREQUENCIES = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
"""Lifts a minute of the rows of Table 5; above the last the factor is 0."""

FREQUENCY = (
    (1.00, 1.00, 0.95, 0.95, 0.85, 0.85),
    (0.97, 0.97, 0.92, 0.92, 0.81, 0.81),
    (0.94, 0.94, 0.88, 0.88, 0.75, 0.75),
    (0.91, 0.91, 0.84, 0.84, 0.65, 0.65),
    (0.88, 0.88, 0.79, 0.79, 0.55, 0.55),
    (0.84, 0.84, 0.72, 0.72, 0.45, 0.45),
    (0.80, 0.80, 0.60, 0.60, 0.35, 0.35),
    (0.75, 0.75, 0.50, 0.50, 0.27, 0.27),
    (0.70, 0.70, 0.42, 0.42, 0.22, 0.22),
    (0.60, 0.60, 0.35, 0.35, 0.18, 0.18),
    (0.52, 0.52, 0.30, 0.30, 0.00, 0.15),
    (0.45, 0.45, 0.26, 0.26, 0.00, 0.13),
    (0.41, 0.41, 0.00, 0.23, 0.00, 0.00),
    (0.37, 0.37, 0.00, 0.21, 0.00, 0.00),
    (0.00, 0.34, 0.00, 0.00, 0.00, 0.00),
    (0.00, 0.31, 0.00, 0.00, 0.00, 0.00),
    (0.00, 0.28, 0.00, 0.00, 0.00, 0.00),
)
"""Table 5: up to 1, 2, 8 hours, each with hands below and from 30 in (75 cm) up."""

COUPLING = {"good": (1.00, 1.00), "fair": (0.95, 1.00), "poor": (0.90, 0.90)}
"""Table 7: hands below, and from 30 in (75 cm) up. Most furniture is poor (Table 6)."""

OUT_OF_SCOPE = {
    "carrying": "Carrying farther than a step or two is outside it.",
    "fast": "Lifting fast is outside it.",
    "one-handed": "A one-handed lift is outside it.",
    "restricted": "Too little room to lift freely is outside it.",
    "seated": "Lifting while seated or kneeling is outside it.",
    "several-people": "A lift shared by several people is outside it.",
    "slippery": "A slippery floor is outside it.",
    "stairs": "Stairs are outside it.",
    "temperature": "Very cold or hot places are outside it.",
    "unstable": "A load that shifts is outside it.",
    "wheelbarrow": "Wheelbarrows and shovels are outside it.",
}
"""Where the equation does not apply, in words."""
