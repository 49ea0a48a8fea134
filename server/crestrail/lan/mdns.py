"""Announcing the household's ``.local`` name on the home network (multicast DNS, RFC 6762).

The name belongs to the household and not to the computer, and it follows the computer to
whatever address the router hands out. Not every phone asks for such names: some Androids,
phones with private DNS, and guest networks don't; the trust page lets a phone find out.
"""

from __future__ import annotations

import ifaddr
from zeroconf import (  # type: ignore[attr-defined]
    AddressResolver,
    IPVersion,
    NonUniqueNameException,
    ServiceInfo,
    Zeroconf,
)

from crestrail.lan.names import LanAddress
from crestrail.tls import CannotStart

SERVICE = "_https._tcp.local."
PROBE_MS = 1000
"""RFC 6762 (8.1) asks for three probes of 250 ms; a second leaves room for a slow Wi-Fi."""
NOT_HOME = ("docker", "veth", "br-", "virbr", "tun", "tap", "wg", "vmnet", "vboxnet", "ppp")
"""Beginnings of the names of adapters on which no phone can reach us."""


def lan_addresses() -> list[str]:
    """This computer's IPv4 addresses on which a phone at home may reach it."""
    return sorted(
        ip.ip
        for adapter in ifaddr.get_adapters()
        if not adapter.name.lower().startswith(NOT_HOME)
        for ip in adapter.ips
        if isinstance(ip.ip, str) and not ip.ip.startswith(("127.", "169.254."))
    )


def others_with_name(zeroconf: Zeroconf, name: str, own: list[str]) -> list[str]:
    """The addresses under which somebody else answers to ``name``; empty when it is free.

    An answer with an address of this computer is no conflict: its own host name is announced
    by the system too.
    """
    asked = AddressResolver(f"{name}.")
    asked.request(zeroconf, PROBE_MS)
    found = asked.parsed_addresses(IPVersion.V4Only)
    return [] if set(found) & set(own) else found


class Announcer:
    """Keeps the name announced while the server runs; ``refresh`` follows a new address."""

    def __init__(self, address: LanAddress) -> None:
        self._address = address
        self._own: list[str] = []
        self._zeroconf: Zeroconf | None = None

    @property
    def addresses(self) -> list[str]:
        """The addresses announced at present; empty without a network."""
        return list(self._own)

    def refresh(self, own: list[str]) -> bool:
        """Announce ``own`` where that differs from what is announced; returns whether it did.

        Raises CannotStart when another computer answers to the name; then nothing is announced.
        """
        if own == self._own:
            return False
        self.close()
        if own:
            self._announce(own)
        return True

    def close(self) -> None:
        """Take the name back, so that phones don't look for it here."""
        if self._zeroconf is not None:
            self._zeroconf.close()
        self._zeroconf, self._own = None, []

    def _announce(self, own: list[str]) -> None:
        zeroconf = Zeroconf(interfaces=own, ip_version=IPVersion.V4Only)
        try:
            self._claim(zeroconf, own)
        except BaseException:
            zeroconf.close()
            raise
        self._zeroconf, self._own = zeroconf, list(own)

    def _claim(self, zeroconf: Zeroconf, own: list[str]) -> None:
        name = self._address.name
        others = others_with_name(zeroconf, name, own)
        if others:
            raise CannotStart(_taken(name, ", ".join(others)))
        label = name.removesuffix(".local")
        service = ServiceInfo(
            SERVICE,
            f"{label}.{SERVICE}",
            port=self._address.port,
            server=f"{name}.",
            parsed_addresses=own,
        )
        try:
            zeroconf.register_service(service)
        except NonUniqueNameException as error:
            raise CannotStart(_taken(name, "another computer")) from error


def _taken(name: str, who: str) -> str:
    return (
        f"the name {name} is taken on this network by {who}. Stop what runs there; where this "
        "household has no phones yet, choose another name with --name."
    )
