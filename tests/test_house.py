"""The map of the house, drawn from the imports: they run downward only, and each heavy library lives in one place."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[1]
PACKAGE = TOP / "maker_kit"
MODULES = sorted(PACKAGE.rglob("*.py"))

# a room may import what stands on a lower floor; rooms of one floor do not know each other, except as named in NEIGHBOURS
FLOORS = {"cli": 6, "workbook": 5, "verdict": 4, "workshop": 3, "buying": 2, "bench": 2, "label": 2, "trial": 2, "formula": 2, "reference": 1, "units": 0, "amount_text": 0, "errors": 0, "findings": 0}
NEIGHBOURS = {("buying", "formula"), ("bench", "formula"), ("label", "formula"), ("units", "errors"), ("units", "amount_text"), ("amount_text", "errors")}
HEAVY = {
    "ipywidgets": ("workbook/panels",),
    "matplotlib": ("workbook/charts", "workbook/picture.py", "workbook/paper"),
    "papermill": ("workbook/report.py",),
    "nbconvert": ("workbook/report.py",),
    "nbformat": ("workbook/report.py", "workbook/run/serving.py"),
    "jupyterlab": ("workbook/run/serving.py",),
    "sqlite3": ("bench/log.py",),
    "pint": ("units.py",),
}


def imported(path: Path) -> set[str]:
    """Every module that a file imports, at the top or inside a function."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
    return names


def room(path: Path) -> str:
    """The room a file belongs to: the folder or module right below the package."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_run_downward_only(path: Path) -> None:
    if room(path) == "__init__":
        return
    for name in imported(path):
        parts = name.split(".")
        if parts[0] != "maker_kit" or len(parts) == 1 or parts[1] == room(path):
            continue
        below = FLOORS[parts[1]] < FLOORS[room(path)] or (room(path), parts[1]) in NEIGHBOURS
        assert below, f"{path.relative_to(TOP)} imports {name}, which is not below it"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_each_heavy_library_lives_in_one_place(path: Path) -> None:
    place = path.relative_to(PACKAGE).as_posix()
    for name in imported(path):
        homes = HEAVY.get(name.split(".")[0])
        assert homes is None or place.startswith(homes), f"{place} imports {name}, whose home is {homes}"


def test_no_module_has_outgrown_its_idea() -> None:
    long = {str(p.relative_to(TOP)): n for p in MODULES if (n := len(p.read_text(encoding="utf-8").splitlines())) > 350}
    assert not long, f"split these: {long}"


@pytest.mark.parametrize("name", ["formula", "buying", "workshop", "verdict", "cli"])
def test_a_room_is_entered_without_pictures_or_controls(name: str) -> None:
    code = f"import maker_kit.{name}, sys; print([m for m in ('ipywidgets', 'matplotlib', 'papermill', 'nbconvert') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_nothing_stands_at_the_top_but_what_belongs_there() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False).stdout.split()
    top = {name.split("/")[0] for name in listed}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "notebooks", "maker_kit", "tests", "data"}
    assert {name for name in top if not name.startswith(".")} <= allowed
