"""Whatever is sent, the answer is an answer: JSON in the one shape, never a 500."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crestrail.api.limits import Tries
from crestrail.basis.errors import ERRORS
from crestrail.records.schema import FIELD_TYPES, RECORD_TYPES, fields_of
from helpers import probes
from helpers.app import Client, Home

BOMB = gzip.compress(b" " * 50_000_000)
DEEP = b'{"a":' * 20_000 + b"1" + b"}" * 20_000
NASTY_TEXTS = ["\0", "\ud800", "a\udfff", "x" * 5000, "'; --", "../../etc/passwd", "é\u202e", ""]
NASTY_NUMBERS = [2**63, -(2**63) - 1, 10**400, 1e308, -0.0, True]
NASTY_BODIES: list[tuple[str, bytes, dict[str, str]]] = [
    ("nothing", b"", {}),
    ("not JSON", b"{", {}),
    ("not UTF-8", b'{"a":"\xff"}', {}),
    ("a list", b"[]", {}),
    ("a number", b"1", {}),
    ("null", b"null", {}),
    ("NaN", b'{"clock":NaN}', {}),
    ("infinity", b'{"clock":1e999}', {}),
    ("too many digits", b'{"clock":' + b"9" * 9000 + b"}", {}),
    ("deep nesting", DEEP, {}),
    ("not gzip", b"{}", {"Content-Encoding": "gzip"}),
    ("half a gzip", gzip.compress(b"{}")[:-5], {"Content-Encoding": "gzip"}),
    ("a gzip bomb", BOMB, {"Content-Encoding": "gzip"}),
    ("an unknown coding", b"{}", {"Content-Encoding": "br"}),
    ("another type", b"a=b", {"Content-Type": "application/x-www-form-urlencoded"}),
    ("no type", b"{}", {"Content-Type": ""}),
    ("a strange type", b"{}", {"Content-Type": "application/json; charset=\xff"}),
    ("a huge body", b" " * 9_000_000, {}),
    ("a wrong picture", b"\xff\xd8\xff\xda\x00", {"Content-Type": "image/jpeg"}),
]
NASTY_PLACES = ["x", "%00", "%ED%A0%80", "..%2f..", "a" * 3000, "0" * 64, "%F0%9F%AA%91", "'"]

nasty = st.recursive(
    st.none() | st.booleans() | st.sampled_from([*NASTY_TEXTS, *NASTY_NUMBERS]) | st.integers()
    | st.text(alphabet=st.characters(codec=None), max_size=40),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner,
                                                                max_size=4),
    max_leaves=6,
)  # fmt: skip


def is_an_answer(answer: Any) -> bool:
    """Below 500; errors in the one shape with a code of the table."""
    assert answer.status_code < 500, (answer.status, answer.text[:500])
    if answer.status_code < 400:
        return True
    body = answer.json
    assert set(body) == {"code", "message", "details"}
    assert body["code"] in ERRORS
    assert all({"path", "code", "message"} <= set(finding) for finding in body["details"])
    return True


def send(client: Client, method: str, path: str, body: bytes, headers: dict[str, str]) -> Any:
    """Any call at all; Flask's own client sends what WebTest would refuse to."""
    browser = client.home.app.test_client()
    for name, value in client.web.cookies.items():
        browser.set_cookie(name, value)
    headers = {"Content-Type": "application/json"} | headers
    return browser.open(path, method=method, data=body, headers=headers, buffered=True)


@pytest.mark.parametrize(("body", "headers"), [b[1:] for b in NASTY_BODIES],
                         ids=[b[0] for b in NASTY_BODIES])  # fmt: skip
def test_no_body_breaks_a_call(home: Home, body: bytes, headers: dict[str, str]) -> None:
    for paired in (False, True):
        for call in probes.calls(home.app):
            if call.method in probes.UNSAFE:
                client = home.pair() if paired else Client(home, "0" * 16, home.household)
                assert is_an_answer(send(client, call.method, call.path(), body, headers))


@pytest.mark.parametrize("place", NASTY_PLACES)
def test_no_address_breaks_a_call(home: Home, place: str) -> None:
    client = home.pair()
    for call in probes.calls(home.app):
        path = call.path(**dict.fromkeys(call.places, place))
        answer = send(client, call.method, path, b"{}", {})
        if call.endpoint.startswith("site."):
            assert answer.status_code in (200, 304, 404)
        else:
            assert is_an_answer(answer)


@pytest.mark.parametrize("header", ["Cookie", "Origin", "Host", "If-None-Match", "Range", "Accept"])
def test_no_header_breaks_a_call(home: Home, header: str) -> None:
    client = home.pair()
    for value in ("", "\x7f", "é", "a" * 5000, "crestrail_x=\x80", "bytes=9-1", "null"):
        for call in probes.calls(home.app):
            answer = send(client, call.method, call.path(), b"{}", {header: value})
            assert answer.status_code < 500, (call, value)


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_change_breaks_a_push(any_home: Home, data: st.DataObject) -> None:
    """Right changes with anything put in one place, for every record type and field."""
    client = the_phone(any_home)
    type = data.draw(st.sampled_from(RECORD_TYPES)).name
    change: dict[str, Any] = client.change(type, right_fields(type))
    place = data.draw(st.sampled_from(["fields", "stamps", "bases", "value", "name", "top"]))
    value = data.draw(nasty)
    if place == "value":
        change["fields"][data.draw(st.sampled_from(sorted(fields_of(type))))] = value
    elif place == "name":
        change["fields"][data.draw(st.text(max_size=50))] = value
    elif place == "top":
        change[data.draw(st.sampled_from(["key", "type", "id", "erase", "more"]))] = value
    else:
        change[place] = value
    body = json.dumps(client.envelope([change, value])).encode()
    assert is_an_answer(send(client, "POST", "/api/sync", body, {}))
    for path in ("/api/price-book", "/api/refused", "/api/hello"):
        assert client.web.get(path).status_int == 200


@pytest.mark.parametrize("type", ["\ud800", "a\0b", "\\u0000", "\\ud800"])
def test_an_unknown_type_of_any_letters_is_refused_and_kept(any_home: Home, type: str) -> None:
    client = the_phone(any_home)
    change = client.change("piece", right_fields("piece")) | {"type": type}
    answer = send(client, "POST", "/api/sync", json.dumps(client.envelope([change])).encode(), {})
    assert [outcome["code"] for outcome in answer.json["outcomes"]] == ["unknown_type"]
    kept = client.web.get("/api/refused").json
    assert any(change["key"] == one["key"] for one in kept["refused"])


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_envelope_breaks_a_call(home: Home, data: st.DataObject) -> None:
    client = the_phone(home)
    good = {
        "/api/sync": client.envelope(),
        "/api/pair": {"code": "AB", "device": client.device, "name": "x", "replaces": None},
        "/api/tag-sheets": {"tags": [], "paper": "a4"},
        f"/api/devices/{client.device}": {"name": "x"},
    }
    path = data.draw(st.sampled_from(sorted(good)))
    body = good[path] | {data.draw(st.sampled_from(sorted(good[path]))): data.draw(nasty)}
    method = "PATCH" if "devices" in path else "POST"
    home.app.extensions["crestrail_tries"] = Tries()
    assert is_an_answer(send(client, method, path, json.dumps(body).encode(), {}))


def the_phone(home: Home) -> Client:
    """One phone, paired anew for each example."""
    home.app.extensions["crestrail_tries"] = Tries()
    return home.pair(device="0" * 16)


def right_fields(type: str) -> dict[str, Any]:
    """The smallest right fields of a record type."""
    return {f.name: EXAMPLES[f.type](f) for f in fields_of(type).values() if f.required}


EXAMPLES: dict[str, Any] = {
    "text": lambda f: "x",
    "slug": lambda f: "oak",
    "int": lambda f: f.min or 0,
    "money": lambda f: f.min or 0,
    "bool": lambda f: True,
    "instant": lambda f: "2026-05-01T14:03:00.000Z",
    "date": lambda f: "2026-05-01",
    "id": lambda f: "0198c5a0-0000-7000-8000-000000000001",
    "ids": lambda f: ["0198c5a0-0000-7000-8000-000000000001"],
    "slugs": lambda f: ["oak"],
    "choice": lambda f: f.choices[0],
    "sha256": lambda f: "0" * 64,
    "code": lambda f: "000000000",
    "object": lambda f: {},
}
assert set(EXAMPLES) == set(FIELD_TYPES)
