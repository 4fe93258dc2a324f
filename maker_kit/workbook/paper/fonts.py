"""The letters that are printed: DejaVu Sans as matplotlib ships it, measured before it is set, inside every file."""

from __future__ import annotations

from functools import cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from maker_kit.errors import NoticeError
from maker_kit.workbook.faces import BOLD, PLAIN, face_file

_ROOM = "\n\t\u00a0\u202f"
CAPITAL = 0.729
"""Height of a capital letter or a figure in font sizes; a small x is 0.547 (measured in the font's own tables)."""
SMALL = 0.547


@cache
def use_fonts() -> None:
    """Make the fonts known; called before anything is measured or set."""
    for name in (PLAIN, BOLD):
        pdfmetrics.registerFont(TTFont(name, str(face_file(name))))
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)


@cache
def embed_lean() -> None:
    """Have matplotlib leave out of a PDF's fonts what only sets a line (ligatures, kerning): nobody reads that in a
    PDF, where every letter has its place, and to look through it took half of the time of a drawn page.
    """
    from fontTools.subset import Options  # what matplotlib embeds with; pages that flow do without

    kept = getattr(Options, "_drop_tables_default", [])
    kept += [table for table in ("GSUB", "GPOS", "GDEF", "kern") if table not in kept]


def width_pt(text: str, size_pt: float, bold: bool = False) -> float:
    """How wide a text stands in one line [pt]."""
    use_fonts()
    return pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size_pt)


def missing(text: str) -> tuple[str, ...]:
    """The signs of a text that the font cannot print, each once: also what steers a text and is no letter."""
    use_fonts()
    known = pdfmetrics.getFont(PLAIN).face.charToGlyph
    return tuple(dict.fromkeys(c for c in text if c not in _ROOM and (ord(c) not in known or not c.isprintable())))


def printable(text: str) -> str:
    """The text with every sign that cannot be printed written as its number, such as ``[U+1F600]``."""
    lacks = set(missing(text))
    return "".join(f"[U+{ord(c):04X}]" if c in lacks else c for c in text)


def check_printable(text: str, what: str) -> str:
    """The text as it is; raises NoticeError where a sign of it cannot be printed; for labels."""
    lacks = missing(text)
    if lacks:
        said = ", ".join(f"U+{ord(c):04X}" for c in lacks[:5])
        raise NoticeError(f"{what} holds signs that cannot be printed ({said}); write it without them")
    return text
