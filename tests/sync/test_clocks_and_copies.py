"""Wrong clocks (I10) and servers that were copied back (I9)."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest

from crestrail.basis.clock import to_ms
from crestrail.records.stamps import parse_stamp
from crestrail.services.rescue import bring_home
from helpers import app as apps
from helpers.app import Home
from helpers.exchanges import outcomes, same, settle, simulated

YEAR = timedelta(days=365)
DAY_MS = 86_400_000


def test_I9_a_server_copied_back_is_noticed_and_gets_back_what_it_lost(tmp_path: Path) -> None:
    file = tmp_path / "home.sqlite3"
    with apps.opened(tmp_path / "data", f"sqlite:///{file}") as home:
        client = home.pair()
        phone = simulated(home, client)
        kept = phone.write("spot", {"name": "Before"})
        settle(client, phone)
        home.close()
        before = file.read_bytes()
        lost = phone.write("spot", {"name": "After"})
        phone.write("spot", {"note": "changed since"}, kept)
        settle(client, phone)
        assert not phone.outbox
        home.close()
        for side in ("-wal", "-shm"):
            Path(f"{file}{side}").unlink(missing_ok=True)
        file.write_bytes(before)
        other = home.pair()
        other.sync([other.change("spot", {"name": f"New {i}"}) for i in range(20)])
        resets = settle(client, phone)
        assert resets == 1
        rows = client.rows("spot")
        assert rows[lost]["fields"]["name"] == "After"
        assert rows[kept]["fields"] == {"name": "Before", "note": "changed since"}
        assert same(client, phone)


def test_I9_an_edit_of_what_a_copied_back_home_has_lost_comes_home_with_it(tmp_path: Path) -> None:
    """Home cannot make the record from the edit alone, so it takes nothing before it is whole."""
    file = tmp_path / "home.sqlite3"
    with apps.opened(tmp_path / "data", f"sqlite:///{file}") as home:
        client = home.pair()
        phone = simulated(home, client)
        settle(client, phone)
        home.close()
        before = file.read_bytes()
        lost = phone.write("spot", {"name": "Loft"})
        settle(client, phone)
        home.close()
        for side in ("-wal", "-shm"):
            Path(f"{file}{side}").unlink(missing_ok=True)
        file.write_bytes(before)
        phone.write("spot", {"note": "changed since"}, lost)
        answer = client.sync(**phone.request())
        assert (answer["outcomes"], answer["reset"], client.rows("spot")) == ([], True, {})
        assert settle(client, phone) == 1
        assert client.rows("spot")[lost]["fields"] == {"name": "Loft", "note": "changed since"}
        assert (phone.refused, same(client, phone)) == ([], True)


def test_I9_a_push_acknowledged_while_further_pages_waited_is_missed_too(tmp_path: Path) -> None:
    """The cursor stands at an old row then, which the copy has; the newest commit it has not."""
    file = tmp_path / "home.sqlite3"
    with apps.opened(tmp_path / "data", f"sqlite:///{file}") as home:
        phone, other = home.pair(), home.pair()
        other.sync([other.change("spot", {"name": f"Shelf {i}"}) for i in range(20)])
        home.close()
        before = file.read_bytes()
        answer = phone.sync([phone.change("spot", {"name": "Lost"})], limit=3)
        assert answer["more"]
        home.close()
        for side in ("-wal", "-shm"):
            Path(f"{file}{side}").unlink(missing_ok=True)
        file.write_bytes(before)
        assert phone.sync(cursor=answer["cursor"])["reset"]


@pytest.mark.parametrize("cursor", ["x", "0" * 12 + ".1." + "0" * 12, "…", "1.2.3"])
def test_I9_an_unknown_cursor_is_answered_with_a_reset(home: Home, cursor: str) -> None:
    answer = home.pair().sync(cursor=cursor)
    assert (answer["reset"], answer["more"], answer["cursor"], answer["records"]) == (
        True, True, None, [],
    )  # fmt: skip


@pytest.mark.parametrize("off", [YEAR * 5, timedelta(hours=3), timedelta(minutes=11)])
def test_I10_a_phone_ahead_keeps_its_edits_and_does_not_win_for_ever(
    home: Home, off: timedelta
) -> None:
    ahead, right = home.pair(), home.pair()
    phone = simulated(home, ahead, off_ms=off // timedelta(milliseconds=1))
    spot = phone.write("spot", {"name": "From the future"})
    phone.write("spot", {"note": "second"}, spot)
    settle(ahead, phone)
    assert right.rows("spot")[spot]["fields"] == {"name": "From the future", "note": "second"}
    home.clock.advance(timedelta(minutes=1))
    right.sync([right.change("spot", {"name": "Later"}, spot)])
    settle(ahead, phone)
    assert phone.rows["spot", spot]["fields"]["name"] == "Later"


def test_I10_a_push_from_the_future_is_not_taken_in_part(home: Home) -> None:
    phone = home.pair()
    good = phone.change("spot", {"name": "Now"})
    ahead = phone.change("spot", {"name": "Ahead"}, at_ms=11 * 60_000)
    answer = phone.try_sync([good, ahead])
    assert (answer.status_int, answer.json["code"]) == (409, "clock_ahead")
    assert answer.json["details"][0]["clock"] == to_ms(home.clock.now())
    assert phone.rows("spot") == {}


def test_I10_ten_minutes_ahead_are_taken(home: Home) -> None:
    phone = home.pair()
    change = phone.change("spot", {"name": "A little ahead"}, at_ms=10 * 60_000)
    assert outcomes(phone.sync([change])) == ["applied"]


def test_I10_a_phone_that_was_away_for_weeks_is_not_refused_for_its_age(home: Home) -> None:
    phone = home.pair()
    change = phone.change("spot", {"name": "From May"})
    home.clock.advance(timedelta(days=60))
    assert outcomes(phone.sync([change])) == ["applied"]


def test_I10_a_phone_years_behind_is_taken_and_loses_to_later_values(home: Home) -> None:
    right, behind = home.pair(), home.pair()
    made = right.change("spot", {"name": "Barn"})
    right.sync([made])
    old = behind.change("spot", {"name": "Shed"}, made["id"], at_ms=-5 * 365 * 86_400_000)
    assert outcomes(behind.sync([old])) == ["conflict"]
    assert right.rows()[made["id"]]["fields"]["name"] == "Barn"
    entries = right.web.get(f"/api/history/spot/{made['id']}").json["entries"]
    assert {entry["values"]["name"] for entry in entries} == {"Barn", "Shed"}


def test_I10_an_evening_with_home_a_year_ahead_ends_in_no_loop(home: Home) -> None:
    client = home.pair()
    phone = simulated(home, client)
    home.clock.advance(YEAR)
    spot = phone.write("spot", {"name": "In the wrong year"})
    settle(client, phone)
    home.clock.advance(-YEAR)
    phone.write("spot", {"name": "Mended"}, spot)
    settle(client, phone)
    assert client.rows("spot")[spot]["fields"]["name"] == "Mended"
    assert client.sync()["behind"]


def test_I10_home_years_behind_takes_edits_in_their_order(home: Home) -> None:
    client = home.pair()
    phone = simulated(home, client)
    spot = phone.write("spot", {"name": "Before"})
    settle(client, phone)
    home.clock.advance(-3 * YEAR)
    phone.off_ms = 3 * YEAR // timedelta(milliseconds=1)
    phone.write("spot", {"name": "While home is behind"}, spot)
    settle(client, phone)
    assert client.rows("spot")[spot]["fields"]["name"] == "While home is behind"


def test_I10_an_outbox_written_across_a_jump_of_the_clock_keeps_its_order(home: Home) -> None:
    client = home.pair()
    phone = simulated(home, client)
    spot = phone.write("spot", {"name": "First"})
    phone.off_ms = 5 * YEAR // timedelta(milliseconds=1)
    phone.write("spot", {"name": "Second"}, spot)
    phone.off_ms = 0
    phone.write("spot", {"name": "Third"}, spot)
    settle(client, phone)
    assert client.rows("spot")[spot]["fields"]["name"] == "Third"


def test_I10_an_outing_with_the_clock_40_days_ahead_comes_home_whole(home: Home) -> None:
    """Found and bought offline under a wrong clock; home again, a later edit by somebody else
    stands, nothing is lost and no date of the stamps lies in the future."""
    ahead, right = home.pair(), home.pair()
    phone = simulated(home, ahead)
    settle(ahead, phone)
    phone.off_ms = 40 * DAY_MS
    when = {"at": "2026-05-01T14:03:00.000Z", "on": "2026-05-01"}
    piece = phone.write("piece", when | {"title": "Bench", "ask": 4000})
    purchase = phone.write("purchase", when | {"total": 3500})
    phone.write("piece", {"purchase_id": purchase, "share_weight": 1}, piece)
    for title in ("Cane bench", "Cane bench, one slat loose"):
        home.clock.advance(timedelta(hours=1))
        phone.write("piece", {"title": title}, piece)
    settle(ahead, phone)
    assert (phone.outbox, phone.refused) == ([], [])
    row = right.rows("piece")[piece]
    assert row["fields"]["title"] == "Cane bench, one slat loose"
    assert (row["fields"]["purchase_id"], row["fields"]["ask"]) == (purchase, 4000)
    latest = to_ms(home.clock.now()) + 10 * 60_000
    assert all(parse_stamp(stamp).ms <= latest for stamp in row["stamps"].values())
    assert right.rows("look") == {}
    home.clock.advance(timedelta(minutes=1))
    right.sync([right.change("piece", {"title": "Sold as seen"}, piece)])
    settle(ahead, phone)
    assert phone.rows["piece", piece]["fields"]["title"] == "Sold as seen"
    phone.write("piece", {"note": "after it learned"}, piece)
    settle(ahead, phone)
    assert same(ahead, phone)


def test_I10_a_file_saved_under_a_clock_40_days_ahead_is_brought_home_whole(home: Home) -> None:
    """The phone never met home again: its file is taken, each change as written now, in order."""
    client, right = home.pair(), home.pair()
    phone = simulated(home, client, off_ms=40 * DAY_MS)
    spot = phone.write("spot", {"name": "Loft"})
    phone.write("spot", {"name": "Loft, left"}, spot)
    phone.write("spot", {"note": "dry"}, spot)
    head = {"crestrail_rescue": 1, "household": client.household, "device": client.device}
    lines = [json.dumps(head), *(json.dumps({"change": change}) for change in phone.outbox)]
    with home.app.app_context():
        counts = bring_home(lines, home.app.extensions["crestrail_photos"], home.clock.now())
    assert counts["applied"] == 3
    row = right.rows("spot")[spot]
    assert row["fields"] == {"name": "Loft, left", "note": "dry"}
    home.clock.advance(timedelta(minutes=1))
    right.sync([right.change("spot", {"name": "Barn"}, spot)])
    assert right.rows("spot")[spot]["fields"]["name"] == "Barn"
    settle(client, phone)
    assert right.rows("spot")[spot]["fields"]["name"] == "Barn"
    entries = right.web.get(f"/api/history/spot/{spot}").json["entries"]
    assert {"Loft", "Loft, left", "Barn"} <= {entry["values"].get("name") for entry in entries}
    assert same(client, phone)
