"""A state machine over the real application and phones with the real merge rules."""

from __future__ import annotations

import json
import tempfile
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from crestrail.basis.clock import to_ms
from crestrail.records.merge import is_erased, writes_of
from crestrail.services import backup
from helpers import app as apps
from helpers import trade
from helpers.app import Client
from helpers.exchanges import settle
from helpers.simulated_phone import SimulatedPhone

PHONES = 3
NAMES = ("Barn", "Loft", "Shed", "Porch")
phones = st.integers(0, PHONES - 1)


def shown(values: dict[str, Any]) -> str:
    return json.dumps(values, sort_keys=True)


class Household(RuleBasedStateMachine):
    """Three phones edit, lose requests and answers, send twice; home is restored at times."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.opened = apps.opened(Path(self.folder.name) / "data")
        self.home = self.opened.__enter__()
        self.clients: list[Client] = []
        self.phones: list[SimulatedPhone] = []
        self.late: list[tuple[int, dict[str, Any]]] = []
        self.spots: list[str] = []
        self.gone: set[str] = set()
        self.backups = 0
        self.taken: set[tuple[str, str, str, str, str]] = set()

    @initialize(offsets=st.lists(st.sampled_from([0, -(10**12), 10**11, 10**7]), min_size=PHONES,
                                 max_size=PHONES))  # fmt: skip
    def begin(self, offsets: list[int]) -> None:
        """Phones whose clocks are right, hours wrong or years wrong, either way."""
        for number, off in enumerate(offsets):
            client = self.home.pair(device=f"{number + 1:016x}")
            self.clients.append(client)
            self.phones.append(
                SimulatedPhone(
                    client.device, client.household, lambda: to_ms(self.home.clock.now()),
                    Random(number), off, limit=7,
                )
            )  # fmt: skip
        for name in NAMES[:2]:
            self.make(0, name)
        self.rest()

    def rest(self) -> None:
        """Everybody sends and reads until nothing is left."""
        for _ in range(2):
            for client, phone in zip(self.clients, self.phones, strict=True):
                settle(client, phone, most=200)

    @rule(phone=phones, name=st.sampled_from(NAMES))
    def make(self, phone: int, name: str) -> None:
        self.spots.append(self.phones[phone].write("spot", {"name": name}))

    @precondition(lambda self: self.spots)
    @rule(phone=phones, pick=st.randoms(use_true_random=False), fields=st.sampled_from([
        {"name": "Cellar"}, {"note": "damp"}, {"litres": 40}, {"deleted": True},
        {"deleted": False}, {"name": "Attic", "sort": 2},
    ]))  # fmt: skip
    def edit(self, phone: int, pick: Any, fields: dict[str, Any]) -> None:
        held = [key[1] for key, row in self.phones[phone].rows.items()
                if key[0] == "spot" and not row.get("erased")]  # fmt: skip
        if held:
            self.phones[phone].write("spot", dict(fields), pick.choice(sorted(held)))

    @precondition(lambda self: self.spots)
    @rule(phone=phones, pick=st.randoms(use_true_random=False))
    def erase(self, phone: int, pick: Any) -> None:
        held = sorted(key[1] for key in self.phones[phone].rows if key[0] == "spot")
        if held:
            spot = pick.choice(held)
            self.phones[phone].erase("spot", spot)
            self.gone.add(spot)

    @rule(phone=phones, what=st.sampled_from(trade.TRADES), seed=st.integers(0, 2**16))
    def trades(self, phone: int, what: str, seed: int) -> None:
        trade.trade(self.phones[phone], what, Random(seed))

    @rule(phone=phones, seed=st.integers(0, 2**16))
    def sells_on_a_busy_day(self, phone: int, seed: int) -> None:
        for what in ("find", "buy", "sell", "same"):
            trade.trade(self.phones[phone], what, Random(seed))

    @rule(phone=phones, fate=st.sampled_from(["well", "request lost", "answer lost", "twice",
                                              "answer late"]), most=st.integers(1, 6))  # fmt: skip
    def exchange(self, phone: int, fate: str, most: int) -> None:
        asked = self.phones[phone].request(most)
        if fate == "request lost":
            return
        answer = self.send(phone, asked)
        if fate == "twice":
            self.late.append((phone, asked))
        if answer is not None and fate != "answer lost":
            self.phones[phone].receive(asked, answer)

    @precondition(lambda self: self.late)
    @rule(pick=st.randoms(use_true_random=False))
    def an_old_request_arrives_again(self, pick: Any) -> None:
        phone, asked = pick.choice(self.late)
        self.send(phone, asked)

    @rule(minutes=st.sampled_from([0, 1, 60, 60 * 24 * 30]))
    def time_passes(self, minutes: int) -> None:
        self.home.clock.advance(timedelta(minutes=minutes))

    @rule()
    def home_is_backed_up(self) -> None:
        self.backups += 1
        with self.home.app.app_context():
            backup.back_up(self.file(), *self.where())

    @precondition(lambda self: self.backups)
    @rule()
    def home_is_restored(self) -> None:
        with self.home.app.app_context():
            backup.restore(self.file(), *self.where())
        self.late.clear()
        self.taken.clear()

    @invariant()
    def no_change_waits_twice_and_none_is_refused(self) -> None:
        """Cheap at every step; the rest is checked at the end."""
        for phone in self.phones:
            assert len({change["key"] for change in phone.outbox}) == len(phone.outbox)
            assert not phone.refused

    def teardown(self) -> None:
        """I3: in the quiet after it all, phones and home are equal; nothing erased is back;
        pieces are in one stage, and the books of what was bought and sold balance."""
        try:
            self.rest()
            self.rest()
            if self.clients:
                home = self.clients[0].rows()
                for phone in self.phones:
                    assert {row["id"]: row for row in phone.rows.values()} == home
                    assert trade.stages(phone.rows.values()) == trade.stages(home.values())
                assert all(home[spot].get("erased") for spot in self.gone if spot in home)
                trade.check_books(list(home.values()))
                self.nothing_written_is_lost(home)
        finally:
            self.opened.__exit__(None, None, None)
            self.folder.cleanup()

    def nothing_written_is_lost(self, home: dict[str, Any]) -> None:
        """What home took since it was restored last stands in the history, winner or not."""
        for type, id in sorted({write[:2] for write in self.taken}):
            if home[id].get("erased"):
                continue
            entries = self.clients[0].web.get(f"/api/history/{type}/{id}").json["entries"]
            kept = {(type, id, e["group"], e["stamp"], shown(e["values"])) for e in entries}
            assert {write for write in self.taken if write[:2] == (type, id)} <= kept

    def send(self, phone: int, asked: dict[str, Any]) -> dict[str, Any] | None:
        """The answer of the real application; a phone that is ahead is told and mends."""
        answer = self.clients[phone].web.post_json(apps.PATH, asked, expect_errors=True)
        if answer.status_int == 409:
            assert answer.json["code"] == "clock_ahead"
            self.phones[phone].clock_ahead(answer.json["details"][0]["clock"])
            return None
        assert answer.status_int == 200, answer.json
        named = {outcome["key"] for outcome in answer.json["outcomes"]}
        for change in (change for change in asked["changes"] if change["key"] in named):
            for write in () if is_erased(change) else writes_of(change).values():
                what = (change["type"], change["id"], write.group, write.stamp)
                self.taken.add((*what, shown(write.values)))
        return dict(answer.json)

    def file(self) -> Path:
        return Path(self.folder.name) / f"{self.backups}.zip"

    def where(self) -> Any:
        return self.home.app.extensions["crestrail_photos"], self.home.clock.now()


TestHousehold = Household.TestCase
TestHousehold.settings = settings(max_examples=12, stateful_step_count=25, deadline=None)
