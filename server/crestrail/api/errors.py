"""Every error leaves the server in one shape: ``{code, message, details}``."""

from __future__ import annotations

import logging
from typing import Any

from flask import Flask, Response, jsonify, request
from marshmallow import ValidationError
from marshmallow.exceptions import SCHEMA
from sqlalchemy.exc import OperationalError
from werkzeug.exceptions import HTTPException

from crestrail.basis.errors import CrestrailError, Detail, detail

log = logging.getLogger("crestrail")


def answer(error: CrestrailError) -> tuple[Response, int]:
    """The answer for a refusal."""
    return jsonify(error.as_data()), error.status


def from_schema(error: ValidationError) -> CrestrailError:
    """What a marshmallow schema found, in our shape."""
    return CrestrailError("bad_field", _flatten(error.messages, ""))


def register(app: Flask) -> None:
    """Answer all errors of the application in the one shape."""
    app.register_error_handler(CrestrailError, answer)
    app.register_error_handler(ValidationError, lambda error: answer(from_schema(error)))
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unexpected)


def _http(error: HTTPException) -> tuple[Response, int]:
    if error.code == 404:
        return answer(CrestrailError("unknown_call", call=request.path[:200]))
    if error.code == 405:
        return answer(
            CrestrailError("wrong_method", call=request.path[:200], method=request.method[:20])
        )
    if error.code == 413:
        return answer(CrestrailError("too_large", limit="8 MB"))
    refused = CrestrailError("bad_json", reason=error.name)
    return jsonify(refused.as_data()), error.code or 400


def _unexpected(error: Exception) -> tuple[Response, int]:
    """Our own fault; the text of the exception stays in the log."""
    log.exception("%s %s failed", request.method, request.path, exc_info=error)
    full = isinstance(error, OperationalError) and "disk is full" in str(error)
    return answer(CrestrailError("disk_full" if full else "internal"))


def _flatten(messages: Any, path: str) -> list[Detail]:
    """marshmallow's nested messages as a flat list of findings."""
    if isinstance(messages, dict):
        return [
            found
            for key, inner in messages.items()
            for found in _flatten(inner, _below(path, str(key)))
        ]
    if isinstance(messages, list):
        return [found for inner in messages for found in _flatten(inner, path)]
    return [detail(path, "bad_field") | {"message": str(messages)}]


def _below(path: str, key: str) -> str:
    """The path of a part; what marshmallow says of a whole body is said of its own path."""
    if key == SCHEMA:
        return path
    return f"{path}.{key}" if path else key
