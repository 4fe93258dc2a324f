"""Below which amount a preservative is a trace that counts for nothing."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from maker_kit.formula.limits.worst_end import legal_maxima

TRACE_SHARE = Fraction(1, 10)
"""A preservative below this share of its legal maximum is a trace: those in use stand between a tenth and the whole of
it (common practice, no source)."""
TRACE_WITHOUT_MAXIMUM = Fraction(1, 10)
"""Below this a preservative of which no legal maximum is on file is a trace [% of the whole]; common practice, no
source."""


def trace_below(inci: Iterable[str]) -> Fraction:
    """Below this a preservative is a trace [% of the whole].

    ``TRACE_SHARE · m`` with `m` the least of its legal maxima (Annex V; the share is common practice, no source);
    `TRACE_WITHOUT_MAXIMUM` where none is on file.

    Parameters
    ----------
    inci : iterable of str
        INCI names of the preservative; an acid with its salts together, counted as acid.
    """
    known = legal_maxima(tuple(inci))
    return TRACE_SHARE * known[0] if known else TRACE_WITHOUT_MAXIMUM
