"""The workings from "likely brings" down to "most to pay", in whole minor units."""

from __future__ import annotations

import math
from dataclasses import dataclass

from crestrail.basis.rounding import to_minor
from crestrail.pricing.offer import Deal, Offer, time_cost


@dataclass(frozen=True, slots=True)
class Step:
    """One row of the workings; rows before the last add up to the last, the most to pay."""

    key: str
    amount: int


def _parts(deal: Deal, supplies: float, pickup: float) -> list[tuple[str, float]]:
    t, brings = deal.terms, deal.resale
    sold = 1.0 - deal.u
    return [
        ("likely", brings.likely),
        ("more", brings.counted - brings.likely),
        ("fees", -sold * (t.fee * brings.counted + t.fee_fixed)),
        ("delivery", -sold * t.delivery),
        ("pickup", -pickup),
        ("supplies", -supplies),
        ("standing", -t.hold * deal.days),
        ("time", -time_cost(deal)),
        ("min_profit", -t.min_profit),
    ]


def limit(offer: Offer) -> int:
    """The smaller limit in whole minor units; negative when nothing can be paid."""
    by_profit = to_minor(offer.profit_limit)
    if math.isinf(offer.loss_limit):
        return by_profit
    return min(by_profit, to_minor(offer.loss_limit))


def waterfall(deal: Deal, offer: Offer, costs: tuple[float, float], most: int) -> list[Step]:
    """The rows; ``costs`` are supplies and pickup. Rows of 0 are left out, but for the ends.

    What rounding leaves goes into "unsold", the allowance for a piece that does not sell.
    "caution" is what the loss limit takes off; "note" rounds down to a whole note; "short" is
    what the rest falls short of nothing, where nothing can be paid.
    """
    rows = [Step(key, to_minor(amount)) for key, amount in _parts(deal, *costs)]
    by_profit, least = to_minor(offer.profit_limit), limit(offer)
    unsold = by_profit - sum(row.amount for row in rows)
    rows.insert(2, Step("unsold", unsold))
    rows.append(Step("caution", least - by_profit))
    rows.append(Step("note", most - least) if least > 0 else Step("short", most - least))
    shown = [row for i, row in enumerate(rows) if i == 0 or row.amount != 0]
    return [*shown, Step("most", most)]
