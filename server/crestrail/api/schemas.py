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
        raise ValidationError("The text holds characters that cannot be kept")


def device_id(text: str) -> None:
    """Refuse what is no device id."""
    if not is_device_id(text):
        raise ValidationError("A device id has 16 digits 0-9 a-f")


def record_id(text: str) -> None:
    """Refuse what is no UUID in lower case."""
    if not is_id(text):
        raise ValidationError("An id is a UUID in lower case")


class Body(Schema):
    """A body: fields that a newer phone adds are passed over."""

    class Meta:
        unknown = EXCLUDE


def _name() -> fields.String:
    return fields.String(required=True, validate=[validate.Length(1, 80), plain])


class PairBody(Body):
    """``POST /api/pair``."""

    code = fields.String(required=True, validate=[validate.Length(1, 40), plain])
    device = fields.String(required=True, validate=device_id)
    name = _name()
    replaces = fields.String(load_default=None, allow_none=True, validate=device_id)


class NameBody(Body):
    """``PATCH /api/devices/<id>``."""

    name = _name()


class SyncBody(Body):
    """``POST /api/sync``; each change is judged by itself later, so here it is anything."""

    protocol = fields.Integer(required=True, strict=True, validate=validate.Equal(1))
    household = fields.String(required=True, validate=record_id)
    device = fields.String(required=True, validate=device_id)
    cursor = fields.String(
        load_default=None, allow_none=True, validate=[validate.Length(max=200), plain]
    )
    clock = fields.Integer(required=True, strict=True, validate=validate.Range(0, 2**53))
    changes: fields.List[Any] = fields.List(fields.Raw(allow_none=True), load_default=list)
    limit = fields.Integer(load_default=PAGE, strict=True, validate=validate.Range(1, MAX_PAGE))
