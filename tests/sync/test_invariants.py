"""The invariants of syncing, each by its number, over the real application."""

from __future__ import annotations

import threading
import uuid
from datetime import timedelta
from typing import Any

import pytest

from helpers import app as apps
from helpers.app import Client, Home
from helpers.exchanges import all_pages, in_threads, outcomes, phone_again, settle, simulated

WRITERS = 4


def test_I2_replaying_a_batch_changes_nothing(any_home: Home) -> None:
    phone = any_home.pair()
    batch = [phone.change("spot", {"name": f"Shelf {i}"}) for i in range(5)]
    first = phone.sync(batch)
    before, cursor = phone.rows(), phone.sync()["cursor"]
    for again in (batch, batch[2:], batch[::-1], [*batch, *batch]):
        answer = phone.sync(again, cursor=cursor)
        assert set(outcomes(answer)) == {"known"}
        assert answer["cursor"] == cursor
        assert answer["records"] == []
    assert set(outcomes(first)) == {"applied"}
    assert phone.rows() == before


def test_I2_the_same_write_under_another_key_is_known(home: Home) -> None:
    phone = home.pair()
    change = phone.change("spot", {"name": "Barn"})
    phone.sync([change])
    assert outcomes(phone.sync([change | {"key": str(uuid.uuid4())}])) == ["known"]


def test_I2_one_push_sent_four_times_at_once_is_taken_once(any_home: Home) -> None:
    phone = any_home.pair()
    batch = [phone.change("spot", {"name": f"Shelf {i}"}) for i in range(20)]
    start = phone.sync()["cursor"]
    answers: list[dict[str, Any]] = []

    def push() -> None:
        answers.append(phone_again(phone).sync(batch, cursor=start))

    in_threads([push] * WRITERS)
    taken = sorted(outcomes(answer)[0] for answer in answers)
    assert taken == ["applied", "known", "known", "known"]
    rows = all_pages(phone, 500, start)
    assert sorted(row["id"] for row in rows) == sorted(change["id"] for change in batch)


def test_I4_pages_hold_every_row_though_writers_commit_out_of_order(any_home: Home) -> None:
    reader = any_home.pair()
    writers = [any_home.pair() for _ in range(WRITERS)]
    written: list[str] = []
    done = threading.Event()

    def write(phone: Client) -> None:
        for size in (1, 7, 3, 12, 1, 5, 2, 9):
            batch = [phone.change("spot", {"name": "Shelf"}) for _ in range(size)]
            assert set(outcomes(phone.sync(batch, cursor=None))) == {"applied"}
            written.extend(change["id"] for change in batch)

    seen: list[str] = []

    def read() -> None:
        cursor = None
        while True:
            last = done.is_set()
            answer = reader.sync(cursor=cursor, limit=4)
            assert not answer["reset"]
            seen.extend(row["id"] for row in answer["records"] if row["type"] == "spot")
            cursor = answer["cursor"]
            if last and not answer["more"]:
                return

    reading = threading.Thread(target=read)
    reading.start()
    in_threads([lambda phone=phone: write(phone) for phone in writers])
    done.set()
    reading.join(timeout=60)
    assert not reading.is_alive()
    assert sorted(seen) == sorted(written)


def test_I5_the_answer_to_a_push_skips_no_row(home: Home) -> None:
    one, other = home.pair(), home.pair()
    cursor = one.sync()["cursor"]
    other.sync([other.change("spot", {"name": f"Shelf {i}"}) for i in range(30)])
    answer = one.sync([one.change("spot", {"name": "Mine"})], cursor=cursor, limit=10)
    assert answer["more"]
    rest = all_pages(one, 10, answer["cursor"])
    names = sorted(row["fields"]["name"] for row in [*answer["records"], *rest])
    assert names == sorted(["Mine", *(f"Shelf {i}" for i in range(30))])


def test_I5_the_cursor_counts_rows_looked_at_also_those_not_sent(home: Home) -> None:
    phone = home.pair()
    cursor = phone.sync()["cursor"]
    answer = phone.sync([phone.change("spot", {"name": "Mine"}) for _ in range(3)], cursor=cursor)
    assert answer["records"] == []
    assert not answer["more"]
    assert phone.sync(cursor=answer["cursor"])["records"] == []
    assert answer["cursor"] != cursor


def test_I5_a_row_that_another_phone_changed_is_sent_back(home: Home) -> None:
    one, other = home.pair(), home.pair()
    made = one.change("spot", {"name": "Barn"})
    cursor = one.sync([made])["cursor"]
    other.sync([other.change("spot", {"note": "dry"}, made["id"])])
    answer = one.sync([one.change("spot", {"litres": 4}, made["id"])], cursor=cursor)
    assert answer["records"][-1]["fields"] == {"name": "Barn", "note": "dry", "litres": 4}


def test_I6_an_edit_made_while_the_older_one_travels_survives(home: Home) -> None:
    client = home.pair()
    phone = simulated(home, client)
    spot = phone.write("spot", {"name": "Barn"})
    asked = phone.request()
    phone.write("spot", {"name": "Loft"}, spot)
    phone.receive(asked, client.web.post_json(apps.PATH, asked).json)
    assert phone.rows["spot", spot]["fields"]["name"] == "Loft"
    assert [change["fields"]["name"] for change in phone.outbox] == ["Loft"]
    settle(client, phone)
    assert client.rows("spot")[spot]["fields"]["name"] == "Loft"


def test_I7_one_refused_change_does_not_hold_back_the_others(any_home: Home) -> None:
    phone = any_home.pair()
    bad = phone.change("spot", {"name": 5})
    answer = phone.sync(
        [phone.change("spot", {"name": "A"}), bad, phone.change("spot", {"name": "B"})]
    )
    assert outcomes(answer) == ["applied", "refused", "applied"]
    assert answer["outcomes"][1]["details"][0]["path"] == "name"
    kept = phone.web.get("/api/refused").json["refused"]
    assert [(r["key"], r["code"], r["change"]) for r in kept] == [(bad["key"], "bad_field", bad)]


@pytest.mark.parametrize("trouble", ["revoked", "not_paired"])
def test_I7_a_401_says_which_and_takes_nothing(home: Home, trouble: str) -> None:
    phone, other = home.pair(), home.pair()
    change = phone.change("spot", {"name": "Unsent"})
    if trouble == "revoked":
        other.web.delete(f"/api/devices/{phone.device}")
    else:
        phone.web.reset()
    answer = phone.try_sync([change])
    assert (answer.status_int, answer.json["code"]) == (401, trouble)
    assert change["id"] not in other.rows()
    phone.pair()
    assert outcomes(phone.sync([change])) == ["applied"]


def test_I8_a_deleted_record_stays_deleted_however_late_an_edit_comes(any_home: Home) -> None:
    one, late = any_home.pair(), any_home.pair()
    made = one.change("spot", {"name": "Barn"})
    one.sync([made])
    edit = late.change("spot", {"note": "mine"}, made["id"])
    one.sync([one.change("spot", {"deleted": True}, made["id"])])
    any_home.clock.advance(timedelta(days=40))
    newer = late.change("spot", {"litres": 9}, made["id"])
    late.sync([edit, newer])
    rows = one.rows()
    assert rows[made["id"]]["fields"] == {
        "name": "Barn", "note": "mine", "litres": 9, "deleted": True,
    }  # fmt: skip
    looks = [row["fields"] for row in rows.values() if row["type"] == "look"]
    assert [(k["reason"], k["about_group"]) for k in looks] == [("changed_after_deleted", "litres")]


def test_I11_a_queue_longer_than_a_push_drains_in_bounded_trips(home: Home) -> None:
    client = home.pair()
    phone = simulated(home, client)
    for i in range(120):
        phone.write("spot", {"name": f"Shelf {i}"})
    trips = 0
    while phone.outbox:
        asked = phone.request(most=50)
        phone.receive(asked, client.web.post_json(apps.PATH, asked).json)
        trips += 1
    assert trips == 3
    assert len(client.rows("spot")) == 120
