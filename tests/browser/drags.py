"""Every slider of every notebook, dragged by keys at random in Chromium, by hand: is a picture ever wrong or stale?

python tests/browser/drags.py [--drags 200] [--first-seed 0] [NOTEBOOK ...]

A drag is a run of keys on one handle, some faster than a picture is drawn. After each the page comes to rest and its
pictures and answers are kept; then the slider goes one step aside and back, which works everything out anew for the
same values. What stands there then must be what stood there before, byte for byte. Where it does not, the page is given
time and both are looked at again: what the page proves behind itself comes late on a busy machine.
"""

from __future__ import annotations

import argparse
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from conftest import CHROMIUM, FLAGS, TOP
from driving import AT_REST, opened_at
from screens import LAPTOP

SEEN = """() => [...document.querySelectorAll('.jp-OutputArea img.widget-image, [class*=-answer], [class*=-stops]')]
 .filter(e => e.offsetWidth).map(e => e.tagName === 'IMG' ? e.alt || e.className : e.innerText).join('\\n')"""
PICTURES = """async () => { const all = [...document.querySelectorAll('.jp-OutputArea img.widget-image')]
 .filter(e => e.offsetWidth); const told = [];
 for (const e of all) { const bytes = await (await fetch(e.src)).arrayBuffer();
  const sum = await crypto.subtle.digest('SHA-256', bytes);
  told.push([...new Uint8Array(sum)].map(b => b.toString(16).padStart(2, '0')).join('')); }
 return told; }"""
KEYS = ("ArrowRight", "ArrowLeft", "PageUp", "PageDown", "Home", "End")
REST_MS, RESTS, LONGEST_MS, PATIENCE_MS = 500, 5, 90_000, 20_000
TABS = ".jp-OutputArea .jupyter-widget-tab > .lm-TabPanel-tabBar .lm-TabBar-tab"
LATE = "late"
"""What a drag comes to where the page was still at work behind, and showed the same once it was done."""


def at_rest(page: object) -> tuple[str, list[str]]:
    """What is seen once nothing has changed for a while."""
    before, still = None, 0
    for _ in range(LONGEST_MS // REST_MS):
        page.wait_for_timeout(REST_MS)
        page.wait_for_function(AT_REST)
        now = page.evaluate(SEEN), page.evaluate(PICTURES)
        still = still + 1 if now == before else 0
        if still == RESTS:
            return now
        before = now
    msg = "the page does not come to rest"
    raise RuntimeError(msg)


def patiently(page: object) -> tuple[str, list[str]]:
    """What is seen when the page has had time for what works behind it, too, on a machine with much else to do."""
    page.wait_for_timeout(PATIENCE_MS)
    return at_rest(page)


def aside_and_back(page: object, handle: object) -> None:
    """One step aside, and back to where it stood."""
    at = float(handle.get_attribute("aria-valuenow"))
    first, second = ("ArrowRight", "ArrowLeft")
    if at >= float(handle.get_attribute("aria-valuemax")):
        first, second = second, first
    handle.focus()
    page.keyboard.press(first)
    page.wait_for_timeout(REST_MS)
    page.keyboard.press(second)
    assert float(handle.get_attribute("aria-valuenow")) == at


def open_a_tab(page: object, rng: random.Random) -> None:
    """One of the tabs that are in sight, where sliders may stand, too."""
    titles = page.locator(f"{TABS}:visible").all()
    if titles:
        rng.choice(titles).click()
        at_rest(page)


def drag(page: object, rng: random.Random) -> str | None:
    """One drag of one slider; what differs, or None."""
    handles = [h for h in page.locator(".jp-OutputArea .noUi-handle:visible").all() if not h.is_disabled()]
    handle = rng.choice(handles)
    handle.focus()
    for _ in range(rng.randint(1, 12)):
        page.keyboard.press(rng.choice(KEYS))
        page.wait_for_timeout(rng.choice((0, 0, 20, 60, 200)))
    before = at_rest(page)
    aside_and_back(page, handle)
    after = at_rest(page)
    if before == after:
        return None
    before, after = patiently(page), (aside_and_back(page, handle), patiently(page))[1]
    if before == after:
        return LATE
    told = "picture"
    if before[0] != after[0]:
        old, new = (set(seen[0].splitlines()) for seen in (before, after))
        told = f"answer, before {sorted(old - new)}, after {sorted(new - old)}"
    return f"{handle.get_attribute('aria-label')} at {handle.get_attribute('aria-valuenow')}: {told}"


def main() -> None:
    """Share the drags out over the notebooks and say what differed."""
    from playwright.sync_api import sync_playwright

    asked = argparse.ArgumentParser()
    asked.add_argument("--drags", type=int, default=200)
    asked.add_argument("--first-seed", type=int, default=0)
    asked.add_argument("notebooks", nargs="*")
    given = asked.parse_args()
    every = [path.stem for path in sorted((TOP / "notebooks").glob("0[0-5]*.ipynb"))]
    names = [name for name in every if not given.notebooks or name in given.notebooks]
    wrong = late = done = 0
    with tempfile.TemporaryDirectory() as room:
        subprocess.run([sys.executable, "-m", "maker_kit.cli", "new", f"{room}/mine"], check=True, capture_output=True)
        opening = opened_at(names[0], Path(room), "--workshop", "mine")
        with opening as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            for place, name in enumerate(names):
                rng = random.Random(given.first_seed + place)
                page = browser.new_page(viewport=LAPTOP)
                page.set_default_timeout(90_000)
                page.goto(address.replace(names[0], name))
                page.wait_for_selector(".jp-OutputArea .jupyter-widgets", state="attached")
                at_rest(page)
                count = page.locator(".jp-OutputArea .noUi-handle:visible").count()
                for turn in range(-(-given.drags // len(names)) if count else 0):
                    if turn % 3 == 2:
                        open_a_tab(page, rng)
                    differs = drag(page, rng)
                    done, late, wrong = done + 1, late + (differs == LATE), wrong + (differs not in (None, LATE))
                    if differs not in (None, LATE):
                        sys.stdout.write(f"{name}: another picture or answer after {differs}\n")
                sys.stdout.write(f"{name}: {count} handles; {done} drags so far, {late} late, {wrong} wrong\n")
                sys.stdout.flush()
                page.close()


if __name__ == "__main__":
    main()
