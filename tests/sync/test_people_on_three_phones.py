"""People trade on three phones: a second state machine, about values lost, contested, in order."""

from __future__ import annotations

from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, rule

from crestrail.books.facts import Facts
from crestrail.books.postings import postings
from crestrail.records.merge import is_erased, writes_of
from helpers.household_laws import EVER, check, flat, stages_of
from helpers.household_machine import PHONES, PhonesAndHome, as_text, phones, picks

NAMES = ("Barn", "Loft", "Shed", "Porch")
FACTS = ("piece", "purchase", "sale", "return", "split", "same_as", "spot")
EDITS: dict[str, list[dict[str, Any]]] = {
    "spot": [{"name": "Cellar"}, {"note": "damp"}, {"litres": 40}, {"name": "Attic", "sort": 2}],
    "piece": [{"title": "Oak chair"}, {"title": "Old chair"}, {"count": 4}, {"passed_at": None}],
    "purchase": [{"total": 999, "extra_costs": 1}, {"total": 0, "extra_costs": None}],
    "sale": [{"price": 5100, "fee": 0, "delivery_charged": 250}, {"buyer": "Ilse"}],
    "return": [{"refund": 100, "fee_back": 5, "back_in_stock": True}, {"note": "A loose leg"}],
}

CONTESTED: dict[str, list[dict[str, Any]]] = {
    "piece": [{"title": "Oak chair"}, {"title": "Old chair"}],
    "sale": [{"price": 4400, "fee": 0, "delivery_charged": 0},
             {"price": 4600, "fee": 9, "delivery_charged": None}],
    "spot": [{"deleted": True}, {"deleted": False}],
}  # fmt: skip


class PeopleOnThreePhones(PhonesAndHome):
    """People buy, sell, divide, delete and edit on three phones; the network is as it is."""

    @initialize(offsets=st.lists(st.sampled_from([0, -(10**12), 10**11, 10**7]), min_size=PHONES,
                                 max_size=PHONES))  # fmt: skip
    def begin(self, offsets: list[int]) -> None:
        """Clocks are right, hours wrong or years wrong; some pieces are known to everybody."""
        self.pair(offsets)
        self.make_a_spot(0, NAMES[0])
        self.buy(0, 2, 4001)
        self.buy(1, 1, 1200)
        self.rest()

    @rule(phone=phones, name=st.sampled_from(NAMES))
    def make_a_spot(self, phone: int, name: str) -> None:
        self.say(phone, "spot", {"name": name})

    @rule(phone=phones, pieces=st.integers(1, 3), total=st.sampled_from([0, 700, 4001]))
    def buy(self, phone: int, pieces: int, total: int) -> None:
        """One payment for one or several pieces."""
        found = [self.say(phone, "piece", {**self.when(phone), "kind": "chair"})
                 for _ in range(pieces)]  # fmt: skip
        paid = {**self.when(phone), "total": total, "extra_costs": 0}
        purchase = self.say(phone, "purchase", paid)
        for weight, piece in enumerate(found, 1):
            self.say(phone, "piece", {"purchase_id": purchase, "share_weight": weight}, piece)

    @rule(phone=phones, pick=picks, price=st.sampled_from([2500, 6000]))
    def sell(self, phone: int, pick: Any, price: int) -> None:
        """Whatever else was done with the piece, here or elsewhere."""
        for _, piece in self.one_of(phone, pick, "piece"):
            self.say(phone, "sale", {**self.when(phone), "piece_id": piece, "price": price,
                                     "fee": 120, "delivery_charged": None})  # fmt: skip

    @rule(phone=phones, pick=picks, stays=st.booleans())
    def take_back(self, phone: int, pick: Any, stays: bool) -> None:
        for _, sale in self.one_of(phone, pick, "sale"):
            self.say(phone, "return", {**self.when(phone), "sale_id": sale, "refund": 2500,
                                       "fee_back": None, "back_in_stock": not stays})  # fmt: skip

    @rule(phone=phones, pick=picks, left=st.integers(0, 2))
    def divide(self, phone: int, pick: Any, left: int) -> None:
        """Some of a set become a piece of their own; ``left`` 0: nothing is left of the set."""
        for _, parent in self.one_of(phone, pick, "piece"):
            child = self.say(phone, "piece", {**self.when(phone), "kind": "chair"})
            self.say(phone, "split", {**self.when(phone), "parent_id": parent, "child_id": child,
                                      "child_weight": 1, "parent_weight": left})  # fmt: skip

    @rule(phone=phones, pick=picks)
    def say_they_are_the_same(self, phone: int, pick: Any) -> None:
        """Two records of one piece, said in either direction, and round in a circle."""
        pieces = self.held(phone, "piece")
        if len(pieces) > 1:
            (_, one), (_, other) = pick.sample(pieces, 2)
            pair = {"at": self.when(phone)["at"], "duplicate_id": one, "survivor_id": other}
            self.say(phone, "same_as", pair)

    @rule(phone=phones, pick=picks)
    def edit(self, phone: int, pick: Any) -> None:
        for type, id in self.one_of(phone, pick, *EDITS):
            self.say(phone, type, dict(pick.choice(EDITS[type])), id)

    @rule(pick=picks)
    def two_edit_the_same_at_once(self, pick: Any) -> None:
        """The one who writes first may well be the one who is heard last."""
        one, other = pick.sample(range(PHONES), 2)
        both = set(self.held(one, *CONTESTED)) & set(self.held(other, *CONTESTED))
        for type, id in pick.sample(sorted(both), min(1, len(both))):
            for phone, value in zip((one, other), pick.sample(CONTESTED[type], 2), strict=True):
                self.say(phone, type, dict(value), id)

    @rule(phone=phones, pick=picks, deleted=st.sampled_from([True, True, False]))
    def delete_or_bring_back(self, phone: int, pick: Any, deleted: bool) -> None:
        for type, id in self.one_of(phone, pick, *FACTS):
            self.say(phone, type, {"deleted": deleted}, id)

    @rule(phone=phones, pick=picks)
    def erase(self, phone: int, pick: Any) -> None:
        for type, id in self.one_of(phone, pick, *FACTS):
            self.phones[phone].erase(type, id)
            self.gone.add((type, id))

    def one_of(self, phone: int, pick: Any, *types: str) -> list[tuple[str, str]]:
        """One of the records that a phone shows, or none while it has none."""
        held = self.held(phone, *types)
        return [pick.choice(held)] if held else []

    @invariant()
    def no_change_waits_twice_and_none_was_refused(self) -> None:
        for phone in self.phones:
            assert len({change["key"] for change in phone.outbox}) == len(phone.outbox)
            assert not phone.refused

    @invariant()
    def books_balance_and_no_two_live_sales_are_summed_on_any_phone(self) -> None:
        """Also while a sale is there before its piece, or a return before its sale."""
        for phone in self.phones:
            check(flat(phone.rows.values()), self.moment())

    def teardown(self) -> None:
        """In the quiet after it all: equal, nothing lost, nothing erased is back."""
        try:
            if self.clients:
                self.rest()
                self.rest()
                self.all_hold_the_same()
                self.every_written_value_is_in_the_history()
                self.of_what_is_remembered_the_latest_stands()
        finally:
            self.opened.__exit__(None, None, None)
            self.folder.cleanup()

    def all_hold_the_same(self) -> None:
        """I3: phones and home, field by field, whatever order the records came in."""
        home = self.clients[0].rows()
        stages = stages_of(flat(home.values()), self.moment())
        posted = postings(Facts(flat(home.values()), EVER, "UTC"))
        for phone in self.phones:
            assert {row["id"]: row for row in phone.rows.values()} == home
            mine = flat(phone.rows.values())
            assert stages_of(mine, self.moment()) == stages
            assert postings(Facts(mine, EVER, "UTC")) == posted
        assert all(is_erased(home[id]) for _, id in self.gone)

    def every_written_value_is_in_the_history(self) -> None:
        kept = {(h.type, h.record_id, h.group, as_text(h.values)) for h in self.history()}
        erased = {key for key, row in self.phones[0].rows.items() if is_erased(row)}
        assert {write for write in self.told if write[:2] not in erased} <= kept

    def of_what_is_remembered_the_latest_stands(self) -> None:
        """I3 once more, from the other side: no merge on the way gave another winner."""
        latest: dict[tuple[str, str], dict[str, str]] = {}
        for entry in self.history():
            latest.setdefault((entry.type, entry.record_id), {})[entry.group] = entry.stamp
        for key, row in self.phones[0].rows.items():
            if not is_erased(row):
                assert {g: w.stamp for g, w in writes_of(row).items()} == latest[key], key


TestPeopleOnThreePhones = PeopleOnThreePhones.TestCase
TestPeopleOnThreePhones.settings = settings(max_examples=8, stateful_step_count=25, deadline=None)
