"""By hand: from the command to the first live picture, and until a slider answers: `maker-kit open` against JupyterLab
opened on the same notebook with Run All chosen by script at once; in turn, in one run.

Use: .venv/bin/python tests/benchmarks/bench_opening.py [NOTEBOOK] [ROUNDS]
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP / "tests" / "browser"), str(TOP / "tests")]

from browser.conftest import CHROMIUM, FLAGS  # noqa: E402 - the tests' own way to start a browser
from driving import RUN_ALL  # noqa: E402
from playwright.sync_api import Browser, Page, sync_playwright  # noqa: E402

GOAL = 0.75
LIVE = "img.widget-image[src]"
MOVED = """([selector, before]) => { const i = document.querySelector(selector);
  return i && i.src !== before && i.complete && i.naturalWidth > 0; }"""


def live(page: Page, start: float) -> tuple[float, float]:
    """Seconds to the first picture of a control, and to the next one after a key on the first slider."""
    page.wait_for_selector(LIVE, state="attached")
    seen = time.monotonic() - start
    before = page.locator(LIVE).first.get_attribute("src")
    page.locator(".noUi-handle").first.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function(MOVED, arg=[LIVE, before])
    return seen, time.monotonic() - start


def ours(name: str, browser: Browser) -> tuple[float, float]:
    """`maker-kit open`."""
    start = time.monotonic()
    server = subprocess.Popen(
        [sys.executable, "-m", "maker_kit.cli", "open", name, "--no-browser"],
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
    )
    try:
        page = browser.new_context(viewport={"width": 1366, "height": 768}).new_page()
        page.set_default_timeout(120_000)
        page.goto(re.search(r"http://\S+", server.stdout.readline())[0])
        times = live(page, start)
        page.context.close()
    finally:
        server.send_signal(signal.SIGINT)
        server.communicate(timeout=60)
    return times


def theirs(name: str, browser: Browser) -> tuple[float, float]:
    """JupyterLab as it is installed, on a copy of the notebooks."""
    room = Path(tempfile.mkdtemp())
    notebooks = shutil.copytree(TOP / "notebooks", room / "notebooks")
    token, port = secrets.token_hex(16), 18_888
    environment = {
        **os.environ,
        "JUPYTER_CONFIG_DIR": str(room / "c"),
        "JUPYTERLAB_SETTINGS_DIR": str(room / "s"),
        "JUPYTERLAB_WORKSPACES_DIR": str(room / "w"),
        "JUPYTER_RUNTIME_DIR": str(room / "r"),
        "JUPYTER_CONFIG_PATH": str(TOP / "maker_kit" / "workbook" / "lab"),
        "PATH": str(Path(sys.executable).parent) + os.pathsep + os.environ["PATH"],
    }
    start = time.monotonic()
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "jupyterlab",
            "--no-browser",
            "--allow-root",
            "--expose-app-in-browser",
            f"--ServerApp.port={port}",
            f"--IdentityProvider.token={token}",
            f"--ServerApp.root_dir={notebooks}",
        ],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        while True:
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{port}/api", timeout=2).close()
                break
            except OSError:
                time.sleep(0.03)
        page = browser.new_context(viewport={"width": 1366, "height": 768}).new_page()
        page.set_default_timeout(120_000)
        page.goto(f"http://127.0.0.1:{port}/lab/tree/{name}.ipynb?reset&token={token}")
        page.wait_for_selector(".jp-Notebook .jp-Cell")
        page.evaluate(RUN_ALL.replace("return await", "void"))
        times = live(page, start)
        page.context.close()
    finally:
        server.terminate()
        server.wait(20)
        shutil.rmtree(room, ignore_errors=True)
    return times


def main(name: str = "02_make_or_buy", rounds: int = 5) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        found: dict[str, list[tuple[float, float]]] = {"maker-kit open": [], "JupyterLab by script": []}
        for _ in range(rounds):
            found["JupyterLab by script"].append(theirs(name, browser))
            found["maker-kit open"].append(ours(name, browser))
        browser.close()
    medians = {who: [statistics.median(one[k] for one in times) for k in (0, 1)] for who, times in found.items()}
    for who, (seen, moved) in medians.items():
        sys.stdout.write(
            f"{name}, {who}: first live picture {seen:.2f} s, "
            f"a slider has answered {moved:.2f} s (medians of {rounds})\n"
        )
    by_hand, opened = medians["JupyterLab by script"], medians["maker-kit open"]
    sys.stdout.write(
        f"ratio: picture {opened[0] / by_hand[0]:.2f} (goal {GOAL}), slider {opened[1] / by_hand[1]:.2f}\n"
    )


if __name__ == "__main__":
    main(*sys.argv[1:2], *map(int, sys.argv[2:3]))
