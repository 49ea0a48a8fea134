"""The command line, as a person types it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from helpers.live import LiveServer


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
