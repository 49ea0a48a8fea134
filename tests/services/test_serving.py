"""The server ends when it is asked to, also while phones are talking to it."""

from __future__ import annotations

import subprocess
import sys
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


NEVER_DONE = """
import threading, urllib.request
from crestrail.lan.listeners import HomeServer, take_port

reached = threading.Event()

def app(environ, start_response):
    reached.set()
    while True:
        threading.Event().wait()

server = take_port(HomeServer(("127.0.0.1", 0), app, numthreads=2))
port = server.socket.getsockname()[1]
asking = lambda: urllib.request.urlopen(f"http://127.0.0.1:{port}/")
threading.Thread(target=server.serve, daemon=True).start()
threading.Thread(target=asking, daemon=True).start()
assert reached.wait(10)
server.stop()
print("stopped", flush=True)
"""


def test_a_call_that_is_never_done_keeps_neither_the_server_nor_the_program() -> None:
    ended = subprocess.run(
        [sys.executable, "-c", NEVER_DONE], capture_output=True, text=True, timeout=25
    )
    assert (ended.returncode, ended.stdout) == (0, "stopped\n"), ended.stderr
