"""The story of the invented household, day by day: what it bought, did, sold and learned."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from sample.tally import Accounts
from sample.writer import KITCHEN_PHONE, Writer, day_text, moment, text

START = date(2025, 8, 2)
AS_OF = date(2026, 11, 21)

SALES_WORDS = [
    "Millrace Lane garage", "Tarrow Ford chapel hall", "Upper Weir yard", "Ropewalk thrift shop",
    "Old Tannery moving sale", "Lantern Street estate", "Heron Bend yard", "Ferry Road thrift shop",
]  # fmt: skip
BUYERS = ["Ansa", "Bexley", "Corrin", "Dahl", "Eska", "Fenn", "Gorran", "Hale", "Ilse", "Jory"]


@dataclass(frozen=True)
class Line:
    """What the household knows how to do: a kind, its truth (hidden from the pad) and its work."""

    kind: str
    name: str
    price: int
    days: int
    traits: tuple[str, ...]
    steps: tuple[tuple[str, int], ...]
    share: int


@dataclass
class Tally:
    """The household's own bookkeeping, kept apart from the tool's to check it against."""

    sold: int = 0
    passed: int = 0
    bought: int = 0
    sales_minor: int = 0
    fees_minor: int = 0
    refunds_minor: int = 0
    purchases_minor: int = 0
    expenses_minor: int = 0
    metres_by_year: dict[str, int] = field(default_factory=dict)
    sales_by_year: dict[str, int] = field(default_factory=dict)
    stint_minutes: int = 0


class World:
    """Runs the months and writes every fact."""

    def __init__(self, writer: Writer, lines: list[Line]) -> None:
        self.w = writer
        self.rng = writer.random
        self.lines = lines
        self.tally = Tally()
        self.accounts = Accounts()
        self.minutes: dict[str, int] = {}
        self.pieces: list[dict[str, Any]] = []
        self.drops: list[tuple[datetime, dict[str, Any]]] = []

    def learn_steps(self, minutes: dict[str, int]) -> None:
        """The minutes that a step truly takes one unit (the pad starts from typical ones)."""
        self.minutes = {
            k: max(2, round(v * self.rng.uniform(0.8, 1.5))) for k, v in minutes.items()
        }

    def outing(self, day: date, finds: int) -> None:
        """A buying trip with its stops, miles and finds."""
        at = moment(day, 8, 10)
        metres, hours = self.rng.randrange(9_000, 42_000), 4
        outing = self.w.put("outing", at, {
            **self.w.happened(at), "name": "Saturday round", "cash": 20000, "distance_m": metres,
            "odometer_start_m": None, "odometer_end_m": None, "destination": "Tarrow Ford",
            "purpose": "buying pieces to resell", "ended_at": text(at + timedelta(hours=hours)),
        })  # fmt: skip
        year = day_text(at)[:4]
        self.tally.metres_by_year[year] = self.tally.metres_by_year.get(year, 0) + metres
        for number in range(finds):
            when = at + timedelta(minutes=25 + 40 * number)
            stop = self.w.put("stop", when, {
                **self.w.happened(when), "outing_id": outing, "name": self.rng.choice(SALES_WORDS),
                "closes_at": text(moment(day, 14)),
            })  # fmt: skip
            self.find(when + timedelta(minutes=6), outing, stop)
        self.accounts.came_home(outing, 60 * hours)

    def find(self, at: datetime, outing: str, stop: str) -> None:
        """One find: priced, then bought or passed."""
        line = self.rng.choices(self.lines, [x.share for x in self.lines])[0]
        grade, value = self.rng.choice([2, 2, 3, 3, 4]), self.true_value(line)
        ask = max(300, round(value * self.rng.uniform(0.10, 0.55) / 500) * 500)
        traits = self.rng.sample(
            line.traits, k=min(len(line.traits), self.rng.choice([0, 1, 1, 2]))
        )
        fields = {
            **self.w.happened(at), "kind": line.kind, "title": self.title(line, traits),
            "count": 1, "traits": traits, "found_grade": grade, "finished_grade": 4,
            "flaws": [], "outing_id": outing, "stop_id": stop, "ask": ask,
            "litres": None, "note": None,
        }  # fmt: skip
        piece = self.w.put("piece", at, fields)
        if ask > value * 0.36:
            moved = text(at + timedelta(minutes=2))
            self.w.put("piece", at + timedelta(minutes=2), {"passed_at": moved}, piece)
            self.tally.passed += 1
            return
        paid = max(200, ask - self.rng.choice([0, 0, 500, 500, 1000]))
        self.buy(
            [piece],
            at + timedelta(minutes=3),
            paid,
            {"ask": ask, "outing_id": outing, "stop_id": stop},
        )
        self.work_and_sell(piece, line, at, value, grade)

    def true_value(self, line: Line) -> float:
        """What this very piece will bring: hidden, lognormal about the kind's price."""
        return line.price * math.exp(self.rng.gauss(0.0, 0.28))

    def title(self, line: Line, traits: list[str]) -> str:
        """A plain name: the traits, then the kind."""
        words = [t.replace("-", " ") for t in traits] + [line.name.lower()]
        return " ".join(words).capitalize()

    def buy(self, pieces: list[str], at: datetime, paid: int, extra: dict[str, Any]) -> str:
        """One payment for one or several pieces."""
        purchase = self.w.put("purchase", at, {
            **self.w.happened(at), "total": paid, "extra_costs": 0, "payer": "Marlow", **extra,
        })  # fmt: skip
        for piece in pieces:
            self.w.put("piece", at, {"purchase_id": purchase, "share_weight": 1}, piece)
        self.tally.bought += len(pieces)
        self.tally.purchases_minor += paid
        self.accounts.bought(pieces, paid, extra.get("outing_id"))
        return purchase

    def work_and_sell(self, piece: str, line: Line, at: datetime, value: float, grade: int) -> None:
        """The piece's life after the driveway, as far as the as-of day lets it come."""
        ready = self.work(piece, line, at, grade)
        if ready is None or ready > moment(AS_OF):
            return
        self.w.put("piece", ready, {"ready_at": text(ready)}, piece)
        listed = ready + timedelta(hours=3)
        self.sell(piece, line, listed, value)

    def work(self, piece: str, line: Line, at: datetime, grade: int) -> datetime | None:
        """Choose the steps, then stints in the evenings; None while it is still under way."""
        when = at.date() + timedelta(days=self.rng.randrange(1, 9))
        for sort, (step, units) in enumerate(line.steps):
            chosen = self.w.put("piece_step", at + timedelta(minutes=4 + sort), {
                "piece_id": piece, "step": step, "units": units, "sort": sort,
            })  # fmt: skip
            evening = moment(when, 18, self.rng.randrange(0, 50))
            if evening > moment(AS_OF):
                return None
            usual = self.minutes.get(step, 20) * units**0.95 * math.exp(self.rng.gauss(0, 0.3))
            minutes = max(3, round(usual * math.exp(-0.08 * (grade - 3))))
            self.stint(piece, step, units, evening, minutes)
            done = evening + timedelta(minutes=minutes)
            self.w.put("piece_step", done, {"done_at": text(done)}, chosen)
            when += timedelta(days=self.rng.choice([0, 1, 1, 2]))
        return moment(when, 20, 30)

    def stint(self, piece: str, step: str, units: int, at: datetime, minutes: int) -> None:
        """A timed stretch of work."""
        device = self.rng.choice([KITCHEN_PHONE, "5a3d1e0000000001"])
        self.w.put("stint", at, {
            "piece_ids": [piece], "step": step, "units": units, "started_at": text(at),
            "on": day_text(at), "stopped_at": text(at + timedelta(minutes=minutes)),
            "minutes": minutes, "who": self.rng.choice(["Marlow", "Juniper"]),
        }, device=device)  # fmt: skip
        self.tally.stint_minutes += minutes
        self.accounts.of[piece].work += minutes

    def picture(self, piece: str, at: datetime, sha256: str) -> None:
        """A photo of the finished piece."""
        self.w.put("photo", at, {
            "at": text(at), "piece_id": piece, "sha256": sha256, "width": 640, "height": 480,
            "purpose": "after", "sort": 0,
        })  # fmt: skip

    def still_here(self) -> dict[str, str]:
        """Pieces that were bought or there at the start and have not left, with their kinds."""
        kinds: dict[str, str] = {}
        ours, gone = [], set()
        for change in self.w.changes:
            fields = change["fields"]
            if change["type"] == "piece":
                kinds.setdefault(change["id"], fields.get("kind") or "")
                if fields.get("purchase_id") or fields.get("opening_on"):
                    ours.append(change["id"])
                if fields.get("kept_at") or fields.get("let_go_at") or fields.get("deleted"):
                    gone.add(change["id"])
            elif change["type"] == "sale":
                gone.add(fields["piece_id"])
        return {piece: kinds[piece] for piece in reversed(ours) if piece not in gone}

    def sell(self, piece: str, line: Line, listed: datetime, value: float) -> None:
        """Asking prices that drop, people who ask, and a sale if somebody comes in time."""
        ask = round(value * self.rng.uniform(1.0, 1.3) / 500) * 500
        wait = max(1, round(self.rng.expovariate(1 / (2.4 * line.days))))
        drops = [0] + [d for d in (21, 42, 63) if d < wait]
        for number, offset in enumerate(drops):
            when = listed + timedelta(days=offset)
            amount = round(ask * (1 - 0.1 * number) / 500) * 500
            asked = {"piece_id": piece, "amount": amount, "from_on": day_text(when)}
            if when > moment(AS_OF):
                self.drops += [(listed, asked)] if number else []
                return
            self.w.put("asking_price", when, asked | {"at": text(when), "planned": False})
        sold = listed + timedelta(days=wait)
        if sold > moment(AS_OF):
            self.pieces.append({"id": piece, "listed": listed, "ask": ask})
            return
        self.talk(piece, sold, amount)
        self.sale(
            piece, sold, max(500, round(amount * self.rng.choice([1, 0.95, 0.9]) / 100) * 100)
        )

    def plan_drops(self) -> None:
        """The drops still to come, written last so that no other chance of the story moves."""
        for listed, asked in self.drops:
            planned = asked | {"at": text(listed), "planned": True}
            self.w.put("asking_price", listed, planned)

    def talk(self, piece: str, sold: datetime, amount: int) -> None:
        """Inquiries, and now and then an offer that was declined."""
        for _ in range(self.rng.choice([0, 1, 1, 2, 3])):
            at = sold - timedelta(hours=self.rng.randrange(3, 60))
            inquiry = self.w.put("inquiry", at, {
                **self.w.happened(at), "piece_id": piece, "name": self.rng.choice(BUYERS),
                "note": "Is it still there?",
            })  # fmt: skip
            if self.rng.random() < 0.3:
                self.w.put("offer", at + timedelta(minutes=20), {
                    **self.w.happened(at), "piece_id": piece, "inquiry_id": inquiry,
                    "amount": round(amount * 0.7 / 500) * 500, "answer": "declined",
                })  # fmt: skip

    def sale(self, piece: str, at: datetime, price: int) -> str:
        """Sold and handed over."""
        fee = round(price * 0.05) if self.rng.random() < 0.2 else 0
        self.tally.sold += 1
        self.tally.sales_minor += price
        self.tally.fees_minor += fee
        self.accounts.sold(piece, price, fee)
        year = day_text(at)[:4]
        self.tally.sales_by_year[year] = self.tally.sales_by_year.get(year, 0) + price
        return self.w.put("sale", at, {
            **self.w.happened(at), "piece_id": piece, "price": price, "fee": fee,
            "delivery_charged": 0, "buyer": self.rng.choice(BUYERS), "handover": "pickup",
            "handed_over_at": text(at), "receipt": f"A-{self.tally.sold:04d}",
        })  # fmt: skip


def seeded(seed: int) -> random.Random:
    """The one source of chance of the story."""
    return random.Random(seed)
