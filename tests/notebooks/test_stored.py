"""How the notebooks are stored, and their shape: what a maker opens holds text outputs with counts, no pictures, no
state of controls, no fault.
"""

from __future__ import annotations

import ast
import re
import statistics
from pathlib import Path
from typing import Any

import nbformat
import pytest

NOTEBOOKS = sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("*.ipynb"))
MACHINE_WORDS = re.compile(r"\b(kernels?|cells?|panels?|parameters?|traceback|exception|widgets?)\b", re.IGNORECASE)
MENU = "Run → Run All Cells"


@pytest.fixture(params=NOTEBOOKS, ids=lambda p: p.stem)
def notebook(request: pytest.FixtureRequest) -> Any:
    return nbformat.read(request.param, as_version=4)


def code_cells(notebook: Any) -> list[Any]:
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def test_there_are_notebooks() -> None:
    assert {p.stem for p in NOTEBOOKS} >= {"00_start_here", "01_formula", "02_make_or_buy", "06_costing_report"}


def test_every_step_was_run_in_order_so_that_nothing_is_passed_over(notebook: Any) -> None:
    assert [cell.execution_count for cell in code_cells(notebook)] == list(range(1, len(code_cells(notebook)) + 1))


def test_no_pictures_no_faults_and_no_state_of_controls_are_stored(notebook: Any) -> None:
    assert "widgets" not in notebook.metadata
    for cell in code_cells(notebook):
        for output in cell.outputs:
            assert output.output_type != "error"
            assert not [kind for kind in output.get("data", {}) if kind.startswith("image/") or "widget" in kind]


def test_shape_short_steps_without_classes_behind_a_friendly_first_line(notebook: Any) -> None:
    lengths, lessons = [], 0
    for cell in code_cells(notebook):
        assert cell.source.startswith("# "), cell.source
        open_step = is_lesson(cell)
        lessons += open_step
        assert open_step != cell.metadata.get("jupyter", {}).get("source_hidden", False)
        lengths.append(len([line for line in cell.source.splitlines() if not line.startswith("#")]))
        assert not open_step or 1 <= lengths[-1] <= 4, cell.source
        for node in ast.walk(ast.parse(cell.source)):
            assert not isinstance(node, ast.ClassDef)
            assert not isinstance(node, ast.FunctionDef) or (node.end_lineno or 0) - node.lineno < 3
    assert statistics.median(lengths) <= 4
    assert lessons in (0, 2, 3)  # a few open steps, or, in what is only printed, none


def test_what_the_maker_came_for_is_the_first_thing_that_a_step_shows(notebook: Any) -> None:
    if not any("lesson" in cell.metadata.get("tags", []) for cell in code_cells(notebook)):
        pytest.skip("a page to print has no controls")
    first = next(cell for cell in code_cells(notebook) if cell.outputs)
    assert "nbval-ignore-output" in first.metadata.tags  # the controls
    before = notebook.cells[: notebook.cells.index(first)]
    assert [cell.cell_type for cell in before if "parameters" not in cell.metadata.get("tags", [])][1:] in (
        [],
        ["code"],
    )


def is_lesson(cell: Any) -> bool:
    """Whether a step is left open, to be read and tried."""
    return "lesson" in cell.metadata.get("tags", [])


def test_a_lesson_is_two_or_three_open_steps_of_a_few_lines_with_a_result(notebook: Any) -> None:
    lessons = [cell for cell in code_cells(notebook) if is_lesson(cell)]
    assert len(lessons) in {0, 2, 3}
    for cell in lessons:
        assert not cell.metadata.get("jupyter", {}).get("source_hidden", False)
        assert 1 <= len([line for line in cell.source.splitlines() if not line.startswith("#")]) <= 4
        assert cell.outputs


def test_the_title_is_one_question_and_the_end_is_a_check(notebook: Any) -> None:
    assert notebook.cells[0].source.splitlines()[0].startswith("# ")
    assert notebook.cells[0].source.splitlines()[0].endswith("?")
    assert "assert" in code_cells(notebook)[-1].source
    assert any("How far to trust" in cell.source for cell in notebook.cells if cell.cell_type == "markdown")


def test_what_may_be_changed_is_literals_only(notebook: Any) -> None:
    cells = [cell for cell in code_cells(notebook) if "parameters" in cell.metadata.get("tags", [])]
    assert len(cells) == 1
    for node in ast.parse(cells[0].source).body:
        assert isinstance(node, ast.AnnAssign)
        ast.literal_eval(node.value)


def test_a_maker_reads_no_words_of_the_machine(notebook: Any) -> None:
    for cell in notebook.cells:
        read = cell.source if cell.cell_type == "markdown" else cell.source.splitlines()[0]
        for output in cell.get("outputs", []):
            read += "".join(output.get("text", "")) + "".join(output.get("data", {}).get("text/plain", ""))
        assert not MACHINE_WORDS.findall(read.replace(MENU, "")), read
