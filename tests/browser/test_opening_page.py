"""What `maker-kit open` puts on the screen: the first picture without a click, no tools of JupyterLab and no code but
that of the lessons until they are asked for, and nothing run that is not the workbook's or the maker's.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from driving import AT_REST, opened_at

from maker_kit import cli

TOP = Path(__file__).resolve().parents[2]
NAME = "02_make_or_buy.ipynb"
PICTURE = ".maker-buy-picture[src]"
TOOLS = (
    "#jp-top-panel, #jp-menu-panel, #jp-bottom-panel, .jp-SideBar, .jp-NotebookPanel-toolbar, .jp-cell-toolbar, "
    ".jp-CodeCell:not(.maker-kit-lesson) .jp-Cell-inputWrapper, .jp-Collapser, .jp-Notebook-footer"
)
SCROLLED = "() => document.querySelector('.jp-WindowedPanel-outer').scrollTop"


def foreign(mark: Path) -> str:
    """A notebook that asks to be run, and would leave a file if it were."""
    cell = nbformat.v4.new_code_cell(
        f"# a step\nopen({str(mark)!r}, 'w').close()", metadata={"jupyter": {"source_hidden": True}}
    )
    made = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_markdown_cell("# Whose is this?"), cell],
        metadata=json.loads((TOP / "notebooks" / NAME).read_text(encoding="utf-8"))["metadata"],
    )
    return nbformat.writes(made)


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a workshop, and two foreign notebooks among its copies: one under a name of its own, one in the
    place of the workbook's.
    """
    room = tmp_path_factory.mktemp("opened")
    cli.main(["new", str(room / "mine")])
    (room / "mine" / "notebooks").mkdir()
    (room / "mine" / "notebooks" / "another.ipynb").write_text(foreign(room / "another was run"), encoding="utf-8")
    (room / "mine" / "notebooks" / "06_costing_report.ipynb").write_text(foreign(room / "06 was run"), encoding="utf-8")
    return room


@pytest.fixture(scope="module")
def address(room: Path) -> Iterator[str]:
    """Where `maker-kit open` says the workbook is."""
    with opened_at(NAME, room, "--workshop", "mine") as said:
        yield said


@pytest.fixture(scope="module")
def page(address: str, tab: object) -> object:
    """The page of that address, and nothing done but to go there."""
    tab.goto(address)
    return tab


def test_the_first_picture_comes_without_a_click(page) -> None:
    page.wait_for_selector(PICTURE)
    page.wait_for_function(AT_REST)
    assert page.locator("text=javascript error").count() == 0


def test_the_notebook_is_fetched_before_the_page_saves_what_it_looks_like(page) -> None:
    """JupyterLab waits a second for that save before it opens what the address names."""
    asked = page.evaluate("() => performance.getEntriesByType('resource').map(one => one.name)")
    notebook = next(at for at, one in enumerate(asked) if f"/api/contents/{NAME}?type=notebook" in one)
    saved = [at for at, one in enumerate(asked) if "/lab/api/workspaces/default" in one]
    assert len([at for at in saved if at < notebook]) <= 1  # the look that it had before is read once


def test_no_code_and_no_tools_are_in_sight_and_the_view_starts_at_the_top(page) -> None:
    assert page.locator(f":is({TOOLS}):visible").count() == 0
    assert page.evaluate(SCROLLED) == 0
    assert page.locator(".jp-Notebook h1").first.bounding_box()["y"] < 120


def test_keys_and_double_clicks_change_no_step_that_is_out_of_sight(page) -> None:
    before = page.locator(".jp-Notebook .jp-Cell").count()
    page.locator(".jp-Notebook h1").first.dblclick()
    for key in ("Escape", "d", "d", "a", "b", "x", "m"):
        page.keyboard.press(key)
    page.locator(".jp-Notebook h1").first.click(button="right")
    page.wait_for_timeout(300)
    assert page.locator(".jp-Notebook .jp-Cell").count() == before
    assert page.locator(".lm-Menu:visible, .jp-Cell:not(.maker-kit-lesson) .cm-editor:visible").count() == 0
    page.keyboard.press("Escape")


def test_a_slider_moves_by_keyboard(page) -> None:
    before = page.locator(PICTURE).get_attribute("src")
    page.locator(".maker-fragrance-load .noUi-handle").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("before => document.querySelector('.maker-buy-picture').src !== before", arg=before)


def test_a_reload_runs_it_again_and_keeps_its_session(page) -> None:
    session = "async () => (await (await fetch('/api/sessions')).json()).map(one => one.kernel.id)"
    before = page.evaluate(session)
    page.reload()
    page.wait_for_selector(PICTURE)
    page.wait_for_function(AT_REST)
    assert page.locator("text=javascript error").count() == 0
    assert page.evaluate(session) == before
    assert page.locator(f":is({TOOLS}):visible").count() == 0


def test_the_steps_are_shown_when_asked_for_and_what_a_maker_changes_in_them_is_kept_and_runs(page, room: Path) -> None:
    page.get_by_role("button", name="Show the steps").click()
    page.wait_for_selector(".jp-NotebookPanel-toolbar:visible")
    bars = page.locator(".jp-CodeCell .jp-InputPlaceholder:visible, .jp-CodeCell .jp-Placeholder-content:visible")
    assert bars.count() >= 2
    bars.first.click()
    page.locator(".jp-CodeCell .cm-content:visible").first.click()
    page.keyboard.press("Control+End")
    page.keyboard.type("  # tried by me")
    page.get_by_role("button", name="Hide the steps").click()
    page.wait_for_function("() => document.body.classList.contains('maker-kit-quiet')")
    assert "# tried by me" in (room / "mine" / "notebooks" / NAME).read_text(encoding="utf-8")
    page.reload()
    page.wait_for_selector(PICTURE)
    page.wait_for_function(AT_REST)


def test_leaving_asks_nothing(page) -> None:
    asked: list[str] = []

    def stays(dialog: object) -> None:
        asked.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", stays)
    page.locator(".jp-Notebook h1").first.click()  # a page that nobody touched would never ask
    page.get_by_role("link", name="Change things in JupyterLab").click()
    page.wait_for_selector("#jp-menu-panel:visible")
    page.wait_for_selector(".jp-NotebookPanel-toolbar:visible")
    assert "/lab/tree/" in page.url
    page.remove_listener("dialog", stays)
    assert asked == []


def test_a_foreign_notebook_that_asks_to_be_run_is_not(address: str, page, room: Path) -> None:
    for name, mark in (("another", "another was run"), ("06_costing_report", "06 was run")):
        page.goto(address.replace(NAME, f"{name}.ipynb"))
        page.wait_for_selector(".jp-NotebookPanel-toolbar:visible")
        page.wait_for_function(
            "() => document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status === 'idle'"
        )
        page.wait_for_timeout(1000)
        assert not (room / mark).exists()
        assert page.get_by_role("button", name="run them").count() == (name != "another")
