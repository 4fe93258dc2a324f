"""By hand: from a key press in Chromium to the new picture, as `maker-kit open` shows it on a laptop's screen: the
recipe's screen (01) and the whole curve of 48 counts (02) on three recipes of the demo workshop, and 02 on generated
medium markets, there until no count is open any more, too.

Use: .venv/bin/python tests/benchmarks/bench_browser.py [PRESSES] [FIRST_SEED]
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [
    str(TOP / "tests" / "browser"),
    str(TOP / "tests"),
    str(TOP / "tests" / "benchmarks"),
    str(TOP / "tests" / "buying"),
]

from browser.conftest import CHROMIUM, FLAGS, LAPTOP  # noqa: E402 - the tests' own way to start a browser
from driving import AT_REST, opened_at  # noqa: E402
from generated_markets import DELIVERY  # noqa: E402
from medium_workshop import make_workshop  # noqa: E402
from playwright.sync_api import Browser, Page, sync_playwright  # noqa: E402

WATCH = """([picture, state]) => { const i = document.querySelector(picture), b = i.src, t = performance.now();
  const told = () => !state || document.querySelector(state).innerText.includes('Every count is proved');
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
SCREENS = {
    "01_formula": (".maker-formula-picture", "", ".maker-fragrance-load", 90),
    "02_make_or_buy": (".maker-buy-picture", ".maker-buy-state", ".maker-fragrance-load", 110),
}
"""Each notebook's picture, the line that says what is open, the control that is moved, and the goal [ms]."""
MEDIUM_GOAL_MS, NINETY_GOAL_MS = 150, 200


def opened(browser: Browser, address: str, picture: str) -> Page:
    page = browser.new_context(viewport=LAPTOP).new_page()
    page.set_default_timeout(120_000)
    page.goto(address)
    page.wait_for_selector(f"{picture}[src]")
    page.wait_for_function(AT_REST)
    return page


def chosen(page: Page, label: str) -> None:
    page.get_by_label("recipe", exact=True).first.select_option(label=label)
    page.wait_for_timeout(4000)
    page.wait_for_function(AT_REST)


def pressed(page: Page, control: str, picture: str, state: str, presses: int) -> tuple[list[float], list[float]]:
    """Milliseconds from a press to the new picture, and until every count is proved; a press each way in turn."""
    drawn, gone = [], []
    for press in range(presses):
        page.locator(f"{control} .noUi-handle").focus()
        watching = page.evaluate_handle(WATCH, [picture, state])
        page.keyboard.press("ArrowRight" if press % 2 == 0 else "ArrowLeft")
        drawn.append(page.evaluate("h => h.p", watching))
        gone.append(page.evaluate("h => h.g", watching))
        page.wait_for_timeout(300)
    return drawn, gone


def say(what: str, times: tuple[list[float], list[float]], goal: float) -> None:
    drawn, gone = times
    sys.stdout.write(
        f"{what}: press to new picture, median {statistics.median(drawn):.0f} ms of {len(drawn)} (goal {goal}), "
        f"90th of 100 {sorted(drawn)[int(0.9 * len(drawn))]:.0f} (goal {NINETY_GOAL_MS}); "
        f"no band left, median {statistics.median(gone):.0f} ms, longest {max(gone):.0f} (goal 2000)\n"
    )
    sys.stdout.flush()


def main(presses: int = 50, first_seed: int = 0) -> None:
    room = Path(tempfile.mkdtemp())
    sizes = {delivery: make_workshop(room / delivery, first_seed, "medium", delivery) for delivery in DELIVERY}
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            with opened_at("00_start_here", room) as address:
                for name, (picture, state, control, goal) in SCREENS.items():
                    page = opened(browser, address.replace("00_start_here", name), picture)
                    for label in DEMO:
                        chosen(page, label)
                        say(f"{name[:2]}, {label}", pressed(page, control, picture, state, presses), goal)
                    page.context.close()
            picture, state, *_ = SCREENS["02_make_or_buy"]
            for delivery, size in sizes.items():
                with opened_at("02_make_or_buy", room, "--workshop", str(room / delivery)) as address:
                    page = opened(browser, address, picture)
                    chosen(page, "Generated recipe")
                    box = page.locator(".maker-batch-size input[type=number], .maker-batch-size input").first
                    box.fill(str(size))
                    box.press("Enter")
                    page.wait_for_timeout(4000)
                    page.wait_for_function(AT_REST)
                    times = pressed(page, ".maker-batch-size", picture, state, presses)
                    say(f"02, medium market, {delivery}, batches of {size}", times, MEDIUM_GOAL_MS)
                    page.context.close()
    finally:
        shutil.rmtree(room, ignore_errors=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
