"""Stamps: readings of a hybrid logical clock, written so that text order is time order.

After Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical Clocks", 2014: a reading
is never behind the physical clock nor behind anything seen, and close to the former. The
whole state of a clock is its last stamp, a text that is kept beside the edit.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from crestrail.basis.errors import BadInput

MAX_MS = 2**48 - 1
MAX_COUNTER = 2**16 - 1
_STAMP = re.compile("([0-9a-f]{12})-([0-9a-f]{4})-([0-9a-f]{16})")


class Stamp(NamedTuple):
    """A reading: physical milliseconds, counter within them, device; ordered in that order."""

    ms: int
    counter: int
    device: str


def is_stamp(value: object) -> bool:
    """Whether it is the text of a stamp."""
    return isinstance(value, str) and _STAMP.fullmatch(value) is not None


def parse_stamp(text: str) -> Stamp:
    """The reading of a stamp's text; BadInput when it is none."""
    found = _STAMP.fullmatch(text)
    if not found:
        raise BadInput("bad_stamp")
    return Stamp(int(found.group(1), 16), int(found.group(2), 16), found.group(3))


def format_stamp(stamp: Stamp) -> str:
    """``MMMMMMMMMMMM-CCCC-DDDDDDDDDDDDDDDD``: milliseconds, counter, device."""
    return f"{stamp.ms:012x}-{stamp.counter:04x}-{stamp.device}"


def compare_stamps(a: str, b: str) -> int:
    """-1, 0 or 1 as ``a`` is earlier than, the same as, or later than ``b``."""
    return (a > b) - (a < b)


def _next(ms: int, counter: int, device: str) -> str:
    """The reading, a counter that ran over carried into the milliseconds."""
    if counter > MAX_COUNTER:
        ms, counter = ms + 1, 0
    if not 0 <= ms <= MAX_MS:
        raise BadInput("bad_stamp")
    return format_stamp(Stamp(ms, counter, device))


def first_stamp(device: str) -> str:
    """The state of a clock that never ticked."""
    return format_stamp(Stamp(0, 0, device))


def tick(last: str, now_ms: int) -> str:
    """The stamp of a new write, after ``last`` of the same device, at the physical time."""
    ms, counter, device = parse_stamp(last)
    return _next(now_ms, 0, device) if now_ms > ms else _next(ms, counter + 1, device)


def receive(last: str, seen: str, now_ms: int) -> str:
    """The clock's state after seeing another device's stamp; later writes come after it."""
    ms, counter, device = parse_stamp(last)
    seen_ms, seen_counter, _ = parse_stamp(seen)
    top = max(ms, seen_ms, now_ms)
    if top == ms == seen_ms:
        return _next(top, max(counter, seen_counter) + 1, device)
    if top == ms:
        return _next(top, counter + 1, device)
    return _next(top, seen_counter + 1 if top == seen_ms else 0, device)


def restamp(last: str, base: str | None, corrected_ms: int) -> str:
    """A new stamp for a write whose clock was wrong: max(corrected time, base + 1).

    ``last`` is the device's previous stamp (the outbox is gone through in order, from a
    state that does not carry the wrong time); ``base`` is the latest stamp of what the person
    was looking at, which the write has to beat, or None.
    """
    ms, counter, device = parse_stamp(last)
    if base is not None:
        ms, counter = max((ms, counter), parse_stamp(base)[:2])
    return tick(format_stamp(Stamp(ms, counter, device)), max(corrected_ms, 0))


class HybridClock:
    """A device's hybrid clock. ``last`` is its whole state, to be kept and handed back."""

    def __init__(self, device: str, last: str | None = None) -> None:
        self.device = device
        start = parse_stamp(last) if last else Stamp(0, 0, device)
        self.last = format_stamp(start._replace(device=device))

    def tick(self, now_ms: int) -> str:
        """The stamp of a new write."""
        self.last = tick(self.last, now_ms)
        return self.last

    def receive(self, seen: str, now_ms: int) -> None:
        """Moves the clock past a stamp that came from elsewhere."""
        self.last = receive(self.last, seen, now_ms)
