"""Measures: millimetres, grams, metres and litres inside, the person's units at the edge.

The factors are exact: the inch is 25.4 mm and the pound 0.45359237 kg by definition (NIST
Special Publication 811, appendix B.8), the mile 5,280 feet, the cubic foot 12 inches cubed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from crestrail.basis.errors import BadInput
from crestrail.basis.rounding import half_up


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: how many base units it is (numerator / denominator) and how it is shown.

    ``parts`` is how finely it is shown: 4 for quarters, 10 for one decimal, 1 for whole ones.
    """

    symbol: str
    numerator: int
    denominator: int
    parts: int


UNITS: dict[str, dict[str, Unit]] = {
    "length": {"us": Unit("in", 254, 10, 4), "metric": Unit("cm", 10, 1, 10)},
    "weight": {"us": Unit("lb", 45_359_237, 100_000, 1), "metric": Unit("kg", 1000, 1, 10)},
    "distance": {"us": Unit("mi", 1_609_344, 1000, 10), "metric": Unit("km", 1000, 1, 10)},
    "volume": {
        "us": Unit("cu ft", 28_316_846_592, 1_000_000_000, 10),
        "metric": Unit("L", 1, 1, 1),
    },
}
"""Measure and system of units to the unit shown; base units are mm, g, m and litres."""

_DECIMAL = re.compile("([0-9]{1,9})(?:[.,]([0-9]{0,6}))?|[.,]([0-9]{1,6})")
_FRACTION = re.compile("(?:([0-9]{1,9}) )?([0-9]{1,3})/([0-9]{1,3})")
_THOUSANDS = re.compile("[1-9][0-9]{0,2}(?:,[0-9]{3})+(?=$|[. ])")
_SPACES = re.compile("[ \t\u00a0]+")


def parse_quantity(text: str) -> tuple[int, int]:
    """Numerator and denominator of ``30``, ``30.5``, ``30 1/2`` or ``1,200``; BadInput otherwise.

    A comma parts thousands where it can, since that is how we show them, else decimals.
    """
    body = _SPACES.sub(" ", text).strip(" ")
    if grouped := _THOUSANDS.match(body):
        body = grouped.group().replace(",", "") + body[grouped.end() :]
    if found := _DECIMAL.fullmatch(body):
        whole, part = found.group(1) or "0", found.group(2) or found.group(3) or ""
        return int(whole + part), 10 ** len(part)
    found = _FRACTION.fullmatch(body)
    if not found or int(found.group(3)) == 0:
        raise BadInput("bad_quantity", text=text[:40])
    whole, top, bottom = (int(group or 0) for group in found.groups())
    return whole * bottom + top, bottom


def to_base(numerator: int, denominator: int, unit: Unit) -> int:
    """So much of a unit in base units, to the nearest whole one, halves up."""
    return half_up(numerator * unit.numerator, denominator * unit.denominator)


def in_parts(base: int, unit: Unit) -> int:
    """Base units as a count of the unit's parts (quarters, tenths), to the nearest, halves up."""
    return half_up(base * unit.denominator * unit.parts, unit.numerator)


def parse_measure(text: str, measure: str, system: str) -> int:
    """What a person typed, in base units; the unit's own symbol may follow the number."""
    unit = UNITS[measure][system]
    body = _SPACES.sub(" ", text).strip(" ").removesuffix(unit.symbol)
    return to_base(*parse_quantity(body), unit)


def show_measure(base: int, measure: str, system: str) -> str:
    """Base units as the person reads them: ``30 1/2 in``, ``77.5 cm``, ``12.3 mi``."""
    unit = UNITS[measure][system]
    count = in_parts(base, unit)
    sign, (whole, part) = ("-" if count < 0 else ""), divmod(abs(count), unit.parts)
    return f"{sign}{_written(whole, part, unit.parts)} {unit.symbol}"


def _written(whole: int, part: int, parts: int) -> str:
    if part == 0:
        return f"{whole:,}"
    if parts == 10:
        return f"{whole:,}.{part}"
    fraction = "1/2" if part * 2 == parts else f"{part}/{parts}"
    return f"{whole:,} {fraction}" if whole else fraction
