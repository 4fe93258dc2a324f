"""The warnings that a label has to bear: the law's own words, without what the law says around them.

The annexes' column of wordings also holds which uses a wording is for, headings, footnotes, and conditions of a
substance; what is cut away is told beside the warning, never lost.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from maker_kit import reference
from maker_kit.formula.annexes.verdict import NEEDS_WARNING
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.law import law_verdicts
from maker_kit.formula.notes.hazards import hazards
from maker_kit.formula.recipe import Recipe

US_WARNINGS = "us_label_warnings.csv"
RELEASES = "releases formaldehyde"
_QUOTES = "'\"‘’“”"
_LETTER = r"\(?[a-z]\)(?:\s*\((?:i|ii|iii)\))?"
_USES = re.compile(rf"^(?:For\s+)?{_LETTER}(?:(?:\s*,\s*|\s+and\s+|\s*){_LETTER})*\s*:?\s*(?:\d\.\s*)?")
_HEADING = re.compile(
    r"(?i)^(?:as from \d+ \w+ \d{4},?\s*)?(?:conditions of use|warnings(?: to be printed on the label)?|"
    r"to be print\w+ on the label)\s*:\s*|^as from \d+ \w+ \d{4}\s*:\s*"
)
_WHEN = re.compile(r"(?i)^(?:for (?!professional)|above )[^:]*?(?:labelling is obligatory)?\s*:\s*")
_FOOTNOTE = re.compile(r"(?i)^(?:\*|footnote|\(\d+\s*\))")
_OF = re.compile(r"^(?!Do )(?:\w+ ?){1,3}:$")
_STOP_INSIDE = re.compile(rf"([.!])?[{_QUOTES}]+([.!])?$")
_MARK = re.compile(r"\s*(?:\*+|\(\*\)|\(\d+\))\s*$")


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
        for text, when in printable(v.wording)
    ]
    found += [Warned(RELEASES, f.about, f.source) for f in hazards(recipe, expansion) if f.code == "law.formaldehyde"]
    return tuple(dict.fromkeys(found))


def printable(wording: str) -> tuple[tuple[str, str], ...]:
    """The texts to be printed of an annex's wording, each with what the law says around it.

    Parameters
    ----------
    wording : str
        As the annex has it; its lines parted by " | ".

    Returns
    -------
    tuple of (str, str)
        Text, and for which uses or under which condition.
    """
    found: list[tuple[str, str]] = []
    uses = ""
    lines = [line.strip() for line in wording.split(" | ")]
    footnotes = " ".join(line for line in lines if _FOOTNOTE.match(line))
    for line in lines:
        if line.casefold().startswith("only nanomaterials"):
            break  # what follows is what the substance has to be, and nothing to print
        if _FOOTNOTE.match(line):
            continue
        told = _USES.match(line)
        if told:
            uses, line = told[0].removeprefix("For ").strip(" :"), line[told.end() :]
        line = _HEADING.sub("", re.sub(r"^(?:[-–—]\s*|\d\.\s+)(?=[A-Z])", "", line))
        if _OF.match(line):
            uses = line.rstrip(":")
            continue
        when = _WHEN.match(line)
        text = _MARK.sub("", line[when.end() :] if when else line).strip().lstrip(_QUOTES)
        text = _STOP_INSIDE.sub(lambda end: end[1] or end[2] or "", text).strip()
        if re.search(r"[^\W\d]{2}", text):
            around = [f"of the law's {uses}" if uses else "", when[0].strip(" :") if when else "", footnotes]
            found.append((text, "; ".join(part for part in around if part)))
    return tuple(dict.fromkeys(found))
