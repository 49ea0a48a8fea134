"""The client's files, and the headers that keep pages from doing what they need not."""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, Response, request, send_from_directory
from werkzeug.exceptions import NotFound

from crestrail.api import auth

bp = Blueprint("site", __name__)

CSP = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": CSP,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
TYPES = {
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
"""Named here, because the system's own list differs from machine to machine."""


@bp.get("/")
@bp.get("/pair")
@bp.get("/t/<code>")
def index(code: str = "") -> Response:
    """The one page; the client reads the address itself."""
    return _send("index.html")


@bp.get("/<path:name>")
def file(name: str) -> Response:
    """A file of the client; browsers ask each time whether theirs is still good."""
    if name == "api" or name.startswith("api/"):
        raise NotFound
    return _send(name)


def add_headers(response: Response) -> Response:
    """The headers that every answer carries."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.path.startswith("/api/"):
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def _send(name: str) -> Response:
    if "\0" in name:
        raise NotFound
    response = send_from_directory(
        auth.settings().web.resolve(), name, mimetype=TYPES.get(Path(name).suffix)
    )
    response.headers["Cache-Control"] = "no-cache"
    etag, _ = response.get_etag()
    if etag:
        response.set_etag(etag, weak=True)
    response.direct_passthrough = response.status_code != 200
    return response
