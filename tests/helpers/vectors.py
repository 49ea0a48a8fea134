"""The cases that both languages are held to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

VECTORS = Path(__file__).resolve().parent.parent / "vectors"


def vectors(name: str) -> dict[str, Any]:
    """The cases of ``tests/vectors/<name>.json``."""
    loaded: dict[str, Any] = json.loads((VECTORS / f"{name}.json").read_text(encoding="utf-8"))
    return loaded
