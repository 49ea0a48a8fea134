"""The bodies that calls take. What a record's fields may hold is checked by records.values."""

from __future__ import annotations

from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, validate

from crestrail.basis.ids import is_device_id, is_id

MAX_PAGE = 1000
PAGE = 500


def plain(text: str) -> None:
    """Refuse what no database keeps: NUL and halves of surrogate pairs."""
    if "\0" in text or any("\ud800" <= symbol <= "\udfff" for symbol in text):
        raise ValidationError("The text holds characters that cannot be kept (NUL, half a pair)")


def device_id(text: str) -> None:
    """Refuse what is no device id."""
    if not is_device_id(text):
        raise ValidationError("A device id has 16 digits 0-9 a-f")


def record_id(text: str) -> None:
    """Refuse what is no UUID in lower case."""
    if not is_id(text):
        raise ValidationError("An id is a UUID in lower case")


_NEEDED = {"required": "This is needed", "null": "This is needed"}


class Text(fields.String):
    """A text; a refusal says so in plain words."""

    default_error_messages = {**_NEEDED, "invalid": "This has to be text"}  # noqa: RUF012


class Whole(fields.Integer):
    """A whole number, never written as text."""

    default_error_messages = {**_NEEDED, "invalid": "This has to be a whole number"}  # noqa: RUF012

    def __init__(self, **more: Any) -> None:
        super().__init__(strict=True, **more)


class Many(fields.List[Any]):
    """A list."""

    default_error_messages = {**_NEEDED, "invalid": "This has to be a list"}  # noqa: RUF012


class Body(Schema):
    """A body: fields that a newer phone adds are passed over."""

    error_messages = {"type": "This has to be an object"}  # noqa: RUF012

    class Meta:
        unknown = EXCLUDE


def _name() -> Text:
    return Text(required=True, validate=[validate.Length(1, 80), plain])


class PairBody(Body):
    """``POST /api/pair``."""

    code = Text(required=True, validate=[validate.Length(1, 40), plain])
    device = Text(required=True, validate=device_id)
    name = _name()
    replaces = Text(load_default=None, allow_none=True, validate=device_id)


class NameBody(Body):
    """``PATCH /api/devices/<id>``."""

    name = _name()


class SyncBody(Body):
    """``POST /api/sync``; each change is judged by itself later, so here it is anything."""

    protocol = Whole(required=True, validate=validate.Equal(1))
    household = Text(required=True, validate=record_id)
    device = Text(required=True, validate=device_id)
    cursor = Text(load_default=None, allow_none=True, validate=[validate.Length(max=200), plain])
    clock = Whole(required=True, validate=validate.Range(0, 2**53))
    changes = Many(fields.Raw(allow_none=True), load_default=list)
    limit = Whole(load_default=PAGE, validate=validate.Range(1, MAX_PAGE))
