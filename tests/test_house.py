"""The map of the house, drawn from the imports: they run downward only, nothing goes round, and each heavy library
lives in one place.
"""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from pathlib import Path

import house
import pytest

KNOWN = house.modules()
HEAVY = {
    "ipywidgets": ("workbook/panels",),
    "matplotlib": ("workbook/charts", "workbook/paper"),
    "papermill": ("workbook/run",),
    "nbconvert": ("workbook/run",),
    "nbformat": ("workbook/run",),
    "jupyterlab": ("workbook/run/serving.py",),
    "sqlite3": ("bench/log",),
    "reportlab": ("workbook/paper",),
    "openpyxl": ("workshop/xlsx",),
}
FLOOR = {name: level for level, floor in enumerate(house.FLOORS) for name in floor}


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_imports_run_downward_only(name: str) -> None:
    mine = house.room(name)
    for other in house.graph()[name]:
        theirs = house.room(other)
        if mine == theirs:
            stack = house.STACKS.get(mine, ())
            here, there = house.sub_room(name, KNOWN[name]), house.sub_room(other, KNOWN[other])
            if here in stack and there in stack:
                assert stack.index(there) <= stack.index(here), f"{name} imports {other}, which stands above it"
            continue
        ground = mine in house.GROUND and theirs in house.GROUND
        below = FLOOR[theirs] < FLOOR[mine] or (mine, theirs) in house.NEIGHBOURS or ground
        assert below, f"{name} imports {other}, which is not below it"


def test_no_modules_import_each_other_in_a_circle() -> None:
    assert house.circles(house.graph()) == []


def test_a_circle_would_be_found() -> None:
    assert house.circles({"a": {"b"}, "b": {"c"}, "c": {"a", "d"}, "d": set()}) == [["a", "b", "c"]]


def test_no_room_is_a_heap() -> None:
    files = Counter(path.parent for path in KNOWN.values())
    assert {str(p.relative_to(house.TOP)): n for p, n in files.items() if n > 20} == {}


def test_the_map_for_contributors_is_the_one_the_imports_draw() -> None:
    text = house.MAP.read_text(encoding="utf-8")
    assert house.written(text) == text, "write it again with tests/house.py"


@pytest.mark.parametrize("path", sorted(KNOWN.values()), ids=lambda p: str(p.relative_to(house.PACKAGE)))
def test_each_heavy_library_lives_in_one_place(path: Path) -> None:
    place = path.relative_to(house.PACKAGE).as_posix()
    for name in house.imported(path):
        homes = HEAVY.get(name.split(".")[0])
        assert homes is None or place.startswith(homes), f"{place} imports {name}, whose home is {homes}"


def test_no_module_has_outgrown_its_idea() -> None:
    lengths = {n: len(p.read_text(encoding="utf-8").splitlines()) for n, p in KNOWN.items()}
    assert {n: k for n, k in lengths.items() if k > 300} == {}


@pytest.mark.parametrize("name", ["formula", "buying", "workshop", "plan", "cli"])
def test_a_room_is_entered_without_pictures_or_controls(name: str) -> None:
    code = (
        f"import maker_kit.{name}, sys; print([m for m in ('ipywidgets', 'matplotlib', 'papermill', "
        f"'nbconvert') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_nothing_stands_at_the_top_but_what_belongs_there() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=house.TOP, capture_output=True, text=True, check=False)
    top = {name.split("/")[0] for name in listed.stdout.split()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "notebooks", "maker_kit", "tests", "data"}
    assert {name for name in top if not name.startswith(".")} <= allowed
