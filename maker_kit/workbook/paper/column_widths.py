"""How wide the columns of a printed table are: by content or by shares; a word is split only where it must be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.units import mm

from maker_kit.workbook.paper.fonts import width_pt

PAD = 3.0
"""Room at either side of a cell [pt]."""


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    head : str
    right : bool
        Whether it is set to the right, as figures are.
    least_mm : float
        Its least width, for room to write [mm].
    """

    head: str
    right: bool = False
    least_mm: float = 0.0


def by_content(
    width: float, heads: Sequence[Column], cells: Sequence[Sequence[str]], size: float, longest: int | None = None
) -> list[float] | None:
    """Width of every column [pt], its longest word at least, or so many letters of it; None where they do not stand
    side by side.
    """
    least, whole = least_widths(heads, cells, size, longest), []
    for k, head in enumerate(heads):
        texts = [row[k] for row in cells]
        long = max((width_pt(line, size) for t in texts for line in t.split("\n")), default=0.0)
        whole.append(max(least[k], long + 2 * PAD + 0.1, width_pt(head.head, size, True) + 2 * PAD + 0.1))
    room = width - sum(least)
    if room < 0:
        return None
    more = [w - n for w, n in zip(whole, least, strict=True)]
    share = min(1.0, room / sum(more)) if sum(more) else 0.0
    wide = [n + share * m for n, m in zip(least, more, strict=True)]
    to_write = [k for k, head in enumerate(heads) if head.least_mm]  # what is left over is room to write
    left = (width - sum(wide)) / len(to_write) if to_write else 0.0
    return [w + left if k in to_write else w for k, w in enumerate(wide)]


def least_widths(
    heads: Sequence[Column], cells: Sequence[Sequence[str]], size: float, longest: int | None = None
) -> list[float]:
    """Least width of every column [pt]: its longest word, or so many letters of it, or the room to write."""
    least = []
    for k, head in enumerate(heads):
        words = [w for row in cells for w in re.split(r"[ \n\t]+", row[k])]  # a space that does not break holds two
        top = max((width_pt(w, size, True) for w in head.head.split()), default=0.0)
        long = max((width_pt(w[:longest], size) for w in words), default=0.0)
        least.append(max(top, long, head.least_mm * mm) + 2 * PAD + 0.1)
    return least


def by_shares(
    width: float, heads: Sequence[Column], cells: Sequence[Sequence[str]], size: float, shares: Sequence[float]
) -> list[float] | None:
    """The width shared out [pt]; what a column lacks for its longest word comes from those that have room. None
    where the words do not stand side by side.
    """
    least, fixed = least_widths(heads, cells, size), dict[int, float]()
    while True:
        room = width - sum(fixed.values())
        whole = sum(share for k, share in enumerate(shares) if k not in fixed)
        wide = [fixed.get(k, room * share / whole if whole else 0.0) for k, share in enumerate(shares)]
        short = [k for k, w in enumerate(wide) if w < least[k] - 1e-9 and k not in fixed]
        if not short:
            return wide if sum(wide) <= width + 1e-6 and min(wide) > 0 else None
        fixed |= {k: least[k] for k in short}
