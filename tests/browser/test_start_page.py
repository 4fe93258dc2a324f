"""00_start_here in Chromium: its first screen, and the way to the others."""

from __future__ import annotations

from screens import each_check, page_of

page = page_of("00_start_here", ".maker-start-curve")


@each_check
def test_the_first_screen(page, check) -> None:
    check(page, ".maker-start", ".maker-start-curve")


def test_the_first_notebook_leads_to_the_others(page) -> None:
    page.get_by_role("tab", name="map").click()
    page.wait_for_selector(".maker-start-map a")
    assert page.locator(".maker-start-map a", has_text="What goes in?").count() == 1
    page.get_by_role("link", name="Paste my recipe").click()
    page.wait_for_url("**/01a_from_any_text.ipynb*")
