"""The first screen of a notebook as `maker-kit open` shows it: whole on a laptop, and nothing over another."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator

import pytest

from maker_kit import cli

SCREENS = {
    "00_start_here": (".maker-start", ".maker-start-curve"),
    "01_formula": (".maker-formula", ".maker-formula-picture"),
}
AT_REST = "() => document.querySelector('.maker-kit-state')?.textContent === ''"
OVERLAPS = """panel => {
  const kinds = 'input, select,' +
    ' img, a, .noUi-target, .widget-label, [class*=-recipes], [class*=-answer], [class*=-stops]';
  const seen = [...document.querySelector(panel).querySelectorAll(kinds)].filter(e => e.offsetParent && e.offsetWidth);
  const boxes = seen.map(e => [e, e.getBoundingClientRect()]);
  const bad = boxes.filter(([, r]) => r.right > innerWidth + 1 || r.left < 0)
    .map(([e]) => 'out: ' + e.outerHTML.slice(0, 80));
  for (const [i, [a, r]] of boxes.entries()) for (const [b, s] of boxes.slice(i + 1)) {
    if (a.contains(b) || b.contains(a)) continue;
    const wide = Math.min(r.right, s.right) - Math.max(r.left, s.left);
    const high = Math.min(r.bottom, s.bottom) - Math.max(r.top, s.top);
    if (wide > 1 && high > 1) bad.push(a.outerHTML.slice(0, 80) + ' over ' + b.outerHTML.slice(0, 80));
  }
  return bad; }"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where `maker-kit open` says the workbook is."""
    room = tmp_path_factory.mktemp("screens")
    cli.main(["new", str(room / "mine")])
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "maker_kit.cli",
            "open",
            "01_formula.ipynb",
            "--workshop",
            str(room / "mine"),
            "--no-browser",
        ],
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
    server.communicate(timeout=60)


@pytest.fixture(scope="module", params=SCREENS)
def screen(request: pytest.FixtureRequest, address: str, chromium: object) -> Iterator[tuple[object, str, str]]:
    """A notebook opened on a laptop, with the class of its panel and of its first picture."""
    page = chromium.new_context(viewport={"width": 1366, "height": 647}).new_page()
    page.set_default_timeout(60_000)
    page.goto(address.replace("01_formula", request.param))
    panel, picture = SCREENS[request.param]
    page.wait_for_selector(f"{picture}[src]")
    page.wait_for_function(AT_REST)
    yield page, panel, picture
    page.context.close()


def test_the_panel_stands_whole_in_view(screen) -> None:
    page, panel, picture = screen
    page.wait_for_function(
        "p => { const i = document.querySelector(p); return i.complete && i.naturalWidth }", arg=picture
    )
    box = page.locator(panel).bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= 647
    assert box["x"] + box["width"] <= 1366
    assert page.evaluate("() => document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0


def test_every_picture_is_told_in_words(screen) -> None:
    page, panel, _ = screen
    shown = page.locator(f"{panel} img:visible").count()
    told = page.locator(f"{panel} [role=img][aria-label*=' ']")
    assert shown >= 1
    assert told.count() >= shown
    assert page.get_by_role("img", name="one container costs").count() == 1


@pytest.mark.parametrize(("width", "height"), [(1366, 647), (900, 800), (683, 324), (390, 844)])
def test_nothing_stands_over_another_or_out_of_the_page(screen, width: int, height: int) -> None:
    # 683 × 324: what 200 % zoom leaves of a laptop's 1366 × 647
    page, panel, _ = screen
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(500)
    assert page.evaluate(OVERLAPS, panel) == []
    page.set_viewport_size({"width": 1366, "height": 647})


def test_the_first_notebook_leads_to_the_others(address: str, chromium: object) -> None:
    page = chromium.new_context(viewport={"width": 1366, "height": 647}).new_page()
    page.set_default_timeout(60_000)
    page.goto(address.replace("01_formula", "00_start_here"))
    page.wait_for_selector(".maker-start-curve[src]")
    page.wait_for_function(AT_REST)
    page.get_by_role("tab", name="map").click()
    page.wait_for_selector(".maker-start-map a")
    assert page.locator(".maker-start-map a", has_text="What goes in?").count() == 1
    page.get_by_role("link", name="Paste my recipe").click()
    page.wait_for_url("**/01a_from_any_text.ipynb*")
    page.context.close()
