"""Reading a request's body and writing an answer's: JSON, gzip both ways, bounded."""

from __future__ import annotations

import gzip
import json
import zlib
from datetime import date, datetime
from typing import Any, NoReturn

from flask import Response, request
from flask.json.provider import DefaultJSONProvider
from marshmallow import Schema

from crestrail.basis.clock import to_text
from crestrail.basis.errors import CrestrailError

MAX_BODY = 8 * 1024 * 1024 + 4096
"""The most bytes of a body, sent or unpacked."""

ZIP_FROM = 600
_ZIPPED_TYPES = ("application/json", "text/", "image/svg+xml", "application/manifest+json")


class JsonProvider(DefaultJSONProvider):
    """JSON with moments and days in ISO form, compact, keys in the order they were put."""

    sort_keys = False
    compact = True

    @staticmethod
    def default(value: Any) -> Any:
        """A moment as ``2026-05-01T14:03:00.000Z``, a day as ``2026-05-01``."""
        if isinstance(value, datetime):
            return to_text(value)
        if isinstance(value, date):
            return value.isoformat()
        return DefaultJSONProvider.default(value)


def read_json() -> Any:
    """The body as JSON values; raises ``wrong_content_type``, ``bad_gzip``, ``bad_json``."""
    if request.mimetype != "application/json":
        raise CrestrailError("wrong_content_type", expected="application/json")
    try:
        return json.loads(read_bytes().decode("utf-8"), parse_constant=_no_constant)
    except RecursionError:
        raise CrestrailError("bad_json", reason="nested too deeply") from None
    except ValueError as error:
        raise CrestrailError("bad_json", reason=_reason(error)) from None


def load(schema: Schema) -> Any:
    """The body checked by a schema; raises ``bad_field`` with a finding for each fault."""
    body = read_json()
    if not isinstance(body, dict):
        raise CrestrailError("bad_json", reason="an object in braces is needed")
    return schema.load(body)


def read_bytes() -> bytes:
    """The raw body, unpacked; raises ``too_large`` and ``bad_gzip``."""
    raw = request.get_data(cache=False)
    encoding = request.headers.get("Content-Encoding", "identity").lower()
    if encoding == "gzip":
        return _unzip(raw)
    if encoding not in ("identity", ""):
        raise CrestrailError("bad_gzip")
    return raw


def zip_answer(response: Response) -> Response:
    """Compress an answer for a browser that takes gzip, where it pays."""
    response.vary.add("Accept-Encoding")
    if (
        response.direct_passthrough
        or response.headers.get("Content-Encoding")
        or not response.content_type.startswith(_ZIPPED_TYPES)
        or request.accept_encodings["gzip"] <= 0
        or len(response.get_data()) < ZIP_FROM
    ):
        return response
    response.set_data(gzip.compress(response.get_data(), compresslevel=5, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    return response


def _unzip(raw: bytes) -> bytes:
    """Unpack at most ``MAX_BODY`` bytes, however small the body is that promises more."""
    unpacker = zlib.decompressobj(wbits=31)
    try:
        content = unpacker.decompress(raw, MAX_BODY)
    except zlib.error:
        raise CrestrailError("bad_gzip") from None
    if unpacker.unconsumed_tail:
        raise CrestrailError("too_large", limit="8 MB unpacked")
    if not unpacker.eof:
        raise CrestrailError("bad_gzip")
    return content


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not JSON")


def _reason(error: ValueError) -> str:
    if isinstance(error, json.JSONDecodeError):
        return f"{error.msg} at line {error.lineno}, column {error.colno}"
    if isinstance(error, UnicodeDecodeError):
        return "it is not UTF-8"
    return str(error)[:100]
