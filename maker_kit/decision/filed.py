"""Which papers on file count for a recipe, and what they answer of what is not known."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.workshop import Workshop
from maker_kit.workshop.papers import Paper

SHEET = "supplier's sheet"
ANSWERED_BY_A_SHEET = frozenset(
    {
        "limit.law_undisclosed",
        "limit.standard_undisclosed",
        "limit.standard_no_figure",
        "preservation.undisclosed",
        "acid.peel",
        "avoid.undisclosed",
        "law.quality",
    }
)
"""What a supplier can tell and the tables do not hold: how much of something is in a mixture, of what quality, by what
other name. Nothing that the maker has to read, such as a pH, is among them; and no stop is ever answered by a paper.
"""
NOT_OF_SAFETY = frozenset(
    {"keeping", "density", "thickness", "container", "scale", "kit", "emulsion", "plan", "split", "cost"}
)
"""Topics of findings that say nothing of what a product does to anybody: how much, how thick, how full, at what price.
How long it keeps is asked for by itself. Any other topic counts.
"""


def where(paper: Paper) -> str:
    """Where a paper stands in the tables."""
    return f"papers.csv, row {paper.row}"


def as_listed(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether a recipe's lines are those of the workshop's tables: what is on file of a version was made of these."""
    listed = workshop.recipes.get(recipe.name)
    return listed is not None and listed.lines == recipe.lines and listed.version == recipe.version


def papers_of(workshop: Workshop, recipe: Recipe, kind: str) -> tuple[Paper, ...]:
    """The papers of one kind that count for a recipe as it stands: of this recipe and version.

    A supplier's sheet is of no version, and may be of no recipe: it is about what is bought. Every other paper is about
    one recipe, and one without the recipe's version does not count, since nobody knows what it was made for; nor does
    any of them once a slider has changed the lines.
    """
    found, listed = [], as_listed(workshop, recipe)
    for paper in workshop.papers:
        if paper.paper != kind:
            continue
        if kind == SHEET:
            counts = paper.recipe in ("", recipe.name)
        else:
            counts = listed and paper.recipe == recipe.name and name_key(paper.version) == name_key(recipe.version)
        if counts:
            found.append(paper)
    return tuple(found)


def answered(workshop: Workshop, recipe: Recipe, finding: Finding) -> Paper | None:
    """The supplier's sheet that answers an unknown, or None.

    It has to be about every ingredient of the recipe that the finding is about; where the finding names none, about the
    first thing that it names.
    """
    if finding.code not in ANSWERED_BY_A_SHEET or finding.kind == "stop":
        return None
    held = {line.ingredient for line in recipe.lines}
    named = [name for name in finding.about if name in held] or list(finding.about[:1])
    for paper in papers_of(workshop, recipe, SHEET):
        told = set(map(name_key, paper.about))
        if named and all(name_key(name) in told for name in named):
            return paper
    return None


def label_told(workshop: Workshop, recipe: Recipe, gap: Finding) -> Paper | None:
    """The supplier's sheet that answers a gap of the label, or None: one about every bought mixture of the recipe that
    the gap is about, by its own name or by those of what is in it.
    """
    if gap.kind == "stop":
        return None
    about = set(map(name_key, gap.about))
    mixed = [
        line.ingredient
        for line in recipe.lines
        if name_key(line.ingredient) in about
        or (len(names := recipe.ingredients[line.ingredient].inci) > 1 and about & set(map(name_key, names)))
    ]
    for paper in papers_of(workshop, recipe, SHEET):
        told = set(map(name_key, paper.about))
        if mixed and all(name_key(name) in told for name in mixed):
            return paper
    return None


def unknowns(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that say that something is not known which may harm somebody."""
    return tuple(f for f in findings if f.level == "unknown" and f.kind != "stop" and f.topic not in NOT_OF_SAFETY)
