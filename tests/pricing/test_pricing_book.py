"""The price book: what moves it, what must not, and how large it gets."""

from __future__ import annotations

import json
import math
import time
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from crestrail.pricing import defaults
from crestrail.pricing.book import build_book
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
)
from crestrail.pricing.pad import price_find
from crestrail.records.schema import BY_NAME, TRAIT_GROUPS
from helpers.pricing_histories import (
    AS_OF,
    FRESH,
    KINDS,
    STEPS,
    TRAITS,
    large_past,
    past,
    true_log_price,
)

DESK = Thing("desk", (), 1, 4)
YESTERDAY = AS_OF - timedelta(days=1)


def book_of(history: History, as_of: date = AS_OF) -> dict[str, Any]:
    return build_book(history, Settings(), as_of)


def likely(history: History, kind: str = "desk", traits: tuple[str, ...] = ()) -> int:
    answer = price_find(book_of(history), {"kind": kind, "traits": list(traits)})
    return int(answer["range"]["likely"])


def unsold(history: History, kind: str = "desk") -> float:
    return float(price_find(book_of(history), {"kind": kind})["chances"]["unsold"])


def listed(days: int, ask: int, sold: int | None = None, left: int = 1) -> Listing:
    """A desk offered for so many days at one ask, ended ``left`` days ago or still offered."""
    end = AS_OF - timedelta(days=left)
    asked = (Asked(ask, end - timedelta(days=days)),)
    return Listing(DESK, asked, end, sold)


def test_the_book_is_plain_json_with_the_parts_a_phone_needs() -> None:
    book = book_of(past(1, 20))
    assert json.loads(json.dumps(book)) == book
    assert set(book) == {
        "v", "made", "price", "sell", "effort", "kinds", "traits", "steps", "money", "counts",
        "back", "corrections",
    }  # fmt: skip
    assert book["made"] == "2026-05-01"


def test_a_day_one_household_without_any_kind_gets_a_book_too() -> None:
    book = book_of(History())
    assert price_find(book, {"typed": {"likely": 5000}, "ask": 500})["ok"]
    assert not price_find(book, {"kind": "desk"})["ok"]


def test_own_sales_move_the_price_towards_what_was_paid() -> None:
    before = likely(FRESH)
    for n, price in ((1, 28000), (5, 28000), (5, 7000)):
        after = likely(replace(FRESH, sales=(Sale(DESK, price, YESTERDAY),) * n))
        assert min(before, price) < after < max(before, price)
    one, five = (likely(replace(FRESH, sales=(Sale(DESK, 28000, YESTERDAY),) * n)) for n in (1, 5))
    assert before < one < five


def test_an_old_sale_moves_the_price_less_than_a_new_one() -> None:
    new, old = (
        likely(replace(FRESH, sales=(Sale(DESK, 28000, AS_OF - timedelta(days=d)),) * 3))
        for d in (1, 2500)
    )
    assert likely(FRESH) < old < new


def test_what_was_seen_elsewhere_weighs_less_and_is_not_counted_as_own() -> None:
    own = replace(FRESH, sales=(Sale(DESK, 28000, YESTERDAY),))
    said = replace(FRESH, seen=(SeenElsewhere(DESK, 28000, True, YESTERDAY),))
    asked = replace(FRESH, seen=(SeenElsewhere(DESK, 28000, False, YESTERDAY),))
    assert likely(FRESH) < likely(asked) < likely(said) < likely(own)
    counts = book_of(said)["counts"]
    assert (counts["sales"], counts["kinds"], counts["seen_elsewhere"]) == (0, {}, 1)


def test_a_trait_learned_on_one_kind_counts_for_another() -> None:
    with_label = Thing("desk", ("makers-label",), 1, 4)
    plain, labelled = Sale(DESK, 14000, YESTERDAY), Sale(with_label, 24000, YESTERDAY)
    history = replace(FRESH, sales=(plain, labelled) * 6)
    assert likely(history, "stool", ("makers-label",)) > 1.1 * likely(history, "stool")


def test_the_order_of_the_past_does_not_matter() -> None:
    history = past(3, 40)
    backwards = replace(
        history,
        sales=history.sales[::-1],
        listings=history.listings[::-1],
        stints=history.stints[::-1],
        seen=history.seen[::-1],
    )
    one, other = book_of(history)["sell"], book_of(backwards)["sell"]
    assert one["unsold_scale"] == pytest.approx(other["unsold_scale"], abs=2e-6)
    for kind, rate in one["kinds"].items():
        assert rate == pytest.approx(other["kinds"][kind], abs=2e-6)
    for part in ("price", "effort"):
        one, other = book_of(history)[part], book_of(backwards)[part]
        assert one["m"] == pytest.approx(other["m"], abs=2e-6)
        assert one["v_micro"] == pytest.approx(other["v_micro"], abs=1)


def test_a_book_is_made_for_a_day() -> None:
    history = past(4, 40)
    later = book_of(history, AS_OF + timedelta(days=400))
    assert later["price"]["m"] != book_of(history)["price"]["m"]
    assert later["price"]["nu"] < book_of(history)["price"]["nu"], "old sales say less"


def test_things_of_a_kind_without_a_typical_price_say_nothing_about_others() -> None:
    odd = Thing("odd-thing", ("oak",), 1, 4)
    history = replace(FRESH, sales=(Sale(odd, 900_000, YESTERDAY),) * 5)
    assert likely(history, "desk", ("oak",)) == likely(FRESH, "desk", ("oak",))
    assert book_of(history)["counts"]["sales"] == 5


def test_a_person_who_always_sells_is_told_a_smaller_chance_of_not_selling() -> None:
    sold = replace(FRESH, listings=(listed(10, 14500, 14000, left=200),) * 12)
    standing = replace(FRESH, listings=(listed(150, 14500),) * 12)
    assert unsold(sold) < unsold(FRESH) < unsold(standing) <= 0.95


def test_pieces_taken_down_early_say_nothing_about_not_selling_in_time() -> None:
    early = replace(FRESH, listings=(listed(10, 14500),) * 12)
    assert book_of(early)["sell"]["unsold_scale"] == 1.0


def test_a_record_waits_until_slow_sales_could_have_come_too() -> None:
    """Twelve that sold in ten days say little while twelve of the same month still stand."""
    young = replace(FRESH, listings=(listed(10, 14500, 14000, left=20),) * 12)
    grown = replace(FRESH, listings=(listed(10, 14500, 14000, left=100),) * 12)
    assert book_of(young)["sell"]["unsold_scale"] == 1.0
    assert 0.3 < book_of(grown)["sell"]["unsold_scale"] < 0.9


def test_selling_quickly_makes_every_kind_quicker() -> None:
    quick = replace(FRESH, listings=(listed(3, 14500, 14000),) * 20)
    assert book_of(quick)["sell"]["speed"] > 1.5
    assert unsold(quick, "mirror") < unsold(FRESH, "mirror")


def test_haggling_is_learned_and_shrunk_to_five_percent() -> None:
    assert book_of(FRESH)["sell"]["haggle"] == 0.05
    hard = replace(FRESH, listings=(listed(10, 20000, 14000),) * 50)
    assert 0.2 < book_of(hard)["sell"]["haggle"] < math.log(20 / 14)
    above = replace(FRESH, listings=(listed(10, 10000, 14000),) * 50)
    assert 0.0 <= book_of(above)["sell"]["haggle"] < 0.05


def test_a_drop_that_was_planned_beyond_the_sale_does_not_lengthen_the_standing() -> None:
    end = AS_OF - timedelta(days=1)
    asked = (Asked(14500, end - timedelta(days=10)), Asked(12000, end + timedelta(days=90)))
    planned = replace(FRESH, listings=(Listing(DESK, asked, end, 14000),))
    plain = replace(FRESH, listings=(listed(10, 14500, 14000),))
    assert book_of(planned)["sell"]["kinds"] == book_of(plain)["sell"]["kinds"]


def test_stints_move_the_minutes_of_their_step_and_a_little_of_all() -> None:
    def minutes(history: History, step: str) -> int:
        find = {"kind": "desk", "steps": [{"step": step}]}
        bench = Settings(wage_covers="bench")
        return int(price_find(build_book(history, bench, AS_OF), find)["minutes"]["likely"])

    slow = replace(FRESH, stints=(Stint("deep-clean", 60, YESTERDAY),) * 8)
    assert minutes(FRESH, "deep-clean") == 30
    assert 45 < minutes(slow, "deep-clean") < 60
    assert minutes(FRESH, "gel-stain") < minutes(slow, "gel-stain") < 60


def test_stints_of_steps_the_household_does_not_have_are_left_out() -> None:
    strange = replace(FRESH, stints=(Stint("unheard-of", 500, YESTERDAY),) * 5)
    assert book_of(strange)["effort"]["m"] == book_of(FRESH)["effort"]["m"]


@pytest.mark.parametrize("seed", range(4))
def test_with_many_sales_the_book_finds_the_hidden_market(seed: int) -> None:
    book, fresh = book_of(past(seed, 300)), book_of(FRESH)
    finds = [x.thing for x in past(seed + 100, 120).sales]

    def error(numbers: dict[str, Any]) -> float:
        off = []
        for thing in finds:
            find = {"kind": thing.kind, "traits": list(thing.traits), "count": thing.count,
                    "finished_grade": thing.grade}  # fmt: skip
            middle = price_find(numbers, find)["range"]["likely"]
            off.append(abs(math.log(middle) - true_log_price(thing)))
        return sum(off) / len(off)

    assert error(book) < 0.12
    assert error(book) < 0.5 * error(fresh)


@pytest.mark.parametrize("sales", [20, 120])
def test_about_four_of_five_new_sales_fall_in_the_shown_range(sales: int) -> None:
    inside = total = 0
    for seed in range(6):
        book = book_of(past(seed, sales))
        for sale in past(seed + 200, 60).sales:
            thing = sale.thing
            find = {"kind": thing.kind, "traits": list(thing.traits), "count": thing.count,
                    "finished_grade": thing.grade}  # fmt: skip
            shown = price_find(book, find)["range"]
            inside += shown["low"] <= sale.price <= shown["high"]
            total += 1
    assert 0.74 < inside / total < 0.90


def test_a_large_book_stays_under_60_kilobytes_and_is_made_in_seconds() -> None:
    start = time.process_time()
    book = book_of(large_past(2000))
    seconds = time.process_time() - start
    assert len(json.dumps(book, separators=(",", ":"))) < 60_000
    assert seconds < 10


def test_the_starting_vocabulary_fits_the_schema() -> None:
    lists = {
        "kind": defaults.starting_kinds(),
        "trait": defaults.starting_traits(),
        "step": defaults.starting_steps(),
    }
    for name, entries in lists.items():
        fields = {f.name for f in BY_NAME[name].fields}
        assert all(set(entry) <= fields for entry in entries)
        slugs = [entry["slug"] for entry in entries]
        assert len(slugs) == len(set(slugs))
    assert {t["trait_group"] for t in lists["trait"]} == set(TRAIT_GROUPS)
    assert sum(1 for s in lists["step"] if s["standing"]) == 4


def test_every_starting_kind_gets_an_offer() -> None:
    history = History(
        kinds=tuple(
            Kind(k["slug"], k["typical_price"], k["sureness"], k["typical_days"])
            for k in defaults.starting_kinds()
        ),
        traits=tuple(Trait(t["slug"], t["trait_group"]) for t in defaults.starting_traits()),
        steps=tuple(
            StepOfWork(s["slug"], s["typical_minutes"], s["supplies_cost"], s["standing"])
            for s in defaults.starting_steps()
        ),
    )
    book = book_of(history)
    for kind in history.kinds:
        answer = price_find(book, {"kind": kind.slug, "steps": [{"step": "wipe-down"}]})
        assert answer["ok"]
        assert answer["most"] > 0 or answer["nothingReason"] is not None
        assert answer["most"] < answer["range"]["likely"]


def test_the_invented_past_is_what_the_tests_think_it_is() -> None:
    assert [k.slug for k in KINDS][-1] == "odd-thing"
    assert len([s for s in STEPS if s.standing]) == 4
    assert len(TRAITS) == 5
