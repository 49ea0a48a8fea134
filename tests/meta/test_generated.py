"""What is generated is fresh, what is vendored is what was recorded, mirrors are complete."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GENERATED = {
    "make_schema.py": ["web/js/records/schema.js"],
    "make_care.py": ["web/js/care/data.js"],
    "make_precache.py": ["web/precache.js"],
}


@pytest.mark.parametrize("script", sorted(GENERATED))
def test_generated_files_are_what_their_script_writes(script: str) -> None:
    before = {name: (ROOT / name).read_bytes() for name in GENERATED[script]}
    try:
        subprocess.run([sys.executable, ROOT / ".ci" / script], cwd=ROOT, check=True)
        after = {name: (ROOT / name).read_bytes() for name in GENERATED[script]}
    finally:
        for name, content in before.items():
            (ROOT / name).write_bytes(content)
    assert before == after, f"run python .ci/{script}"


def test_vendored_files_have_the_recorded_hash() -> None:
    text = (ROOT / "web/vendor/VENDORED.md").read_text()
    recorded = dict(re.findall(r"`([\w./-]+)`[^`\n]*`?([0-9a-f]{64})`?", text))
    present = {
        str(p.relative_to(ROOT / "web/vendor")): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in (ROOT / "web/vendor").rglob("*")
        if p.is_file() and p.name != "VENDORED.md"
    }
    assert recorded == present


@pytest.mark.parametrize("folder", ["basis", "records", "pricing", "care", "books"])
def test_every_mirrored_module_has_a_python_original(folder: str) -> None:
    python = {p.stem for p in (ROOT / "server/crestrail" / folder).glob("*.py")}
    generated = {"schema", "data"}
    for path in (ROOT / "web/js" / folder).glob("*.js"):
        assert path.stem.replace("-", "_") in python | generated, path
