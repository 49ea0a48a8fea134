"""One running server for many tests, each with a household of its own on it."""

from __future__ import annotations

import secrets
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import BrowserContext

from crestrail.app import create_app
from crestrail.config import Settings
from crestrail.services import devices, households
from crestrail.services.households import NewHousehold
from crestrail.serving import starting_seeds
from crestrail.store.db import db
from helpers.live import LiveServer


class Desk:
    """A live server, and a second hand on its database to found households and make codes."""

    def __init__(self, server: LiveServer) -> None:
        self.server = server
        self._app = create_app(Settings(data=server.data))

    def household(self, *, furnished: bool = False) -> str:
        """A new household; its id. ``furnished``: with the kinds and steps that one starts with."""
        setting = {"household_name": "Ours", "time_zone": "America/Chicago"}
        seeds = starting_seeds() if furnished else []
        wanted = NewHousehold(setting, seeds, id=str(uuid.uuid4()))
        with self._app.app_context():
            return households.create(wanted, datetime.now(UTC))

    def pairing_code(self, household: str) -> str:
        """A new pairing code of a household."""
        with self._app.app_context():
            return devices.make_code(household, datetime.now(UTC)).shown

    def admit(self, context: BrowserContext, url: str, household: str) -> dict[str, str]:
        """Make a browser a paired device without a call (calls to pair are limited).

        Returns the identity that a phone remembers.
        """
        device = secrets.token_hex(8)
        with self._app.app_context():
            now = datetime.now(UTC)
            code = devices.make_code(household, now).code
            _, token = devices.pair(devices.Pairing(code, device, "A phone"), now)
        context.add_cookies([{"name": f"crestrail_{household[:8]}", "value": token, "url": url}])
        return {"id": household, "device": device, "name": "Ours", "origin": url}

    def close(self) -> None:
        """Give the database's connections back."""
        with self._app.app_context():
            db.session.remove()
            db.engine.dispose()


@dataclass(frozen=True)
class DeskHome:
    """A household on the server that many tests share; to phones it is a server of its own."""

    desk: Desk
    id: str

    @property
    def url(self) -> str:
        """The origin."""
        return self.desk.server.url

    def admit(self, context: BrowserContext) -> None:
        """Add a phone to the household."""
        self.desk.admit(context, self.url, self.id)

    def pairing_code(self) -> str:
        """A new pairing code (the server lets ten be tried in a minute, of all its households)."""
        return self.desk.pairing_code(self.id)


def furnished(desk: Desk) -> DeskHome:
    """A new household on the shared server, with the kinds and steps that one starts with."""
    return DeskHome(desk, desk.household(furnished=True))


@contextmanager
def open_desk(folder: Path) -> Iterator[Desk]:
    """A server on a data folder that is made for it."""
    with LiveServer(folder / "data") as server:
        desk = Desk(server)
        try:
            yield desk
        finally:
            desk.close()
