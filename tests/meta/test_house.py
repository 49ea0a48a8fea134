"""The house keeps its own rules: layers, cycles, sizes, the top level."""

from __future__ import annotations

import ast
import re
import statistics
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SERVER = ROOT / "server" / "crestrail"
WEB = ROOT / "web" / "js"

LAYERS = {
    "basis": 0, "records": 1, "pricing": 2, "care": 2, "books": 2, "store": 3, "services": 4,
    "api": 5,
}  # fmt: skip
"""Folder -> height. A module may import from its own folder and from lower ones only."""
TOP_MODULES_HEIGHT = 6

WEB_LAYERS = {
    "basis": 0, "records": 1, "pricing": 2, "care": 2, "books": 2, "scan": 2, "ui": 2,
    "store": 3, "sync": 4, "state": 5, "screens": 6,
}  # fmt: skip

MAX_FILE_LINES = 300
MAX_FUNCTION_LINES = 60
MAX_PARAMETERS = 5
LONG_FILES = {
    "server/crestrail/records/schema.py": "2026-11-25: one table of record types",
}
"""Files allowed beyond the limit, with the day and the reason."""


def tracked(*patterns: str) -> list[Path]:
    found = subprocess.run(
        ["git", "ls-files", "--", *patterns], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    return [ROOT / name for name in found if (ROOT / name).exists()]


def python_modules() -> list[Path]:
    return [p for p in tracked("server/crestrail/*.py") if "migrations" not in p.parts]


def javascript_modules() -> list[Path]:
    return tracked("web/js/*.js")


def height(path: Path, root: Path, layers: dict[str, int], top: int) -> int:
    first = path.relative_to(root).parts[0]
    return layers.get(first, top)


def imported_modules(path: Path) -> list[str]:
    tree = ast.parse(path.read_text())
    names: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names += [a.name for a in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            names.append(node.module)
            names += [f"{node.module}.{a.name}" for a in node.names]
    return [n for n in names if n.startswith("crestrail.")]


def test_the_top_level_holds_exactly_what_it_should() -> None:
    names = {p.relative_to(ROOT).parts[0] for p in tracked()}
    visible = {n for n in names if not n.startswith(".")}
    assert visible == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "server", "web", "tests",
        "sample_scenario",
    }  # fmt: skip


@pytest.mark.parametrize("path", python_modules(), ids=lambda p: str(p.relative_to(SERVER)))
def test_python_imports_point_down(path: Path) -> None:
    own = path.relative_to(SERVER).parts[0]
    mine = height(path, SERVER, LAYERS, TOP_MODULES_HEIGHT)
    for name in imported_modules(path):
        folder = name.split(".")[1]
        theirs = LAYERS.get(folder, TOP_MODULES_HEIGHT)
        assert folder == own or theirs < mine or mine == TOP_MODULES_HEIGHT, (
            f"{path.relative_to(ROOT)} imports {name}"
        )


@pytest.mark.parametrize(
    "path",
    [p for p in python_modules() if height(p, SERVER, LAYERS, 9) <= 2],
    ids=lambda p: str(p.relative_to(SERVER)),
)
def test_pure_layers_know_no_flask_and_no_database(path: Path) -> None:
    text = path.read_text()
    assert not re.search(r"^\s*(import|from) (flask|sqlalchemy|marshmallow)", text, re.M)


@pytest.mark.parametrize("path", javascript_modules(), ids=lambda p: str(p.relative_to(WEB)))
def test_javascript_imports_point_down(path: Path) -> None:
    mine = height(path, WEB, WEB_LAYERS, 7)
    own = path.relative_to(WEB).parts[0]
    for target in re.findall(r"""(?:from|import)\s*\(?\s*['"](\.[^'"]+)['"]""", path.read_text()):
        other = (path.parent / target).resolve()
        if not other.is_relative_to(WEB):
            assert (ROOT / "web") in other.parents, f"{path} imports {target}"
            continue
        theirs = height(other, WEB, WEB_LAYERS, 7)
        assert other.relative_to(WEB).parts[0] == own or theirs < mine, f"{path} imports {target}"


def test_no_python_module_takes_part_in_an_import_circle() -> None:
    graph = {
        "crestrail." + ".".join(p.relative_to(SERVER).with_suffix("").parts): imported_modules(p)
        for p in python_modules()
    }
    finished: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join([*trail, name])
        if name in finished:
            return
        for other in graph.get(name, []):
            if other in graph and other != name:
                visit(other, (*trail, name))
        finished.add(name)

    for module in graph:
        visit(module, ())


@pytest.mark.parametrize(
    "path",
    [*python_modules(), *javascript_modules(), *tracked("tests/*.py")],
    ids=lambda p: str(p.relative_to(ROOT)),
)
def test_files_can_be_read_in_a_sitting(path: Path) -> None:
    name = str(path.relative_to(ROOT))
    if name in LONG_FILES or re.search(r"^// (Made|@generated) by \.ci/", path.read_text()):
        return
    assert len(path.read_text().splitlines()) <= MAX_FILE_LINES, name


def functions() -> list[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    return [
        (f"{path.relative_to(ROOT)}:{node.lineno} {node.name}", node)
        for path in python_modules()
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def length(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1


def test_functions_can_be_seen_whole() -> None:
    long = [name for name, node in functions() if length(node) > MAX_FUNCTION_LINES]
    assert not long
    assert statistics.median(length(node) for _, node in functions()) <= 12


def test_functions_take_few_parameters() -> None:
    many = [
        name
        for name, node in functions()
        if len([a for a in node.args.args + node.args.kwonlyargs if a.arg not in ("self", "cls")])
        > MAX_PARAMETERS
    ]
    assert not many


def test_nothing_is_imported_inside_a_function() -> None:
    hidden = [
        name
        for name, node in functions()
        if any(isinstance(n, ast.Import | ast.ImportFrom) for n in ast.walk(node))
    ]
    assert not hidden


def test_package_files_hold_a_docstring_and_nothing_else() -> None:
    for path in tracked("server/crestrail/*__init__.py"):
        body = ast.parse(path.read_text()).body
        assert len(body) == 1, path
        assert isinstance(body[0], ast.Expr), path
        assert isinstance(body[0].value, ast.Constant), path


def public_functions() -> list[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    """Functions of modules and methods of classes; what stands inside a function is its own."""
    found = []
    for path in python_modules():
        tree = ast.parse(path.read_text())
        classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
        for node in [*tree.body, *(inner for c in classes for inner in c.body)]:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                found.append((f"{path.relative_to(ROOT)}:{node.lineno} {node.name}", node))
    return [(name, node) for name, node in found if not node.name.startswith("_")]


def test_public_functions_say_what_they_do() -> None:
    assert [name for name, node in public_functions() if not ast.get_docstring(node)] == []


def test_client_modules_export_by_name_only() -> None:
    assert [
        p for p in javascript_modules() if re.search(r"^export default", p.read_text(), re.M)
    ] == []


def test_client_uses_no_inline_style_and_no_eval() -> None:
    for path in javascript_modules():
        text = path.read_text()
        assert not re.search(r"<[^>]*\sstyle=\"", text), path
        assert not re.search(r"\beval\(|new Function\(", text), path


def test_only_the_transport_fetches() -> None:
    callers = {
        str(p.relative_to(WEB))
        for p in javascript_modules()
        if re.search(r"\bfetch\(", p.read_text())
    }
    assert callers <= {"sync/transport.js"}
