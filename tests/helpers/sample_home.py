"""The invented household, filled once a run and copied from then on."""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from crestrail.config import Settings
from crestrail.sample import load_sample, sample_folder
from helpers.live import LiveServer


def copy_of_sample(factory: pytest.TempPathFactory) -> Path:
    """A data folder of one's own with the invented household in it.

    It takes seconds to fill, so tests that run side by side share the first that is ready.
    """
    base = factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    kept, ready = shared / "sample-kept", shared / "sample-ready"
    with (shared / "sample-lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not ready.exists():
            load_sample(Settings(data=kept, sample=True), sample_folder())
            ready.touch()
    return Path(shutil.copytree(kept, factory.mktemp("sample") / "data"))


@contextmanager
def sample_served(factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    """A server of its own on a copy, which says that all of it is invented."""
    with LiveServer(copy_of_sample(factory), env={"CRESTRAIL_SAMPLE": "1"}) as server:
        yield server
