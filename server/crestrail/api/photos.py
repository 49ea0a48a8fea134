"""Pictures, by the SHA-256 of their bytes."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Response, current_app, request, send_file

from crestrail.api import auth, bodies
from crestrail.basis.errors import CrestrailError
from crestrail.services.photos import Album

bp = Blueprint("photos", __name__, url_prefix="/api/photos")
_SHA256 = re.compile("[0-9a-f]{64}")


@bp.put("/<sha256>")
def put(sha256: str) -> dict[str, Any]:
    """Keep a picture; putting it again changes nothing."""
    if request.mimetype != "image/jpeg":
        raise CrestrailError("wrong_content_type", expected="image/jpeg")
    _album().take(_checked(sha256), bodies.read_bytes(), auth.now())
    return {"sha256": sha256}


@bp.get("/<sha256>")
def get(sha256: str) -> Response:
    """The picture, byte for byte as it was put."""
    return _send(sha256, thumb=False)


@bp.get("/<sha256>/thumb")
def get_thumb(sha256: str) -> Response:
    """The picture reduced to 320 pixels."""
    return _send(sha256, thumb=True)


def _send(sha256: str, thumb: bool) -> Response:
    path = _album().find(_checked(sha256), thumb)
    response = send_file(path, mimetype="image/jpeg", etag=sha256, conditional=True)
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return response


def _checked(sha256: str) -> str:
    if not _SHA256.fullmatch(sha256):
        raise CrestrailError("not_found")
    return sha256


def _album() -> Album:
    return Album(current_app.extensions["crestrail_photos"], auth.caller().household)
