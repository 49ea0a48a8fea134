"""The server ends when it is asked to, also while phones are talking to it."""

from __future__ import annotations

import threading
import time
import urllib.request
from http.client import HTTPException
from pathlib import Path

from helpers.live import LiveServer

STOPS = 6
SECONDS_TO_STOP = 8


def ask_until(stopped: threading.Event, url: str) -> None:
    """Ask for the front page again and again; a server that is gone is no trouble."""
    while not stopped.is_set():
        try:
            with urllib.request.urlopen(url, timeout=2) as answer:
                answer.read()
        except (OSError, HTTPException):
            stopped.wait(0.01)


def seconds_to_stop(server: LiveServer) -> float:
    """Start the server, stop it in the midst of questions; raises when it does not end."""
    server.start()
    stopped = threading.Event()
    asking = [threading.Thread(target=ask_until, args=(stopped, server.url)) for _ in range(4)]
    for thread in asking:
        thread.start()
    time.sleep(0.1)
    try:
        begin = time.monotonic()
        server.stop()
        return time.monotonic() - begin
    finally:
        stopped.set()
        for thread in asking:
            thread.join()


def test_a_server_under_load_ends_each_time_it_is_asked_to(tmp_path: Path) -> None:
    server = LiveServer(tmp_path / "data")
    try:
        for _ in range(STOPS):
            assert seconds_to_stop(server) < SECONDS_TO_STOP
    finally:
        server.kill()
