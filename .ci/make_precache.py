"""Write web/precache.js: the files a phone needs to open with no network, with their sums.

`python3 .ci/make_precache.py` writes it, `--check` exits 1 when it is stale. The list is sorted
and depends on nothing but the files' contents, so the same tree gives the same version.
"""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

WEB = Path(__file__).resolve().parent.parent / "web"
OUT = WEB / "precache.js"
NOT_SERVED = {"sw.js", "precache.js"}
NOT_NEEDED = (".d.ts", ".md", "LICENSE")


def entries(web: Path) -> list[tuple[str, str]]:
    """(path on the server, SHA-256) of every file that the app may ask for, sorted."""
    found = []
    for file in web.rglob("*"):
        name = file.relative_to(web).as_posix()
        hidden = any(part.startswith(".") for part in name.split("/"))
        if not file.is_file() or hidden or name in NOT_SERVED or name.endswith(NOT_NEEDED):
            continue
        found.append((f"/{name}", hashlib.sha256(file.read_bytes()).hexdigest()))
    return sorted(found)


def text(web: Path) -> str:
    """The whole of precache.js."""
    files = entries(web)
    version = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:16]
    rows = "".join(f"    {json.dumps(list(entry))},\n" for entry in files)
    return (
        "// Made by .ci/make_precache.py; do not edit.\n"
        "self.CRESTRAIL_PRECACHE = {\n"
        f'  name: "crestrail-{version}",\n'
        f"  files: [\n{rows}  ],\n"
        "};\n"
    )


if __name__ == "__main__":
    wanted = text(WEB)
    if sys.argv[1:] == ["--check"]:
        stale = not OUT.exists() or OUT.read_text("utf-8") != wanted
        sys.exit("web/precache.js is stale: run python3 .ci/make_precache.py" if stale else 0)
    OUT.write_text(wanted, "utf-8")
