"""The wheel, installed into an empty environment away from the checkout, serves the same client."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import urllib.request
import venv
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers.ports import free_port

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 60.0


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `crestrail` command of an environment that holds the wheel only."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--outdir", str(folder), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    environment = folder / "environment"
    venv.create(environment, with_pip=True)
    lock = ROOT / ".ci" / "requirements.txt"
    (wheel,) = folder.glob("*.whl")
    install = [environment / "bin/pip", "install", "-q", "-c", lock, wheel]
    subprocess.run(install, check=True, capture_output=True)
    return environment / "bin" / "crestrail"


@pytest.fixture(scope="module")
def served(installed: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server run from the wheel."""
    port = free_port()
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "CRESTRAIL"))}
    data = tmp_path_factory.mktemp("data")
    command = [installed, "--data", data, "serve", "--port", str(port)]
    process = subprocess.Popen(command, cwd=data, env=clean, stdout=subprocess.DEVNULL)
    try:
        _wait(f"http://localhost:{port}/api/hello")
        yield f"http://localhost:{port}"
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def test_every_file_of_the_client_is_served_as_it_is_in_the_checkout(served: str) -> None:
    tracked = subprocess.run(
        ["git", "ls-files", "web"], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.splitlines()
    names = [name for name in tracked if not name.endswith((".md", ".d.ts"))]
    assert len(names) > 100
    for name in names:
        path = name.removeprefix("web/")
        assert _get(f"{served}/{path}") == (ROOT / name).read_bytes(), path


def test_the_sample_travels_with_it(installed: Path) -> None:
    python = installed.parent / "python"
    where = "from crestrail.sample import sample_folder; print(sample_folder())"
    found = subprocess.run([python, "-c", where], check=True, capture_output=True, text=True)
    folder = Path(found.stdout.strip())
    assert installed.parents[1] in folder.parents
    sent = (folder / "changes.jsonl").read_bytes()
    assert sent == (ROOT / "sample_scenario/changes.jsonl").read_bytes()


def _get(url: str) -> bytes:
    with urllib.request.urlopen(url, timeout=10) as answer:
        content: bytes = answer.read()
    return content


def _wait(url: str) -> None:
    deadline = time.monotonic() + PATIENCE
    while True:
        try:
            _get(url)
            return
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.2)
