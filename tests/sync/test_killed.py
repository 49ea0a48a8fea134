"""I1: what was acknowledged is committed, however the server ends."""

from __future__ import annotations

import http.client
import json
import secrets
import threading
import time
import uuid
from typing import Any

import pytest

from helpers.live import LiveServer

KILLS = 4


class Pusher:
    """A plain HTTP phone that pushes as fast as it can, one change after another."""

    def __init__(self, server: LiveServer) -> None:
        self.server, self.device = server, secrets.token_hex(8)
        self.cookie = ""
        body = {"code": server.pairing_code(), "device": self.device, "name": "phone"}
        self.household = self.call("/api/pair", body)["household"]
        self.acknowledged: dict[str, str] = {}
        self.count = 0

    def call(self, path: str, body: dict[str, Any]) -> dict[str, Any]:
        """One call on a connection of its own; OSError or HTTPException when it fails."""
        line = http.client.HTTPConnection("localhost", self.server.port, timeout=10)
        try:
            headers = {"Content-Type": "application/json", "Cookie": self.cookie}
            line.request("POST", path, json.dumps(body), headers)
            answer = line.getresponse()
            if path == "/api/pair":
                self.cookie = str(answer.headers["Set-Cookie"]).split(";")[0]
            found: dict[str, Any] = json.loads(answer.read())
        finally:
            line.close()
        return found

    def envelope(self, changes: list[Any], cursor: str | None = None) -> dict[str, Any]:
        """The body of a round trip."""
        return {
            "protocol": 1, "household": self.household, "device": self.device, "cursor": cursor,
            "clock": int(time.time() * 1000), "changes": changes,
        }  # fmt: skip

    def push(self) -> None:
        """Push three records; they count as acknowledged once the answer says so."""
        changes = [self.change() for _ in range(3)]
        answer = self.call("/api/sync", self.envelope(changes))
        done = {outcome["key"] for outcome in answer["outcomes"]}
        self.acknowledged |= {c["id"]: c["fields"]["name"] for c in changes if c["key"] in done}

    def change(self) -> dict[str, Any]:
        """A new record."""
        self.count += 1
        stamp = f"{int(time.time() * 1000):012x}-{self.count:04x}-{self.device}"
        return {
            "key": str(uuid.uuid4()), "type": "spot", "id": str(uuid.uuid4()),
            "fields": {"name": f"Shelf {self.count}"}, "stamps": {"name": stamp}, "bases": {},
        }  # fmt: skip

    def all_names(self) -> dict[str, str]:
        """Every spot at home, by id."""
        found: dict[str, str] = {}
        cursor, more = None, True
        while more:
            answer = self.call("/api/sync", self.envelope([], cursor))
            rows = [row for row in answer["records"] if row["type"] == "spot"]
            found |= {row["id"]: row["fields"]["name"] for row in rows}
            cursor, more = answer["cursor"], answer["more"]
        return found


def push_until(phone: Pusher, stop: threading.Event) -> None:
    while not stop.is_set():
        try:
            phone.push()
        except (OSError, http.client.HTTPException):
            time.sleep(0.01)


@pytest.mark.parametrize("pause", [0.05, 0.2])
def test_I1_acknowledged_means_committed(live_server: LiveServer, pause: float) -> None:
    phone = Pusher(live_server)
    for _ in range(KILLS // 2):
        stop = threading.Event()
        pushing = threading.Thread(target=push_until, args=(phone, stop))
        before = len(phone.acknowledged)
        pushing.start()
        while len(phone.acknowledged) < before + 9:
            time.sleep(0.005)
        time.sleep(pause)
        live_server.kill()
        stop.set()
        pushing.join(timeout=30)
        live_server.start()
        at_home = phone.all_names()
        assert phone.acknowledged.items() <= at_home.items()
    assert len(phone.acknowledged) >= 18
