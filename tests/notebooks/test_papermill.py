"""Every notebook runs without a screen, with its own values and with others, and says a fault instead of hiding it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import nbformat
import pytest
from ipywidgets import Widget
from whole_day import NUMBER, make_the_day

from maker_kit.bench.log import open_log
from maker_kit.errors import NoticeError
from maker_kit.workbook.run.report import run_notebook, swallowed_faults
from maker_kit.workshop import new_workshop

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
OTHERS: dict[str, dict[str, Any]] = {
    "00_start_here": {"workshop": "demo", "recipe": "r4-balm"},
    "01_formula": {"recipe": "r4-balm", "batch_size": 7, "fragrance_load": 1.2},
    "01a_from_any_text": {"text": "Water 70 %, Glycerin 20 %, Sunflower oil 5 %", "answers": ""},
    "01b_short_swapped_split": {
        "recipe": "r4-balm",
        "have": "Beeswax = 20 g",
        "makes": 3,
        "old": "Scent 2",
        "new": "Scent 1",
    },
    "01c_thickness": {"curve": "steady"},
    "01d_preservation": {"recipe": "r3v1-cleansing-water", "acid_last": 2.0},
    "02_make_or_buy": {"recipe": "r4-balm", "batch_size": 2, "batches": 3, "upto": 6},
    "04_read_a_label": {"product": "Market-stall lotion", "law": "us"},
    "04a_our_label": {"recipe": "r4-balm", "market": "US", "batch": "R4-02", "made_on": "2026-11-02"},
    "05_side_by_side": {"recipe": "r1b-hand-wash", "trial": "wash-scent"},
    "06_costing_report": {"recipe": "r3v1-cleansing-water", "batch_size": 12, "batches": 1, "upto": 2},
}


DAY = {  # by hand: 61 °C after ten and 50 °C after 25 minutes; the mean of 196.4, 196.2 and 196.3 g; where they went
    "03_bench_day": (
        {"batch": NUMBER, "readings": "10:00 = 158 °F; 10:10 = 61; 10:25 = 50", "first": "cooling"},
        ("N-0417", "no ring in the house", "40 °C at about", "3 of 3 numbered"),
    ),
    "03a_after": ({"batch": NUMBER}, ("Mean 196.30 g, lowest 196.2 g",)),
    "03b_trace": (
        {"name": "N-0417", "why": "it is cloudy"},
        ("3 units: 2 room 4, 1 a cousin", "a cousin: 1 (R2-21/03)", "it is cloudy"),
    ),
}


@pytest.mark.parametrize(
    ("name", "which"),
    [*((name, "its own values") for name in sorted({*OTHERS, *DAY})), *((name, "others") for name in sorted(OTHERS))],
)
def test_runs_without_a_screen(name: str, which: str, tmp_path: Path) -> None:
    values = OTHERS[name] if which == "others" else {}
    if values.get("workshop") == "demo":
        values = {"workshop": str(NOTEBOOKS.parent / "data")}
    if which == "its own values" and name in {"02_make_or_buy", "06_costing_report"}:
        values = {"upto": 12}
    here = which == "others"  # in this process: what a control swallows is looked for once
    run = run_notebook(NOTEBOOKS / f"{name}.ipynb", tmp_path / "run.ipynb", values, here=here)
    assert all(cell["execution_count"] for cell in run["cells"] if cell["cell_type"] == "code")


@pytest.fixture(scope="module")
def after_the_day(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One's own workshop, in whose log the whole day stands."""
    folder = new_workshop(tmp_path_factory.mktemp("day") / "mine")
    with open_log(folder, make=True) as log:
        make_the_day(log)
    return folder


@pytest.mark.parametrize("name", DAY)
def test_the_whole_day_stands_in_the_notebooks(name: str, after_the_day: Path, tmp_path: Path) -> None:
    """Received, short, made, a step missed, cooled, filled, numbered, handed out, followed and called back."""
    values, said = DAY[name]
    Widget.close_all()
    run_notebook(
        NOTEBOOKS / f"{name}.ipynb", tmp_path / "run.ipynb", {"workshop": str(after_the_day), **values}, here=True
    )
    shown = " ".join(str(state["state"].get("value", "")) for state in Widget.get_manager_state()["state"].values())
    for words in said:
        assert words in shown, words


@pytest.mark.parametrize("name", ["03_bench_day", "03a_after", "03b_trace"])
def test_the_bench_runs_on_ones_own_tables_before_anything_is_written_and_writes_nothing(
    name: str, tmp_path: Path
) -> None:
    own = tmp_path / "own"
    new_workshop(own)
    before = sorted(p.name for p in own.iterdir())
    run_notebook(NOTEBOOKS / f"{name}.ipynb", tmp_path / "run.ipynb", {"workshop": str(own)}, here=True)
    assert sorted(p.name for p in own.iterdir()) == before


def test_a_name_that_the_notebook_does_not_take_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NoticeError, match="takes no setting named batchsize"):
        run_notebook(NOTEBOOKS / "01_formula.ipynb", tmp_path / "run.ipynb", {"batchsize": 3})


def test_a_setting_of_two_types_is_taken_without_a_word(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    values = {"recipe": "r2-gel-cream", "batches": 2, "upto": 2, "thickener_level": 0.9}
    run_notebook(NOTEBOOKS / "06_costing_report.ipynb", tmp_path / "run.ipynb", values, here=True)
    assert not caplog.records


def test_a_fault_in_a_step_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(NoticeError) as caught:
        run_notebook(NOTEBOOKS / "06_costing_report.ipynb", tmp_path / "run.ipynb", {"batch_size": 0})
    assert "0 containers" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_fault_inside_a_control_is_raised_where_nobody_is_looking(tmp_path: Path) -> None:
    with pytest.raises(NoticeError, match="no recipe"):
        run_notebook(NOTEBOOKS / "02_make_or_buy.ipynb", tmp_path / "run.ipynb", {"recipe": "r9", "upto": 2})


def stored_notebook(path: Path, cells: list[Any]) -> Path:
    """A notebook of these cells, written."""
    metadata = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=metadata), path)
    return path


@pytest.mark.parametrize("times", [1, 2])
def test_a_kernel_that_ends_by_itself_is_started_once_more(times: int, tmp_path: Path) -> None:
    log = tmp_path / "starts.txt"
    cells = [
        nbformat.v4.new_code_cell("# settings\nworkshop: str = ''  # folder", metadata={"tags": ["parameters"]}),
        nbformat.v4.new_code_cell(
            f"import os, pathlib\nlog = pathlib.Path({str(log)!r})\n"
            "starts = log.read_text() + '.' if log.exists() else '.'\nlog.write_text(starts)\n"
            f"if len(starts) <= {times}:\n    os._exit(9)\nprint('done')"
        ),
    ]
    path = stored_notebook(tmp_path / "ends.ipynb", cells)
    if times == 1:
        run = run_notebook(path, tmp_path / "run.ipynb", {})
        assert run.cells[-1].outputs[0].text == "done\n"
    else:
        with pytest.raises(NoticeError, match="ended twice"):
            run_notebook(path, tmp_path / "run.ipynb", {})
    assert log.read_text() == ".."


def test_a_fault_that_a_control_swallowed_is_found_in_its_stored_state(tmp_path: Path) -> None:
    cells = [
        nbformat.v4.new_code_cell("# settings\nworkshop: str = ''  # folder", metadata={"tags": ["parameters"]}),
        nbformat.v4.new_code_cell(
            "# a control that fails quietly\nimport ipywidgets\nipywidgets.interactive_output(lambda x: 1 "
            "/ x, {'x': ipywidgets.IntSlider(0)})"
        ),
    ]
    path = stored_notebook(tmp_path / "quiet.ipynb", cells)
    with pytest.raises(NoticeError, match="ZeroDivisionError"):
        run_notebook(path, tmp_path / "run.ipynb", {})
    stored = json.loads((tmp_path / "run.ipynb").read_text(encoding="utf-8"))
    assert not [o for cell in stored["cells"] for o in cell.get("outputs", []) if o["output_type"] == "error"]
    assert swallowed_faults(stored) == [("ZeroDivisionError", "division by zero")]
