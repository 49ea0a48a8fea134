"""Bringing home a file that a phone saved: its records and pictures, without any network.

The file is JSON lines: ``{"crestrail_rescue": 1, "household", "device", …}`` first, then
``{"change": …}`` and ``{"photo": sha256, "data": base64}`` in any order.
"""

from __future__ import annotations

import base64
import binascii
import json
import secrets
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from crestrail.basis.clock import to_ms
from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import is_device_id, new_device_id, new_id
from crestrail.records.stamps import HybridClock, parse_stamp
from crestrail.services import households
from crestrail.services.exchange import LEEWAY, Request, exchange
from crestrail.services.incoming import Incoming
from crestrail.services.photos import Album
from crestrail.store.photos import PhotoFiles

BATCH = 200


def bring_home(lines: Iterable[str], files: PhotoFiles, now: datetime) -> Counter[str]:
    """Take everything in the file; how many changes had which outcome, and how many ``photos``.

    Bringing the same file home again changes nothing. Raises ``bad_json`` for another file,
    ``other_household`` when the household is not at home here.
    """
    entries = _entries(lines)
    household, device = _header(next(entries, {}))
    album = Album(files, household)
    counts: Counter[str] = Counter()
    waiting: list[Any] = []
    for entry in entries:
        if "change" in entry:
            waiting.append(entry["change"])
        elif "photo" in entry:
            counts[_take_photo(album, entry, now)] += 1
        if len(waiting) >= BATCH:
            counts += _push(household, device, waiting, now)
            waiting = []
    return counts + _push(household, device, waiting, now)


def _entries(lines: Iterable[str]) -> Iterator[dict[str, Any]]:
    for number, line in enumerate(lines, 1):
        try:
            entry = json.loads(line) if line.strip() else {}
        except (ValueError, RecursionError):
            entry = None
        if not isinstance(entry, dict):
            raise CrestrailError("bad_json", reason=f"line {number} of the file cannot be read")
        yield entry


def _header(entry: dict[str, Any]) -> tuple[str, str]:
    if entry.get("crestrail_rescue") != 1 or not is_device_id(entry.get("device")):
        raise CrestrailError("bad_json", reason="this is no file that a phone saved")
    if entry.get("household") not in households.all_ids():
        raise CrestrailError("other_household")
    return entry["household"], entry["device"]


def _push(household: str, device: str, changes: list[Any], now: datetime) -> Counter[str]:
    if not changes:
        return Counter()
    present = _of_the_present(changes, now)
    answer = exchange(Request(household, device, changes=present, limit=1), now)
    return Counter(outcome["outcome"] for outcome in answer.outcomes)


def _of_the_present(changes: list[Any], now: datetime) -> list[Any]:
    """The changes; one from the future (the phone's clock was wrong) counts as written now."""
    clock = HybridClock(new_device_id(secrets.token_bytes))
    latest = to_ms(now + LEEWAY)

    def taken(change: Any) -> Any:
        stamps = Incoming(change).stamps
        if not stamps or parse_stamp(max(stamps)).ms <= latest:
            return change
        stamp = clock.tick(to_ms(now))
        key = new_id(to_ms(now), secrets.token_bytes)
        return {**change, "key": key, "stamps": dict.fromkeys(change["stamps"], stamp)}

    return [taken(change) for change in changes]


def _take_photo(album: Album, entry: dict[str, Any], now: datetime) -> str:
    """Keep a picture; ``photos`` or ``photos refused``."""
    try:
        content = base64.b64decode(str(entry.get("data", "")), validate=True)
        album.take(str(entry["photo"]), content, now)
    except (CrestrailError, binascii.Error, ValueError):
        return "photos refused"
    return "photos"
