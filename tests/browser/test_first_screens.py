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
    "01a_from_any_text": (".maker-text", ".maker-text-percents"),
    "01b_short_swapped_split": (".maker-kit", ".maker-kit-picture"),
    "01c_thickness": (".maker-thickness", ".maker-thickness-picture"),
    "01d_preservation": (".maker-preservation", ".maker-preservation-picture"),
    "02_make_or_buy": (".maker-buy", ".maker-buy-picture"),
}
AT_REST = "() => document.querySelector('.maker-kit-state')?.textContent === ''"
OVERLAPS = """panel => {
  const kinds = 'input, select,' +
    ' img, a, .noUi-target, .widget-label, [class*=-recipes], [class*=-answer], [class*=-stops]';
  const seen = [...document.querySelector(panel).querySelectorAll(kinds)].filter(e => e.offsetParent && e.offsetWidth);
  const boxes = seen.map(e => [e, e.getBoundingClientRect()]);
  // what is wider than its own box is moved within it
  const moved = e => { for (let b = e.parentElement; b; b = b.parentElement) {
    if (b.scrollWidth <= b.clientWidth + 1 || getComputedStyle(b).overflowX !== 'auto') continue;
    return b.matches('.widget-html-content, [style*=overflow-x]') || !!b.querySelector(':scope > img.widget-image');
  } return false; };
  const bad = boxes.filter(([e]) => !moved(e)).filter(([, r]) => r.right > innerWidth + 1 || r.left < 0)
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
    page = opened(address, chromium, request.param)
    panel, picture = SCREENS[request.param]
    page.wait_for_selector(picture)
    yield page, panel, picture
    page.context.close()


def opened(address: str, chromium: object, name: str) -> object:
    """A notebook on a laptop's screen, once it is at rest."""
    page = chromium.new_context(viewport={"width": 1366, "height": 647}).new_page()
    page.set_default_timeout(60_000)
    page.goto(address.replace("01_formula", name))
    page.wait_for_selector(SCREENS[name][1])
    page.wait_for_function(AT_REST)
    return page


def test_controls_and_picture_stand_whole_in_view_together(screen) -> None:
    page, panel, picture = screen
    page.wait_for_function("p => { const i = document.querySelector(p); return i.complete !== false }", arg=picture)
    for part in (f"{panel} .maker-kit-left", picture):
        box = page.locator(part).first.bounding_box()
        assert box["y"] >= 0, part
        assert box["y"] + box["height"] <= 647, part
        assert box["x"] + box["width"] <= 1366, part
    assert page.evaluate("() => document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0


def test_every_picture_is_told_in_words_once(screen) -> None:
    page, panel, _ = screen
    told = page.evaluate(
        "p => [...document.querySelectorAll(`${p} img.widget-image`)].filter(i => i.offsetWidth).map(i => i.alt)",
        panel,
    )
    assert all(len(words) > 30 and any(c.isdigit() for c in words) for words in told), told
    assert page.locator(f"{panel}").get_by_role("img").count() == len(told)


def test_every_handle_is_named_as_its_box(screen) -> None:
    page, panel, _ = screen
    handles = page.locator(f"{panel} .noUi-handle:visible").all()
    for handle in handles:
        name = handle.get_attribute("aria-label")
        assert name, handle
        assert page.locator(f"{panel} .widget-text .widget-label:visible", has_text=name.split(",")[0]).count() >= 1


def test_lessons_show_their_lines_and_no_other_step_does(screen) -> None:
    page, _, _ = screen
    lessons = page.locator(".jp-CodeCell.maker-kit-lesson")
    assert 2 <= lessons.count() <= 3
    for lesson in lessons.all():
        assert lesson.locator(".cm-content").is_visible()
        assert 2 <= lesson.locator(".cm-line").count() <= 5  # a comment, and one to four lines
    assert page.locator(".jp-CodeCell:not(.maker-kit-lesson) .cm-content:visible").count() == 0


@pytest.mark.parametrize(("width", "height"), [(1366, 647), (900, 800), (683, 324), (390, 844)])
def test_nothing_stands_over_another_or_out_of_the_page(screen, width: int, height: int) -> None:
    # 683 × 324: what 200 % zoom leaves of a laptop's 1366 × 647
    page, panel, _ = screen
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(500)
    assert page.evaluate(OVERLAPS, panel) == []
    assert page.evaluate(
        "() => { const e = document.querySelector('.jp-WindowedPanel-outer'); return e.scrollWidth <= e.clientWidth }"
    )
    pictures = page.locator(f"{panel} img.widget-image:visible").all()
    assert all(picture.bounding_box()["width"] >= min(width, 600) for picture in pictures)  # large enough to be read
    page.set_viewport_size({"width": 1366, "height": 647})


def test_the_first_notebook_leads_to_the_others(address: str, chromium: object) -> None:
    page = opened(address, chromium, "00_start_here")
    page.get_by_role("tab", name="map").click()
    page.wait_for_selector(".maker-start-map a")
    assert page.locator(".maker-start-map a", has_text="What goes in?").count() == 1
    page.get_by_role("link", name="Paste my recipe").click()
    page.wait_for_url("**/01a_from_any_text.ipynb*")
    page.context.close()


def test_what_a_picture_tells_changes_with_it(address: str, chromium: object) -> None:
    page = opened(address, chromium, "01_formula")
    page.wait_for_function("() => document.querySelector('.maker-formula-curve').alt.includes('at 12 containers')")
    page.locator(".maker-batch-size .noUi-handle").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("() => document.querySelector('.maker-formula-curve').alt.includes('at 13 containers')")
    page.context.close()


def test_by_keyboard_alone_a_tab_is_opened_and_a_lesson_is_changed_run_and_left(address: str, chromium: object) -> None:
    page = opened(address, chromium, "01b_short_swapped_split")
    page.locator(".maker-changes-tabs > .lm-TabBar .lm-TabBar-tab").first.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.wait_for_selector(".maker-short-picture[src]")
    lesson = page.locator(".maker-kit-lesson").first
    lesson.locator(".cm-content").focus()
    page.keyboard.press("Control+Home")
    page.keyboard.type("full, left = 7, 8  # ")
    page.keyboard.press("Control+End")
    page.keyboard.type("; 40 + 2")
    page.keyboard.press("Control+Enter")
    page.wait_for_function("() => document.querySelector('.maker-kit-lesson .jp-OutputArea').innerText.includes('42')")
    page.keyboard.press("Tab")
    assert page.evaluate("() => !document.activeElement.closest('.cm-editor')")
    cells = page.locator(".jp-Cell").count()
    for key in ("Escape", "d", "d", "a"):
        page.keyboard.press(key)
    assert page.locator(".jp-Cell").count() == cells
    page.context.close()


def test_stops_are_shown_on_the_cost_screen_which_still_fits(address: str, chromium: object) -> None:
    page = opened(address, chromium, "02_make_or_buy")
    page.locator(".maker-buy select").first.select_option(label="Cleansing water, version 1")
    page.wait_for_selector(".maker-buy-stops [role=alert]")
    page.wait_for_timeout(1500)
    assert "stop" in page.locator(".maker-buy-stops").inner_text()
    box = page.locator(".maker-buy-picture").bounding_box()
    assert box["y"] + box["height"] <= 647
    page.context.close()


def test_own_minutes_move_the_verdict_the_curve_and_the_floor_price(address: str, chromium: object) -> None:
    page = opened(address, chromium, "02_make_or_buy")
    page.get_by_role("tab", name="selling").click()
    floor = page.locator(".maker-buy-selling tr", has_text="floor")
    floor.wait_for()
    was = floor.inner_text(), page.locator(".maker-buy-answer").inner_text()
    alt = page.locator(".maker-buy-picture").get_attribute("alt")
    for name, typed in (("own minutes", "30"), ("an hour is worth", "12,5")):
        page.get_by_role("textbox", name=name).fill(typed)
        page.keyboard.press("Enter")
    page.wait_for_function(
        "was => !document.querySelector('.maker-buy-selling').innerText.includes(was)", arg=was[0].split()[-4]
    )
    assert page.locator(".maker-buy-answer").inner_text() != was[1]
    assert page.locator(".maker-buy-picture").get_attribute("alt") != alt
    page.context.close()
