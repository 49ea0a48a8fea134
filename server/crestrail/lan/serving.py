"""Serving on the home network until told to stop: listeners, the name, and the upkeep."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event, Thread
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.serialization import Encoding

from crestrail.api.trust import TrustFacts, trust_app
from crestrail.basis.clock import Clock
from crestrail.lan.listeners import RenewableAdapter, https_listener, trust_listener
from crestrail.lan.mdns import Announcer, lan_addresses
from crestrail.lan.setup import LanSetup
from crestrail.tls import CannotStart, ensure_leaf, leaf_ends

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

UPKEEP_SECONDS = 60.0


class LanServer:
    """The household's server on the home network.

    ``say`` gets one line whenever something happens that a person may want to know;
    ``addresses`` tells this computer's addresses at the moment.
    """

    def __init__(
        self,
        app: WSGIApplication,
        setup: LanSetup,
        clock: Clock,
        say: Callable[[str], None] = print,
        addresses: Callable[[], list[str]] = lan_addresses,
    ) -> None:
        self._setup, self._clock, self._say, self._addresses = setup, clock, say, addresses
        self._announcer = Announcer(setup.address)
        self._trouble = ""
        self._stopping = Event()
        self._adapter = RenewableAdapter(setup.files.server)
        self._https = https_listener(app, setup.address.port, self._adapter)
        try:
            trust = trust_app(trust_facts(setup))
            self._trust = trust_listener(trust, setup.address.trust_port)
        except CannotStart:
            self._https.stop()
            raise
        self._threads = [
            Thread(target=self._https.serve, name="https", daemon=True),
            Thread(target=self._trust.serve, name="trust page", daemon=True),
            Thread(target=self._keep_up, name="upkeep", daemon=True),
        ]

    def start(self) -> None:
        """Announce the name and serve in the background.

        Raises CannotStart, with every port given back, when the name is taken.
        """
        try:
            self._follow_address()
        except CannotStart:
            self.stop()
            raise
        for thread in self._threads:
            thread.start()

    def __enter__(self) -> LanServer:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def stop(self) -> None:
        """Stop listening and take the name back."""
        self._stopping.set()
        self._announcer.close()
        for server in (self._https, self._trust):
            server.stop()
        for thread in self._threads:
            if thread.is_alive():
                thread.join(timeout=UPKEEP_SECONDS)

    def upkeep(self) -> None:
        """Renew the certificate where that is due, and follow a new address of the computer.

        Trouble is said once and tried again next time: a server that runs is not stopped by it.
        """
        try:
            self._renew()
            self._follow_address()
            self._trouble = ""
        except (CannotStart, OSError) as error:
            if str(error) != self._trouble:
                self._say(f"Trouble on the home network, tried again in a minute: {error}")
            self._trouble = str(error)

    def show_kept_certificate(self) -> None:
        """Show new connections the certificate that now stands in the data folder."""
        self._adapter.reload()

    def _renew(self) -> None:
        setup = self._setup
        now = self._clock.now()
        if ensure_leaf(setup.files, setup.authority, setup.address.name, now):
            self.show_kept_certificate()
            self._say(f"The certificate was renewed; it is good until {leaf_ends(setup.files)}.")

    def _follow_address(self) -> None:
        if not self._setup.address.is_local:
            return
        own = self._addresses()
        if self._announcer.refresh(own) and own:
            self._say(f"{self._setup.address.name} is announced at {', '.join(own)}.")

    def _keep_up(self) -> None:
        while not self._stopping.wait(UPKEEP_SECONDS):
            self.upkeep()


def trust_facts(setup: LanSetup) -> TrustFacts:
    """What the trust page tells about a household: nothing that is secret."""
    certificate = setup.authority.certificate
    return TrustFacts(
        name=setup.address.name,
        origin=setup.origin,
        by_name=f"{setup.address.name}:{setup.address.trust_port}",
        fingerprint=tuple(setup.fingerprint),
        der=certificate.public_bytes(Encoding.DER),
        pem=certificate.public_bytes(Encoding.PEM),
    )
