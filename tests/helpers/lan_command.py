"""``crestrail serve --lan`` as a process of its own, under a name that is a domain."""

from __future__ import annotations

from pathlib import Path

from crestrail.tls import TlsFiles
from helpers.live import LiveServer
from helpers.ports import free_port, free_ports


class LanCommand(LiveServer):
    """The command on the home network; ``url`` is the household's https address.

    ``local`` is what this computer's own browser may be asked under, ``trust_page`` the plain
    listener by its name, ``authority`` the certificate that phones are to trust.
    """

    def __init__(self, data: Path, name: str) -> None:
        local_port = free_port()
        super().__init__(data, ("--lan", "--name", name, "--local-port", str(local_port)))
        self.port = free_ports()
        self.url = f"https://{name}:{self.port}"
        self.local = self.asked_under = f"http://localhost:{local_port}"
        self.trust_page = f"http://{name}:{self.port + 1}"
        self.authority = TlsFiles(data / "tls").authority
