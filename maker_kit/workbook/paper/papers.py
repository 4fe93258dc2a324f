"""The papers that sheets are printed on, for all of them, whichever library draws the page."""

from __future__ import annotations

from maker_kit.label.sheet import PAGES
from maker_kit.names import look_up, name_key

PAPERS = ("A4", "Letter")
"""What a sheet can be printed on; their sides stand in `maker_kit.label.sheet.PAGES`."""


def paper_size(paper: str) -> tuple[float, float]:
    """Width and height of a paper [mm]; raises UnknownNameError where there is none of that name."""
    name = look_up(paper, dict(zip(PAPERS, PAPERS, strict=True)), f'there is no paper "{paper}"')
    wide, high = PAGES[name_key(name)]
    return float(wide), float(high)
