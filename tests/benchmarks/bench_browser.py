"""By hand: from a key press in Chromium to the new picture of the whole curve of 48 counts, and until no count is open
any more; on three recipes of the demo workshop and on generated medium markets.

Use: .venv/bin/python tests/benchmarks/bench_browser.py [PRESSES]
"""

from __future__ import annotations

import contextlib
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
from collections.abc import Iterator
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [
    str(TOP / "tests" / "browser"),
    str(TOP / "tests"),
    str(TOP / "tests" / "benchmarks"),
    str(TOP / "tests" / "buying"),
]

from browser.conftest import CHROMIUM, FLAGS  # noqa: E402 - the tests' own way to start a browser
from driving import RUN_ALL  # noqa: E402
from generated_markets import DELIVERY  # noqa: E402
from medium_workshop import RECIPE, make_workshop  # noqa: E402
from playwright.sync_api import Page, sync_playwright  # noqa: E402

WATCH = """([s]) => { const i = document.querySelector(s), b = i.src, t = performance.now();
  const told = () => document.querySelector('.maker-buy-state').innerText.includes('Every count is proved');
  return {
    p: new Promise(d => {
      const l = () => i.src !== b && i.complete && i.naturalWidth > 0
        ? d(performance.now() - t) : requestAnimationFrame(l);
      l();
    }),
    g: new Promise(d => {
      let moved = false;
      const l = () => {
        moved = moved || i.src !== b;
        return moved && told() ? d(performance.now() - t) : requestAnimationFrame(l);
      };
      l();
    }),
  };
}"""
DEMO = ("Foaming hand wash, from a ready base", "Gel cream", "Hand lotion")


@contextlib.contextmanager
def lab(room: Path, notebooks: Path) -> Iterator[str]:
    """JupyterLab on a folder of notebooks; its address for one notebook."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    token = secrets.token_hex(16)
    environment = {
        **os.environ,
        "JUPYTER_CONFIG_DIR": str(room / "c"),
        "JUPYTERLAB_SETTINGS_DIR": str(room / "s"),
        "JUPYTERLAB_WORKSPACES_DIR": str(room / "w"),
        "JUPYTER_RUNTIME_DIR": str(room / "r"),
        "JUPYTER_CONFIG_PATH": str(TOP / "maker_kit" / "workbook" / "lab"),
        "PATH": str(Path(sys.executable).parent) + os.pathsep + os.environ["PATH"],
    }
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
        base, end = f"http://127.0.0.1:{port}", time.monotonic() + 60
        while time.monotonic() < end:
            try:
                urllib.request.urlopen(base + "/api", timeout=2).close()
                break
            except OSError:
                time.sleep(0.1)
        yield base + "/lab/tree/{}?reset&token=" + token
    finally:
        server.terminate()
        server.wait(20)


def opened(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector(".jp-Notebook .jp-Cell")
    if not page.evaluate(RUN_ALL):
        msg = "the notebook did not run to its end"
        raise RuntimeError(msg)
    page.wait_for_selector(".maker-buy-picture[src]")
    page.wait_for_timeout(6000)


def pressed(page: Page, control: str, presses: int) -> tuple[list[float], list[float]]:
    """Milliseconds from a press to the new picture, and until every count is proved; a press each way in turn."""
    drawn, gone = [], []
    for press in range(presses):
        page.locator(f"{control} .noUi-handle").focus()
        watching = page.evaluate_handle(WATCH, [".maker-buy-picture"])
        page.keyboard.press("ArrowRight" if press % 2 == 0 else "ArrowLeft")
        drawn.append(page.evaluate("h => h.p", watching))
        gone.append(page.evaluate("h => h.g", watching))
        page.wait_for_timeout(300)
    return drawn, gone


def say(what: str, times: tuple[list[float], list[float]]) -> None:
    drawn, gone = times
    sys.stdout.write(
        f"{what}: press to new picture, median {statistics.median(drawn):.0f} ms of {len(drawn)} (goal "
        f"150), 90th of 100 {sorted(drawn)[int(0.9 * len(drawn))]:.0f}; "
        f"no band left, median {statistics.median(gone):.0f} ms, longest {max(gone):.0f} (goal 2000)\n"
    )
    sys.stdout.flush()


def main(presses: int = 50) -> None:
    room = Path(tempfile.mkdtemp())
    notebooks = shutil.copytree(TOP / "notebooks", room / "notebooks")
    source = (notebooks / "02_make_or_buy.ipynb").read_text(encoding="utf-8")
    sizes = {}
    for delivery in DELIVERY:
        sizes[delivery] = make_workshop(room / delivery, 0, "medium", delivery)
        changed = source.replace('recipe: str = \\"\\"', f'recipe: str = \\"{RECIPE}\\"').replace(
            'workshop: str = \\"\\"', f'workshop: str = \\"{room / delivery}\\"'
        )
        changed = changed.replace("batch_size: int = 1 ", f"batch_size: int = {sizes[delivery]} ")
        (notebooks / f"{delivery}.ipynb").write_text(changed, encoding="utf-8")
    try:
        with lab(room, notebooks) as address, sync_playwright() as playwright:
            page = (
                playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
                .new_context(viewport={"width": 1280, "height": 1000})
                .new_page()
            )
            page.set_default_timeout(120_000)
            opened(page, address.format("02_make_or_buy.ipynb"))
            for label in DEMO:
                page.get_by_label("recipe").select_option(label=label)
                page.wait_for_timeout(4000)
                say(label, pressed(page, ".maker-fragrance-load", presses))
            for delivery in DELIVERY:
                opened(page, address.format(f"{delivery}.ipynb"))
                say(
                    f"medium market, {delivery}, batches of {sizes[delivery]}",
                    pressed(page, ".maker-batch-size", presses),
                )
    finally:
        shutil.rmtree(room, ignore_errors=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
