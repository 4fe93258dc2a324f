"""The sliders of a recipe: which one, its scent, batch size, fragrance load, thickener level, the pH that was read."""

from __future__ import annotations

from collections.abc import Callable

from maker_kit.formula.recipe import Recipe
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.workbook.panels.controls import (
    FIELD,
    SLIDER,
    Slider,
    counter,
    dropdown,
    field,
    look,
    recipe_choice,
    watch,
)
from maker_kit.workbook.typed import read_number
from maker_kit.workshop import Workshop

MOST_CONTAINERS = 200
MOST_LOAD, LOAD_STEP, LEVEL_STEP = 3.0, 0.05, 0.01
KEEP = "the recipe's own"


class RecipeSliders:
    """The controls of a recipe, and the plan they stand for.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first; the workshop's first where none is named.
    batch_size : int
        Containers in one batch.
    fragrance_load, thickener_level : float, optional
        Levels to begin with, of the whole [%].
    scent : str
        Another scent to begin with.
    ph_read : float, optional
        A reading to begin with.
    """

    def __init__(
        self,
        workshop: Workshop,
        recipe: str,
        batch_size: int = 12,
        fragrance_load: float | None = None,
        thickener_level: float | None = None,
        scent: str = "",
        ph_read: float | None = None,
    ) -> None:
        self.workshop = workshop
        scents = [i.name for i in workshop.ingredients.values() if i.function == "scent"]
        self.recipe = recipe_choice(workshop, recipe)
        self.scent = dropdown("scent", [KEEP, *scents], scent or KEEP, **look(FIELD, SLIDER[0]))
        read = "" if ph_read is None else f"{ph_read:g}"
        self.ph = field("pH that was read", read, _reading(self._made), **look(FIELD, SLIDER[0]))
        of_whole = "% of the whole"
        self.size = counter(
            "batch size", "containers", batch_size, MOST_CONTAINERS, css="maker-batch-size", widths=SLIDER
        )
        wide = {"widths": SLIDER}
        self.load = Slider("fragrance load", of_whole, 0, 0, MOST_LOAD, LOAD_STEP, css="maker-fragrance-load", **wide)
        self.thickener = Slider("thickener level", of_whole, 0, 0, 1.5, LEVEL_STEP, css="maker-thickener-level", **wide)
        self.rows = (self.recipe, self.scent, self.size.row, self.load.row, self.thickener.row)
        self._quiet = False
        self._call: Callable[..., None] = lambda: None
        self._fit(fragrance_load, thickener_level)
        self.recipe.observe(self._changed_recipe, names="value")
        for control in (self.scent, self.ph, self.size, self.load, self.thickener):
            watch(control, self._changed)

    @property
    def _made(self) -> Recipe:
        return self.workshop.recipe(self.recipe.value)

    def watch(self, call: Callable[..., None]) -> None:
        """Call whenever anything changed; once, where another recipe changes several controls."""
        self._call = call

    def plan(self, *, batches: int = 1) -> Plan:
        """The plan that the controls stand for.

        Raises
        ------
        MakerKitError
            As `make_plan` does.
        NoticeError
            If what was typed as a reading is no number.
        """
        recipe = self._made
        return make_plan(
            self.workshop,
            recipe.name,
            batch_size=self.size.value,
            batches=batches,
            scent="" if self.scent.value == KEEP else self.scent.value,
            ph_read=read_number(self.ph.value, "pH", "5.2"),
            fragrance_load=level_moved(self.load, recipe, recipe.scent),
            thickener_level=level_moved(self.thickener, recipe, recipe.thickener),
        )

    def _fit(self, load: float | None = None, level: float | None = None) -> None:
        """Give the sliders the range and the levels of the recipe."""
        recipe = self._made
        scent, thickener = recipe.scent, recipe.thickener
        self.load.enable(bool(scent))
        self.scent.disabled = not scent
        own = level_of(recipe, scent)
        self.load.reach(own if load is None else load, 0.0, max(MOST_LOAD, load or 0.0), LOAD_STEP)
        self.thickener.enable(bool(thickener))
        own = level_of(recipe, thickener)
        most = 1.5 * (recipe.ingredients[thickener].most_percent or 2 * own) if thickener else 1.0
        level = own if level is None or not thickener else level
        self.thickener.reach(level, 0.0, max(most, own, level), LEVEL_STEP)

    def _changed(self, *_: object) -> None:
        if not self._quiet:
            self._call()

    def _changed_recipe(self, *_: object) -> None:
        self._quiet = True
        try:
            self._fit()
            self.scent.value, self.ph.value, self.ph.placeholder = KEEP, "", _reading(self._made)
        finally:
            self._quiet = False
        self._changed()


def level_moved(slider: Slider, recipe: Recipe, ingredient: str) -> float | None:
    """The level that a slider was moved to [% of the whole]; None where it stands at the recipe's own, which may have
    more digits than the slider, in a recipe without a balance that could take up the difference.
    """
    return slider.value if ingredient and not slider.stands_at(level_of(recipe, ingredient)) else None


def level_of(recipe: Recipe, ingredient: str) -> float:
    """Percent of an ingredient of a recipe [% of the whole]; 0 where none is named."""
    return recipe.percent_of(ingredient) if ingredient else 0.0


def _reading(recipe: Recipe) -> str:
    if not recipe.holds_water:
        return "no water in it, no pH to read"
    return (
        f"{recipe.ph_in_words} ({recipe.ph_noted or 'last reading on file'})" if recipe.ph_in_words else "none on file"
    )
