"""How much of each preservative is in a recipe, and how much of an acid is undissociated (works) at the pH that was
read.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from maker_kit.errors import QuantityError
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.worst_end import is_meant_to_preserve
from maker_kit.formula.preservation.agents import Agent, Figures, agents_in, figures
from maker_kit.formula.preservation.traces import trace_below
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number

DISSOCIATED_BELOW_PERCENT = 5.0
"""An acid with less of it undissociated than this [%] is taken not to work where no other bound is on file (common
practice, no source)."""


@dataclass(frozen=True)
class PreservativeRow:
    """One preservative of a recipe.

    Attributes
    ----------
    agent : Agent
        What it is, how much of it there is, and what brings it.
    figures : Figures
        What is published of it.
    ph_read : float or None
        The pH that was read; None for what is no acid.
    undissociated_share_percent : float or None
        Share of the acid that is undissociated at that pH, and works [%]; None without a reading or a pKa, and for what
        is no acid.
    undissociated_percent : float or None
        That much of the product [% of the whole].
    level : {'fine', 'near', 'under', 'unknown'}
    trace : bool
        Whether the most that can be there is less than could work, so that it counts for nothing; its level is then
        ``under``.
    """

    agent: Agent
    figures: Figures
    ph_read: float | None
    undissociated_share_percent: float | None
    undissociated_percent: float | None
    level: str
    trace: bool = False

    @property
    def substance(self) -> str:
        """The acid, or the INCI name of what is no acid."""
        return self.agent.name

    @property
    def acid(self) -> bool:
        """Whether it is an acid, which works only as far as it is undissociated."""
        return self.agent.acid

    @property
    def ingredients(self) -> tuple[str, ...]:
        """What brings it."""
        return self.agent.ingredients

    @property
    def only_undisclosed(self) -> bool:
        """Whether nobody has told how much of it is there at all."""
        return self.agent.total == 0 and bool(self.agent.unknown_in)

    @property
    def total_percent(self) -> float | None:
        """Least of it in the product [% of the whole], an acid counted as acid with its salts; None where only an
        unknown amount is there.
        """
        return None if self.only_undisclosed else float(self.agent.total)

    @property
    def least_undissociated_percent(self) -> float | None:
        """The lowest published amount that held microbes back [% of the whole]."""
        return min(self.figures.least_undissociated, default=None)

    @property
    def dissociated_by_ph(self) -> bool:
        """Whether the pH alone keeps the acid from working: above what common practice trusts it to, or with hardly any
        of it undissociated.
        """
        if self.figures.works_to_ph is not None:
            return self.ph_read > self.figures.works_to_ph
        return self.undissociated_share_percent < DISSOCIATED_BELOW_PERCENT


def undissociated_fraction(ph: float, pka: float) -> float:
    """Share of a weak acid that is undissociated, 0 to 1: the part of the acid that works.

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
        raise QuantityError(f"{what} of {ph:g}: a pH lies between 0 and 14; read it again")
    return float(value)


def preservation_rows(recipe: Recipe, expansion: Expansion | None = None) -> tuple[PreservativeRow, ...]:
    """The preservatives of a recipe, acids with the share that is undissociated at the pH that was read.

    What is neither judged by a published amount nor by a supplier's range is a trace where the most of it that can be
    in the product, undisclosed amounts included (`most_inside`), stays below a tenth of its least legal maximum
    (`trace_below`; the share is common practice, no source), or, for an acid in an undisclosed amount, where so much of
    it would have less undissociated than the least published.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of PreservativeRow

    Raises
    ------
    QuantityError
        If a pH lies outside 0 to 14.
    """
    if recipe.ph_read is not None:
        check_ph(recipe.ph_read)
    expansion = expansion or expand(recipe)
    return tuple(_row(agent, recipe, expansion) for agent in agents_in(recipe, expansion))


def _row(agent: Agent, recipe: Recipe, expansion: Expansion) -> PreservativeRow:
    known = figures(agent.name)
    ph = recipe.ph_read if agent.acid else None
    share = None if ph is None or known.pka is None else undissociated_fraction(ph, known.pka)
    row = PreservativeRow(agent, known, ph, None if share is None else 100 * share, None, "unknown")
    least = row.least_undissociated_percent
    works = None if share is None or row.only_undisclosed else float(agent.total) * share
    row = replace(row, undissociated_percent=works)
    level = _acid_level(_at_worst(row, recipe)) if agent.acid and share is not None else "unknown"
    if level == "unknown" and (not agent.acid or (works is not None and least is None)):
        level = _supplier_level(agent, recipe, expansion)
    hardly = row.only_undisclosed and share is not None and least is not None and float(agent.most) * share < least
    trace = level == "unknown" and (agent.most < trace_below(agent.inci) or hardly)
    return replace(row, level="under" if trace else level, trace=trace)


def _at_worst(row: PreservativeRow, recipe: Recipe) -> PreservativeRow:
    """The row at the highest pH that the reading may mean: least of the acid works there."""
    ph = recipe.ph_span[1]
    if ph == row.ph_read or row.figures.pka is None:
        return row
    share = undissociated_fraction(ph, row.figures.pka)
    works = None if row.undissociated_percent is None else float(row.agent.total) * share
    return replace(row, ph_read=ph, undissociated_share_percent=100 * share, undissociated_percent=works)


def _acid_level(row: PreservativeRow) -> str:
    """How much of an acid works, against what is published; only for one with a reading and a pKa."""
    works, published, enough = (
        row.undissociated_percent,
        row.figures.least_undissociated,
        row.figures.enough_undissociated,
    )
    if row.agent.unknown_in or works is None:
        return "under" if row.dissociated_by_ph else "unknown"
    if published and works < min(published):
        return "under"
    if published:
        return "near" if works < max(published) or row.dissociated_by_ph else "fine"
    if row.dissociated_by_ph:
        return "under"
    return "fine" if enough is not None and works >= enough else "unknown"


def _supplier_level(agent: Agent, recipe: Recipe, expansion: Expansion) -> str:
    """By the working range of a bought preservative: fine from its least on, under below it; unknown where no range is
    on file or the preservative is part of a base.
    """
    levels = []
    for name in agent.ingredients:
        thing = recipe.ingredients[name]
        if is_meant_to_preserve(thing) and thing.least_percent is not None and name not in agent.unknown_in:
            percent = expansion.percent[name]
            levels.append("under" if percent < exact_number(thing.least_percent) else "fine")
    return "fine" if "fine" in levels else "under" if "under" in levels else "unknown"
