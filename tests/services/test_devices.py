"""Pairing codes and devices."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from crestrail.api.limits import Tries
from helpers.app import Client, Home


def try_pair(home: Home, code: str, device: str = "a" * 16, **more: Any) -> Any:
    home.app.extensions["crestrail_tries"] = Tries()
    client = Client(home, device, home.household)
    body = {"code": code, "device": device, "name": "Phone", **more}
    return client.web.post_json("/api/pair", body, expect_errors=True)


def test_a_code_pairs_once_as_it_is_typed(home: Home) -> None:
    code = home.code()
    typed = f" {code[:2].lower()}-{code[2:]} ".replace("0", "O").replace("1", "l")
    assert try_pair(home, typed).status_int == 200
    assert try_pair(home, code).json["code"] == "bad_code"


def test_a_code_has_forty_secret_bits_and_ten_minutes(home: Home) -> None:
    assert re.fullmatch("[0-9A-HJKMNP-TV-Z]{10}", home.code())
    code = home.code()
    home.clock.advance(timedelta(minutes=10))
    assert try_pair(home, code).json["code"] == "code_spent"


def test_five_wrong_tries_end_a_code_and_no_other(home: Home) -> None:
    code = home.code()
    other = home.code()
    while other[:2] == code[:2]:
        other = home.code()
    wrong = code[:2] + "".join("7" if c != "7" else "8" for c in code[2:])
    for _ in range(5):
        assert try_pair(home, wrong).json["code"] == "bad_code"
    assert try_pair(home, code).json["code"] == "code_spent"
    assert try_pair(home, other).status_int == 200


def test_trying_too_often_has_to_wait(home: Home) -> None:
    client = Client(home, "a" * 16, home.household)
    body = {"code": "ABCDEFGHJK", "device": "a" * 16, "name": "x"}
    codes = [
        client.web.post_json("/api/pair", body, expect_errors=True).status_int for _ in range(11)
    ]
    assert codes == [403] * 10 + [429]
    home.clock.advance(timedelta(minutes=1))
    assert client.web.post_json("/api/pair", body, expect_errors=True).status_int == 403


def test_pairing_again_keeps_the_device_and_ends_its_old_token(home: Home) -> None:
    old = home.pair(device="b" * 16)
    again = home.pair(device="b" * 16)
    assert len(again.web.get("/api/devices").json["devices"]) == 1
    assert old.try_sync().status_int == 401
    assert again.try_sync().status_int == 200


def test_the_app_replaces_the_tab_it_was_installed_from(home: Home) -> None:
    tab = home.pair()
    app = Client(home, "c" * 16, home.household)
    app.pair(replaces=tab.device)
    assert tab.try_sync().json["code"] == "revoked"
    devices = {d["id"]: d for d in app.web.get("/api/devices").json["devices"]}
    assert devices[tab.device]["revoked_at"]
    assert not devices[app.device]["revoked_at"]


def test_a_device_is_renamed_and_revoked(home: Home) -> None:
    one, other = home.pair(), home.pair()
    one.web.patch_json(f"/api/devices/{other.device}", {"name": "Van"})
    names = [d["name"] for d in one.web.get("/api/devices").json["devices"]]
    assert sorted(names) == ["Van", "phone"]
    one.web.delete(f"/api/devices/{other.device}")
    assert other.try_sync().json["code"] == "revoked"


def test_the_cookie_on_plain_localhost_is_not_secure_and_lives_400_days(home: Home) -> None:
    answer = try_pair(home, home.code())
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith(f"crestrail_{home.household[:8]}=")
    parts = set(cookie.split("; "))
    assert {"HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=34560000"} <= parts
    assert "Secure" not in parts


def test_a_new_code_comes_with_link_and_picture(home: Home) -> None:
    found = home.pair().web.post_json("/api/pairing-codes", {}).json
    assert found["url"] == f"http://localhost/pair#{found['code']}"
    assert "<svg" in found["qr"]
    assert found["expires_at"] == "2026-05-01T12:10:00.000Z"
    assert try_pair(home, found["code"]).status_int == 200


@pytest.mark.parametrize("paired", [True, False])
def test_hello_tells_a_stranger_nothing_of_the_household(home: Home, paired: bool) -> None:
    client = home.pair() if paired else Client(home, "a" * 16, home.household)
    found = client.web.get("/api/hello").json
    assert (found["app"], found["clock"]) == ("crestrail", 1777636800000)
    assert (found["household"], found["household_name"], found["device"]) == (
        (home.household, "Ours", client.device) if paired else (None, None, None)
    )
