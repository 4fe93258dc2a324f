"""Substances that no table knows: named, never passed over; a name that is nearly a published one is asked about."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding, look
from maker_kit.formula.annexes.verdicts import named
from maker_kit.formula.inside.composition import Expansion, FoundSubstance
from maker_kit.formula.kinds import SCENT_NAMES
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import either_of, known, substance_key
from maker_kit.formula.substances.near import near_names
from maker_kit.names import name_key


def unknown_substances(recipe: Recipe, expansion: Expansion, own: Iterable[Limit] = ()) -> tuple[Finding, ...]:
    """What no table knows among a recipe's substances: one look for all, and one for each name that is nearly a known
    one.

    Known is what the annexes of the law name, what ``substance_names.csv`` or ``plain_carriers.csv`` has, and what the
    maker's own limits name.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion
    own : iterable of Limit
        The maker's own limits.

    Returns
    -------
    tuple of Finding
        Codes ``substance.unknown`` and ``substance.near_miss``.
    """
    mine = {substance_key(n) for limit in own for n, _ in limit.counts}
    odd = [
        row.substance
        for row in expansion.rows
        if name_key(row.substance) not in SCENT_NAMES
        and (_ambiguous(row, recipe) or not (known(row.substance) or named(row.substance)))
        and substance_key(row.substance) not in mine
    ]
    near = {name: near_names(name) for name in odd}
    found = [
        look(
            "substance.near_miss",
            name,
            f"{name}: {'it may be several things' if either_of(name) else 'no table knows it'}; did you mean "
            f"{' or '.join(meant)}? Until it is spelt as on the supplier's paper, its limits are not looked at.",
            level="unknown",
            next_step="Correct the INCI name, or ask the supplier.",
            source="names of the annexes of Regulation (EC) No 1223/2009 and of the tables on file",
        )
        for name, meant in near.items()
        if meant
    ]
    if rest := [name for name, meant in near.items() if not meant]:
        found.append(
            look(
                "substance.unknown",
                rest,
                f"No table on file knows {', '.join(rest)}: whether the law restricts it, and what it does to skin, "
                "is unknown.",
                subject=", ".join(rest),
                level="unknown",
                next_step="Ask the supplier for the INCI name and the safety sheet, and someone who knows the law.",
                source="all tables on file",
            )
        )
    return tuple(found)


def _ambiguous(row: FoundSubstance, recipe: Recipe) -> bool:
    """Whether a short name that several substances go by is not told apart by what it is there for."""
    functions = {name_key(recipe.ingredients[line].function) for line in row.lines}
    return bool(either_of(row.substance)) and functions != {"antioxidant"}
