"""Signs that steer a screen, told apart from letters and written out; and what is never set as a formula."""

from __future__ import annotations

import unicodedata

NO_FORMULA = "mathjax_ignore tex2jax_ignore"
"""Class of what JupyterLab's and a web page's MathJax never set as a formula, whatever stands between dollar signs."""
_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that turn the direction of what follows (Unicode Standard Annex #9, Unicode Bidirectional Algorithm)."""


def steers(sign: str) -> bool:
    """Whether a sign is no letter but an order to a screen: a control sign, half of a letter, or one that turns the
    direction of what follows; line ends and tabs are none.
    """
    return sign in _TURNS or (sign not in "\n\r\t" and unicodedata.category(sign) in ("Cc", "Cs"))


def steering(text: str) -> str:
    """The first such sign of a text, written out; empty where there is none."""
    if text.isascii() and text.isprintable():
        return ""
    return next((visible(sign) for sign in text if steers(sign)), "")


def unsteered(text: str) -> str:
    """A text for a terminal: signs that would steer it are written out, a return to the start of the line too."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(visible(s) if s == "\r" or steers(s) else s for s in text)


def visible(text: str, kept: str = "") -> str:
    """A text whose signs that cannot be printed are written out by their number, but for those `kept`."""
    if text.isprintable():
        return text
    return "".join(s if s.isprintable() or s in kept else s.encode("unicode_escape").decode() for s in text)
