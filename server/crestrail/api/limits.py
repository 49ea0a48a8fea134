"""How often somebody may try: counted in memory, by the address that calls."""

from __future__ import annotations

from collections import deque
from datetime import datetime, timedelta
from threading import Lock

from flask import current_app, request

from crestrail.basis.errors import CrestrailError

TRIES = 10
WINDOW = timedelta(minutes=1)
_MAX_ADDRESSES = 10_000


class Tries:
    """The moments of the last tries of each address."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._of: dict[str, deque[datetime]] = {}

    def count(self, who: str, now: datetime) -> bool:
        """Note a try; False when there were ``TRIES`` within ``WINDOW`` already."""
        with self._lock:
            if len(self._of) > _MAX_ADDRESSES:
                self._of.clear()
            moments = self._of.setdefault(who, deque())
            while moments and not now - WINDOW < moments[0] <= now:
                moments.popleft()
            if len(moments) >= TRIES:
                return False
            moments.append(now)
            return True


def count_try(what: str, now: datetime) -> None:
    """Raise ``too_many_tries`` when this address tried too often."""
    tries: Tries = current_app.extensions["crestrail_tries"]
    if not tries.count(f"{what} {request.remote_addr}", now):
        raise CrestrailError("too_many_tries", seconds=int(WINDOW.total_seconds()))
