"""What a substance is there for, from the maker's words: preservative, colour, UV filter, scent. An annex of such
substances holds for what they are there for.
"""

from __future__ import annotations

import re

from maker_kit.formula.annexes.verdict import Content

WORDS = {
    "preservative": re.compile(r"(?i)preserv|antimicrob|anti-microb|conservant|konservier"),
    "colour": re.compile(r"(?i)colou?r|pigment|\bdye|\bmica\b|lake\b"),
    "UV filter": re.compile(r"(?i)\buv\b|sunscreen|sun filter|sun screen|\bspf\b"),
    "scent": re.compile(r"(?i)scent|fragranc|perfume|parfum|essential|aroma|flavo"),
}


def serves(content: Content, purpose: str) -> bool | None:
    """Whether a substance is there for a purpose; None where nobody says what it is there for.

    Parameters
    ----------
    content : Content
    purpose : {'preservative', 'colour', 'UV filter', 'scent'}

    Returns
    -------
    bool or None
    """
    told = [f for f in content.functions if f.strip()]
    if not told:
        return None
    return any(WORDS[purpose].search(f) for f in told)
