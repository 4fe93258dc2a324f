"""How a browser test moves a control and knows that the picture has followed."""

from __future__ import annotations


def press(page: object, selector: str, key: str, picture: str, *, times: int = 1) -> None:
    """Press a key on a slider's handle and wait until the picture has changed and is complete."""
    before = page.locator(picture).get_attribute("src")
    page.locator(f"{selector} .noUi-handle").first.focus()
    for _ in range(times):
        page.keyboard.press(key)
    page.wait_for_function(
        "([selector, before]) => { const i = document.querySelector(selector); return i && i.src !== before && i.complete && i.naturalWidth > 0; }",
        arg=[picture, before],
    )
