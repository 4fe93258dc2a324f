"""A setting that cannot be used, in Chromium: one framed sentence where the maker looks.

No step runs after it, and no long message is shown.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import expect

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture
def changed(open_notebook: Callable[..., object], lab_room: Path) -> Callable[[str, str, str], object]:
    """A function that opens a copy of a notebook with one setting written anew and runs it to its fault."""

    def opened(name: str, old: str, new: str) -> object:
        notebook = nbformat.read(TOP / "notebooks" / f"{name}.ipynb", as_version=4)
        settings = next(cell for cell in notebook.cells if "parameters" in cell.metadata.get("tags", []))
        assert old in settings.source
        settings.source = settings.source.replace(old, new)
        copy = lab_room / f"{name}-{len(list(lab_room.glob('*-changed.ipynb')))}-changed.ipynb"
        nbformat.write(notebook, copy)
        return open_notebook(copy.name, fails=True)

    return opened


@pytest.mark.parametrize(
    ("name", "old", "new", "sentence"),
    [
        ("01b_short_swapped_split", 'kit: str = ""', 'kit: str = "Kit 9"', "there is no kit"),
        ("01_formula", 'recipe: str = ""', 'recipe: str = "nonsense"', "no recipe"),
        (
            "01_formula",
            'recipe: str = ""',
            "recipe: str = 5",
            "the setting recipe is 5, and takes a text in quotes",
        ),
    ],
)
def test_a_setting_that_cannot_be_used_is_one_sentence(changed, name: str, old: str, new: str, sentence: str) -> None:
    page = changed(name, old, new)
    expect(page.locator(".jp-Notebook [role=alert]")).to_have_count(1, timeout=60_000)
    assert "This cannot be shown." in page.locator(".jp-Notebook [role=alert]").inner_text()
    assert sentence in page.locator(".jp-Notebook [role=alert]").inner_text()
    shown = page.locator(".jp-Notebook").inner_text()
    assert "Traceback" not in shown
    assert "Error" not in shown
    assert shown.count("The steps below wait: mend this first") == 1
    # of what was stored with the demo's settings nothing stands below it: that step is the last that shows anything
    steps = page.locator(".jp-Notebook .jp-CodeCell")
    told = [bool(steps.nth(k).locator(".jp-OutputArea-child").count()) for k in range(steps.count())]
    failed = next(k for k in range(steps.count()) if steps.nth(k).locator("[role=alert]").count())
    assert not any(told[failed + 1 :])
