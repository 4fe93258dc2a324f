"""What the supplies say of a plan: kits that are short, jugs that fill one container less, containers that do not fit, and counts that outlive the keeping time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from maker_kit.findings import Finding, look
from maker_kit.formula.batch import full_containers
from maker_kit.formula.changes.shortage import check_kit
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.keeping import keeping_finding
from maker_kit.plan.thickness import thickness_findings
from maker_kit.workshop import Workshop

MAIN_SHARE_PERCENT = 50.0
"""A bought base is looked at as a jug from this share of the product on [%]."""


def supply_findings(workshop: Workshop, recipe: Recipe, containers: int) -> tuple[Finding, ...]:
    """All that the supplies have to say of so many containers of a recipe.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    containers : int

    Returns
    -------
    tuple of Finding

    Raises
    ------
    UnknownNameError
        If the workshop has no such container.
    """
    return (
        *thickness_findings(workshop, recipe),
        *_container(workshop, recipe),
        keeping_finding(recipe, containers),
        *_kits(workshop, recipe),
        *_jugs(workshop, recipe),
    )


def _container(workshop: Workshop, recipe: Recipe) -> Iterator[Finding]:
    box = workshop.container(recipe.container)
    if recipe.fill_ml > box.nominal_ml:
        yield look(
            "container.overfilled",
            box.name,
            f"{recipe.fill_ml:g} mL is more than the container's nominal {box.nominal_ml:g} mL "
            f"(to the brim {box.brim_ml:g} mL).",
            next_step="fill less, or choose a larger container",
            source="common practice, no source",
        )


def _kits(workshop: Workshop, recipe: Recipe) -> Iterator[Finding]:
    for kit in workshop.kits:
        if kit.recipe == recipe.name and kit.makes is not None:
            content = {item: amount for item, amount in kit.content.items() if item in workshop.ingredients}
            for f in check_kit(recipe, content, kit.makes).findings:
                yield replace(f, about=(*f.about, kit.name), subject=f"{kit.name}: {f.subject}")


def _jugs(workshop: Workshop, recipe: Recipe) -> Iterator[Finding]:
    for name in dict.fromkeys(line.ingredient for line in recipe.lines):
        share = recipe.percent_of(name)
        packs = [pack for pack in workshop.market.packs if set(pack.content) == {name}]
        if packs and share >= MAIN_SHARE_PERCENT and recipe.ingredients[name].function != "solvent":
            largest = max(packs, key=lambda pack: pack.content[name])
            yield full_containers(largest.content[name] / 10, share, recipe).finding(largest.name)
