"""A real server: ``crestrail serve`` as a process of its own, to be killed and started again."""

from __future__ import annotations

import os
import re
import secrets
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from types import TracebackType

from playwright.sync_api import BrowserContext

from helpers.ports import free_port

PATIENCE = 120.0
"""Seconds a server may take to answer for the first time; two cores are shared by many."""

CODE_LINE = re.compile(r"^ *code (\S+)$", re.MULTILINE)


class LiveServer:
    """``crestrail serve`` on one port and one data folder, over any number of starts.

    ``url`` is its origin. ``words`` are further words of the command line, ``env`` further
    variables. Use it as a context manager, or call ``start`` and ``stop``; ``exit_code`` is that
    of the last run that has ended.
    """

    def __init__(self, data: Path, words: tuple[str, ...] = (), env: dict[str, str] | None = None):
        self.data = data
        self.port = free_port()
        self.url = self.asked_under = f"http://localhost:{self.port}"
        self.exit_code: int | None = None
        self._words = words
        self._env = os.environ | {"PYTHONUNBUFFERED": "1"} | (env or {})
        self._log = data.parent / f"{data.name}.log"
        self._process: subprocess.Popen[bytes] | None = None
        self._log_begins = 0
        self._code_is_spent = False

    def __enter__(self) -> LiveServer:
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()

    @property
    def pid(self) -> int:
        """The process id; the server has to be running."""
        assert self._process is not None
        return self._process.pid

    @property
    def runs(self) -> bool:
        """Whether it was started and not ended since."""
        return self._process is not None

    @property
    def log(self) -> str:
        """All that the server has printed."""
        return self._log.read_text(errors="replace") if self._log.exists() else ""

    def start(self) -> None:
        """Start it, with the port and the data it had before, and wait for its answer."""
        command = [
            sys.executable, "-m", "crestrail.cli", "serve",
            "--port", str(self.port), "--data", str(self.data), *self._words,
        ]  # fmt: skip
        self._log_begins, self._code_is_spent = len(self.log), False
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(command, env=self._env, stdout=log, stderr=log)
        self._wait()

    def kill(self) -> None:
        """End it without a chance to tidy up (SIGKILL)."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """End it in good order; nothing happens when it is not running."""
        self._end(signal.SIGTERM)

    def pairing_code(self) -> str:
        """A pairing code: that of the server's greeting, then ``crestrail pair`` makes new ones."""
        greeted = None if self._code_is_spent else CODE_LINE.search(self.log[self._log_begins :])
        self._code_is_spent = True
        found = greeted or CODE_LINE.search(self._say("pair"))
        assert found, "crestrail pair printed no code"
        return found[1]

    def admit(self, context: BrowserContext) -> None:
        """Add a phone to the household, without the screen for it."""
        device = secrets.token_hex(8)
        wanted = {"code": self.pairing_code(), "device": device, "name": "phone"}
        answer = context.request.post(f"{self.url}/api/pair", data=wanted)
        assert answer.ok, answer.text()

    def _say(self, *words: str) -> str:
        command = [sys.executable, "-m", "crestrail.cli", "--data", str(self.data), *words]
        return subprocess.run(
            command, env=self._env, check=True, capture_output=True, text=True, timeout=PATIENCE
        ).stdout

    def _end(self, by: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(by)
            self.exit_code = self._process.wait(timeout=PATIENCE)
            self._process = None

    def _wait(self) -> None:
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            assert self._process is not None
            if self._process.poll() is not None:
                raise RuntimeError(f"the server ended at once:\n{self.log}")
            try:
                with urllib.request.urlopen(f"{self.asked_under}/api/hello", timeout=5) as answer:
                    if answer.status == 200:
                        return
            except OSError:
                time.sleep(0.05)
        raise RuntimeError(f"the server did not answer:\n{self.log}")
