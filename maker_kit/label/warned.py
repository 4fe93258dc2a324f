"""The warnings that a label has to bear: the law's own words, without what the law says around them; that is told
beside the warning, never lost.
"""

from __future__ import annotations

from dataclasses import dataclass

from maker_kit import reference
from maker_kit.formula.annexes.verdict import NEEDS_WARNING
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.law import law_verdicts
from maker_kit.formula.notes.hazards import hazards
from maker_kit.formula.recipe import Recipe

US_WARNINGS = "us_label_warnings.csv"
RELEASES = "releases formaldehyde"


@dataclass(frozen=True)
class Warned:
    """One warning to be printed, in the law's words, and who says so.

    Attributes
    ----------
    text : str
    about : tuple of str
        Substances that set it off.
    source : str
    when : str
        What the law says around it: for which uses, from which amount, a footnote.
    """

    text: str
    about: tuple[str, ...]
    source: str
    when: str = ""


def warnings_for_label(
    recipe: Recipe, market: str = "EU", *, tested: bool = False, expansion: Expansion | None = None
) -> tuple[Warned, ...]:
    """The warnings that a recipe sets off.

    Parameters
    ----------
    recipe : Recipe
    market : {'EU', 'US'}
        EU: the wording of Annexes III–VI, and releasers of formaldehyde. US: 21 CFR 740, as far as it is on file.
    tested : bool
        Whether its safety has been substantiated (US).
    expansion : Expansion, optional

    Returns
    -------
    tuple of Warned
        Nothing found is no promise that none is due.
    """
    if market == "US":
        due = {
            "always": not tested,
            "spray": recipe.product_type.spray,
            "foaming bath": "bath" in recipe.title.casefold(),
        }
        rows = (r for r in reference.rows(US_WARNINGS, columns=("when", "text", "source", "checked")) if due[r["when"]])
        return tuple(Warned(r["text"], (), reference.source_of(r)) for r in rows)
    expansion = expansion or expand(recipe)
    found = [
        Warned(text, v.names, v.source, when)
        for v in law_verdicts(recipe, expansion)
        if v.code == NEEDS_WARNING
        for text, when in v.printed
    ]
    found += [Warned(RELEASES, f.about, f.source) for f in hazards(recipe, expansion) if f.code == "law.formaldehyde"]
    return tuple(dict.fromkeys(found))
