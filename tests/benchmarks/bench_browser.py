"""By hand: from a key press in Chromium to the new picture of the whole curve of 48 counts, on three recipes of the demo workshop.

Use: .venv/bin/python tests/benchmarks/bench_browser.py [PRESSES]
"""

from __future__ import annotations

import os
import secrets
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP / "tests" / "browser"), str(TOP / "tests")]

from browser.conftest import CHROMIUM, FLAGS, RUN_ALL  # noqa: E402 - the tests' own way to start a browser
from playwright.sync_api import sync_playwright  # noqa: E402


def main(presses: int = 50) -> None:
    room = Path(tempfile.mkdtemp())
    notebooks = shutil.copytree(TOP / "notebooks", room / "notebooks")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    token = secrets.token_hex(16)
    environment = {**os.environ, "JUPYTER_CONFIG_DIR": str(room / "c"), "JUPYTERLAB_SETTINGS_DIR": str(room / "s"), "JUPYTERLAB_WORKSPACES_DIR": str(room / "w"), "JUPYTER_RUNTIME_DIR": str(room / "r"),
                   "JUPYTER_CONFIG_PATH": str(TOP / "maker_kit" / "workbook" / "lab"), "PATH": str(Path(sys.executable).parent) + os.pathsep + os.environ["PATH"]}
    server = subprocess.Popen([sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--expose-app-in-browser", f"--ServerApp.port={port}", f"--IdentityProvider.token={token}",
                               f"--ServerApp.root_dir={notebooks}"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        base, end = f"http://127.0.0.1:{port}", time.monotonic() + 60
        while time.monotonic() < end:
            try:
                urllib.request.urlopen(base + "/api", timeout=2).close()
                break
            except OSError:
                time.sleep(0.1)
        with sync_playwright() as playwright:
            page = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS).new_context(viewport={"width": 1280, "height": 1000}).new_page()
            page.set_default_timeout(120_000)
            page.goto(f"{base}/lab/tree/02_make_or_buy.ipynb?reset&token={token}")
            page.wait_for_selector(".jp-Notebook .jp-Cell")
            page.evaluate(RUN_ALL)
            page.wait_for_selector(".maker-buy-picture[src]")
            for label in ("Foaming hand wash, from a ready base", "Gel cream", "Hand lotion"):
                page.get_by_label("recipe").select_option(label=label)
                page.wait_for_timeout(4000)
                page.locator(".maker-count .noUi-handle").focus()
                took = []
                for press in range(presses):
                    page.locator(".maker-fragrance-load .noUi-handle").focus()
                    watching = page.evaluate_handle("([s]) => { const i = document.querySelector(s), b = i.src, t = performance.now(); return { p: new Promise(d => { const l = () => i.src !== b && i.complete && i.naturalWidth > 0 ? d(performance.now() - t) : requestAnimationFrame(l); l(); }) }; }", [".maker-buy-picture"])
                    page.keyboard.press("ArrowRight" if press % 2 == 0 else "ArrowLeft")
                    took.append(page.evaluate("h => h.p", watching))
                    page.wait_for_timeout(400)
                sys.stdout.write(f"press to new picture, {label}: median {statistics.median(took):.0f} ms of {len(took)} (goal: at most 150)\n")
    finally:
        server.terminate()
        server.wait(20)
        shutil.rmtree(room, ignore_errors=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
