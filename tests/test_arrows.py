"""The arrows of the house run one way: cli -> tables -> solver, and the solver stays numbers."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
ROOMS = ("solver", "tables", "cli")
# US and UK abbreviations (Craft Yarn Council US/UK conversion).
ABBREVIATIONS = {"sc", "hdc", "dc", "tr", "htr", "dtr", "ttr", "sl st", "ss", "ch"}
FORBIDDEN_CALLS = {"print", "open", "input", "exec", "eval"}
FORBIDDEN_METHODS = {"read_text", "write_text", "read_bytes", "write_bytes", "open", "write"}


def modules(room: str) -> list[Path]:
    found = sorted((ROOT / room).rglob("*.py"))
    assert found, f"no modules in {room}"
    return found


def imported(path: Path, room: str) -> Iterator[str]:
    """Absolute names of what a module imports, at its top or inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            here = ["evenround", room][: 3 - node.level] if node.level else []
            base = ".".join([*here, *([node.module] if node.module else [])])
            yield base
            yield from (f"{base}.{alias.name}" for alias in node.names)


def rooms_known(room: str) -> set[str]:
    """The rooms of ours that a room imports from."""
    names = {name for path in modules(room) for name in imported(path, room)}
    return {name.split(".")[1] for name in names if name.startswith("evenround.")}


@pytest.mark.parametrize(
    ("room", "allowed"),
    [
        ("solver", {"solver"}),
        ("tables", {"tables", "solver"}),
        ("cli", {"cli", "tables", "solver"}),
    ],
)
def test_rooms_only_look_down(room: str, allowed: set[str]) -> None:
    known = rooms_known(room)
    assert room in known  # the walk sees imports at all
    assert known <= allowed


def test_tables_and_cli_do_use_the_room_below() -> None:
    assert "solver" in rooms_known("tables")
    assert "tables" in rooms_known("cli")


@pytest.mark.parametrize("path", modules("solver"), ids=lambda path: path.name)
def test_solver_neither_prints_nor_reads_nor_knows_a_stitch(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", None)
            assert name not in FORBIDDEN_CALLS, f"line {node.lineno}: {name}()"
            method = getattr(node.func, "attr", None)
            assert method not in FORBIDDEN_METHODS, f"line {node.lineno}: .{method}()"
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            assert node.value not in ABBREVIATIONS, f"line {node.lineno}: {node.value!r}"


@pytest.mark.parametrize("room", ROOMS)
def test_heavy_libraries_are_imported_inside_functions_only(room: str) -> None:
    for path in modules(room):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            names: list[str] = []
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            heavy = {n.split(".")[0] for n in names} & {"ortools", "pandas", "numpy"}
            assert not heavy, f"{path.name} imports {heavy} at its top"


def test_tables_never_parse_argv() -> None:
    for path in modules("tables"):
        names = set(imported(path, "tables"))
        assert not names & {"argparse", "typer", "click", "sys.argv"}, path.name
        assert "sys.argv" not in path.read_text(encoding="utf-8"), path.name


def test_the_walk_catches_a_crossing(tmp_path: Path) -> None:
    bad = tmp_path / "bad.py"
    bad.write_text("def f():\n    from ..tables import words\n    from .. import cli\n")
    found = set(imported(bad, "solver"))
    assert {"evenround.tables", "evenround.cli"} <= found
