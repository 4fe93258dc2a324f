"""How much of each preservative is in a recipe, and how much of an acid is awake (undissociated) at the pH that was read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.fragrance import is_scent
from maker_kit.formula.limits.limit import salt_factors
from maker_kit.formula.preservation.agents import Agent, Figures, agents_in, figures
from maker_kit.formula.preservation.traces import is_meant_to_preserve, trace_below
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number

DISSOCIATED_BELOW_PERCENT = 5.0
"""An acid with less of it awake than this [%] is called asleep where no other bound is on file (common practice, no source)."""


@dataclass(frozen=True)
class PreservativeRow:
    """One preservative of a recipe.

    Attributes
    ----------
    substance : str
        The acid, or the INCI name of what is no acid.
    acid : bool
    total_percent : float or None
        Least of it in the product [% of the whole], an acid counted as acid with its salts; None where only an unknown amount is there.
    ph_read : float or None
        The pH that was read.
    undissociated_share_percent : float or None
        Share of the acid that is undissociated at that pH [%]; None without a reading or a pKa, and for what is no acid.
    undissociated_percent : float or None
        That much of the product [% of the whole].
    least_undissociated_percent : float or None
        The lowest published amount that held microbes back [% of the whole].
    level : {'fine', 'near', 'under', 'unknown'}
    ingredients : tuple of str
        What brings it.
    trace : bool
        Whether the most that can be there is less than could work, so that it counts for nothing; its level is then ``under``.
    """

    substance: str
    acid: bool
    total_percent: float | None
    ph_read: float | None
    undissociated_share_percent: float | None
    undissociated_percent: float | None
    least_undissociated_percent: float | None
    level: str
    ingredients: tuple[str, ...]
    trace: bool = False


def undissociated_fraction(ph: float, pka: float) -> float:
    """Share of a weak acid that is undissociated ("awake"), 0 to 1.

    ``1 / (1 + 10^(pH − pKa))`` (Henderson and Hasselbalch), for dilute solutions in water.

    Parameters
    ----------
    ph : float
        As read, 0 to 14.
    pka : float

    Returns
    -------
    float

    Raises
    ------
    QuantityError
        If the pH lies outside 0 to 14, or the pKa is no number.
    """
    exact_number(pka, "a pKa")
    return 1 / (1 + 10 ** (float(check_ph(ph)) - pka))


def check_ph(ph: float, what: str = "a pH reading") -> float:
    """The pH itself, if it lies from 0 to 14.

    Raises
    ------
    QuantityError
        If it does not, or is no number.
    """
    value = exact_number(ph, what)
    if not 0 <= value <= 14:
        msg = f"{what} of {ph:g}: a pH lies between 0 and 14; read it again"
        raise QuantityError(msg)
    return float(value)


def preservation_to_frame(rows: Iterable[PreservativeRow]) -> pd.DataFrame:
    """The preservatives as a table: substance, total [%], pH read, awake share [%], awake [%], least published [%], level, ingredients."""
    table = [
        (
            r.substance,
            r.total_percent,
            r.ph_read,
            r.undissociated_share_percent,
            r.undissociated_percent,
            r.least_undissociated_percent,
            r.level,
            ", ".join(r.ingredients),
        )
        for r in rows
    ]
    frame = pd.DataFrame(
        table,
        columns=[
            "preservative",
            "total %",
            "pH read",
            "awake share %",
            "awake %",
            "least published %",
            "level",
            "from",
        ],
    )
    return frame.astype(
        dict.fromkeys(["total %", "pH read", "awake share %", "awake %", "least published %"], "Float64")
    )


def preservation_rows(recipe: Recipe) -> tuple[PreservativeRow, ...]:
    """The preservatives of a recipe, acids with their share awake at the pH that was read.

    What is neither judged by a published amount nor by a supplier's range is a trace where the most of it that can be in the product, untold amounts included (`most_inside`), stays below a tenth of its
    least legal maximum (`trace_below`; the share is common practice, no source), or, for an acid in an untold amount, where so much of it would have less awake than the least published.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    tuple of PreservativeRow

    Raises
    ------
    QuantityError
        If a pH lies outside 0 to 14.
    """
    return tuple(row for row, _ in rows_with_agents(recipe, expand(recipe)))


def rows_with_agents(recipe: Recipe, expansion: Expansion) -> list[tuple[PreservativeRow, Agent]]:
    """The rows of `preservation_rows`, each with the preservative it is of."""
    if recipe.ph_read is not None:
        check_ph(recipe.ph_read)
    scents = {n for n in expansion.percent if is_scent(recipe.ingredients[n])}
    result = []
    for agent in agents_in(
        expansion, scents, salt_factors(), [n for n in expansion.percent if is_meant_to_preserve(recipe.ingredients[n])]
    ):
        known = figures(agent.name)
        share = (
            undissociated_fraction(recipe.ph_read, known.pka)
            if agent.acid and recipe.ph_read is not None and known.pka is not None
            else None
        )
        only_unknown = agent.total == 0 and bool(agent.unknown_in)
        awake = None if share is None or only_unknown else float(agent.total) * share
        level = _acid_level(agent, known, recipe.ph_read, share, awake) if agent.acid else "unknown"
        supplier = _supplier_level(agent, recipe, expansion)
        if level == "unknown" and (not agent.acid or (awake is not None and not known.least_undissociated)):
            level = supplier
        trace = level == "unknown" and (
            agent.most < trace_below(agent.inci)
            or (
                only_unknown
                and share is not None
                and bool(known.least_undissociated)
                and float(agent.most) * share < min(known.least_undissociated)
            )
        )
        row = PreservativeRow(
            agent.name,
            agent.acid,
            None if only_unknown else float(agent.total),
            recipe.ph_read if agent.acid else None,
            None if share is None else 100 * share,
            awake,
            min(known.least_undissociated, default=None),
            "under" if trace else level,
            agent.ingredients,
            trace,
        )
        result.append((row, agent))
    return result


def is_dissociated_by_ph(known: Figures, ph: float, share: float) -> bool:
    """Whether the acid is asleep by the pH alone."""
    return ph > known.works_to_ph if known.works_to_ph is not None else 100 * share < DISSOCIATED_BELOW_PERCENT


def _acid_level(agent: Agent, known: Figures, ph: float | None, share: float | None, awake: float | None) -> str:
    if ph is None or share is None:
        return "unknown"
    high_ph = is_dissociated_by_ph(known, ph, share)
    if agent.unknown_in or awake is None:
        return "under" if high_ph else "unknown"
    if known.least_undissociated:
        if awake < min(known.least_undissociated):
            return "under"
        return "near" if awake < max(known.least_undissociated) or high_ph else "fine"
    if high_ph:
        return "under"
    return "fine" if known.enough_undissociated is not None and awake >= known.enough_undissociated else "unknown"


def _supplier_level(agent: Agent, recipe: Recipe, expansion: Expansion) -> str:
    """By the working range of a bought preservative: fine from its least on, under below it; unknown where no range is on file or the preservative is part of a base."""
    levels = []
    for name in agent.ingredients:
        thing = recipe.ingredients[name]
        if is_meant_to_preserve(thing) and thing.least_percent is not None and name not in agent.unknown_in:
            percent = expansion.percent[name]
            levels.append("under" if percent < exact_number(thing.least_percent) else "fine")
    return "fine" if "fine" in levels else "under" if "under" in levels else "unknown"
