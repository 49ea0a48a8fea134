"""The computer's own browser while the household is on the home network.

``http://localhost`` and the household's address are two origins with two stores. So a page
opened under localhost is led to the household's address; calls go through to the app, which
takes unsent work there (``crestrail.api.auth``), but pairs and prints tags under its own address
only. A browser that worked under localhost before has its pages from its service worker, not
from here, so the redirect does not keep its app from starting and sending.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING
from urllib.parse import quote

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

PAGES = ("/", "/pair")
TAG_PREFIX = "/t/"


def leading_home(app: WSGIApplication, origin: str) -> WSGIApplication:
    """``app``, except that its pages are answered with a redirect to ``origin``.

    The redirect is for this once (302): nothing about localhost is fixed for later starts.
    What stands after ``#`` is kept by the browser itself.
    """

    def led(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        path = environ.get("PATH_INFO", "")
        is_page = path in PAGES or path.startswith(TAG_PREFIX)
        if not is_page or environ["REQUEST_METHOD"] not in ("GET", "HEAD"):
            return app(environ, start_response)
        words = f"This household is at {origin}\n".encode()
        headers = [
            ("Location", origin + quote(path.encode("latin-1"), safe="/*~$=")),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Length", str(len(words))),
            ("Cache-Control", "no-store"),
        ]
        start_response("302 Found", headers)
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [words]

    return led
