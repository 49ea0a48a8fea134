"""The real application in this process, with a clock that the test moves."""

from __future__ import annotations

import secrets
import uuid
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from crestrail.app import create_app
from crestrail.basis.clock import FixedClock, to_ms
from crestrail.config import Settings
from crestrail.records.groups import group_of
from crestrail.services import devices, households
from crestrail.services.households import NewHousehold
from crestrail.store.db import db

with warnings.catch_warnings():
    # WebOb, under WebTest, imports the standard library's cgi, which 3.11 calls deprecated
    warnings.simplefilter("ignore", DeprecationWarning)
    from webtest import TestApp, TestResponse

START = datetime(2026, 5, 1, 12, tzinfo=UTC)
PATH = "/api/sync"


class Home:
    """An application with one household. ``clock`` is the server's."""

    def __init__(self, settings: Settings, household: str | None = None) -> None:
        assert isinstance(settings.clock, FixedClock)
        self.settings, self.clock = settings, settings.clock
        self.app = create_app(settings)
        self.household = household or self.make_household("Ours")

    def make_household(self, name: str, id: str | None = None) -> str:
        """Another household in the same database; its id."""
        setting = {"household_name": name, "time_zone": "UTC"}
        wanted = NewHousehold(setting, id=id or str(uuid.uuid4()))
        with self.app.app_context():
            return households.create(wanted, self.clock.now())

    def code(self, household: str | None = None) -> str:
        """A new pairing code."""
        with self.app.app_context():
            return devices.make_code(household or self.household, self.clock.now()).code

    def pair(self, device: str | None = None, household: str | None = None) -> Client:
        """A paired browser."""
        client = Client(self, device or secrets.token_hex(8), household or self.household)
        client.pair()
        return client

    def close(self) -> None:
        """Give the database's connections back."""
        with self.app.app_context():
            db.session.remove()
            db.engine.dispose()


class Client:
    """A browser with its cookies, and the calls of the API in short."""

    def __init__(self, home: Home, device: str, household: str) -> None:
        self.home, self.device, self.household = home, device, household
        self.web = TestApp(home.app)
        self._count = 0

    def pair(self, name: str = "phone", **more: Any) -> dict[str, Any]:
        """Pair with a fresh code."""
        code = self.home.code(self.household)
        body = {"code": code, "device": self.device, "name": name, **more}
        return dict(self.web.post_json("/api/pair", body).json)

    def sync(self, changes: list[Any] | None = None, **more: Any) -> dict[str, Any]:
        """One round trip that has to succeed."""
        return dict(self.web.post_json(PATH, self.envelope(changes, **more)).json)

    def try_sync(self, changes: list[Any] | None = None, **more: Any) -> TestResponse:
        """One round trip, whatever comes of it."""
        body = self.envelope(changes, **more)
        return self.web.post_json(PATH, body, expect_errors=True)

    def envelope(self, changes: list[Any] | None = None, **more: Any) -> dict[str, Any]:
        """The body of a round trip."""
        return {
            "protocol": 1,
            "household": self.household,
            "device": self.device,
            "cursor": None,
            "clock": to_ms(self.home.clock.now()),
            "changes": changes or [],
            **more,
        }

    def change(
        self, type: str, fields: dict[str, Any], id: str | None = None, **more: Any
    ) -> dict[str, Any]:
        """A change as this device would make it now; ``at_ms`` shifts its stamp."""
        stamp = more.pop("stamp", None) or self.stamp(more.pop("at_ms", 0))
        return {
            "key": str(uuid.uuid4()),
            "type": type,
            "id": id or str(uuid.uuid4()),
            "fields": fields,
            "stamps": {group_of(type, name): stamp for name in fields},
            "bases": {},
            **more,
        }

    def erasure(self, type: str, id: str) -> dict[str, Any]:
        """A change that erases a record."""
        stamps = {"*": self.stamp()}
        return {"key": str(uuid.uuid4()), "type": type, "id": id, "erase": True, "stamps": stamps}

    def stamp(self, shift_ms: int = 0) -> str:
        """The device's next stamp, by the server's clock and a shift."""
        self._count += 1
        return f"{to_ms(self.home.clock.now()) + shift_ms:012x}-{self._count:04x}-{self.device}"

    def rows(self, type: str | None = None) -> dict[str, dict[str, Any]]:
        """All rows of the household by id, read page by page."""
        found: dict[str, dict[str, Any]] = {}
        cursor, more = None, True
        while more:
            answer = self.sync(cursor=cursor)
            assert not answer["reset"]
            found |= {r["id"]: r for r in answer["records"] if type in (None, r["type"])}
            cursor, more = answer["cursor"], answer["more"]
        return found


@contextmanager
def opened(
    data: Path, database: str = "", household: str | None = None, **more: Any
) -> Iterator[Home]:
    """A home with its data in a folder, closed at the end; it makes a household if none is named.

    ``more`` are further settings.
    """
    settings = Settings(data=data, database=database, clock=FixedClock(START), **more)
    home = Home(settings, household)
    try:
        yield home
    finally:
        home.close()
