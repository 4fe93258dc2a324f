"""One step of making a recipe: what to do, with which tool, how warm, how long, and how a missed one is mended."""

from __future__ import annotations

import re
from dataclasses import dataclass

from maker_kit.temperature import temperatures_in

HOT_C = 45.0
"""From this temperature [°C] a step counts as hot (common practice, no source)."""
_HOT_WORDS = re.compile(
    r"\b(?:melt\w*|boil\w*|simmer\w*|heat(?:s|ed|ing)?|hot|hotplate|stove|hob|water bath|double boiler|microwave\w*)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Step:
    """One step of making a recipe.

    Attributes
    ----------
    number : int
    text : str
        What to do, in a sentence.
    phase : str
    from_c, to_c : float or None
        Temperature window [°C].
    minutes : float or None
        How long it takes [min].
    tool : str
        What it is done with.
    into : str
        What it goes into.
    fine_until : str
        Until when a delay does no harm, in the maker's words.
    rescue : str
        What to do when it was missed or is late.
    """

    number: int
    text: str
    phase: str = ""
    from_c: float | None = None
    to_c: float | None = None
    minutes: float | None = None
    tool: str = ""
    into: str = ""
    fine_until: str = ""
    rescue: str = ""

    @property
    def is_hot(self) -> bool:
        """Whether its temperature window reaches `HOT_C`, or the maker's own words or tool tell of heat."""
        own = f"{self.text} {self.tool}"
        told = temperatures_in(own)
        return bool(_HOT_WORDS.search(own)) or any(t >= HOT_C for t in (self.from_c, self.to_c, *told) if t is not None)
