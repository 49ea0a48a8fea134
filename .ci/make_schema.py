"""Writes web/js/records/schema.js from records/schema.py, so that both check the same.

    python .ci/make_schema.py            write the file
    python .ci/make_schema.py --check    say whether it is fresh; exit status 1 when it is not

Run with a Python that has Crestrail installed (``.venv/bin/python``).
"""

from __future__ import annotations

import json
import sys
import textwrap
from pathlib import Path

from crestrail.records.schema import as_data

TARGET = Path(__file__).resolve().parent.parent / "web/js/records/schema.js"

HEAD = """\
// Made by .ci/make_schema.py from server/crestrail/records/schema.py; do not edit.

/**
 * One field of a record type; what is absent is not said. A field without `group` is stamped
 * alone. `min` and `max` bound numbers, the length of texts, the number of entries of lists.
 * @typedef {{name: string, type: string, group?: string, required?: boolean, quiet?: boolean,
 *   min?: number, max?: number, choices?: string[], ref?: string}} Field
 */

/** @typedef {{meaning: string, fields: Field[]}} RecordType */

"""


def _key(name: str) -> str:
    return json.dumps(name) if name == "return" else name


def _line(name: str, value: object, indent: str) -> str:
    return f"{indent}{_key(name)}: {json.dumps(value, ensure_ascii=False)},\n"


def _field(field: dict[str, object]) -> str:
    """One field on as few lines of at most 100 characters as it takes."""
    parts = [f"{k}: {json.dumps(v, ensure_ascii=False)}" for k, v in field.items()]
    return textwrap.fill(
        "{ " + ", ".join(parts) + " },",
        width=100,
        initial_indent="      ",
        subsequent_indent="        ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def schema_js() -> str:
    """The text of the client's schema module; the same schema gives the same text."""
    data = as_data()
    text = HEAD + "/** @type {Record<string, string>} what each field type takes */\n"
    text += "export const FIELD_TYPES = {\n"
    text += "".join(_line(k, v, "  ") for k, v in data["field_types"].items()) + "};\n\n"
    text += "/** @type {Record<string, RecordType>} */\nexport const RECORD_TYPES = {\n"
    for name, kind in data["types"].items():
        text += f"  {_key(name)}: {{\n" + _line("meaning", kind["meaning"], "    ")
        text += "    fields: [\n" + "\n".join(map(_field, kind["fields"])) + "\n    ],\n  },\n"
    return text + "};\n"


def is_fresh() -> bool:
    """Whether the committed module is what would be written now."""
    return TARGET.exists() and TARGET.read_text(encoding="utf-8") == schema_js()


def main(arguments: list[str]) -> int:
    if arguments == ["--check"]:
        print("fresh" if is_fresh() else "stale: run .ci/make_schema.py")
        return 0 if is_fresh() else 1
    TARGET.write_text(schema_js(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
