"""What US law on file says of a recipe: what 21 CFR 700 and 250 bar, and colours, whose lists are not on file."""

from __future__ import annotations

import re
from collections.abc import Iterable

from maker_kit.findings import Finding, look
from maker_kit.formula.annexes.purpose import serves
from maker_kit.formula.annexes.us import us_rules_of
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import colour_index

_US_NAME = re.compile(r"(?i)^\s*(?:ext\.?\s*)?(?:f\s*d\s*&\s*c|d\s*&\s*c|fdc|fd and c|d and c)\b")
"""How the names of certified colours begin in the US (21 CFR 74 and 82): FD&C, D&C, Ext. D&C."""


def us_findings(recipe: Recipe, contents: Iterable[Content]) -> tuple[Finding, ...]:
    """What 21 CFR 700 and 250 say of a recipe, and which of its colours are unknown in the US.

    Parameters
    ----------
    recipe : Recipe
    contents : iterable of Content
        Its substances.

    Returns
    -------
    tuple of Finding
        Codes ``law.us_prohibited``, ``law.us_restricted`` and ``law.us_colours``.
    """
    found, contents = [], tuple(contents)
    for content in contents:
        for rule in us_rules_of(content.name, recipe.product_type):
            barred = rule.bars(content, recipe.product_type)
            found.append(
                Finding(
                    "stop" if barred else "look",
                    "law.us_prohibited" if barred else "law.us_restricted",
                    (content.name,),
                    f"{content.name}: {rule.says} ({rule.section}).",
                    level="over" if barred else "unknown",
                    next_step="Leave it out, or ask someone who knows US cosmetics law.",
                    source=f"{rule.section} ({rule.checked})",
                )
            )
    if colours := [c.name for c in contents if _is_colour(c)]:
        found.append(
            look(
                "law.us_colours",
                colours,
                f"{', '.join(colours)}: which colours are listed for cosmetics in the US (21 CFR 73, 74 and 82) is "
                "not on file: unknown.",
                subject="US colours",
                level="unknown",
                next_step="Read the lists, or leave colours out.",
                source="none on file",
            )
        )
    return tuple(found)


def _is_colour(content: Content) -> bool:
    return bool(colour_index(content.name) or _US_NAME.match(content.name) or serves(content, "colour"))
