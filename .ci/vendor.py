"""Vendor the client's libraries into web/vendor: `python3 .ci/vendor.py [--check]`.

The client is served without a build, and a strict content policy forbids import maps; so bare
imports are rewritten to relative paths here, once, from pinned packages whose integrity is
verified. `--check` only holds the files against the SHA-256 sums in VENDORED.md.
"""

from __future__ import annotations

import base64
import hashlib
import os
import re
import subprocess
import sys
import tarfile
import tempfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

VENDOR = Path(__file__).resolve().parent.parent / "web" / "vendor"
DIRECTIVES = ("guard", "repeat", "class-map", "live", "ref", "keyed")


@dataclass(frozen=True)
class Package:
    """A pinned package: where it goes, which files start the closure, what they are called."""

    name: str
    version: str
    licence: str
    integrity: str
    folder: str
    entries: tuple[str, ...]
    renamed: tuple[tuple[str, str], ...] = ()
    licence_file: str = "LICENSE"


PACKAGES = (
    Package(
        "lit",
        "3.3.3",
        "BSD-3-Clause",
        "fycuvZg/hkpozL00lm1pEJH5nN/lr9ZXd6mJI2HSN4+Bzc+LDNdEApJ6HFbPkdFNHLvOplIIuJvxkS4XUxqirw==",
        "lit",
        ("index.js", *(f"directives/{d}.js" for d in DIRECTIVES)),
    ),
    Package(
        "lit-html",
        "3.3.3",
        "BSD-3-Clause",
        "el8M6jK2o3RXBnrSHX3ZKrsN8zEV63pSExTO1wYJz7QndGYZ8353e2a5PPX+qHe2aGayfnchQmkAojaWAREOIA==",
        "lit-html",
        (),
    ),
    Package(
        "lit-element",
        "4.2.2",
        "BSD-3-Clause",
        "aFKhNToWxoyhkNDmWZwEva2SlQia+jfG0fjIWV//YeTaWrVnOxD89dPKfigCUspXFmjzOEUQpOkejH5Ly6sG0w==",
        "lit-element",
        (),
    ),
    Package(
        "@lit/reactive-element",
        "2.1.2",
        "BSD-3-Clause",
        "pbCDiVMnne1lYUIaYNN5wrwQXDtHaYtg7YEFPeW+hws6U47WeFvISGUWekPGKWOP1ygrs0ef0o1VJMk1exos5A==",
        "reactive-element",
        (),
    ),
    Package(
        "idb",
        "8.0.4",
        "ISC",
        "jd0ITCrN+Zah4J7R/Z2jnR3W7A4BXDAjmo62MwWuSjxCiueUAf7X5rbodEdidWzeknwXHmLpdZkoiiCppNi30Q==",
        "idb",
        ("build/index.js",),
        (
            ("build/index.js", "index.js"),
            ("build/index.d.ts", "index.d.ts"),
            ("build/entry.d.ts", "entry.d.ts"),
            ("build/entry.js", "entry.js"),
        ),
    ),
    Package(
        "qr",
        "0.7.0",
        "MIT OR Apache-2.0",
        "/VrrACmOAwZVipuRITwfEwOL5oAMEHH5PTmBWaGtlTom2Thxaa+rhmna4zU9PRN2uLw2wdccbkHOLGZb1Q9SdA==",
        "qr",
        ("decode.js", "index.js"),
        (),
        "LICENSE-MIT",
    ),
    Package(
        "uplot",
        "1.6.32",
        "MIT",
        "KIMVnG68zvu5XXUbC4LQEPnhwOxBuLyW1AHtpm6IKTXImkbLgkMy+jabjLgSLMasNuGGzQm/ep3tOkyTxpiQIw==",
        "uplot",
        ("dist/uPlot.esm.js", "dist/uPlot.min.css"),
        (
            ("dist/uPlot.esm.js", "index.js"),
            ("dist/uPlot.min.css", "uplot.css"),
            ("dist/uPlot.d.ts", "index.d.ts"),
        ),
    ),
)
BY_NAME = {p.name: p for p in PACKAGES}
IMPORT = re.compile(r"""((?:from|import)\s*\(?\s*|declare module\s+)(["'])([^"'\n]+)\2""")
SOURCE_MAP = re.compile(r"^//# sourceMappingURL=.*$\n?", re.MULTILINE)


def fetch(package: Package, into: Path) -> Path:
    """Pack one pinned package by the ordinary client, verify it, unpack it; the folder."""
    spec = f"{package.name}@{package.version}"
    done = subprocess.run(
        ["npm", "pack", "--silent", spec], cwd=into, check=True, capture_output=True, text=True
    )
    archive = into / done.stdout.strip().splitlines()[-1]
    digest = base64.b64encode(hashlib.sha512(archive.read_bytes()).digest()).decode()
    if digest != package.integrity:
        raise SystemExit(f"{spec}: integrity differs: sha512-{digest}")
    folder = into / package.folder
    with tarfile.open(archive) as tar:
        tar.extractall(folder, filter="data")
    return folder / "package"


def resolve(name: str, path: str, spec: str) -> tuple[str, str] | None:
    """(package, path inside it) that an import names; None for one that is not vendored."""
    if spec.startswith("."):
        joined = os.path.normpath(PurePosixPath(path).parent / spec)
        return name, PurePosixPath(joined).as_posix()
    parts = spec.split("/")
    bare = "/".join(parts[:2]) if spec.startswith("@") else parts[0]
    if bare not in BY_NAME:
        return None
    inside = spec[len(bare) + 1 :]
    main = {"lit-element": "index.js", "lit-html": "lit-html.js", "lit": "index.js"}
    return bare, inside or main.get(bare, "reactive-element.js")


def target(name: str, path: str) -> PurePosixPath:
    """Where a package's file stands under web/vendor."""
    package = BY_NAME[name]
    return PurePosixPath(package.folder) / dict(package.renamed).get(path, path)


def rewritten(name: str, path: str, text: str, wanted: list[tuple[str, str]]) -> str:
    """The text with imports made relative; what it imports is added to `wanted`."""

    def one(match: re.Match[str]) -> str:
        found = resolve(name, path, match[3])
        if not found or match[1].startswith("declare"):
            return match[0]
        wanted.append(found)
        here = target(name, path).parent
        rel = os.path.relpath(target(*found), here)
        rel = rel if rel.startswith(".") else f"./{rel}"
        return f"{match[1]}{match[2]}{rel}{match[2]}"

    return IMPORT.sub(one, SOURCE_MAP.sub("", text))


def collect(sources: dict[str, Path]) -> dict[PurePosixPath, bytes]:
    """All files of the closure, with type declarations beside the modules."""
    wanted = [(p.name, e) for p in PACKAGES for e in p.entries]
    seen: set[tuple[str, str]] = set()
    files: dict[PurePosixPath, bytes] = {}
    while wanted:
        name, path = wanted.pop()
        if (name, path) in seen:
            continue
        seen.add((name, path))
        source = sources[name] / path
        if path.endswith(".css"):
            files[target(name, path)] = source.read_bytes()
            continue
        if source.exists():
            text = rewritten(name, path, source.read_text("utf-8"), wanted)
            files[target(name, path)] = text.encode()
        types = path.removesuffix(".js").removesuffix(".esm") + ".d.ts"
        if path.endswith(".js") and (sources[name] / types).exists():
            wanted.append((name, types))
    return files


def listing(files: dict[PurePosixPath, bytes]) -> str:
    """VENDORED.md: what is here, from where, and the sum of every file."""
    lines = [
        "# Vendored libraries",
        "",
        "Made by `python3 .ci/vendor.py` from the package registry: pinned versions, integrity",
        "verified, bare imports rewritten to relative paths, source map lines dropped. Do not",
        "edit; `python3 .ci/vendor.py --check` holds the files against the sums below.",
        "",
        "| package | version | licence | folder |",
        "|---|---|---|---|",
    ]
    lines += [f"| {p.name} | {p.version} | {p.licence} | {p.folder}/ |" for p in PACKAGES]
    lines += ["", "| file | SHA-256 |", "|---|---|"]
    for path in sorted(files):
        lines.append(f"| `{path}` | {hashlib.sha256(files[path]).hexdigest()} |")
    return "\n".join(lines) + "\n"


def vendor() -> None:
    """Fetch, rewrite and write everything; files of an earlier version are removed."""
    with tempfile.TemporaryDirectory() as temp:
        sources = {p.name: fetch(p, Path(temp)) for p in PACKAGES}
        files = collect(sources)
        for p in PACKAGES:
            text = (sources[p.name] / p.licence_file).read_bytes()
            files[PurePosixPath(p.folder) / "LICENSE"] = text
    for old in [f for f in VENDOR.rglob("*") if f.is_file()]:
        old.unlink()
    for path, data in files.items():
        place = VENDOR / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    (VENDOR / "VENDORED.md").write_text(listing(files), "utf-8")


def check() -> list[str]:
    """What differs from VENDORED.md, file by file; empty when all is as listed."""
    rows = re.findall(
        r"^\| `(\S+)` \| ([0-9a-f]{64}) \|$", (VENDOR / "VENDORED.md").read_text(), re.M
    )
    listed = dict(rows)
    found = {
        f.relative_to(VENDOR).as_posix(): hashlib.sha256(f.read_bytes()).hexdigest()
        for f in VENDOR.rglob("*")
        if f.is_file() and f.name != "VENDORED.md"
    }
    names = sorted(listed.keys() | found.keys())
    return [name for name in names if listed.get(name) != found.get(name)]


if __name__ == "__main__":
    if sys.argv[1:] == ["--check"]:
        wrong = check()
        sys.exit("differs from VENDORED.md: " + ", ".join(wrong) if wrong else 0)
    vendor()
