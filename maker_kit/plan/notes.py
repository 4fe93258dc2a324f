"""What a workshop has to say of a recipe beside what the tables say: thickness, containers, keeping time, kits, jugs
and the avoid-list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from maker_kit.findings import Finding, know, look
from maker_kit.formula.batch import counted, full_containers
from maker_kit.formula.changes.shortage import check_kit
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.preservation.old_reading import old_reading
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.thickness import thickness_findings
from maker_kit.units import exact_number
from maker_kit.workshop import Workshop
from maker_kit.workshop.slips.asked import Topic

MAIN_SHARE_PERCENT = 50.0
"""A bought base is looked at as a jug from this share of the product on [%]."""
KEEPING_SOURCE = "keeping time and use from the workshop's own tables; no shelf life was tested here"
MEND = "mend the tables: maker-kit check names every fault"


def used_in_time(recipe: Recipe) -> Fraction | None:
    """Most containers that are used up within the keeping time, counted from today, exactly.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Fraction or None
        ``keeping time [months] · use [containers a month]``; None where either is unknown.
    """
    if recipe.keeps_months is None or not recipe.use_per_month:
        return None
    return exact_number(recipe.keeps_months, "the keeping time") * exact_number(
        recipe.use_per_month, "the use per month"
    )


def keeping_finding(recipe: Recipe, containers: int) -> Finding:
    """Whether so many containers are used up within the keeping time: they are, some outlive it, or it is unknown."""
    most = used_in_time(recipe)
    if most is None:
        return know(
            "keeping.unknown",
            recipe.title,
            "How many are used a month, or how long they keep, is not on file: "
            "whether so many are used up in time is unknown.",
            level="unknown",
            next_step="write use per month and keeping time into recipes.csv",
        )
    words = (
        f"{counted(containers)} at {recipe.use_per_month:g} a month last{'s' * (containers == 1)} "
        f"{containers / recipe.use_per_month:.2f} months; {'it keeps' if containers == 1 else 'they keep'} "
        f"{recipe.keeps_months:g}"
    )
    if containers > most:
        return look(
            "keeping.over",
            recipe.title,
            f"{words}: some outlive their keeping time.",
            level="over",
            next_step=f"make at most {int(most)}",
            source=KEEPING_SOURCE,
        )
    return know("keeping.fine", recipe.title, f"{words}.", level="fine", source=KEEPING_SOURCE)


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
        packs = [pack for pack in workshop.market.holding(name) if len(pack.content) == 1]
        if packs and share >= MAIN_SHARE_PERCENT and recipe.ingredients[name].function != "solvent":
            largest = max(packs, key=lambda pack: pack.content[name])
            yield full_containers(largest.content[name] / 10, share, recipe).finding(largest.name)


def avoid_findings(workshop: Workshop, recipe: Recipe, *, expansion: Expansion | None = None) -> tuple[Finding, ...]:
    """What the workshop's avoid-list has to say of a recipe: found, not known, or nothing by that name; none where the
    list is empty.

    Raises
    ------
    QuantityError, RecipeError
        As `maker_kit.formula.notes.avoid.check_avoided` does.
    """
    checked = check_avoided(recipe, workshop.avoid, workshop.known_names, expansion=expansion)
    return tuple(dict.fromkeys(checked.findings))


def not_counted_findings(workshop: Workshop) -> tuple[Finding, ...]:
    """What could not be read of the tables and may concern any recipe, each as unknown: own limits, the avoid-list,
    rows about a mixture that nobody lists. Empty for tables without a fault.

    Parameters
    ----------
    workshop : Workshop
        Read whole, or partly.
    """
    return tuple(
        look(
            "table.not_counted",
            fault.file,
            f"This could not be read and is not counted here: {fault.sentence()}.",
            level="unknown",
            next_step=MEND,
        )
        for fault in workshop.not_counted
    )


def asked_findings(workshop: Workshop, recipe: Recipe, items: Iterable[str]) -> tuple[Finding, ...]:
    """The questions about cells that a recipe stands on, one a cell: its own rows, what it is made from, its container,
    the shop product beside it, kits for it, and whoever sells any of its items.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    items : iterable of str
        What one batch takes from the market.

    Returns
    -------
    tuple of Finding
    """
    if not workshop.asked:
        return ()
    mine = {Topic("workshop", ""), Topic.of("recipe", recipe.name), Topic.of("container", recipe.container)}
    mine |= {Topic.of("shop product", recipe.shop_product)} if recipe.shop_product else set()
    mine |= {Topic.of("ingredient", name) for name in (*recipe.ingredients, *items)}
    mine |= {Topic.of("supplier", s.name) for s in workshop.market.for_items(items).suppliers}
    kits = [kit for kit in workshop.kits if kit.recipe == recipe.name]
    mine |= {Topic.of("kit", kit.called) for kit in kits}
    mine |= {Topic("recipe", name_key(recipe.title))}
    return tuple(
        look(
            question.code,
            (question.topic.name or question.file, question.file, str(question.row), question.column),
            question.asks(),
            subject=question.where,
            next_step=question.mend,
            source=question.source,
        )
        for question in workshop.asked
        if question.topic in mine
    )


def ph_findings(workshop: Workshop, recipe: Recipe) -> tuple[Finding, ...]:
    """What the bench log says of a recipe's last pH, and that it holds no longer where a slider changed what it was
    read of; nothing where no log was asked or another reading was given.
    """
    listed, told = workshop.recipes.get(recipe.name), workshop.logged.get(recipe.name)
    if told is None or listed is None:
        return ()
    if listed.ph_noted and recipe.ph_read is not None and not recipe.ph_noted:
        return ()
    return (told, *(old_reading(listed, recipe) if listed.ph_noted else ()))
