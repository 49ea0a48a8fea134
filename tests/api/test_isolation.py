"""Nothing of another household is to be had; strangers and foreign pages get nothing at all."""

from __future__ import annotations

import hashlib
import io
import uuid
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from helpers import app as apps
from helpers import probes
from helpers.app import Client, Home

OPEN = {"hello.hello", "devices.pair"}
ANYBODYS = OPEN | {"site.index", "site.file"}


def a_picture(colour: str = "teal") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (60, 40), colour).save(out, "JPEG")
    return out.getvalue()


def furnish(client: Client) -> dict[str, str]:
    """Something of everything that an address can name, by the name of the place."""
    picture = a_picture()
    sha256 = hashlib.sha256(picture).hexdigest()
    client.web.put(f"/api/photos/{sha256}", picture, headers={"Content-Type": "image/jpeg"})
    spot = client.change("spot", {"name": "Barn"})
    client.sync([spot])
    return {"sha256": sha256, "type": "spot", "id": spot["id"], "device": client.device}


def ask(client: Client, call: probes.Call, values: dict[str, str]) -> Any:
    body: Any = {"name": "x"} if call.method in ("PATCH", "POST") else None
    if call.method == "PUT":
        return client.web.put(
            call.path(**values), a_picture("red"), headers={"Content-Type": "image/jpeg"},
            expect_errors=True,
        )  # fmt: skip
    if body is None:
        return client.web.request(call.path(**values), method=call.method, expect_errors=True)
    send = client.web.patch_json if call.method == "PATCH" else client.web.post_json
    return send(call.path(**values), body, expect_errors=True)


def test_every_call_with_a_name_in_it_answers_as_if_others_things_did_not_exist(
    home: Home,
) -> None:
    owner = home.pair()
    stranger = home.pair(household=home.make_household("Theirs"))
    theirs = furnish(owner)
    nothing = {
        "sha256": "0" * 64, "type": "spot", "id": str(uuid.uuid4()), "device": "f" * 16,
    }  # fmt: skip
    asked = 0
    for call in probes.calls(home.app):
        if call.endpoint in ANYBODYS or not set(call.places) & set(theirs):
            continue
        foreign, missing = ask(stranger, call, theirs), ask(stranger, call, nothing)
        assert foreign.status_int == missing.status_int >= 400, call
        assert foreign.json["code"] == missing.json["code"], call
        asked += 1
    assert asked >= 6
    assert owner.web.get("/api/devices").json["devices"][0]["name"] == "phone"


def test_every_other_call_needs_a_paired_device(home: Home) -> None:
    stranger = Client(home, "0" * 16, home.household)
    asked = 0
    for call in probes.calls(home.app):
        if call.endpoint in ANYBODYS:
            continue
        answer = ask(stranger, call, {})
        assert (answer.status_int, answer.json["code"]) == (401, "not_paired"), call
        asked += 1
    assert asked >= 12


def test_lists_hold_only_the_own_household(home: Home) -> None:
    owner = home.pair()
    stranger = home.pair(household=home.make_household("Theirs"))
    furnish(owner)
    owner.sync([owner.change("spot", {"name": 5})])
    assert [row["type"] for row in stranger.rows().values()] == ["setting"]
    assert stranger.web.get("/api/refused").json["refused"] == []
    devices = stranger.web.get("/api/devices").json["devices"]
    assert [device["id"] for device in devices] == [stranger.device]
    assert stranger.web.get("/api/price-book").json["counts"]["sales"] == 0


def test_the_same_id_in_two_households_is_two_records(home: Home) -> None:
    owner = home.pair()
    stranger = home.pair(household=home.make_household("Theirs"))
    made = owner.change("spot", {"name": "Ours"})
    owner.sync([made])
    stranger.sync([stranger.change("spot", {"name": "Theirs"}, made["id"])])
    assert owner.rows()[made["id"]]["fields"]["name"] == "Ours"
    assert stranger.rows()[made["id"]]["fields"]["name"] == "Theirs"


def test_another_household_in_the_envelope_takes_nothing(home: Home) -> None:
    phone = home.pair()
    theirs = home.make_household("Theirs")
    answer = phone.try_sync([phone.change("spot", {"name": "x"})], household=theirs)
    assert (answer.status_int, answer.json["code"]) == (409, "other_household")
    assert phone.rows("spot") == {}


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_foreign_page_changes_nothing(home: Home, headers: dict[str, str]) -> None:
    phone = home.pair()
    answer = phone.web.post_json(apps.PATH, phone.envelope(), headers=headers, expect_errors=True)
    assert (answer.status_int, answer.json["code"]) == (403, "not_allowed")


def test_our_own_page_may(home: Home) -> None:
    phone = home.pair()
    own = {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}
    assert phone.web.post_json(apps.PATH, phone.envelope(), headers=own).status_int == 200


def test_under_another_host_nothing_is_paired_printed_or_changed(tmp_path: Path) -> None:
    origin = "https://crest.local:8470"
    with apps.opened(tmp_path, origin=origin, strict_host=True) as home:
        right = {"Host": "crest.local:8470"}
        env = {"wsgi.url_scheme": "https"}
        stranger = Client(home, "0" * 16, home.household)
        for call in probes.calls(home.app):
            if call.method in probes.UNSAFE or "tag" in call.rule:
                if not call.rule.startswith("/api/"):
                    continue
                answer = ask(stranger, call, {})
                assert (answer.status_int, answer.json["code"]) == (421, "wrong_host"), call
        body = {"code": home.code(), "device": "0" * 16, "name": "phone"}
        paired = stranger.web.post_json("/api/pair", body, headers=right, extra_environ=env)
        cookie = paired.headers["Set-Cookie"]
        assert cookie.startswith(f"__Host-crestrail_{home.household[:8]}=")
        assert {"Secure", "HttpOnly", "Path=/", "SameSite=Strict"} <= set(cookie.split("; "))
