"""The letters of pictures and drawn pages, those of DejaVu Sans as matplotlib ships it; what it lacks becomes a box."""

from __future__ import annotations

from functools import cache

from matplotlib.ft2font import FT2Font

from maker_kit.workbook.faces import BOLD, PLAIN, face_file


@cache
def font(*, bold: bool = False) -> FT2Font:
    """The font itself, for what is measured with it."""
    return FT2Font(str(face_file(BOLD if bold else PLAIN)))


@cache
def _known() -> frozenset[int]:
    return frozenset(font().get_charmap())


def boxed(text: str, kept: str = "\n") -> str:
    """The text with what the font has no letter for, or what steers a screen, put as a box; `kept` stays."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(c if c in kept or (ord(c) in _known() and c.isprintable()) else "□" for c in text)
