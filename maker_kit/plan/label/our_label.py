"""What must stand on the label of a planned recipe in this workshop's market."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pandas as pd

from maker_kit.findings import Finding, in_order
from maker_kit.formula.density import unweighed_density
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.recipe import Recipe
from maker_kit.label import particulars as parts
from maker_kit.label.declaration import declare
from maker_kit.label.declared import Declaration
from maker_kit.label.net_content import NetContent, net_content
from maker_kit.label.particulars import LabelFacts, Particular, particulars
from maker_kit.label.warned import Warned, warnings_for_label
from maker_kit.numbers import exact_number, plain_text
from maker_kit.plan.plan import Plan
from maker_kit.workshop import Workshop

THICK_KINDS = frozenset({"jar", "tin"})
"""Containers that hold what is thick or solid (common practice, no source)."""


@dataclass(frozen=True)
class OurLabel:
    """All that a label must bear.

    Attributes
    ----------
    plan : Plan
    market : {'EU', 'US'}
    facts : LabelFacts
        What the maker told.
    declaration : Declaration
    net : NetContent
    warned : tuple of Warned
    particulars : tuple of Particular
    findings : tuple of Finding
    """

    plan: Plan
    market: str
    facts: LabelFacts
    declaration: Declaration
    net: NetContent
    warned: tuple[Warned, ...]
    particulars: tuple[Particular, ...]
    findings: tuple[Finding, ...]

    @property
    def unfinished(self) -> bool:
        """Whether something has still to be told before it can be printed."""
        return any(f.kind == "stop" or f.level == "missing" for f in self.findings)

    def to_frame(self) -> pd.DataFrame:
        """What must stand on the label, what to print, and who says so."""
        return parts.to_frame(self.particulars)


def our_label(
    plan: Plan,
    facts: LabelFacts | None = None,
    *,
    market: str = "",
    on: date | None = None,
    net: str = "",
    kind: str = "",
    panel_cm2: float | None = None,
) -> OurLabel:
    """The label of a planned recipe.

    Parameters
    ----------
    plan : Plan
    facts : LabelFacts, optional
        What only the maker can tell.
    market : {'', 'EU', 'US'}
        The workshop's unless given.
    on : date, optional
        Day on which the label is used.
    net : str
        Net content; what the recipe fills unless given.
    kind : str
        Kind of content, as `maker_kit.label.net_content.net_content` takes it; by the container unless given.
    panel_cm2 : float, optional
        Area of the main panel [cm²].

    Returns
    -------
    OurLabel

    Raises
    ------
    LabelError, QuantityError
        If the market or the net content cannot be read.
    """
    recipe, facts = plan.recipe, facts or LabelFacts()
    market = market or plan.workshop.settings.market
    expansion = expand(recipe)
    declaration = declare(recipe, market, on=on, expansion=expansion)
    content = _content(plan.workshop, recipe, market, net, kind, panel_cm2)
    warned = warnings_for_label(recipe, market, tested=facts.tested, expansion=expansion)
    found = particulars(recipe, declaration, content, facts, warned)
    notes = (*declaration.findings, *content.findings, *parts.missing(found))
    findings = in_order((*notes, *unweighed_density(recipe)))
    return OurLabel(plan, market, facts, declaration, content, warned, found, findings)


def label_gaps(workshop: Workshop, recipe: Recipe) -> tuple[Finding, ...]:
    """What stops a recipe's label or is not known of what it must say, whatever the maker tells: undisclosed
    compositions, percentages and allergens, and a content that cannot be printed so.

    Parameters
    ----------
    workshop : Workshop
        For its market.
    recipe : Recipe

    Returns
    -------
    tuple of Finding
        Of kind ``stop`` or level ``unknown``, the gravest first.

    Raises
    ------
    LabelError, QuantityError
        As `our_label`.
    """
    market = workshop.settings.market
    content = _content(workshop, recipe, market, "", "", None)
    found = (*declare(recipe, market, expansion=expand(recipe)).findings, *content.findings)
    return in_order(f for f in found if f.kind == "stop" or f.level == "unknown")


def _content(
    workshop: Workshop, recipe: Recipe, market: str, net: str, kind: str, panel_cm2: float | None
) -> NetContent:
    """The net content: what the recipe fills, of a kind by its container, unless given."""
    if not net:
        amount, unit = (recipe.fill_g, "g") if recipe.sold_by_mass else (recipe.fill_ml, "mL")
        net = f"{plain_text(exact_number(amount))} {unit}"
    if not kind:
        kind = "thick" if workshop.container(recipe.container).kind in THICK_KINDS else "liquid"
    return net_content(net, market, kind=kind, density_g_per_ml=recipe.density_g_per_ml, panel_cm2=panel_cm2)
