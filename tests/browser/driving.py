"""How a browser test opens the workbook, moves a control and knows that the picture has followed."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from playwright.sync_api import TimeoutError as LateError

AT_REST = "() => document.querySelector('.maker-kit-state')?.textContent === ''"
"""A page's own word that nothing runs any more."""
RUN_ALL = """async () => { const app = window.jupyterapp; await app.restored; const shown = app.shell.currentWidget;
 await shown.context.ready; await shown.revealed; await shown.sessionContext.ready;
 try { return await app.commands.execute('notebook:run-all-cells'); } catch (error) { return false; } }"""


@contextlib.contextmanager
def opened_at(notebook: str, room: Path, *more: str) -> Iterator[str]:
    """Type `maker-kit open` in a folder, give the address that it says, and end it as Ctrl-C does."""
    server = subprocess.Popen(
        [sys.executable, "-m", "maker_kit.cli", "open", notebook, *more, "--no-browser"],
        cwd=room,
        env={**os.environ, "JUPYTER_DATA_DIR": str(room / "data")},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        bufsize=1,
    )
    said = ""
    while "Ctrl-C" not in said:
        line = server.stdout.readline()
        assert line, server.stderr.read()
        said += line
    yield re.search(r"http://\S+", said)[0]
    server.send_signal(signal.SIGINT)
    _, wrong = server.communicate(timeout=60)
    assert (server.returncode, wrong) == (0, "")


def press(page: object, selector: str, key: str, picture: str, *, times: int = 1) -> None:
    """Press a key on a slider's handle and wait until the picture has changed and is complete."""
    before = page.locator(picture).get_attribute("src")
    page.locator(f"{selector} .noUi-handle").first.focus()
    for _ in range(times):
        page.keyboard.press(key)
    page.wait_for_function(
        "([selector, before]) => { const i = document.querySelector(selector);"
        " return i && i.src !== before && i.complete && i.naturalWidth > 0; }",
        arg=[picture, before],
    )


def insist(page: object, act: Callable[[], None], place: str, text: str, *, times: int = 20) -> None:
    """Do something until a text stands in a place: what is typed into a row that is just being drawn anew is lost."""
    for left in range(times, 0, -1):
        act()
        try:
            page.wait_for_function(
                "([place, text]) => { const e = document.querySelector(place);"
                " return e && e.innerText.includes(text); }",
                arg=[place, text],
                timeout=6_000,
            )
        except LateError:
            if left == 1:
                raise
        else:
            return


def words(page: object, name: str, text: str) -> None:
    """Wait until a text stands in a place."""
    page.wait_for_function(
        "([place, text]) => [...document.querySelectorAll(place)].some(e => e.innerText.includes(text))",
        arg=[name, text],
    )


def gone(page: object, name: str, text: str) -> None:
    """Wait until a text no longer stands in a place."""
    page.wait_for_function(
        "([place, text]) => { const e = document.querySelector(place); return e && !e.innerText.includes(text); }",
        arg=[name, text],
    )


def type_into(page: object, panel: str, label: str, text: str) -> None:
    """Type into a box of a screen, and leave it."""
    field = page.locator("input, textarea")  # the handle of a slider beside it has the same name
    box = page.locator(panel).get_by_label(label, exact=True).and_(field)
    box.fill(text)
    box.press("Tab")


def press_button(page: object, panel: str, name: str) -> None:
    """Press a button of a screen."""
    page.locator(panel).get_by_role("button", name=name, exact=True).click()


def open_tab(page: object, tabs: str, title: str, place: str) -> None:
    """Open a tab, and wait until what is in it is there."""
    page.locator(f"{tabs} > .widget-tab-bar, {tabs} > .lm-TabPanel-tabBar").first.get_by_text(title, exact=True).click()
    page.wait_for_selector(place, state="attached")
