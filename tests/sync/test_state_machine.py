"""A state machine over the real application and phones with the real merge rules."""

from __future__ import annotations

from random import Random
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, precondition, rule

from crestrail.records.merge import is_erased, writes_of
from helpers import trade
from helpers.household_machine import PHONES, PhonesAndHome, as_text, phones

NAMES = ("Barn", "Loft", "Shed", "Porch")


class Household(PhonesAndHome):
    """Three phones edit, lose requests and answers, send twice; home is restored at times."""

    def __init__(self) -> None:
        super().__init__()
        self.spots: list[str] = []
        self.erased: set[str] = set()
        self.taken: set[tuple[str, str, str, str, str]] = set()

    @initialize(offsets=st.lists(st.sampled_from([0, -(10**12), 10**11, 10**7]), min_size=PHONES,
                                 max_size=PHONES))  # fmt: skip
    def begin(self, offsets: list[int]) -> None:
        """Phones whose clocks are right, hours wrong or years wrong, either way."""
        self.pair(offsets)
        for name in NAMES[:2]:
            self.make(0, name)
        self.rest()

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
            self.erased.add(spot)

    @rule(phone=phones, what=st.sampled_from(trade.TRADES), seed=st.integers(0, 2**16))
    def trades(self, phone: int, what: str, seed: int) -> None:
        trade.trade(self.phones[phone], what, Random(seed))

    @rule(phone=phones, seed=st.integers(0, 2**16))
    def sells_on_a_busy_day(self, phone: int, seed: int) -> None:
        for what in ("find", "buy", "sell", "same"):
            trade.trade(self.phones[phone], what, Random(seed))

    @precondition(lambda self: self.backups)
    @rule()
    def home_is_restored(self) -> None:
        super().home_is_restored()
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
                assert all(home[spot].get("erased") for spot in self.erased if spot in home)
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
            kept = {(type, id, e["group"], e["stamp"], as_text(e["values"])) for e in entries}
            assert {write for write in self.taken if write[:2] == (type, id)} <= kept

    def send(self, phone: int, asked: dict[str, Any]) -> dict[str, Any] | None:
        """As the phones' machine does, and what home named as taken is remembered."""
        answer = super().send(phone, asked)
        if answer is None:
            return None
        named = {outcome["key"] for outcome in answer["outcomes"]}
        for change in (change for change in asked["changes"] if change["key"] in named):
            for write in () if is_erased(change) else writes_of(change).values():
                what = (change["type"], change["id"], write.group, write.stamp)
                self.taken.add((*what, as_text(write.values)))
        return answer


TestHousehold = Household.TestCase
TestHousehold.settings = settings(max_examples=12, stateful_step_count=25, deadline=None)
