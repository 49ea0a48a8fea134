"""Backups and rescue files."""

from __future__ import annotations

import base64
import hashlib
import io
import json
import zipfile
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image

from crestrail.basis.clock import to_ms
from crestrail.basis.errors import CrestrailError
from crestrail.services import backup, rescue
from helpers.app import Client, Home
from helpers.exchanges import same, settle, simulated


def a_picture() -> tuple[str, bytes]:
    out = io.BytesIO()
    Image.new("RGB", (60, 40), "teal").save(out, "JPEG")
    return hashlib.sha256(out.getvalue()).hexdigest(), out.getvalue()


def back_up(home: Home, file: Path) -> None:
    with home.app.app_context():
        backup.back_up(file, home.app.extensions["crestrail_photos"], home.clock.now())


def restore(home: Home, file: Path) -> None:
    with home.app.app_context():
        backup.restore(file, home.app.extensions["crestrail_photos"], home.clock.now())


def put_picture(client: Client) -> str:
    sha256, content = a_picture()
    client.web.put(f"/api/photos/{sha256}", content, headers={"Content-Type": "image/jpeg"})
    return sha256


def test_I9_after_a_restore_phones_push_what_the_backup_lacks(
    any_home: Home, tmp_path: Path
) -> None:
    client = any_home.pair()
    phone = simulated(any_home, client)
    kept = phone.write("spot", {"name": "Before"})
    settle(client, phone)
    back_up(any_home, tmp_path / "b.zip")
    any_home.clock.advance(timedelta(days=1))
    lost = phone.write("spot", {"name": "After"})
    phone.write("spot", {"name": "Renamed"}, kept)
    settle(client, phone)
    restore(any_home, tmp_path / "b.zip")
    assert client.rows("spot").keys() == {kept}
    assert settle(client, phone) == 1
    rows = client.rows("spot")
    assert (rows[kept]["fields"]["name"], rows[lost]["fields"]["name"]) == ("Renamed", "After")
    assert same(client, phone)


def test_a_restore_brings_back_records_history_pictures_and_devices(
    any_home: Home, tmp_path: Path
) -> None:
    client = any_home.pair()
    spot = client.change("spot", {"name": "Barn"})
    client.sync([spot, client.change("spot", {"name": 5})])
    sha256 = put_picture(client)
    before = client.rows()
    history = client.web.get(f"/api/history/spot/{spot['id']}").json
    back_up(any_home, tmp_path / "b.zip")
    client.sync([client.change("spot", {"name": "Later"}, spot["id"])])
    any_home.app.extensions["crestrail_photos"].remove(any_home.household, sha256)
    restore(any_home, tmp_path / "b.zip")
    assert client.rows() == before
    assert client.web.get(f"/api/history/spot/{spot['id']}").json == history
    assert client.web.get(f"/api/photos/{sha256}").body == a_picture()[1]
    assert len(client.web.get("/api/refused").json["refused"]) == 1


def test_what_was_erased_since_the_backup_stays_erased(any_home: Home, tmp_path: Path) -> None:
    client = any_home.pair()
    made = client.change("inquiry", {
        "at": "2026-05-01T12:00:00.000Z", "on": "2026-05-01", "name": "A. Buyer",
    })  # fmt: skip
    client.sync([made])
    back_up(any_home, tmp_path / "b.zip")
    client.sync([client.erasure("inquiry", made["id"])])
    restore(any_home, tmp_path / "b.zip")
    row = client.rows()[made["id"]]
    assert (row["fields"], row["erased"]) == ({}, True)
    assert client.web.get(f"/api/history/inquiry/{made['id']}").json["entries"] == []


def test_somebody_made_and_erased_after_the_backup_does_not_come_back(
    any_home: Home, tmp_path: Path
) -> None:
    client = any_home.pair()
    back_up(any_home, tmp_path / "b.zip")
    made = client.change("inquiry", {
        "at": "2026-05-01T12:00:00.000Z", "on": "2026-05-01", "name": "A. Buyer",
    })  # fmt: skip
    client.sync([made])
    client.sync([client.erasure("inquiry", made["id"])])
    restore(any_home, tmp_path / "b.zip")
    client.sync([made | {"key": client.change("spot", {"name": "x"})["key"]}])
    row = client.rows()[made["id"]]
    assert (row["fields"], row["erased"]) == ({}, True)


def test_a_phone_removed_after_the_backup_stays_removed(any_home: Home, tmp_path: Path) -> None:
    client, lost = any_home.pair(), any_home.pair()
    back_up(any_home, tmp_path / "b.zip")
    client.web.delete(f"/api/devices/{lost.device}")
    restore(any_home, tmp_path / "b.zip")
    answer = lost.web.get("/api/devices", status=401)
    assert answer.json["code"] == "revoked"


@pytest.mark.parametrize("content", [b"", b"PK\x05\x06" + b"\0" * 18, b"{}"])
def test_another_file_is_refused_and_nothing_is_touched(
    home: Home, tmp_path: Path, content: bytes
) -> None:
    client = home.pair()
    before = client.rows()
    (tmp_path / "x.zip").write_bytes(content)
    with pytest.raises(CrestrailError, match="no backup"):
        restore(home, tmp_path / "x.zip")
    assert client.rows() == before


def test_a_backup_holds_no_pairing_code_and_no_token(home: Home, tmp_path: Path) -> None:
    client = home.pair()
    code = home.code()
    back_up(home, tmp_path / "b.zip")
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        assert "tables/pairing_code.jsonl" not in archive.namelist()
        everything = b"".join(archive.read(name) for name in archive.namelist())
    for secret in (code, *client.web.cookies.values()):
        assert secret.encode() not in everything


def rescue_file(home: Home, client: Client) -> list[str]:
    sha256, content = a_picture()
    data = base64.b64encode(content).decode()
    entries = [
        {"crestrail_rescue": 1, "household": home.household, "device": client.device},
        *({"change": client.change("spot", {"name": f"Shelf {i}"})} for i in range(250)),
        {"change": client.change("spot", {"name": 7})},
        {"photo": sha256, "data": data},
        {"photo": "0" * 64, "data": data},
    ]
    return [json.dumps(entry) + "\n" for entry in entries]


def test_a_file_brought_home_twice_is_taken_once(home: Home) -> None:
    client = home.pair()
    lines = rescue_file(home, client)
    files = home.app.extensions["crestrail_photos"]
    with home.app.app_context():
        first = rescue.bring_home(lines, files, home.clock.now())
        rows = client.rows("spot")
        again = rescue.bring_home(lines, files, home.clock.now())
    assert first == {"applied": 250, "refused": 1, "photos": 1, "photos refused": 1}
    assert again == {"known": 250, "refused": 1, "photos": 1, "photos refused": 1}
    assert client.rows("spot") == rows
    assert len(rows) == 250


def test_what_home_knew_and_moved_on_from_is_no_conflict_when_a_file_says_it_again(
    home: Home,
) -> None:
    writer, other = home.pair(), home.pair()
    made = writer.change("spot", {"name": "Shelf"})
    writer.sync(changes=[made])
    other.rows()
    home.clock.advance(timedelta(minutes=1))
    later = other.change("spot", {"name": "Left shelf"}) | {"id": made["id"]}
    later["bases"] = dict(made["stamps"])
    other.sync(changes=[later])
    carried = made | {"bases": dict.fromkeys(made["stamps"])}
    carried["key"] = writer.change("spot", {"name": "x"})["key"]
    head = {"crestrail_rescue": 1, "household": home.household, "device": writer.device}
    lines = [json.dumps(head) + "\n", json.dumps({"change": carried}) + "\n"]
    with home.app.app_context():
        rescue.bring_home(lines, home.app.extensions["crestrail_photos"], home.clock.now())
    assert writer.rows("look") == {}
    assert writer.rows("spot")[made["id"]]["fields"]["name"] == "Left shelf"


def test_I10_a_file_of_a_phone_whose_clock_was_ahead_comes_home_as_written_now(home: Home) -> None:
    client = home.pair()
    change = client.change("spot", {"name": "Shelf of 2031"})
    ahead = f"{to_ms(home.clock.now()) + 5 * 365 * 86_400_000:012x}-0000-{client.device}"
    change["stamps"] = dict.fromkeys(change["stamps"], ahead)
    head = {"crestrail_rescue": 1, "household": home.household, "device": client.device}
    lines = [json.dumps(head) + "\n", json.dumps({"change": change}) + "\n"]
    with home.app.app_context():
        files = home.app.extensions["crestrail_photos"]
        assert rescue.bring_home(lines, files, home.clock.now()) == {"applied": 1}
    (row,) = client.rows("spot").values()
    assert row["fields"]["name"] == "Shelf of 2031"
    assert ahead not in json.dumps(row)


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("{", "bad_json"),
        ("[]", "bad_json"),
        ('{"crestrail_rescue": 2}', "bad_json"),
        ('{"crestrail_rescue": 1, "device": "0000000000000000", "household": "x"}',
         "other_household"),
    ],
)  # fmt: skip
def test_a_file_of_something_else_is_refused(home: Home, line: str, code: str) -> None:
    with home.app.app_context(), pytest.raises(CrestrailError) as refusal:
        rescue.bring_home([line], home.app.extensions["crestrail_photos"], home.clock.now())
    assert refusal.value.code == code
