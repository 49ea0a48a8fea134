"""Ports for servers of tests, each given out once.

They lie below those that systems hand out by themselves (from 32768 on Linux, from 49152 by
RFC 6335), so that no connection of another test takes one between its choice and its use; each
test process has a stretch of its own.
"""

from __future__ import annotations

import itertools
import os
import random
import socket

STRETCH = 1000
_process = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
_places = itertools.count(random.randrange(STRETCH))


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        try:
            probe.bind(("0.0.0.0", port))
        except OSError:
            return False
    return True


def free_ports(side_by_side: int = 2) -> int:
    """The first of so many ports in a row that nobody listens on."""
    for _ in range(STRETCH):
        places = [next(_places) % STRETCH for _ in range(side_by_side)]
        ports = [20_000 + STRETCH * (_process % 12) + place for place in places]
        in_a_row = ports[-1] - ports[0] == side_by_side - 1
        if in_a_row and all(_is_free(port) for port in ports):
            return ports[0]
    raise AssertionError(f"no {side_by_side} free ports side by side")


def free_port() -> int:
    """A port that nobody listens on."""
    return free_ports(1)
