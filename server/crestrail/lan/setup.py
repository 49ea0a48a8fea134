"""Getting ready for the home network: the kept address and the certificates for it."""

from __future__ import annotations

import random
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from crestrail.lan import names
from crestrail.tls import (
    Authority,
    CannotStart,
    TlsFiles,
    ensure_authority,
    ensure_leaf,
    fingerprint_lines,
    leaf_ends,
)

WARN_WHEN_AUTHORITY_DAYS_LEFT = 400


@dataclass(frozen=True, slots=True)
class LanWish:
    """What the person asked for on the command line; None is no wish."""

    name: str | None = None
    port: int | None = None


@dataclass(frozen=True, slots=True)
class LanSetup:
    """All that serving on the home network needs; made by ``prepare``."""

    address: names.LanAddress
    files: TlsFiles
    authority: Authority

    @property
    def origin(self) -> str:
        """The canonical origin, for tags and pairing links."""
        return self.address.origin

    @property
    def fingerprint(self) -> list[str]:
        """The authority's SHA-256 fingerprint in lines to compare."""
        return fingerprint_lines(self.authority.certificate)

    def certificate_ends(self) -> datetime | None:
        """When the server's kept certificate runs out; None where it can't be read just now."""
        try:
            return leaf_ends(self.files)
        except CannotStart:
            return None


def prepare(
    data: Path, wish: LanWish, now: datetime, chance: random.Random | None = None
) -> LanSetup:
    """The address and the certificates of the household in the data folder ``data``.

    Made at the first call and kept from then on; the server's certificate is renewed where
    that is due. Raises CannotStart with the reason and the cure.
    """
    address = names.settle(
        data / "lan.json", wish.name, wish.port, chance or secrets.SystemRandom()
    )
    files = TlsFiles(data / "tls")
    authority = ensure_authority(files, address.name, now)
    ensure_leaf(files, authority, address.name, now)
    return LanSetup(address, files, authority)


def trust_urls(setup: LanSetup, addresses: list[str]) -> list[str]:
    """Where a new phone finds the trust page: by number first, which works everywhere."""
    return [
        f"http://{host}:{setup.address.trust_port}/" for host in (*addresses, setup.address.name)
    ]


def greeting(setup: LanSetup, addresses: list[str], now: datetime) -> list[str]:
    """The lines for the terminal: the address, where a phone starts, what to compare."""
    lines = [
        f"Crestrail for this home: {setup.origin}",
        "A phone that is new here starts at",
        *(f"  {url}" for url in trust_urls(setup, addresses)),
        "Compare there and in the phone's settings: the household authority's SHA-256 is",
        *(f"  {line}" for line in setup.fingerprint),
    ]
    ends = setup.authority.certificate.not_valid_after_utc
    if ends - now < timedelta(days=WARN_WHEN_AUTHORITY_DAYS_LEFT):
        lines.append(f"The household authority runs out on {ends.date()}: plan an evening for it.")
    if setup.address.is_local and not addresses:
        lines.append("No home network found yet; the name is announced as soon as there is one.")
    return lines
