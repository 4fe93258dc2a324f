"""What a plan is asked with what a maker typed: the calls of the notebooks and of the controls, one a topic."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from maker_kit.errors import MakerKitError
from maker_kit.findings import Finding
from maker_kit.formula.changes.received import Received
from maker_kit.formula.changes.split import UNSCENTED
from maker_kit.formula.emulsion.blend_choice import BlendChoice, choose_blend, own_value
from maker_kit.formula.pasted.recipe_text import RecipeText, read_recipe_text
from maker_kit.formula.preservation.acid_dose import AcidDose, start_dose
from maker_kit.formula.preservation.ph_reading import PhReading, check_reading
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.curve import AUTOMATIC, ThicknessCurve
from maker_kit.formula.thickness.readings import MEASURES
from maker_kit.numbers import typed_number
from maker_kit.plan.scents import SplitPlan, base_in_g, plan_split
from maker_kit.plan.stock import known_names
from maker_kit.plan.thickness import thickness_curve, thickness_findings
from maker_kit.temperature import parse_temperature
from maker_kit.workbook.typed import (
    AMOUNT,
    Part,
    own_of_oils,
    read_answers,
    read_number,
    read_shares,
)
from maker_kit.workshop import Workshop


def pasted(workshop: Workshop, text: str, answers: str = "") -> RecipeText:
    """A recipe in any mess, read; answers are one a line, ``question = answer``."""
    return read_recipe_text(text, workshop.ingredients, read_answers(answers))


def stock_that_came(workshop: Workshop, came: Received | None, have: str = "") -> dict[str, float | Fraction | str]:
    """What is there of each thing: as it was weighed, else as its label says, else as the kit list says; and amounts of
    one's own over it.

    Parameters
    ----------
    workshop : Workshop
    came : Received or None
        What came, and what was weighed of it [g or pieces].
    have : str
        Lines ``Propanediol = 32 g``, or with ";" between them; empty for none.

    Raises
    ------
    MakerKitError
        If a line is none, or names what the workshop does not know.
    """
    rows = came.rows if came else ()
    amounts = {row.item: (row.found, row.label, row.listed) for row in rows}
    told = {item: next((n for n in three if n is not None), None) for item, three in amounts.items()}
    there = {item: amount for item, amount in told.items() if amount is not None}
    return {**there, **known_names(workshop, read_answers(have, AMOUNT))}


def split(workshop: Workshop, recipe: str | Recipe, shares: str | Sequence[Part], have: str = "") -> SplitPlan:
    """One base into many scents.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
    shares : str or sequence of (str, float, int)
        Scent, load of the whole [%] and containers of each part; a text as `read_shares` takes it.
    have : str
        The base there is, such as ``2 gallons``; empty where it is not known.

    Returns
    -------
    SplitPlan

    Raises
    ------
    MakerKitError
        As `read_shares`, `maker_kit.plan.scents.base_in_g` and `maker_kit.plan.scents.plan_split` do.
    """
    parts = read_shares(shares) if isinstance(shares, str) else shares
    wanted = [("" if name.strip() == UNSCENTED else name, load, count) for name, load, count in parts]
    return plan_split(workshop, recipe, wanted, base_in_g(workshop, recipe, have))


def blend(
    workshop: Workshop,
    recipe: str,
    first: str,
    second: str,
    aim: str = "",
    total_percent: float | None = None,
    own_oils: str = "",
    own_first: str = "",
    own_second: str = "",
) -> BlendChoice:
    """A blend of two emulsifiers for a recipe, from what was typed.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
    first, second : str
        Emulsifiers by name.
    aim : str
        HLB to aim at; empty for what the oil phase asks for.
    total_percent : float, optional
        Both emulsifiers together [% of the whole].
    own_oils : str
        Required HLB of oils by the maker's own sources; see `own_of_oils`.
    own_first, own_second : str
        The maker's own HLB of each emulsifier, with where it is from; empty for what is on file.

    Returns
    -------
    BlendChoice

    Raises
    ------
    MakerKitError
        If a value is none, and as `maker_kit.formula.emulsion.blend_choice.choose_blend` does.
    """
    own = {name: own_value(text, name) for name, text in ((first, own_first), (second, own_second)) if text.strip()}
    aimed = read_number(aim, "HLB to aim at", "10")
    return choose_blend(workshop.recipe(recipe), first, second, aimed, total_percent, own_of_oils(own_oils), own)


def acid_start(last_acid: str, last_batch: str, batch: str) -> AcidDose:
    """A start dose of acid from what was typed [g]; see `start_dose`. Raises MakerKitError where a mass is none."""
    typed = zip(
        (last_acid, last_batch, batch), ("acid of last time", "batch of last time", "batch of today"), strict=True
    )
    return start_dose(*(float(typed_number(text, what, "6")) for text, what in typed))


def reading_of(ph: float, tool: str, temperature: str, read_on: date | None = None) -> PhReading | None:
    """A reading of the pH with its tool and the temperature of the sample.

    Parameters
    ----------
    ph : float
    tool : {'', 'strip', 'meter'}
    temperature : str
        As typed [°C]; empty where it was not noted.
    read_on : date, optional
        The day it was read; today unless given.

    Returns
    -------
    PhReading or None
        None where the tool was not noted, since how far it may be off is unknown then.

    Raises
    ------
    QuantityError
        If the temperature is none, and as `maker_kit.formula.preservation.ph_reading.check_reading` does.
    """
    warm = parse_temperature(temperature, bare="C") if temperature.strip() else None
    return check_reading(PhReading(ph, tool, warm, read_on or date.today())) if tool else None


@dataclass(frozen=True)
class Thickness:
    """How thick a recipe comes out, and what is wanted of it.

    Attributes
    ----------
    workshop : Workshop
    recipe : Recipe
    choice, read_as : str
        The curve and the way of reading that were asked for.
    curve : ThicknessCurve or None
        Through the maker's own readings, judged cold and after a night's rest; None where there is none.
    why_not : MakerKitError or None
        Why there is no curve.
    """

    workshop: Workshop
    recipe: Recipe
    choice: str
    read_as: str
    curve: ThicknessCurve | None = None
    why_not: MakerKitError | None = None

    @property
    def level_percent(self) -> float:
        """The thickener's level [% of the whole]."""
        return self.recipe.percent_of(self.recipe.thickener)

    @property
    def wanted(self) -> tuple[float | None, tuple[float, float] | None]:
        """The shop's value and the wanted range, as the curve was read; None where there is none."""
        wish = self.workshop.wanted_thickness(self.recipe.name, self.curve.measure)
        return (wish.shop, wish.band) if wish else (None, None)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """How thick it comes out beside what is wanted; see `thickness_findings`."""
        measure = self.curve.measure if self.curve else self.read_as if self.read_as in MEASURES else ""
        return thickness_findings(self.workshop, self.recipe, self.choice, measure)


def thickness_of(workshop: Workshop, recipe: Recipe, choice: str = AUTOMATIC, read_as: str = "") -> Thickness:
    """How thick a recipe comes out; see `thickness_curve` for the curves, the ways of reading and what may be wrong."""
    asked = (workshop, recipe, choice, read_as)
    try:
        return Thickness(*asked, curve=thickness_curve(*asked))
    except MakerKitError as error:
        return Thickness(*asked, why_not=error)
