"""Who calls, and whether the call may be made: the device's cookie, the page's origin, the host.

Everything under ``/api/`` needs a paired device except the calls in ``OPEN``.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from ipaddress import ip_address
from pathlib import Path
from typing import Protocol

from flask import Response, current_app, g, request

from crestrail.basis.clock import Clock
from crestrail.basis.errors import CrestrailError
from crestrail.services import devices
from crestrail.services.devices import Caller

COOKIE_LIFE = 400 * 24 * 3600
"""Seconds; renewed at each sync. Browsers cut longer lives to 400 days."""

OPEN = {"hello.hello", "devices.pair"}
SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}
HOST_BOUND = ("/api/pair", "/api/pairing-codes", "/api/tag")
"""Calls whose results carry the origin: refused under any other, whatever their method."""

SENDS_HOME = ("/api/sync", "/api/photos/")
"""Changes taken under localhost too, from a browser that has unsent work there."""
LOCAL_NAMES = ("localhost", "127.0.0.1")

_PREFIX = "crestrail_"
_SECURE_PREFIX = "__Host-crestrail_"


class Settings(Protocol):
    """What calls need of the application's settings; see ``crestrail.config``."""

    @property
    def origin(self) -> str:
        """The canonical origin, or an empty text."""

    @property
    def strict_host(self) -> bool:
        """Whether changes under another host are refused."""

    @property
    def secure(self) -> bool:
        """Whether the canonical origin is https."""

    @property
    def sample(self) -> bool:
        """Whether this is the invented household."""

    @property
    def web(self) -> Path:
        """The folder of the client."""

    @property
    def clock(self) -> Clock:
        """The server's clock."""

    @property
    def certificate_ends(self) -> Callable[[], datetime | None]:
        """Tells when the certificate on the home network runs out; None without one."""


def settings() -> Settings:
    """The settings of the running application."""
    found: Settings = current_app.extensions["crestrail"]
    return found


def now() -> datetime:
    """The server's time."""
    return settings().clock.now()


def origin() -> str:
    """The canonical origin, or the one the browser asked for where none is set."""
    return settings().origin or request.host_url.rstrip("/")


def guard() -> None:
    """Before each call: refuse wrong hosts, foreign pages and strangers."""
    if not request.path.startswith("/api/"):
        return
    _check_host()
    _check_origin()
    if request.endpoint is not None and request.endpoint not in OPEN:
        caller()


def caller() -> Caller:
    """The paired device that calls; raises ``not_paired`` or ``revoked``."""
    found = known_caller()
    if found is None:
        raise CrestrailError("not_paired")
    if found.revoked:
        raise CrestrailError("revoked")
    return found


def known_caller() -> Caller | None:
    """The device that the cookies belong to, paired or revoked; None for a stranger."""
    if "caller" not in g:
        g.caller = devices.find_caller(_tokens())
    found: Caller | None = g.caller
    return found


def set_cookie(response: Response, household: str, token: str) -> None:
    """Give the device its token; bound to the host and to https where the origin is https."""
    secure = _is_secure()
    response.set_cookie(
        _prefix() + household[:8],
        token,
        max_age=COOKIE_LIFE,
        secure=secure,
        httponly=True,
        samesite="Strict",
        path="/",
    )


def renew_cookie(response: Response, who: Caller) -> None:
    """Start the cookie's life anew."""
    token = request.cookies.get(_prefix() + who.household[:8])
    if token:
        set_cookie(response, who.household, token)


def _tokens() -> list[str]:
    """The tokens of this server's cookies; the secure ones only where the origin is https."""
    prefix = _prefix()
    return [value for name, value in request.cookies.items() if name.startswith(prefix)][:20]


def _prefix() -> str:
    return _SECURE_PREFIX if _is_secure() else _PREFIX


def _is_secure() -> bool:
    """Whether this call's cookies are bound to https."""
    return settings().secure and not _is_on_this_computer()


def _is_on_this_computer() -> bool:
    """Whether a browser on the server's own computer calls under localhost, by plain http."""
    name = request.host.rpartition(":")[0] or request.host
    if request.scheme != "http" or name not in LOCAL_NAMES:
        return False
    try:
        return ip_address(request.remote_addr or "").is_loopback
    except ValueError:
        return False


def _check_host() -> None:
    if not settings().strict_host:
        return
    if request.path.startswith(SENDS_HOME) and _is_on_this_computer():
        return
    bound = request.method not in SAFE_METHODS or request.path.startswith(HOST_BOUND)
    if bound and request.host_url.rstrip("/") != settings().origin:
        raise CrestrailError("wrong_host", origin=settings().origin)


def _check_origin() -> None:
    """A browser names the page that a change comes from: it has to be one of ours."""
    if request.method in SAFE_METHODS:
        return
    named = request.headers.get("Origin")
    ours = {request.host_url.rstrip("/"), settings().origin}
    if named is not None and named not in ours:
        raise CrestrailError("not_allowed", reason="the page is not Crestrail's")
    if named is None and request.headers.get("Sec-Fetch-Site") in ("cross-site", "same-site"):
        raise CrestrailError("not_allowed", reason="the page is not Crestrail's")
