"""Three phones and their home for a state machine: the network, the clock, backups.

What people do with them is in ``tests/sync``: the state machine, and people on three phones.
"""

from __future__ import annotations

import json
import tempfile
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule
from sqlalchemy import select

from crestrail.basis.clock import AsOf, as_of, from_ms, local_day, to_ms, to_text
from crestrail.records.merge import is_erased, writes_of
from crestrail.services import backup
from crestrail.store.db import reading
from crestrail.store.models import History
from helpers import app as apps
from helpers.app import Client
from helpers.exchanges import settle
from helpers.simulated_phone import Row, SimulatedPhone

PHONES = 3
phones = st.integers(0, PHONES - 1)
picks = st.randoms(use_true_random=False)

Write = tuple[str, str, str, str]
"""Type, record id, group and the values written, as text."""


class PhonesAndHome(RuleBasedStateMachine):
    """``told`` is every value that a person wrote and nobody lost by right.

    A restore takes home back to its backup: values that had come home since and were overwritten
    there are gone by right; what a phone still holds is not.
    """

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.opened = apps.opened(Path(self.folder.name) / "data")
        self.home = self.opened.__enter__()
        self.clients: list[Client] = []
        self.phones: list[SimulatedPhone] = []
        self.late: list[tuple[int, Row]] = []
        self.told: set[Write] = set()
        self.told_at_backup: set[Write] = set()
        self.gone: set[tuple[str, str]] = set()
        self.backups = 0

    def pair(self, offsets: list[int]) -> None:
        """Phones whose clocks are wrong by so many milliseconds."""
        for number, off in enumerate(offsets):
            client = self.home.pair(device=f"{number + 1:016x}")
            self.clients.append(client)
            self.phones.append(
                SimulatedPhone(
                    client.device, client.household, lambda: to_ms(self.home.clock.now()),
                    Random(number), off, limit=7,
                )
            )  # fmt: skip

    def say(self, phone: int, type: str, fields: Row, id: str | None = None) -> str:
        """A person writes something on a phone; the record's id."""
        one = self.phones[phone]
        id = one.write(type, fields, id)
        self.told |= _told([one.outbox[-1]])
        return id

    def when(self, phone: int) -> dict[str, str]:
        """The moment and the day as a phone has them."""
        moment = from_ms(self.phones[phone].now_ms())
        return {"at": to_text(moment), "on": local_day(moment, "UTC")}

    def held(self, phone: int, *types: str) -> list[tuple[str, str]]:
        """What a phone shows of these types, deleted records too."""
        rows = self.phones[phone].rows
        return sorted(key for key, row in rows.items() if key[0] in types and not is_erased(row))

    def rest(self) -> None:
        """Everybody sends and reads until nothing is left."""
        for _ in range(2):
            for client, phone in zip(self.clients, self.phones, strict=True):
                settle(client, phone, most=200)

    @rule(phone=phones, fate=st.sampled_from(["well", "well", "request lost", "answer lost",
                                              "twice"]), most=st.integers(1, 9))  # fmt: skip
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
    @rule(pick=picks)
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
        self.told_at_backup = self.told - self.unsent()

    @precondition(lambda self: self.backups)
    @rule()
    def home_is_restored(self) -> None:
        with self.home.app.app_context():
            backup.restore(self.file(), *self.where())
        self.late.clear()
        self.told = self.told_at_backup | self.unsent()

    def send(self, phone: int, asked: Row) -> Row | None:
        """The answer of the real application; a phone that is ahead is told and mends."""
        answer = self.clients[phone].web.post_json(apps.PATH, asked, expect_errors=True)
        if answer.status_int == 409:
            assert answer.json["code"] == "clock_ahead"
            self.phones[phone].clock_ahead(answer.json["details"][0]["clock"])
            return None
        assert answer.status_int == 200, answer.json
        return dict(answer.json)

    def unsent(self) -> set[Write]:
        """What people wrote that waits on a phone."""
        return _told([change for phone in self.phones for change in phone.outbox])

    def history(self) -> list[History]:
        """Everything home remembers, in order of stamps."""
        with self.home.app.app_context(), reading() as session:
            found = list(session.scalars(select(History).order_by(History.stamp)))
            session.expunge_all()
        return found

    def moment(self) -> AsOf:
        """Now, at home."""
        return as_of(self.home.clock.now(), "UTC")

    def file(self) -> Path:
        return Path(self.folder.name) / f"{self.backups}.zip"

    def where(self) -> Any:
        return self.home.app.extensions["crestrail_photos"], self.home.clock.now()


def as_text(values: Row) -> str:
    return json.dumps(values, sort_keys=True)


def _told(changes: list[Row]) -> set[Write]:
    return {
        (change["type"], change["id"], write.group, as_text(write.values))
        for change in changes
        if not is_erased(change)
        for write in writes_of(change).values()
    }
