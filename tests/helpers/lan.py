"""The real app on the home network, in this process, as ``crestrail serve --lan`` serves it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from flask import Flask

from crestrail.app import create_app
from crestrail.config import from_env
from crestrail.lan.serving import LanServer
from crestrail.lan.setup import LanSetup, LanWish, prepare
from crestrail.services import devices, households
from crestrail.serving import first_household
from crestrail.store.db import db
from helpers.ports import free_ports


@dataclass
class Household:
    """A running server with one household."""

    setup: LanSetup
    app: Flask
    server: LanServer

    @property
    def origin(self) -> str:
        return self.setup.origin

    def pairing_code(self) -> str:
        """A new pairing code."""
        with self.app.app_context():
            return devices.make_code(households.all_ids()[0], datetime.now(UTC)).code

    def kill(self) -> None:
        """Gone, from a browser's point of view: nothing listens any more."""
        self.server.stop()

    def call(self, origin: str, path: str, host: str = "") -> tuple[int, dict[str, Any]]:
        """A stranger's call under some address; status and body."""
        headers = {"Host": host} if host else {}
        with self.app.test_client() as client:
            answer = client.post(path, base_url=origin, json={}, headers=headers)
            return answer.status_code, answer.get_json()


@contextmanager
def household(data: Path, name: str) -> Iterator[Household]:
    """Serve a fresh household under a name that is a domain of its own."""
    now = datetime.now(UTC)
    setup = prepare(data, LanWish(name, free_ports()), now, random.Random(1))
    settings = replace(from_env(), data=data, origin=setup.origin, strict_host=True)
    app = create_app(replace(settings, certificate_ends=setup.certificate_ends))
    with app.app_context():
        first_household(app)
    server = LanServer(app, setup, settings.clock, lambda _line: None)
    server.start()
    try:
        yield Household(setup, app, server)
    finally:
        server.stop()
        with app.app_context():
            db.engine.dispose()
