"""Every refusal names the field and the cure: for all fields of the schema, and for all bodies."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from PIL import Image

from crestrail.api.limits import Tries
from crestrail.records.schema import FIELD_TYPES, RECORD_TYPES, Field, fields_of
from helpers import app as apps
from helpers.app import Client, Home

EXAMPLES: dict[str, Any] = {
    "text": "x",
    "slug": "oak",
    "int": 1,
    "money": 1,
    "bool": True,
    "instant": "2026-05-01T14:03:00.000Z",
    "date": "2026-05-01",
    "id": "0198c5a0-0000-7000-8000-000000000001",
    "ids": ["0198c5a0-0000-7000-8000-000000000001"],
    "slugs": ["oak"],
    "sha256": "0" * 64,
    "code": "000000000",
    "object": {},
}

CURES = {
    "text": "text", "slug": "short lower-case name", "int": "whole number",
    "money": "whole number of minor units", "bool": "true or false",
    "instant": "2026-05-01T14:03:00.000Z", "date": "2026-05-01", "id": "UUID, lower case",
    "ids": "UUIDs, lower case", "slugs": "list of short lower-case names", "choice": "choices",
    "sha256": "64 lower-case hexadecimal digits", "code": "9 letters and digits",
    "object": "object",
}  # fmt: skip
"""What the message has to say when a value is not of the field's type."""

MISSHAPEN: dict[str, list[Any]] = {
    "text": [5, ["x"]],
    "slug": [5, "Oak", "", "-oak", "o" * 41],
    "int": ["1", 1.5, True],
    "money": ["1", 1.5, True],
    "bool": [1, "yes"],
    "instant": [5, "2026-05-01", "2026-13-01T14:03:00.000Z", "2026-05-01T14:03:00.000+02:00"],
    "date": [5, "2026-02-30", "1.5.2026", "2026-05-01T14:03:00.000Z"],
    "id": [5, "x", "0198C5A0-0000-7000-8000-000000000001"],
    "ids": ["x", ["x"], [5]],
    "slugs": ["oak", ["Oak"], [5]],
    "choice": [5, ["a"]],
    "sha256": [5, "0" * 63, "G" * 64],
    "code": [5, "0000", "000000001"],
    "object": [5, "x", ["x"]],
}


class Fault(NamedTuple):
    """A value that a field must not take, and what the refusal has to say."""

    value: Any
    code: str
    cure: str


def faults(field: Field) -> Iterator[Fault]:
    """Everything that can be wrong with a value of a field, by what the schema says of it."""
    for value in MISSHAPEN[field.type]:
        yield Fault(value, "wrong_type", CURES[field.type])
    if field.type in ("int", "money"):
        assert field.min is not None, f"{field.name} has no least value"
        assert field.max is not None, f"{field.name} has no largest value"
        yield Fault(field.min - 1, "too_small", str(field.min))
        yield Fault(field.max + 1, "too_big", str(field.max))
    if field.type == "text":
        yield Fault("x" * (field.max or 0) + "x", "too_long", str(field.max))
        yield Fault("a\0b", "bad_text", "NUL")
    if field.type in ("ids", "slugs"):
        many = [_one_of_many(field.type, number) for number in range((field.max or 0) + 1)]
        yield Fault(many, "too_many", str(field.max))
        yield Fault(many[:1] * 2, "twice", "twice")
    if field.type == "choice":
        yield Fault("no-such-choice", "unknown_choice", ", ".join(field.choices))
    if field.type == "object":
        yield Fault({"x": "x" * (field.max or 0)}, "too_long", str(field.max))
        yield Fault({"x": 2**60}, "bad_number", "9,007,199,254,740,991")


def _one_of_many(type: str, number: int) -> str:
    return f"oak-{number}" if type == "slugs" else f"0198c5a0-0000-7000-8000-{number:012x}"


def right_value(field: Field) -> Any:
    return field.choices[0] if field.type == "choice" else EXAMPLES[field.type]


def right_fields(type: str) -> dict[str, Any]:
    return {f.name: right_value(f) for f in fields_of(type).values() if f.required}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """One household for all of it: what is refused changes nothing."""
    with apps.opened(tmp_path_factory.mktemp("refusals") / "data") as opened:
        yield opened


@pytest.fixture
def client(home: Home) -> Client:
    """A phone; tries at pairing are counted anew."""
    home.app.extensions["crestrail_tries"] = Tries()
    return home.pair(device="1" * 16)


def test_the_tables_of_faults_cover_every_type_of_field() -> None:
    assert set(MISSHAPEN) == set(CURES) == set(FIELD_TYPES) == {*EXAMPLES, "choice"}


@pytest.mark.parametrize("type", [t.name for t in RECORD_TYPES])
def test_every_refused_value_is_named_with_what_would_be_right(client: Client, type: str) -> None:
    """Each fault of each field in a change of its own; all of them in one push."""
    wrong: list[tuple[Field, Fault]] = [
        (field, fault) for field in fields_of(type).values() for fault in faults(field)
    ]
    changes = []
    for field, fault in wrong:
        change = client.change(type, right_fields(type) | {field.name: fault.value})
        changes.append(change)
    outcomes = client.sync(changes)["outcomes"]
    for (field, fault), outcome in zip(wrong, outcomes, strict=True):
        where = (type, field.name, fault)
        assert (outcome["outcome"], outcome["code"]) == ("refused", "bad_field"), where
        (finding,) = outcome["details"]
        assert (finding["path"], finding["code"]) == (field.name, fault.code), where
        assert fault.cure in finding["message"], (where, finding["message"])


@pytest.mark.parametrize("type", [t.name for t in RECORD_TYPES])
def test_every_missing_value_that_is_needed_is_named(client: Client, type: str) -> None:
    right = right_fields(type)
    for name in right:
        for rest in ({n: v for n, v in right.items() if n != name}, right | {name: None}):
            change = client.change(type, rest or {"note": "x"})
            (finding,) = client.sync([change])["outcomes"][0]["details"]
            assert (finding["path"], finding["code"]) == (name, "required")
            assert "needed" in finding["message"]


STAMP_FAULTS = ["x", 5, None, "0" * 36, "zzzzzzzzzzzz-0000-0000000000000000"]


@pytest.mark.parametrize("stamp", STAMP_FAULTS)
def test_a_bad_stamp_is_named_by_its_group_with_what_a_stamp_is(client: Client, stamp: Any) -> None:
    change = client.change("spot", {"name": "Barn"})
    for part in ("stamps", "bases"):
        wrong = change | {part: {"name": stamp}}
        outcome = client.sync([wrong])["outcomes"][0]
        if part == "bases" and stamp is None:
            assert outcome["outcome"] != "refused"
            continue
        (finding,) = outcome["details"]
        assert finding["path"] == f"{part}.name"
        assert "12 hex digits" in finding["message"]


OTHER = "0198c5a0-0000-7000-8000-000000000001"
LONG = "x" * 400
BODIES: list[tuple[str, dict[str, Any], str, str]] = [
    ("pair", {"code": None}, "code", "needed"),
    ("pair", {"code": 5}, "code", "text"),
    ("pair", {"code": ""}, "code", "between 1 and 40"),
    ("pair", {"code": LONG}, "code", "between 1 and 40"),
    ("pair", {"device": "x"}, "device", "16 digits 0-9 a-f"),
    ("pair", {"device": 5}, "device", "text"),
    ("pair", {"name": ""}, "name", "between 1 and 80"),
    ("pair", {"name": LONG}, "name", "between 1 and 80"),
    ("pair", {"name": "a\0b"}, "name", "NUL"),
    ("pair", {"replaces": "x"}, "replaces", "16 digits 0-9 a-f"),
    ("devices", {"name": None}, "name", "needed"),
    ("devices", {"name": LONG}, "name", "between 1 and 80"),
    ("sheets", {"tags": 5}, "tags", "list"),
    ("sheets", {"tags": [5]}, "tags.0", "object"),
    ("sheets", {"tags": [{"code": "0000"}]}, "tags.0.code", "9 letters and digits"),
    ("sheets", {"tags": [{"code": "000000001"}]}, "tags.0.code", "look again"),
    ("sheets", {"tags": [{"code": "000000000", "title": LONG}]}, "tags.0.title", "200"),
    ("sheets", {"tags": [{"code": "000000000"}] * 301}, "tags", "300"),
    ("sheets", {"tags": [], "blank": 0}, "tags", "at least one tag"),
    ("sheets", {"blank": 301}, "blank", "300"),
    ("sheets", {"blank": -1}, "blank", "0"),
    ("sheets", {"blank": "x"}, "blank", "whole number"),
    ("sheets", {"paper": "a3"}, "paper", "letter, a4"),
    ("sheets", {"paper": 5}, "paper", "text"),
    ("sheets", {"layout": "tiny"}, "layout", "small, wide, large"),
    ("sync", {"protocol": 2}, "protocol", "1"),
    ("sync", {"protocol": "x"}, "protocol", "whole number"),
    ("sync", {"household": "x"}, "household", "UUID in lower case"),
    ("sync", {"device": "x"}, "device", "16 digits 0-9 a-f"),
    ("sync", {"cursor": 5}, "cursor", "text"),
    ("sync", {"cursor": LONG}, "cursor", "200"),
    ("sync", {"clock": "x"}, "clock", "whole number"),
    ("sync", {"clock": -1}, "clock", "0"),
    ("sync", {"clock": None}, "clock", "needed"),
    ("sync", {"changes": 5}, "changes", "list"),
    ("sync", {"limit": 0}, "limit", "1"),
    ("sync", {"limit": 5000}, "limit", "1000"),
    ("sync", {"limit": 1.5}, "limit", "whole number"),
]
MISSING = [
    ("pair", "code"), ("pair", "device"), ("pair", "name"), ("devices", "name"),
    ("sync", "protocol"), ("sync", "household"), ("sync", "device"), ("sync", "clock"),
]  # fmt: skip


def call(client: Client, which: str, changed: dict[str, Any], without: str = "") -> Any:
    """A right body with something wrong in it."""
    bodies: dict[str, tuple[str, dict[str, Any]]] = {
        "pair": ("/api/pair", {"code": "AB", "device": client.device, "name": "x"}),
        "devices": (f"/api/devices/{client.device}", {"name": "x"}),
        "sheets": ("/api/tag-sheets", {"tags": [{"code": "000000000"}]}),
        "sync": ("/api/sync", client.envelope()),
    }
    path, body = bodies[which]
    client.home.app.extensions["crestrail_tries"] = Tries()
    send = client.web.patch_json if which == "devices" else client.web.post_json
    whole = {n: v for n, v in (body | changed).items() if n != without}
    return send(path, whole, expect_errors=True)


def test_every_refused_body_names_the_field_and_what_would_be_right(client: Client) -> None:
    for which, changed, path, cure in BODIES:
        answer = call(client, which, changed)
        assert (answer.status_int, answer.json["code"]) == (422, "bad_field"), (which, changed)
        said = {found["path"]: found["message"] for found in answer.json["details"]}
        assert path in said, (which, changed, said)
        assert cure in said[path], (which, changed, said[path])


def test_every_body_without_a_field_it_needs_names_the_field(client: Client) -> None:
    for which, name in MISSING:
        answer = call(client, which, {}, without=name)
        assert (answer.status_int, answer.json["code"]) == (422, "bad_field")
        said = {found["path"]: found["message"] for found in answer.json["details"]}
        assert list(said) == [name]
        assert "needed" in said[name]


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b"5"])
def test_a_body_that_is_no_object_is_told_so(client: Client, body: bytes) -> None:
    for path in ("/api/pair", "/api/sync", "/api/tag-sheets"):
        answer = client.web.post(path, body, content_type="application/json", expect_errors=True)
        assert (answer.status_int, answer.json["code"]) == (400, "bad_json")
        assert len(answer.json["message"]) > len("The body is not JSON that can be read: ")


def test_a_pairing_code_is_refused_to_whoever_is_not_paired(client: Client) -> None:
    stranger = Client(client.home, "0" * 16, client.household)
    answer = stranger.web.post_json("/api/pairing-codes", {}, expect_errors=True)
    assert (answer.status_int, answer.json["code"]) == (401, "not_paired")
    assert "pair it first" in answer.json["message"]


def picture(**more: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "JPEG", **more)
    return out.getvalue()


def test_every_refused_picture_says_what_is_wrong_with_it(client: Client) -> None:
    exif = Image.Exif()
    exif[0x010F] = "camera"
    plain = picture()
    cases = [
        (plain, "0" * 64, 422, "photo_hash_mismatch", "not those it is named for"),
        (plain, "x", 404, "not_found", "no such thing"),
        (picture(exif=exif), "", 422, "photo_has_metadata", "without it"),
        (b"\x89PNG", "", 422, "photo_not_jpeg", "not a JPEG"),
        (b"x" * (8 * 1024 * 1024 + 1), "", 413, "photo_too_large", "8 MB"),
    ]
    for content, name, status, code, cure in cases:
        path = f"/api/photos/{name or hashlib.sha256(content).hexdigest()}"
        answer = client.web.put(path, content, content_type="image/jpeg", expect_errors=True)
        assert (answer.status_int, answer.json["code"]) == (status, code)
        assert cure in answer.json["message"]
