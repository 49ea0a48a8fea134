"""Year-end figures in the order of the US forms: Schedule C lines, Schedule SE, Form 1099-K.

Figures for the person's own records, not tax advice; the year's form and its instructions
decide, and a licensed preparer knows. Line numbers 8 to 20a, 22 and 24 to 25 of Schedule C and
the line chain of Schedule SE are from pages that quote the forms; the other line numbers are
from memory and may move from year to year.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from crestrail.books.accounts import ACCOUNTS, RESULT
from crestrail.books.facts import Facts
from crestrail.books.lines import COST
from crestrail.books.mileage import deduction, trips
from crestrail.books.postings import Posting
from crestrail.books.profit import stock_on
from crestrail.books.rates import FORM_1099_K, SELF_EMPLOYMENT

WORDS = (
    "Figures for your own records, not tax advice. The year's form and its instructions decide; "
    "ask a licensed preparer."
)

CAR_METHODS = ("standard", "actual")
"""One for a year: miles at the standard rate, or what the car cost; never both."""


@dataclass(frozen=True, slots=True)
class SelfEmploymentTax:
    """Schedule SE in minor units; ``half`` is what may be deducted of ``total``."""

    net_earnings: int
    social_security: int
    medicare: int
    total: int
    half: int


def self_employment_tax(net_profit: int, year: int, wages: int = 0) -> SelfEmploymentTax:
    """Self-employment tax on a year's net profit, each line to the cent, halves up.

    Net earnings are 92.35% of the profit; below $400 (before rounding) nothing is owed. 12.4%
    up to the year's wage base less ``wages`` already taxed, 2.9% without limit (IRC 1401, 1402).
    The additional Medicare tax of Form 8959 is not in it. LookupError for a year without figures.
    """
    if year not in SELF_EMPLOYMENT:
        raise LookupError(f"no Schedule SE figures for {year} are known")
    exact = Decimal(net_profit) * Decimal("0.9235")
    if exact < 400_00:
        return SelfEmploymentTax(0, 0, 0, 0, 0)
    earnings = _whole(exact)
    room = max(0, SELF_EMPLOYMENT[year].wage_base - wages)
    security = _whole(Decimal("0.124") * min(earnings, room))
    medicare = _whole(Decimal("0.029") * earnings)
    total = security + medicare
    return SelfEmploymentTax(earnings, security, medicare, total, _whole(Decimal(total) / 2))


def _whole(amount: Decimal) -> int:
    return int(amount.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def platform_reports(gross: int, transactions: int) -> bool:
    """Whether a payment platform has to report so much, federally: above both limits."""
    return gross > FORM_1099_K.amount_over and transactions > FORM_1099_K.transactions_over


LINE_OF: Mapping[str, str] = {
    "sales": "1", "delivery": "1", "returns": "2", "cost_of_sold": "42", "written_off": "42",
    "fees": "10", "expense_fees": "10", "expense_advertising": "8", "expense_helper": "11",
    "expense_vehicle_hire": "20a", "expense_storage": "20b", "expense_supplies": "22",
    "expense_tools": "22", "expense_phone": "25", "expense_other": "27", "expense_parking": "9",
    "expense_fuel": "9",
}  # fmt: skip
"""The one line of each account that makes up the result."""

_EXPENSE_LINES = ("8", "9", "10", "11", "20a", "20b", "22", "25", "27")


@dataclass(frozen=True, slots=True)
class ScheduleC:
    """Line totals of a year in minor units.

    ``set_aside`` is fuel that the standard rate already covers; ``days_without_rate`` are days
    of drives whose rate is not published yet.
    """

    year: int
    car_method: str
    lines: dict[str, int]
    set_aside: int
    days_without_rate: tuple[str, ...]


def schedule_c(facts: Facts, posted: Sequence[Posting], year: int, car_method: str) -> ScheduleC:
    """The lines that the household's records fill, by the local day of each fact.

    Every cent of the result stands on one line. Supplies are deducted when bought (line 22), so
    none are in the cost of goods. ValueError for an unknown way of deducting the car.
    """
    if car_method not in CAR_METHODS:
        raise ValueError(f"the car is deducted by one of {CAR_METHODS}")
    mine = [p for p in posted if p.on.startswith(f"{year:04d}-")]
    lines = dict.fromkeys(("1", "2", *_EXPENSE_LINES), 0) | _sums(mine)
    fuel = sum(p.amount for p in mine if p.account == "expense_fuel")
    miles = deduction(trips(facts, year))
    standard = car_method == "standard"
    if standard:
        lines["9"] += miles.amount - fuel
    lines |= _inventory(posted, year)
    return ScheduleC(
        year=year,
        car_method=car_method,
        lines=_result(lines),
        set_aside=fuel if standard else 0,
        days_without_rate=miles.days_without_rate if standard else (),
    )


def _sums(mine: Iterable[Posting]) -> dict[str, int]:
    found: dict[str, int] = {}
    for posting in mine:
        if ACCOUNTS[posting.account].kind in RESULT:
            line = LINE_OF[posting.account]
            sign = -1 if line == "1" else 1
            found[line] = found.get(line, 0) + sign * posting.amount
    return found


def _inventory(posted: Sequence[Posting], year: int) -> dict[str, int]:
    """Part III at cost; stock there at the start of the books counts as opening inventory.

    Pieces kept for ourselves come off the purchases (line 36).
    """
    first, last = f"{year:04d}-01-01", f"{year:04d}-12-31"
    mine = [p for p in posted if first <= p.on <= last]
    opened = -sum(p.amount for p in mine if p.account == "owner" and p.fact_type == "piece")
    bought = sum(p.amount for p in mine if p.account in COST and p.fact_type == "purchase")
    withdrawn = sum(p.amount for p in mine if p.account == "withdrawn")
    return {
        "35": sum(stock_on(posted, f"{year - 1:04d}-12-31").values()) + opened,
        "36": bought - withdrawn,
        "41": sum(stock_on(posted, last).values()),
    }


def _result(lines: dict[str, int]) -> dict[str, int]:
    """The lines that follow from the others; line 42 as 40 less 41."""
    found = dict(lines)
    found["3"] = found["1"] - found["2"]
    found["40"] = found["35"] + found["36"]
    found["42"] = found["40"] - found["41"]
    found["4"] = found["42"]
    found["5"] = found["7"] = found["3"] - found["4"]
    found["28"] = sum(found[line] for line in _EXPENSE_LINES)
    found["29"] = found["31"] = found["7"] - found["28"]
    return dict(sorted(found.items(), key=_place))


def _place(line: tuple[str, int]) -> tuple[int, str]:
    digits = line[0].rstrip("ab")
    return int(digits), line[0]
