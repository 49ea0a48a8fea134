"""A deterministic simulation: one seed decides every edit, loss, delay and clock."""

from __future__ import annotations

import hashlib
import json
import tempfile
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

from crestrail.basis.clock import to_ms
from crestrail.records.merge import is_erased, writes_of
from helpers import app as apps
from helpers.app import Client, Home
from helpers.exchanges import settle
from helpers.simulated_phone import SimulatedPhone

HOUSEHOLD = "5d0c7d50-0f3b-4a62-9d0e-7a2f5b9c1e44"
OFFSETS = (0, 0, 3_600_000, -86_400_000, 157_680_000_000, -157_680_000_000)
"""Milliseconds that phones are wrong by: right, an hour, a day, five years, either way."""

EDITS: tuple[dict[str, Any], ...] = (
    {"name": "Barn"}, {"name": "Loft"}, {"note": "dry"}, {"note": "damp"}, {"litres": 40},
    {"deleted": True}, {"deleted": False}, {"name": "Shed", "note": None},
)  # fmt: skip

Write = tuple[str, str, str, str]
"""Record id, group, stamp and the values written, as text."""


@dataclass
class Simulation:
    """``steps`` random steps, then quiet. ``trace`` holds what happened, in order."""

    seed: int
    steps: int = 150
    database: str = ""
    trace: list[str] = field(default_factory=list)
    written: set[Write] = field(default_factory=set)

    def run(self) -> Simulation:
        """The whole run; AssertionError when safety or liveness is hurt."""
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder) / "data"
            with apps.opened(data, self.database, household=HOUSEHOLD) as home:
                home.make_household("Ours", HOUSEHOLD)
                self._start(home)
                for _ in range(self.steps):
                    self._step()
                self._quiet()
        return self

    @property
    def digest(self) -> str:
        """A fingerprint of all that happened, and of the end."""
        return hashlib.sha256("\n".join(self.trace).encode()).hexdigest()

    def _start(self, home: Home) -> None:
        self.home, self.chance = home, Random(self.seed)
        self.clients: list[Client] = []
        self.phones: list[SimulatedPhone] = []
        self.delayed: list[tuple[int, dict[str, Any]]] = []
        for number in range(3):
            client = home.pair(device=f"{number + 1:016x}")
            self.clients.append(client)
            off = self.chance.choice(OFFSETS)
            self.phones.append(
                SimulatedPhone(client.device, HOUSEHOLD, self._now_ms,
                               Random(self.chance.random()), off, limit=5)
            )  # fmt: skip

    def _now_ms(self) -> int:
        return to_ms(self.home.clock.now())

    def _step(self) -> None:
        self.home.clock.advance(timedelta(seconds=self.chance.choice([0, 1, 30, 7200])))
        phone = self.chance.randrange(len(self.phones))
        act = self.chance.choices(
            [self._edit, self._exchange, self._deliver_late], weights=[5, 4, 1]
        )[0]
        act(phone)

    def _edit(self, number: int) -> None:
        phone = self.phones[number]
        held = sorted(key[1] for key in phone.rows if key[0] == "spot")
        if not held or self.chance.random() < 0.3:
            spot = phone.write("spot", {"name": f"Spot {self.chance.randrange(9)}"})
        elif self.chance.random() < 0.03:
            spot = self.chance.choice(held)
            phone.erase("spot", spot)
        else:
            spot = phone.write("spot", dict(self.chance.choice(EDITS)), self.chance.choice(held))
        self.trace.append(f"{number} edits {spot} {phone.last}")

    def _exchange(self, number: int) -> None:
        phone, fate = self.phones[number], self.chance.random()
        asked = phone.request(self.chance.randint(1, 8))
        self.trace.append(f"{number} sends {len(asked['changes'])} {fate:.3f}")
        if fate < 0.15:
            return
        answer = self._send(number, asked)
        if fate < 0.3:
            self.delayed.append((number, asked))
        if answer is not None and fate > 0.2:
            phone.receive(asked, answer)

    def _deliver_late(self, _number: int) -> None:
        if self.delayed:
            number, asked = self.chance.choice(self.delayed)
            self._send(number, asked)
            self.trace.append(f"{number} is heard again")

    def _send(self, number: int, asked: dict[str, Any]) -> dict[str, Any] | None:
        answer = self.clients[number].web.post_json(apps.PATH, asked, expect_errors=True)
        if answer.status_int == 409:
            self.phones[number].clock_ahead(answer.json["details"][0]["clock"])
            return None
        assert answer.status_int == 200, answer.json
        named = {outcome["key"]: outcome["outcome"] for outcome in answer.json["outcomes"]}
        assert "refused" not in named.values()
        for change in asked["changes"]:
            if not is_erased(change):
                self.written |= {
                    (change["id"], w.group, w.stamp, json.dumps(w.values, sort_keys=True))
                    for w in writes_of(change).values()
                }
        self.trace.append(f"{number} hears {sorted(named.values())}")
        return dict(answer.json)

    def _quiet(self) -> None:
        """Liveness: everybody comes to rest. Safety: all equal, and no write is lost."""
        for _ in range(2):
            for client, phone in zip(self.clients, self.phones, strict=True):
                while phone.outbox:
                    asked = phone.request()
                    answer = self._send(self.phones.index(phone), asked)
                    if answer is not None:
                        phone.receive(asked, answer)
                settle(client, phone, most=500)
        home = self.clients[0].rows()
        for phone in self.phones:
            mine = {row["id"]: row for row in phone.rows.values()}
            unequal = {id for id in mine.keys() | home.keys() if mine.get(id) != home.get(id)}
            assert not unequal, (self.seed, [(mine.get(id), home.get(id)) for id in unequal])
        self._nothing_is_lost(home)
        spots = {id: row["fields"] for id, row in home.items() if row["type"] == "spot"}
        self.trace.append(json.dumps(spots, sort_keys=True))

    def _nothing_is_lost(self, home: dict[str, dict[str, Any]]) -> None:
        for id in sorted({write[0] for write in self.written}):
            if home[id].get("erased"):
                continue
            entries = self.clients[0].web.get(f"/api/history/spot/{id}").json["entries"]
            kept = {
                (id, e["group"], e["stamp"], json.dumps(e["values"], sort_keys=True))
                for e in entries
            }
            lost = {write for write in self.written if write[0] == id} - kept
            assert not lost, (self.seed, lost)
