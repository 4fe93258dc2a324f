"""What holds of the first screen of a notebook as `maker-kit open` shows it: whole on a laptop, nothing over another,
pictures told in words, handles named, the lines of lessons alone in sight.

Each check is given a page that nothing was done to yet, the class of its panel and of its first picture.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

LAPTOP = {"width": 1366, "height": 647}
SIZES = {"laptop": (1366, 647), "narrow": (900, 800), "zoom": (683, 324), "phone": (390, 844)}
"""Width and height [px]; the zoom is what 200 % leaves of the laptop's."""

OVERLAPS = """panel => {
  const kinds = 'input, select,' +
    ' img, a, .noUi-target, .widget-label, [class*=-recipes], [class*=-answer], [class*=-stops]';
  const seen = [...document.querySelector(panel).querySelectorAll(kinds)].filter(e => e.offsetParent && e.offsetWidth);
  // of pictures that are moved within their box, what is in sight
  const sight = e => {
    const r = e.getBoundingClientRect(), b = e.closest('.maker-kit-pictures')?.getBoundingClientRect() ?? r;
    return { left: r.left, right: r.right, top: Math.max(r.top, b.top), bottom: Math.min(r.bottom, b.bottom) };
  };
  const boxes = seen.map(e => [e, sight(e)]);
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

SETTLED = """async () => {
  const boxes = () => [...document.querySelectorAll('.jp-Notebook :is(h1, img, input, select, table, .noUi-target)')]
    .map(e => { const r = e.getBoundingClientRect(); return [r.x, r.y, r.width, r.height].join(); }).join(';');
  for (let before = '', same = 0, looks = 0; same < 3 && looks < 50; looks++) {
    await new Promise(after => setTimeout(after, 60));
    const now = boxes();
    same = now === before ? same + 1 : 0;
    before = now;
  } }"""
"""Waits until all stands where it stood three looks before, at most three seconds."""
TO_THE_TOP = """() => { document.activeElement.blur();
  for (const e of document.querySelectorAll('.jp-WindowedPanel-outer, .jp-Notebook *')) e.scrollTop = 0; }"""

FITS = """() => { const e = document.querySelector('.jp-WindowedPanel-outer');
 return e.scrollWidth <= e.clientWidth; }"""


def stands_whole_in_view(page: object, panel: str, picture: str) -> None:
    """Controls and picture stand whole in view together, and the page starts at its top."""
    page.wait_for_function("p => { const i = document.querySelector(p); return i.complete !== false }", arg=picture)
    assert page.evaluate("() => document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0
    in_view(page, f"{panel} .maker-kit-left", picture)


def in_view(page: object, *places: str) -> None:
    """All of these stand in view with the title, without scrolling."""
    for place in places:
        page.wait_for_selector(place)
    page.evaluate(SETTLED)
    boxes = {place: page.locator(place).first.bounding_box() for place in (".jp-Notebook h1", *places)}
    for place, box in boxes.items():
        assert min(box["x"], box["y"]) >= 0, place
        assert box["x"] + box["width"] <= LAPTOP["width"], place
        assert box["y"] + box["height"] <= LAPTOP["height"], place


def pictures_are_told_in_words_once(page: object, panel: str, _: str) -> None:
    """Every picture in sight has words that hold a figure, and is no second picture to a screen reader."""
    told = page.evaluate(
        "p => [...document.querySelectorAll(`${p} img.widget-image`)].filter(i => i.offsetWidth).map(i => i.alt)",
        panel,
    )
    assert all(len(words) > 30 and any(c.isdigit() for c in words) for words in told), told
    assert page.locator(f"{panel}").get_by_role("img").count() == len(told)


def handles_are_named_as_their_boxes(page: object, panel: str, _: str) -> None:
    """Every handle of a slider has the name of the box beside it."""
    for handle in page.locator(f"{panel} .noUi-handle:visible").all():
        name = handle.get_attribute("aria-label")
        assert name, handle
        assert page.locator(f"{panel} .widget-text .widget-label:visible", has_text=name.split(",")[0]).count() >= 1


def only_lessons_show_their_lines(page: object, _: str, __: str) -> None:
    """Two or three lessons of a few lines, and no other step's lines."""
    lessons = page.locator(".jp-CodeCell.maker-kit-lesson")
    assert 2 <= lessons.count() <= 3
    for lesson in lessons.all():
        assert lesson.locator(".cm-content").is_visible()
        assert 2 <= lesson.locator(".cm-line").count() <= 5  # a comment, and one to four lines
    assert page.locator(".jp-CodeCell:not(.maker-kit-lesson) .cm-content:visible").count() == 0


def holds_at_every_size(page: object, panel: str, picture: str) -> None:
    """At each size nothing stands over another, and then the picture is in sight while a control is moved."""
    try:
        for width, height in SIZES.values():
            page.set_viewport_size({"width": width, "height": height})
            page.evaluate(TO_THE_TOP)  # where the handles of the size before were, controls lie under the pictures
            page.evaluate(SETTLED)
            nothing_stands_over_another(page, panel, width, height)
            controls_and_picture_stand_together(page, panel, picture, width, height)
    finally:
        page.set_viewport_size(LAPTOP)


def nothing_stands_over_another(page: object, panel: str, width: int, height: int) -> None:
    """No thing stands over another or out of the page, and pictures are large enough to be read."""
    for _ in range(20):  # what is being laid out anew is given time
        bad = page.evaluate(OVERLAPS, panel)
        if not bad and page.evaluate(FITS):
            break
        page.wait_for_timeout(250)
    assert bad == [], (width, bad)
    assert page.evaluate(FITS), width
    pictures = page.locator(f"{panel} img.widget-image:visible").all()
    least = width / 2 if height < 420 else min(width, 600)  # at 200 % it is twice as wide on the screen
    assert all(picture.bounding_box()["width"] >= least for picture in pictures), width


def controls_and_picture_stand_together(page: object, panel: str, picture: str, width: int, height: int) -> None:
    """The picture is in sight while a control is moved, from the first to the last."""
    for handle in page.locator(f"{panel} .maker-kit-left .noUi-handle:visible").all():
        handle.blur()
        handle.focus()
        page.wait_for_timeout(100)
        moved, drawn = handle.bounding_box(), page.locator(picture).first.bounding_box()
        assert moved["y"] >= 0, (width, moved)
        assert moved["y"] + moved["height"] <= height, (width, moved)
        assert drawn["y"] >= 0, (width, drawn)
        assert drawn["y"] + min(drawn["height"], 0.58 * height) <= height, (width, drawn)
        over = moved["y"] + moved["height"] <= drawn["y"] or moved["y"] >= drawn["y"] + drawn["height"]
        beside = moved["x"] + moved["width"] <= drawn["x"] or moved["x"] >= drawn["x"] + drawn["width"]
        assert over or beside, (width, moved, drawn)


CHECKS: tuple[Callable[[object, str, str], None], ...] = (
    stands_whole_in_view,
    pictures_are_told_in_words_once,
    handles_are_named_as_their_boxes,
    only_lessons_show_their_lines,
    holds_at_every_size,
)
each_check = pytest.mark.parametrize("check", CHECKS, ids=[check.__name__ for check in CHECKS])
"""A test of a first screen that is given every check."""


def page_of(notebook: str, place: str) -> Callable[..., object]:
    """A fixture: the page of a notebook once a place of it is there, opened once a file of tests."""

    @pytest.fixture(scope="module")
    def page(shown: Callable[[str, str], object]) -> object:
        return shown(notebook, place)

    return page


def nothing_failed(page: object) -> None:
    """No step of the page failed."""
    assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0
    assert page.locator("text=javascript error").count() == 0
