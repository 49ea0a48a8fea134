"""From records to what the price book is fitted to: one's own past and one's own terms."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from crestrail.basis.clock import AsOf, from_text, to_ms
from crestrail.books.facts import Facts, Household, Record
from crestrail.books.minutes import stint_minutes
from crestrail.pricing.going_back import HOUR_MS
from crestrail.pricing.history import (
    Asked,
    History,
    Kind,
    Listing,
    Sale,
    SeenElsewhere,
    Settings,
    StepOfWork,
    Stint,
    Thing,
    Trait,
    Visit,
)
from crestrail.records.schema import fields_of
from crestrail.records.stages import is_divided, sale_standing
from crestrail.services.own_evidence import foretold, used_supplies
from crestrail.store import models

LAST_INSTANT = "9999-12-31T23:59:59.999Z"


def read_household(session: Session, household: str, types: Iterable[str]) -> Household:
    """The household's records of these types as flat rows ``{id, **fields}``.

    Erased rows are left out, and so are rows that lack a required value: a merge may have
    cleared one, and no sum can be made from what isn't there.
    """
    query = select(models.Record).where(
        models.Record.household_id == household,
        models.Record.type.in_(list(types)),
        models.Record.erased.is_(False),
    )
    rows: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for record in session.scalars(query):
        if _is_complete(record.type, record.fields):
            rows[record.type].append({**record.fields, "id": record.id})
    return rows


def history_of(household: Household, zone: str, as_of: AsOf) -> History:
    """Everything that is known by the end of the day ``as_of.on``, in the household's zone."""
    facts = Facts(household, LAST_INSTANT, zone)
    past = _Past(facts, date.fromisoformat(as_of.on))
    listings = past.listings()
    return History(
        kinds=tuple(_kind(row) for row in _by_slug(facts.rows("kind"))),
        traits=tuple(Trait(r["slug"], r["trait_group"]) for r in _by_slug(facts.rows("trait"))),
        steps=tuple(_step(row) for row in _by_slug(facts.rows("step"))),
        sales=tuple(past.sales()),
        listings=tuple(listings),
        stints=tuple(past.stints()),
        seen=tuple(past.seen()),
        visits=tuple(past.visits()),
        used=tuple(used_supplies(facts, as_of.on)),
        foretold=tuple(foretold(facts, as_of.on)),
    )


def settings_of(household: Household) -> Settings:
    """The household's own terms; where it has none, those of ``pricing.history.Settings``."""
    row = next(iter(household.get("setting", ())), {})
    names = [field.name for field in fields(Settings)]
    return Settings(**{name: row[name] for name in names if row.get(name) is not None})


@dataclass(slots=True)
class _Past:
    """What happened up to and on the day ``today``."""

    facts: Facts
    today: date

    def sales(self) -> list[Sale]:
        """The sale that counts of each piece that is sold and did not come back."""
        found = []
        for piece, sale in self._live_sales().items():
            row = self._piece(piece)
            if row is not None and self._has_come(sale["on"]):
                on = date.fromisoformat(sale["on"])
                title = row.get("title") or ""
                found.append(Sale(_thing(row), sale["price"], on, piece, title))
        return found

    def listings(self) -> list[Listing]:
        """Every piece that was offered, with its asking prices and its end."""
        sold = self._live_sales()
        asked: dict[str, list[Record]] = defaultdict(list)
        for price in (p for p in self.facts.rows("asking_price") if not p.get("planned")):
            asked[self.facts.piece(price["piece_id"]) or ""].append(price)
        found = (self._listing(piece, prices, sold.get(piece)) for piece, prices in asked.items())
        return [listing for listing in found if listing is not None]

    def stints(self) -> list[Stint]:
        """The minutes that each finished step took on each piece, all its stints together."""
        minutes: dict[tuple[str, str], float] = defaultdict(float)
        last: dict[tuple[str, str], str] = {}
        units: dict[tuple[str, str], int] = {}
        for row in self.facts.rows("stint"):
            pieces = sorted({self.facts.piece(id) or "" for id in row["piece_ids"]})
            for piece in pieces if row.get("step") and self._has_come(row["on"]) else ():
                key = (piece, row["step"])
                minutes[key] += stint_minutes(row) / len(pieces)
                last[key] = max(last.get(key, ""), row["on"])
                units[key] = max(units.get(key, 1), row.get("units") or 1)
        planned = self._planned_steps()
        return [
            self._stint(key, total, date.fromisoformat(last[key]), planned.get(key), units[key])
            for key, total in minutes.items()
            if total > 0 and (key not in planned or planned[key].get("done_at"))
        ]

    def seen(self) -> list[SeenElsewhere]:
        """What similar pieces are asked or brought elsewhere."""
        return [
            SeenElsewhere(
                _thing(row, row.get("grade")),
                row["amount"],
                bool(row.get("sold")),
                date.fromisoformat(row["on"]),
            )
            for row in self.facts.rows("seen_elsewhere")
            if self._has_come(row["on"])
        ]

    def visits(self) -> list[Visit]:
        """Own returns to finds; one that does not say when the find was seen says nothing."""
        return [
            _visit(row)
            for row in self.facts.rows("visit")
            if row.get("seen_at") and row["seen_at"] <= row["at"] and self._has_come(row["on"])
        ]

    def _live_sales(self) -> dict[str, Record]:
        """The sale that counts, by piece."""
        of_piece: dict[str, list[Record]] = defaultdict(list)
        for sale in self.facts.rows("sale"):
            of_piece[self.facts.piece(sale["piece_id"]) or ""].append(sale)
        returns = self.facts.rows("return")
        standing = {p: sale_standing(sales, returns).live for p, sales in of_piece.items()}
        return {piece: sale for piece, sale in standing.items() if sale is not None}

    def _listing(self, piece: str, prices: list[Record], sale: Record | None) -> Listing | None:
        row = self._piece(piece)
        if row is None or (sale is None and is_divided(piece, self.facts.splits)):
            return None
        end = self._end(row, prices, sale)
        off = row.get("unlisted_at") or ""
        again = [price for price in prices if price["at"] > off]
        days = {
            price["from_on"]: Asked(price["amount"], date.fromisoformat(price["from_on"]))
            for price in sorted(again or prices, key=lambda p: (p["from_on"], p["at"]))
            if self._has_come(price["from_on"]) and (end is None or price["from_on"] <= end)
        }
        if not days:
            return None
        ended = date.fromisoformat(end) if end else None
        return Listing(
            _thing(row), tuple(days.values()), ended, sale["price"] if sale and ended else None
        )

    def _end(self, row: Record, prices: list[Record], sale: Record | None) -> str | None:
        """The day on which the piece was sold, kept, let go or taken down; None while offered."""
        if sale is not None:
            return str(sale["on"]) if self._has_come(sale["on"]) else None
        gone = row.get("kept_at") or row.get("let_go_at")
        off = row.get("unlisted_at")
        if not gone and off and all(price["at"] <= off for price in prices):
            gone = off
        return self.facts.day(gone) if gone else None

    def _stint(
        self, key: tuple[str, str], minutes: float, on: date, planned: Record | None, units: int
    ) -> Stint:
        row = self._piece(key[0]) or {}
        told = (planned or {}).get("units") or units
        return Stint(key[1], minutes, on, told, row.get("found_grade"))

    def _planned_steps(self) -> dict[tuple[str, str], Record]:
        rows = self.facts.rows("piece_step")
        return {(self.facts.piece(row["piece_id"]) or "", row["step"]): row for row in rows}

    def _piece(self, piece: str) -> Record | None:
        rows = self.facts.members().get(piece)
        return rows[0] if rows else None

    def _has_come(self, day: str) -> bool:
        return date.fromisoformat(day) <= self.today


def _is_complete(type: str, values: dict[str, Any]) -> bool:
    return all(values.get(f.name) is not None for f in fields_of(type).values() if f.required)


def _by_slug(rows: Iterable[Record]) -> list[Record]:
    """One row for each slug: two phones may have made the same; the smallest id counts."""
    found: dict[str, Record] = {}
    for row in sorted(rows, key=lambda r: (r.get("sort") or 0, r["slug"], r["id"])):
        found.setdefault(row["slug"], row)
    return list(found.values())


def _thing(row: Record, grade: int | None = None) -> Thing:
    told = row.get("finished_grade") if grade is None else grade
    return Thing(row.get("kind"), tuple(row.get("traits") or ()), row.get("count") or 1, told)


def _visit(row: Record) -> Visit:
    seen, at, closes = row["seen_at"], row["at"], row.get("closes_at") or ""
    late = seen < closes <= at
    open_ms = to_ms(from_text(closes if late else at)) - to_ms(from_text(seen))
    return Visit(open_ms / HOUR_MS, row["found"], late)


def _kind(row: Record) -> Kind:
    return Kind(
        row["slug"],
        row.get("typical_price"),
        row.get("sureness") or "fair",
        row.get("typical_days"),
    )


def _step(row: Record) -> StepOfWork:
    return StepOfWork(
        row["slug"],
        row.get("typical_minutes"),
        row.get("supplies_cost") or 0,
        bool(row.get("standing")),
    )
