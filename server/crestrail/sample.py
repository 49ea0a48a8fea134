"""Fill a throw-away household with the invented sample, through the calls that phones make."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from crestrail.app import create_app
from crestrail.basis.clock import FixedClock, from_ms
from crestrail.config import Settings
from crestrail.records.stamps import parse_stamp
from crestrail.services import devices, households
from crestrail.services.households import NewHousehold

Change = dict[str, Any]

NAMES = {"5a3d1e0000000001": "Marlow's phone", "5a3d1e0000000002": "Juniper's phone"}
PAGE = 200
AWAY = timedelta(days=28)
_EPOCH = from_ms(0)


def sample_folder() -> Path:
    """Where the sample lies: in the wheel, or in the checkout."""
    here = Path(__file__).resolve().parent
    packaged = here / "sample_scenario"
    return packaged if packaged.is_dir() else here.parents[1] / "sample_scenario"


def read_changes(folder: Path) -> list[Change]:
    """All changes of the sample, in the order they were made."""
    with (folder / "changes.jsonl").open(encoding="utf-8") as lines:
        return [json.loads(line) for line in lines]


def load_sample(settings: Settings, folder: Path) -> str:
    """Make the sample's household and let its two phones send what they wrote; its id.

    The server's clock goes along with the story, so that its history reads like one.
    """
    first, *changes = read_changes(folder)
    clock = FixedClock(_made_at(first))
    app = create_app(replace(settings, clock=clock))
    with app.app_context():
        household = households.create(NewHousehold(first["fields"], (), first["id"]), clock.now())
    phones = {device: _Phone(app, household, device) for device in NAMES}
    for home, device, page in _pages(changes):
        clock.advance(home - clock.now())
        phones[device].send(page, clock)
    for photo in sorted((folder / "photos").glob("*.jpg")):
        next(iter(phones.values())).send_photo(photo)
    return household


class _Phone:
    """One of the story's phones, paired like any other."""

    def __init__(self, app: Flask, household: str, device: str) -> None:
        self.household, self.device = household, device
        self.client: FlaskClient = app.test_client()
        with app.app_context():
            code = devices.make_code(household, app.extensions["crestrail"].clock.now())
        body = {"code": code.shown, "device": device, "name": NAMES[device]}
        self._done(self.client.post("/api/pair", json=body).status_code)

    def send(self, changes: list[Change], clock: FixedClock) -> None:
        """Push one page."""
        body = {
            "protocol": 1,
            "household": self.household,
            "device": self.device,
            "cursor": None,
            "clock": int(clock.now().timestamp() * 1000),
            "changes": changes,
            "limit": 1,
        }
        answer = self.client.post("/api/sync", json=body)
        self._done(answer.status_code)
        refused = [o for o in answer.get_json()["outcomes"] if o["outcome"] == "refused"]
        if refused:
            raise ValueError(f"the sample holds a change that is refused: {refused[0]}")

    def send_photo(self, photo: Path) -> None:
        """Hand in one picture."""
        path = f"/api/photos/{photo.stem}"
        answer = self.client.put(path, data=photo.read_bytes(), content_type="image/jpeg")
        self._done(answer.status_code)

    @staticmethod
    def _done(status: int) -> None:
        if status >= 300:
            raise ValueError(f"the sample could not be loaded: status {status}")


def _made_at(change: Change) -> datetime:
    return from_ms(parse_stamp(max(change["stamps"].values())).ms)


def _device(change: Change) -> str:
    return parse_stamp(max(change["stamps"].values())).device


def _pages(changes: Iterable[Change]) -> Iterator[tuple[datetime, str, list[Change]]]:
    """What each phone brings home each time, with the moment after the last change.

    The phones come home every ``AWAY``, one after the other, so what crossed between them is
    found then; a page holds at most ``PAGE`` changes.
    """
    for _, together in groupby(changes, key=lambda change: (_made_at(change) - _EPOCH) // AWAY):
        span = sorted(together, key=_device)
        home = max(map(_made_at, span)) + timedelta(seconds=1)
        for device, run in groupby(span, key=_device):
            page = list(run)
            for start in range(0, len(page), PAGE):
                yield home, device, page[start : start + PAGE]
