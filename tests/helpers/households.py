"""Small households as flat records, and random ones, for tests of the books."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from crestrail.basis.clock import local_day, to_text
from crestrail.records.schema import EXPENSE_CATEGORIES

ZONE = "America/Los_Angeles"
LATER = "2027-12-31T00:00:00.000Z"
START = datetime(2025, 11, 1, 17, 30, tzinfo=UTC)


def at(day: str, time: str = "18:00") -> dict[str, str]:
    """A fact's moment: the UTC time of a day that is that day in the zone too."""
    return {"at": f"{day}T{time}:00.000Z", "on": day}


def household(*rows: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """Records by type from rows that carry their ``type``; ids are given where missing."""
    found: dict[str, list[dict[str, Any]]] = {}
    for n, row in enumerate(rows):
        fields = {"id": f"r{n:03d}"} | {k: v for k, v in row.items() if k != "type"}
        found.setdefault(row["type"], []).append(fields)
    return found


def rec(type_name: str, day: str = "2026-03-01", **fields: Any) -> dict[str, Any]:
    """A row with its type and its moment."""
    moment = {"started_at": at(day)["at"], "on": day} if type_name == "stint" else at(day)
    return {"type": type_name} | moment | fields


class Town:
    """Makes a random household: every kind of fact, duplicates, double sales and divisions."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.rows: list[dict[str, Any]] = []
        self.pieces: list[str] = []

    def moment(self) -> dict[str, str]:
        instant = START + timedelta(minutes=self.random.randrange(0, 500 * 24 * 60))
        return {"at": to_text(instant), "on": local_day(instant, ZONE)}

    def add(self, type_name: str, **fields: Any) -> str:
        """One more record; its id."""
        name = f"{type_name[:2]}{len(self.rows):04d}-{self.random.randrange(16**4):04x}"
        self.rows.append({"type": type_name, "id": name} | fields)
        return name

    def cents(self, top: int = 30_000) -> int:
        return self.random.choice([0, self.random.randrange(top), self.random.randrange(top)])

    def maybe(self, value: Any) -> Any:
        return self.random.choice([value, None])

    def any_piece(self) -> str:
        return self.random.choice(self.pieces)

    def build(self, size: int) -> dict[str, list[dict[str, Any]]]:
        """A household with so many purchases."""
        self.add(
            "setting", set_up_at="2025-11-01T00:00:00.000Z", cash_start=self.cents(),
            opened_on="2025-11-01", goal_name="Kiln", goal_amount=self.cents(900_000),
            wage_per_hour=self.cents(3000), wage_covers=self.maybe("everything"),
        )  # fmt: skip
        self.add("step", slug="photograph", name="Photograph", standing=True)
        self.outings = [self.outing() for _ in range(3)]
        for _ in range(size):
            self.purchase()
        for _ in range(size):
            self.life()
        return household(*self.rows)

    def outing(self) -> str:
        moment = self.moment()
        end = to_text(datetime.fromisoformat(moment["at"]) + timedelta(minutes=173, seconds=40))
        return self.add(
            "outing", **moment, ended_at=self.maybe(end),
            distance_m=self.random.randrange(60_000), destination="Sales", purpose="Buying",
        )  # fmt: skip

    def purchase(self) -> None:
        moment = self.moment()
        bought = self.add(
            "purchase", **moment, total=self.cents(), extra_costs=self.maybe(self.cents(2000)),
            outing_id=self.maybe(self.random.choice(self.outings)),
        )  # fmt: skip
        for _ in range(self.random.randrange(0, 4)):
            self.pieces.append(
                self.add(
                    "piece", **moment, title="Chair", kind="chair", purchase_id=bought,
                    share_weight=self.random.choice([None, 0, 1, 3, 70]),
                    deleted=self.random.random() < 0.05,
                )
            )  # fmt: skip
        if self.random.random() < 0.3:
            self.pieces.append(
                self.add("piece", **moment, opening_on=moment["on"], opening_cost=self.cents())
            )

    def life(self) -> None:
        for make in (self.sale, self.spend, self.work, self.end, self.odd, self.pay):
            if self.pieces and self.random.random() < 0.7:
                make()

    def sale(self) -> None:
        sale = self.add(
            "sale", **self.moment(), piece_id=self.any_piece(), price=self.cents(),
            fee=self.maybe(self.cents(900)), delivery_charged=self.maybe(self.cents(4000)),
            deleted=self.random.random() < 0.1,
        )  # fmt: skip
        if self.random.random() < 0.3:
            self.add(
                "return", **self.moment(), sale_id=sale, refund=self.cents(),
                fee_back=self.maybe(self.cents(500)), back_in_stock=self.random.random() < 0.6,
            )  # fmt: skip

    def pay(self) -> None:
        self.add("payment", **self.moment(), piece_id=self.any_piece(), amount=self.cents(9000))

    def spend(self) -> None:
        category = self.random.choice(EXPENSE_CATEGORIES)
        supply = self.add("supply", name="Stain", cost=self.cents(3000), milliunits=4000)
        self.add(
            "expense", **self.moment(), amount=self.cents(5000), category=category,
            piece_id=self.maybe(self.any_piece()), supply_id=self.maybe(supply),
        )  # fmt: skip
        self.add(
            "supply_use", **self.moment(), piece_id=self.maybe(self.any_piece()),
            supply_id=supply, milliunits=self.random.randrange(4000),
            cost=self.maybe(self.cents(700)),
        )  # fmt: skip
        self.add("cash_move", **self.moment(), amount=self.random.randrange(-9000, 9000))

    def work(self) -> None:
        moment = self.moment()
        self.add(
            "stint", started_at=moment["at"], on=moment["on"],
            piece_ids=[self.any_piece() for _ in range(self.random.randrange(1, 4))],
            step=self.maybe("photograph"), minutes=self.random.randrange(200),
        )  # fmt: skip
        self.add(
            "delivery", **self.moment(), piece_id=self.any_piece(),
            distance_m=self.random.randrange(40_000), minutes=self.random.randrange(90),
        )  # fmt: skip

    def end(self) -> None:
        chosen = self.any_piece()
        piece = next(r for r in self.rows if r["id"] == chosen)
        piece[self.random.choice(["kept_at", "let_go_at"])] = self.moment()["at"]

    def odd(self) -> None:
        """A division of a set, or the discovery that two records are one piece."""
        if self.random.random() < 0.5 and len(self.pieces) > 1:
            one, other = self.random.sample(self.pieces, 2)
            self.add("same_as", at=self.moment()["at"], duplicate_id=one, survivor_id=other)
            return
        moment = self.moment()
        child = self.add("piece", **moment, title="One chair of the set", kind="chair")
        self.add(
            "split", **moment, parent_id=self.any_piece(), child_id=child,
            child_weight=self.random.randrange(4), parent_weight=self.random.randrange(4),
        )  # fmt: skip
        self.pieces.append(child)


def random_household(seed: int, size: int = 6) -> dict[str, list[dict[str, Any]]]:
    """A household that the seed decides, wholly."""
    return Town(seed).build(size)


def by_fact(posted: Iterable[Any]) -> dict[tuple[str, str], int]:
    """The sum of the postings of each fact."""
    sums: dict[tuple[str, str], int] = {}
    for p in posted:
        sums[p.fact_type, p.fact_id] = sums.get((p.fact_type, p.fact_id), 0) + p.amount
    return sums
