"""Checking the values of a record's fields; the phone makes the same decision.

Only single values are judged here. What does not fit together (low above high) is a matter of
``rules``, which never refuses. Mirrored in ``web/js/records/values.js``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from crestrail.basis.clock import is_date, is_instant
from crestrail.basis.errors import Detail, detail
from crestrail.basis.ids import is_id, is_tag_code
from crestrail.basis.rounding import SAFE
from crestrail.records.schema import BY_NAME, Field, fields_of

MAX_DEPTH = 8
MAX_FIELDS = 200
UNKNOWN_MAX = 2000
"""The written size, in characters, up to which the value of an unknown field is kept."""

NUMBER_SIZE = 12
_NAME = re.compile("[a-z][a-z0-9_]{0,39}")
_SLUG = re.compile("[a-z0-9][a-z0-9-]{0,39}")
_SHA256 = re.compile("[0-9a-f]{64}")
_BAD_TEXT = re.compile("[\x00\ud800-\udfff]")

Finding = tuple[str, dict[str, Any]]
"""An error code and the values for its message."""


def _expected(field: Field) -> Finding:
    words = {
        "text": "text", "slug": "a short lower-case name", "int": "a whole number",
        "money": "a whole number of minor units", "bool": "true or false",
        "instant": "a moment like 2026-05-01T14:03:00.000Z", "date": "a day like 2026-05-01",
        "id": "an id (UUID, lower case)", "ids": "a list of ids (UUIDs, lower case)",
        "slugs": "a list of short lower-case names",
        "choice": "one of the choices", "sha256": "64 lower-case hexadecimal digits",
        "code": "a tag code of 9 letters and digits", "object": "an object",
    }  # fmt: skip
    return "wrong_type", {"expected": words[field.type]}


def _is_slug(value: object) -> bool:
    return isinstance(value, str) and _SLUG.fullmatch(value) is not None


def _is_sha256(value: object) -> bool:
    return isinstance(value, str) and _SHA256.fullmatch(value) is not None


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _check_text(field: Field, value: Any) -> Finding | None:
    if not isinstance(value, str):
        return _expected(field)
    if _BAD_TEXT.search(value):
        return "bad_text", {}
    if field.min is not None and len(value) < field.min:
        return "too_short", {"min": field.min}
    if field.max is not None and len(value) > field.max:
        return "too_long", {"max": field.max}
    return None


def _check_int(field: Field, value: Any) -> Finding | None:
    if not _is_whole(value):
        return _expected(field)
    low = -SAFE if field.min is None else field.min
    high = SAFE if field.max is None else field.max
    if value < low:
        return "too_small", {"min": low}
    return ("too_big", {"max": high}) if value > high else None


def _check_bool(field: Field, value: Any) -> Finding | None:
    return None if isinstance(value, bool) else _expected(field)


def _check_choice(field: Field, value: Any) -> Finding | None:
    if not isinstance(value, str):
        return _expected(field)
    if value not in field.choices:
        return "unknown_choice", {"choices": ", ".join(field.choices)}
    return None


def _one(is_one: Callable[[object], bool]) -> Callable[[Field, Any], Finding | None]:
    return lambda field, value: None if is_one(value) else _expected(field)


def _check_list(is_one: Callable[[object], bool], field: Field, value: Any) -> Finding | None:
    if not isinstance(value, list) or not all(is_one(entry) for entry in value):
        return _expected(field)
    if field.max is not None and len(value) > field.max:
        return "too_many", {"max": field.max}
    if field.min is not None and len(value) < field.min:
        return "too_few", {"min": field.min}
    return ("twice", {}) if len(set(value)) < len(value) else None


def check_plain(value: Any, max_size: int, depth: int = 0) -> Finding | None:
    """What is wrong with a plain JSON value: its texts, numbers, depth and written size."""
    if depth > MAX_DEPTH:
        return "too_deep", {"max": MAX_DEPTH}
    found = _check_scalar(value)
    if isinstance(value, Mapping):
        parts: list[Any] = [*value.keys(), *value.values()]
    else:
        parts = value if isinstance(value, list) else []
    for part in parts:
        found = found or check_plain(part, max_size, depth + 1)
    if not found and depth == 0 and written_size(value) > max_size:
        return "too_long", {"max": max_size}
    return found


def _check_scalar(value: Any) -> Finding | None:
    if isinstance(value, str):
        return ("bad_text", {}) if _BAD_TEXT.search(value) else None
    if value is None or isinstance(value, bool | Mapping | list):
        return None
    if not isinstance(value, int | float):
        return "wrong_type", {"expected": "plain JSON"}
    return None if -SAFE <= value <= SAFE else ("bad_number", {})


def written_size(value: Any) -> int:
    """The length of a JSON value written out, counted alike in both languages.

    Texts count their characters and two quotes, every number 12, true, false and null 5, and
    each entry of a list or object one for its mark (an object's also one for the colon).
    """
    if isinstance(value, str):
        return len(value) + 2
    if isinstance(value, Mapping):
        return 2 + sum(len(k) + 4 + written_size(v) for k, v in value.items())
    if isinstance(value, list):
        return 2 + sum(1 + written_size(entry) for entry in value)
    return 5 if value is None or isinstance(value, bool) else NUMBER_SIZE


def _check_object(field: Field, value: Any) -> Finding | None:
    if not isinstance(value, Mapping):
        return _expected(field)
    return check_plain(value, field.max or UNKNOWN_MAX)


_CHECKS: dict[str, Callable[[Field, Any], Finding | None]] = {
    "text": _check_text,
    "slug": _one(_is_slug),
    "int": _check_int,
    "money": _check_int,
    "bool": _check_bool,
    "instant": _one(is_instant),
    "date": _one(is_date),
    "id": _one(is_id),
    "ids": partial(_check_list, is_id),
    "slugs": partial(_check_list, _is_slug),
    "choice": _check_choice,
    "sha256": _one(_is_sha256),
    "code": _one(is_tag_code),
    "object": _check_object,
}


def check_value(field: Field, value: Any) -> Finding | None:
    """What is wrong with one value of a field; None (cleared) is always right."""
    return None if value is None else _CHECKS[field.type](field, value)


def _check_unknown(name: str, value: Any) -> Finding | None:
    return check_plain(value, UNKNOWN_MAX) if _NAME.fullmatch(name) else ("bad_name", {})


def check_fields(type_name: str, fields: Any, *, creating: bool = False) -> list[Detail]:
    """Everything that is wrong with the fields of a record, as details; empty when all is well.

    Unknown fields are taken when they are plain JSON of at most ``UNKNOWN_MAX`` characters
    under a proper name; an unknown type is not. Required fields are asked for only when
    ``creating``: a later change carries no more than what changed.
    """
    if type_name not in BY_NAME:
        return [detail("type", "unknown_type", name=str(type_name)[:40])]
    if not isinstance(fields, Mapping):
        return [detail("fields", "wrong_type", expected="an object")]
    if len(fields) > MAX_FIELDS:
        return [detail("fields", "too_many_fields", max=MAX_FIELDS)]
    known = fields_of(type_name)
    found = []
    for name, value in fields.items():
        field = known.get(name)
        finding = check_value(field, value) if field else _check_unknown(name, value)
        if finding:
            found.append(detail(name[:60], finding[0], **finding[1]))
    return found + (_missing(known, fields) if creating else [])


def _missing(known: Mapping[str, Field], fields: Mapping[str, Any]) -> list[Detail]:
    needed = (field.name for field in known.values() if field.required)
    return [detail(name, "required") for name in needed if fields.get(name) is None]
