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
def driver() -> Iterator[object]:
    """What drives Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield playwright.chromium


@pytest.fixture(scope="session")
def chromium(driver: object) -> Iterator[object]:
    """One Chromium for all tests that begin with nothing kept."""
    browser = driver.launch(executable_path=CHROMIUM, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def laptop(driver: object, tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """Where pages are shown as on a laptop; what a page is made of is kept for the next, as in a maker's browser."""
    context = driver.launch_persistent_context(
        tmp_path_factory.mktemp("laptop"), executable_path=CHROMIUM, args=FLAGS, viewport=LAPTOP
    )
    yield context
    context.close()


@pytest.fixture(scope="session")
def opening(laptop: object, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, object]]:
    """The address that `maker-kit open` says, for ``00_start_here`` of the demo, and where its pages are shown."""
    room = tmp_path_factory.mktemp("opening")
    with opened_at("00_start_here", room) as address:
        yield address, laptop


@pytest.fixture(scope="module")
def shown(opening: tuple[str, object]) -> Iterator[Callable[[str, str], object]]:
    """A function that shows a notebook as `maker-kit open` does, on a laptop's screen, until its first picture is there
    and it is at rest. A notebook is opened once: a file of tests has all that is asked of it.
    """
    address, context = opening
    pages = []

    def page_of(name: str, picture: str) -> object:
        page = context.new_page()
        pages.append(page)
        page.set_default_timeout(90_000)
        page.goto(address.replace("00_start_here", name))
        page.wait_for_selector(picture)
        page.wait_for_function(AT_REST)
        return page

    yield page_of
    for page in pages:
        page.close()


@pytest.fixture(scope="module")
def open_notebook(lab: str, chromium: object) -> Iterator[Callable[..., object]]:
    """A function that opens a notebook in a tab of its own, runs it to its end and returns it."""
    base, token = lab.split("#")
    context = chromium.new_context(viewport={"width": 1280, "height": 1000})  # one, so that JupyterLab is fetched once

    def opened(name: str, *, fails: bool = False) -> object:
        page = context.new_page()
        page.set_default_timeout(120_000)
        page.goto(f"{base}/lab/tree/{name}?reset&token={token}")
        page.wait_for_selector(".jp-Notebook .jp-Cell")
        ran = page.evaluate(RUN_ALL)
        assert ran or fails, f"{name} did not run to its end"
        return page

    yield opened
    context.close()
