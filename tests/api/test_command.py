"""The command line, as a person types it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from helpers.live import LiveServer


@pytest.fixture(scope="module")
def greeting(tmp_path_factory: pytest.TempPathFactory) -> str:
    """All that a server says at its first start."""
    with LiveServer(tmp_path_factory.mktemp("greeting") / "data") as server:
        return server.log


def crestrail(*words: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "crestrail.cli", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60)


def test_serve_prints_where_it_is_and_a_code_that_pairs(live_server: LiveServer) -> None:
    assert f"Crestrail is at {live_server.url}" in live_server.log
    link = re.search(r"(http://localhost:\d+)/pair#(\S+)", live_server.log)
    assert link
    body = json.dumps({"code": link[2], "device": "a" * 16, "name": "Laptop"}).encode()
    request = urllib.request.Request(
        f"{live_server.url}/api/pair", body, {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(request) as answer:
        assert json.load(answer)["name"] == "Laptop"


INK = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0), "\xa0": (0, 0)}
"""The upper and the lower half of each character that a terminal draws."""


def terminal(lines: list[str], paper: int, ink: int, pixels: int = 6) -> Image.Image:
    """What a terminal of these two greys shows, half a character being one square."""
    wide = max(map(len, lines))
    size = ((wide + 8) * pixels, (len(lines) * 2 + 8) * pixels)
    shown = Image.new("L", size, paper)
    for row, line in enumerate(lines):
        for column, character in enumerate(line):
            for half in (0, 1):
                if INK[character][half]:
                    x, y = (column + 4) * pixels, (row * 2 + half + 4) * pixels
                    shown.paste(ink, (x, y, x + pixels, y + pixels))
    return shown


@pytest.mark.parametrize(("paper", "ink"), [(0, 255), (30, 200), (255, 0)])
def test_the_picture_in_the_terminal_holds_the_pairing_link(
    greeting: str, paper: int, ink: int
) -> None:
    lines = [line for line in greeting.splitlines() if line and set(line) <= set(INK)]
    link = re.search(r"http://localhost:\d+/pair#\S+", greeting)
    assert link
    (found,) = zxingcpp.read_barcodes(terminal(lines, paper, ink))
    assert found.text == link[0]


def test_serve_listens_on_this_machine_only(live_server: LiveServer) -> None:
    table = Path("/proc/net/tcp").read_text().splitlines()
    port = f":{live_server.port:04X}"
    listening = [line.split()[1] for line in table[1:] if line.split()[3] == "0A"]
    assert [at for at in listening if at.endswith(port)] == [f"0100007F{port}"]


def test_a_taken_port_is_said_and_nothing_is_started(live_server: LiveServer) -> None:
    data = live_server.data.parent / "other"
    found = crestrail("serve", "--port", str(live_server.port), "--data", data)
    assert found.returncode == 1
    assert f"port {live_server.port} is taken" in found.stderr


def test_the_household_outlives_a_stop(live_server: LiveServer) -> None:
    live_server.stop()
    live_server.start()
    assert live_server.pairing_code()


def test_backup_and_restore_by_hand(live_server: LiveServer) -> None:
    live_server.stop()
    data, file = live_server.data, live_server.data.parent / "b.zip"
    made = crestrail("--data", data, "backup", file)
    assert made.stdout.startswith("Done:"), made.stderr
    assert crestrail("--data", data, "backup", file).returncode == 1
    assert crestrail("--data", data, "restore", file).returncode == 0
    assert (data / "crestrail.sqlite3").is_file()
    assert list(data.glob("crestrail.sqlite3.before-restore-*"))


@pytest.mark.parametrize("word", ["restore", "bring-home"])
def test_a_file_that_is_not_there_is_said(tmp_path: Path, word: str) -> None:
    found = crestrail("--data", tmp_path / "data", word, tmp_path / "none")
    assert found.returncode == 1
    assert "none" in found.stderr
    assert "Traceback" not in found.stderr


def test_the_sample_is_served_and_leaves_nothing_behind(tmp_path: Path) -> None:
    with LiveServer(tmp_path / "unused", ("--sample",), {"TMPDIR": str(tmp_path)}) as server:
        with urllib.request.urlopen(f"{server.url}/api/hello") as answer:
            assert json.load(answer)["sample"] is True
        assert list(tmp_path.glob("crestrail-sample-*"))
    assert not list(tmp_path.glob("crestrail-sample-*"))
    assert not (tmp_path / "unused").exists()
