"""JupyterLab on loopback over a copy of the notebooks, and Debian's Chromium to drive it.

Skipped with a sentence where no Chromium is.
"""

from __future__ import annotations

import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from driving import AT_REST, RUN_ALL, opened_at
from screens import LAPTOP

TOP = Path(__file__).resolve().parents[2]
CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LAB = "from jupyterlab.labapp import main; main()"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this folder, and skip them all where there is no Chromium."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker("browser")
            if not Path(CHROMIUM).exists():
                item.add_marker(
                    pytest.mark.skip(
                        reason="no Chromium on this machine (Debian: apt-get install chromium), "
                        "so no notebook was looked at in a browser"
                    )
                )


@pytest.fixture(scope="session")
def lab_room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The copy of the notebooks that JupyterLab shows."""
    return shutil.copytree(
        TOP / "notebooks",
        tmp_path_factory.mktemp("lab") / "notebooks",
        ignore=shutil.ignore_patterns(".ipynb_checkpoints"),
    )


@pytest.fixture(scope="session")
def lab(lab_room: Path) -> Iterator[str]:
    """Address of a JupyterLab over a copy of the notebooks, with the token in ``#``: ``base#token``."""
    room, notebooks = lab_room.parent, lab_room
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    token = secrets.token_hex(16)
    environment = {
        **os.environ,
        "JUPYTER_CONFIG_DIR": str(room / "config"),
        "JUPYTERLAB_SETTINGS_DIR": str(room / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(room / "workspaces"),
        "JUPYTER_RUNTIME_DIR": str(room / "runtime"),
        "JUPYTER_CONFIG_PATH": str(TOP / "maker_kit" / "workbook" / "lab"),
        "PATH": str(Path(sys.executable).parent) + os.pathsep + os.environ["PATH"],
    }
    log = (room / "lab.log").open("wb")
    server = subprocess.Popen(
        [
            sys.executable,
            "-c",
            LAB,
            "--no-browser",
            "--allow-root",
            "--expose-app-in-browser",
            "--ServerApp.ip=127.0.0.1",
            f"--ServerApp.port={port}",
            "--ServerApp.port_retries=0",
            f"--IdentityProvider.token={token}",
            f"--ServerApp.root_dir={notebooks}",
        ],
        env=environment,
        stdout=log,
        stderr=log,
    )
    base, end = f"http://127.0.0.1:{port}", time.monotonic() + 90
    try:
        while True:
            try:
                urllib.request.urlopen(base + "/api", timeout=2).close()
                break
            except OSError:
                assert server.poll() is None, (room / "lab.log").read_text()[-2000:]
                assert time.monotonic() < end, (room / "lab.log").read_text()[-2000:]
                time.sleep(0.1)
        yield f"{base}#{token}"
    finally:
        server.terminate()
        try:
            server.wait(20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()
        log.close()


@pytest.fixture(scope="session")
def laptop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """Where pages are shown as on a laptop; what a page is made of is kept for the next, as in a maker's browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            tmp_path_factory.mktemp("laptop"), executable_path=CHROMIUM, args=FLAGS, viewport=LAPTOP
        )
        yield context
        context.close()


@pytest.fixture(scope="session")
def only_tab(laptop: object) -> object:
    """One page for all that a process shows, one after the other: a second one would compile JupyterLab anew."""
    return laptop.pages[0]


@pytest.fixture(scope="module")
def tab(only_tab: object) -> Iterator[object]:
    """That page, for one file of tests; each server has a port of its own, so nothing is kept from the one before."""
    only_tab.set_default_timeout(90_000)
    yield only_tab
    only_tab.goto("about:blank")
    only_tab.set_viewport_size(LAPTOP)


@pytest.fixture(scope="session")
def opening(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address that `maker-kit open` says, for ``00_start_here`` of the demo."""
    room = tmp_path_factory.mktemp("opening")
    with opened_at("00_start_here", room) as address:
        yield address


@pytest.fixture(scope="module")
def shown(opening: str, tab: object) -> Callable[[str, str], object]:
    """A function that shows a notebook as `maker-kit open` does, on a laptop's screen, until its first picture is there
    and it is at rest. The next notebook takes its place, so the tests of one stand together.
    """

    def page_of(name: str, picture: str) -> object:
        tab.goto(opening.replace("00_start_here", name))
        tab.wait_for_selector(picture)
        tab.wait_for_function(AT_REST)
        return tab

    return page_of


@pytest.fixture(scope="module")
def open_notebook(lab: str, tab: object) -> Callable[..., object]:
    """A function that opens a notebook in JupyterLab, runs it to its end and returns its page."""
    base, token = lab.split("#")
    tab.set_viewport_size({"width": 1280, "height": 1000})

    def opened(name: str, *, fails: bool = False) -> object:
        tab.goto(f"{base}/lab/tree/{name}?reset&token={token}")
        tab.wait_for_selector(".jp-Notebook .jp-Cell")
        ran = tab.evaluate(RUN_ALL)
        assert ran or fails, f"{name} did not run to its end"
        return tab

    return opened
