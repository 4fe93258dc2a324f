"""What the supplies say of a plan: kits that are short, jugs that fill one container less, containers that do not fit, and counts that outlive the keeping time."""

from __future__ import annotations

from maker_kit.findings import Finding, know, look
from maker_kit.formula.batch import counted, full_containers
from maker_kit.formula.changes.shortage import check_kit
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.thickness import thickness_findings
from maker_kit.workshop import Workshop

PRACTICE = "common practice, no source"
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
    """
    return (
        *thickness_findings(workshop, recipe),
        *_container(workshop, recipe),
        *_keeping(recipe, containers),
        *_kits(workshop, recipe),
        *_jugs(workshop, recipe),
    )


def _container(workshop: Workshop, recipe: Recipe) -> list[Finding]:
    box = workshop.container(recipe.container)
    found = []
    if box.kind == "foamer" and recipe.thickener and recipe.percent_of(recipe.thickener) > 0:
        found.append(
            look(
                "container.thick_in_foamer",
                (box.name, recipe.thickener),
                f"A foamer needs a thin liquid, and {recipe.title} is thickened with {recipe.thickener}.",
                next_step="choose a pump or leave the thickener out",
                source=PRACTICE,
            )
        )
    if recipe.fill_ml > box.nominal_ml:
        found.append(
            look(
                "container.note",
                box.name,
                f"{recipe.fill_ml:g} mL is more than the container's nominal {box.nominal_ml:g} mL (to the brim {box.brim_ml:g} mL).",
                next_step="fill less, or choose a larger container",
                source=PRACTICE,
            )
        )
    return found


def _keeping(recipe: Recipe, containers: int) -> list[Finding]:
    if not recipe.use_per_month or recipe.keeps_months is None:
        return [
            look(
                "keeping.unknown",
                recipe.title,
                "How many are used a month, or how long they keep, is not on file: whether so many are used up in time is unknown.",
                level="unknown",
                next_step="write use per month and keeping time into recipes.csv",
            )
        ]
    months = containers / recipe.use_per_month
    words = f"{counted(containers)} at {recipe.use_per_month:g} a month last {months:.2f} months; they keep {recipe.keeps_months:g}"
    source = "keeping time and use from the workshop's own tables; no shelf life was tested here"
    if months > recipe.keeps_months:
        most = int(recipe.keeps_months * recipe.use_per_month + 1e-9)
        return [
            look(
                "keeping.over",
                recipe.title,
                f"{words}: some outlive their keeping time.",
                level="over",
                next_step=f"make at most {most}",
                source=source,
            )
        ]
    return [know("keeping.fine", recipe.title, f"{words}.", level="fine", source=source)]


def _kits(workshop: Workshop, recipe: Recipe) -> list[Finding]:
    found: list[Finding] = []
    for kit in workshop.kits:
        if kit.recipe != recipe.name or kit.makes is None:
            continue
        content = {item: amount for item, amount in kit.content.items() if item in workshop.ingredients}
        checked = check_kit(recipe, content, kit.makes)
        found += [
            Finding(
                f.kind,
                f"{f.topic}.{f.level}",
                (f"{kit.name}: {f.subject}",),
                f.text,
                level=f.level,
                next_step=f.next_step,
                found_percent=f.found_percent,
                limit_percent=f.limit_percent,
                source=f.source,
            )
            for f in checked.findings
        ]
    return found


def _jugs(workshop: Workshop, recipe: Recipe) -> list[Finding]:
    found = []
    for name in dict.fromkeys(line.ingredient for line in recipe.lines):
        share = recipe.percent_of(name)
        if share < MAIN_SHARE_PERCENT or workshop.ingredients[name].function == "solvent":
            continue
        packs = [pack for pack in workshop.market.packs if set(pack.content) == {name}]
        if packs:
            largest = max(packs, key=lambda pack: pack.content[name])
            found.append(full_containers(largest.content[name] / 10, share, recipe).finding(largest.name))
    return found
