"""Pictures of every first screen and every tab as `maker-kit open` shows them, to be looked at by a person.

python tests/browser/pictures.py FOLDER [NOTEBOOK ...]
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from conftest import CHROMIUM, FLAGS, TOP
from driving import AT_REST, opened_at
from screens import SIZES

from maker_kit.bench.demo_log import fill_demo_log
from maker_kit.bench.log import open_log
from maker_kit.workshop import load_workshop


def main() -> None:
    """Open each notebook once, and take its picture at each size, then each tab's at the laptop's."""
    from playwright.sync_api import sync_playwright

    to = Path(sys.argv[1])
    to.mkdir(parents=True, exist_ok=True)
    every = [path.stem for path in sorted((TOP / "notebooks").glob("0[0-5]*.ipynb"))]
    names = [name for name in every if not sys.argv[2:] or any(name.startswith(w) for w in sys.argv[2:])]
    with tempfile.TemporaryDirectory() as room:
        command = [sys.executable, "-m", "maker_kit.cli"]
        subprocess.run([*command, "new", f"{room}/mine"], check=True, capture_output=True)
        with open_log(Path(room) / "mine", make=True) as log:
            fill_demo_log(log, load_workshop(f"{room}/mine").recipes)
        with opened_at(names[0], Path(room), "--workshop", "mine") as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            for name in names:
                page = browser.new_page(viewport={"width": 1366, "height": 647})
                page.set_default_timeout(90_000)
                page.goto(address.replace(names[0], name))
                page.wait_for_selector(".jp-OutputArea img[src], .jp-OutputArea .jupyter-widgets")
                page.wait_for_function(AT_REST)
                page.wait_for_timeout(2500)
                for size, (wide, high) in SIZES.items():
                    page.set_viewport_size({"width": wide, "height": high})
                    page.wait_for_timeout(700)
                    page.screenshot(path=to / f"{name.split('_')[0]}-{size}.png")
                    across = page.evaluate(
                        "() => { const e = document.querySelector('.jp-WindowedPanel-outer');"
                        " return [e.scrollWidth, e.clientWidth]; }"
                    )
                    if across[0] > across[1]:
                        sys.stdout.write(f"{name} scrolls across at {size}\n")
                page.set_viewport_size({"width": 1366, "height": 1400})
                for k, tab in enumerate(page.get_by_role("tab").all()):
                    if tab.is_visible():
                        tab.click()
                        page.wait_for_timeout(2500)
                        page.screenshot(path=to / f"{name.split('_')[0]}-tab{k}.png")
                page.close()


if __name__ == "__main__":
    main()
