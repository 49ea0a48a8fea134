"""Every setting of the server, in one place; nothing is read when this module is imported."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from platformdirs import user_data_path

from crestrail.basis.clock import Clock, SystemClock

PORT = 8470
SAMPLE_PORT = 8471


def no_certificate() -> None:
    """The end of the certificate where the server has none of its own."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How one server runs.

    ``data`` is the folder of the database and the photos. ``database`` is a SQLAlchemy URL;
    empty means SQLite in the data folder. ``origin`` is the canonical origin
    (``https://name:port``) that tags and pairing links carry; empty means whatever the browser
    asked for. ``strict_host`` refuses changes under any other host than that of ``origin``.
    ``behind_proxy`` is the number of reverse proxies whose forwarded headers are believed.
    ``web`` is the folder of the client. ``certificate_ends`` tells when the certificate that is
    shown on the home network runs out, None without one; it is asked anew, since it is renewed.
    """

    data: Path
    database: str = ""
    origin: str = ""
    strict_host: bool = False
    behind_proxy: int = 0
    web: Path = field(default_factory=lambda: web_root({}))
    sample: bool = False
    clock: Clock = field(default_factory=SystemClock)
    certificate_ends: Callable[[], datetime | None] = no_certificate

    @property
    def database_url(self) -> str:
        """The SQLAlchemy URL of the database."""
        return self.database or f"sqlite:///{self.data / 'crestrail.sqlite3'}"

    @property
    def secure(self) -> bool:
        """Whether the canonical origin is https, so that cookies can be bound to it."""
        return self.origin.startswith("https://")


def from_env(env: Mapping[str, str] = os.environ) -> Settings:
    """The settings that the environment gives.

    ``CRESTRAIL_DATA``, ``CRESTRAIL_DATABASE_URL``, ``CRESTRAIL_ORIGIN``, ``CRESTRAIL_PROXIES``,
    ``CRESTRAIL_SAMPLE`` (anything: the data are invented, and every screen says so) and
    ``CRESTRAIL_WEB``; what is not set has the default of ``Settings``.
    """
    origin = env.get("CRESTRAIL_ORIGIN", "").rstrip("/")
    return Settings(
        data=Path(env.get("CRESTRAIL_DATA") or user_data_path("crestrail", appauthor=False)),
        database=env.get("CRESTRAIL_DATABASE_URL", ""),
        origin=origin,
        strict_host=bool(origin),
        behind_proxy=int(env.get("CRESTRAIL_PROXIES", "0")),
        web=web_root(env),
        sample=bool(env.get("CRESTRAIL_SAMPLE")),
    )


def web_root(env: Mapping[str, str]) -> Path:
    """The folder of the client: the environment's, the wheel's, or the checkout's."""
    if env.get("CRESTRAIL_WEB"):
        return Path(env["CRESTRAIL_WEB"])
    package = Path(__file__).parent
    packaged = package / "web"
    return packaged if packaged.is_dir() else package.parent.parent / "web"
