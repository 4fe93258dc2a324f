"""A fault in a step is one sentence where somebody looks, a failed step for whoever runs it, and raised as ever where
nobody looks.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

from maker_kit.errors import NoticeError, UnknownNameError
from maker_kit.workbook.run.report import run_notebook, swallowed_faults
from maker_kit.workbook.shown import sentences

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
TOOLS = (
    "from maker_kit.errors import NoticeError\nfrom maker_kit.workbook.shown import sentences\nsentences.for_faults()"
)


@pytest.fixture(autouse=True)
def somebody_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)


def run(*steps: str) -> list[Any]:
    """The outputs of some steps, run one after the other as a maker may, whatever fails."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(step) for step in steps])
    NotebookClient(
        notebook, timeout=120, kernel_name="python3", allow_errors=True, extra_arguments=["--log-level=ERROR"]
    ).execute()
    return [cell.outputs for cell in notebook.cells]


def words(outputs: Any) -> str:
    """All that a page would show of a step."""
    return "\n".join(
        [
            "".join(o.get("data", {}).get("text/html", "")) + "\n".join(o.get("traceback", [])) + o.get("text", "")
            for o in outputs
        ]
    )


def test_a_maker_reads_one_sentence_and_whoever_runs_it_sees_that_the_step_failed() -> None:
    _, fault, missing, afterwards = run(
        TOOLS,
        "curve = 1 / 0 if False else None\nraise NoticeError('no curve <b>is</b> on file')\nshown = 1",
        "shown",
        "1 + 1",
    )
    assert [o.output_type for o in fault] == ["display_data", "error"]
    assert "no curve &lt;b&gt;is&lt;/b&gt; on file" in words(fault[:1])
    assert (fault[1].ename, fault[1].evalue, fault[1].traceback) == (
        "NoticeError",
        "no curve <b>is</b> on file",
        [sentences.BELOW],
    )
    assert "An earlier step did not work" in words(missing)
    assert afterwards[0].data["text/plain"] == "2"
    for outputs in (fault, missing):
        assert "Traceback" not in words(outputs)
        assert "Error" not in words(outputs)


def test_what_is_no_makers_fault_keeps_its_message() -> None:
    _, alone, ours, stopped = run(TOOLS, "shown", "1 / 0", "raise KeyboardInterrupt")
    assert "NameError" in words(alone)  # nothing failed before: the name was never written
    assert "ZeroDivisionError" in words(ours)
    assert "KeyboardInterrupt" in words(stopped)


def test_fetching_the_tools_again_forgets_the_earlier_fault() -> None:
    *_, last = run(TOOLS, "raise NoticeError('x')", TOOLS, "shown")
    assert "NameError" in words(last)


def test_a_setting_of_the_wrong_type_is_named() -> None:
    settings = (
        "recipe: str = 5\nbatch_size: int = 'twelve'\nload: float | None = None\nmarkup: float = 50\nfile: str = ''"
    )
    *_, fault = run(settings, TOOLS, "recipe.strip()")
    assert "the setting recipe is 5, and takes a text in quotes" in words(fault)
    assert "the setting batch_size is &#x27;twelve&#x27;, and takes a whole number" in words(fault)
    assert "load" not in words(fault)
    assert "markup" not in words(fault)
    *_, right = run("recipe: str = 'a'", TOOLS, "recipe.nothing")
    assert "AttributeError" in words(right)


def test_nothing_happens_in_plain_python() -> None:
    sentences.for_faults()
    fault = UnknownNameError("x")
    with pytest.raises(UnknownNameError):
        raise fault


@pytest.mark.parametrize("name", sorted(p.stem for p in NOTEBOOKS.glob("*.ipynb")))
def test_every_notebook_asks_for_sentences_in_the_step_that_fetches_the_tools(name: str) -> None:
    steps = [c.source for c in nbformat.read(NOTEBOOKS / f"{name}.ipynb", as_version=4).cells if c.cell_type == "code"]
    tools = next(step for step in steps if step.startswith("# fetch the tools"))
    assert "sentences.for_faults()" in tools.splitlines()
    assert len(tools.splitlines()) <= 18


def test_a_run_that_stops_at_faults_stops_and_names_it() -> None:
    notebook = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_code_cell(step)
            for step in (TOOLS, "raise NoticeError('no curve is on file')", "print('after')")
        ]
    )
    with pytest.raises(CellExecutionError, match="no curve is on file"):
        NotebookClient(notebook, timeout=120, kernel_name="python3", extra_arguments=["--log-level=ERROR"]).execute()
    assert not notebook.cells[2].outputs
    assert swallowed_faults(notebook) == [("NoticeError", "no curve is on file")]


def test_without_a_screen_the_fault_is_raised(tmp_path: Path) -> None:
    with pytest.raises(NoticeError, match="no recipe"):
        run_notebook(NOTEBOOKS / "01_formula.ipynb", tmp_path / "run.ipynb", {"recipe": "nonsense"})
    stored = nbformat.read(tmp_path / "run.ipynb", as_version=4)
    failed = [o for cell in stored.cells for o in cell.get("outputs", []) if o.output_type == "error"]
    assert len(failed) == 1
    assert len(failed[0].traceback) > 1  # whole, for whoever has to mend it
