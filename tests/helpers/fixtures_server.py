"""Fixtures of the server side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers.live import LiveServer


@pytest.fixture
def live_server(tmp_path: Path) -> Iterator[LiveServer]:
    """A real server with a fresh household, in a process of its own."""
    with LiveServer(tmp_path / "data") as server:
        yield server
