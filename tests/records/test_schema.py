from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from crestrail.basis.rounding import SAFE
from crestrail.records.schema import BY_NAME, FIELD_TYPES, RECORD_TYPES, as_data, fields_of

ROOT = Path(__file__).resolve().parents[2]
FIELDS = [(t.name, f) for t in RECORD_TYPES for f in t.fields]


def test_the_phones_schema_is_fresh() -> None:
    made = subprocess.run(
        [sys.executable, ROOT / ".ci/make_schema.py", "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stdout + made.stderr


def test_the_phone_reads_the_schema_that_the_server_has() -> None:
    module = (ROOT / "web/js/records/schema.js").as_uri()
    script = (
        f"const m = await import({json.dumps(module)});"
        "console.log(JSON.stringify({field_types: m.FIELD_TYPES, types: m.RECORD_TYPES}));"
    )
    made = subprocess.run(
        ["node", "--input-type=module", "-e", script], capture_output=True, text=True, check=True
    )
    assert json.loads(made.stdout) == json.loads(json.dumps(as_data()))


@pytest.mark.parametrize(("type_name", "field"), FIELDS, ids=lambda x: getattr(x, "name", x))
def test_every_field_is_well_said(type_name: str, field: object) -> None:
    said = fields_of(type_name)[field.name]  # type: ignore[attr-defined]
    assert re.fullmatch("[a-z][a-z0-9_]{0,39}", said.name)
    assert said.type in FIELD_TYPES
    assert (said.type == "choice") == bool(said.choices)
    assert not said.ref or said.ref in BY_NAME
    if said.type in ("int", "money"):
        assert said.min is not None
        assert said.max is not None
        assert -SAFE <= said.min < said.max <= SAFE
    if said.type in ("text", "ids", "slugs", "object"):
        assert said.max is not None
        assert said.max > 0


def test_type_and_field_names_are_unique() -> None:
    assert len(BY_NAME) == len(RECORD_TYPES)
    for record_type in RECORD_TYPES:
        names = [f.name for f in record_type.fields]
        assert len(set(names)) == len(names)
        assert "deleted" not in names
