"""How a browser test moves a control and knows that the picture has followed."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import TimeoutError as LateError


def press(page: object, selector: str, key: str, picture: str, *, times: int = 1) -> None:
    """Press a key on a slider's handle and wait until the picture has changed and is complete."""
    before = page.locator(picture).get_attribute("src")
    page.locator(f"{selector} .noUi-handle").first.focus()
    for _ in range(times):
        page.keyboard.press(key)
    page.wait_for_function(
        "([selector, before]) => { const i = document.querySelector(selector);"
        " return i && i.src !== before && i.complete && i.naturalWidth > 0; }",
        arg=[picture, before],
    )


def insist(page: object, act: Callable[[], None], place: str, text: str, *, times: int = 20) -> None:
    """Do something until a text stands in a place: what is typed into a row that is just being drawn anew is lost."""
    for left in range(times, 0, -1):
        act()
        try:
            page.wait_for_function(
                "([place, text]) => { const e = document.querySelector(place);"
                " return e && e.innerText.includes(text); }",
                arg=[place, text],
                timeout=6_000,
            )
        except LateError:
            if left == 1:
                raise
        else:
            return
