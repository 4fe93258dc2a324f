"""The sliders of a recipe: which one, its scent, batch size, fragrance load, thickener level, and the pH that was read."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from maker_kit.errors import NoticeError, QuantityError
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import typed_number
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.workbook.panels.controls import Level
from maker_kit.workshop import Workshop

MOST_CONTAINERS = 200
LOADS = (0.0, 3.0, 0.05)
KEEP = "the recipe's own"
WIDE = {"style": {"description_width": "11em"}}


class Levels:
    """The controls of a recipe, and the plan they stand for.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
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
        shown = workshop.recipe(recipe)
        scents = [i.name for i in workshop.ingredients.values() if i.function == "scent"]
        self.recipe = w.Dropdown(
            options=[(r.title, r.name) for r in workshop.recipes.values()],
            value=shown.name,
            description="recipe",
            layout=w.Layout(width="34em"),
            **WIDE,
        )
        self.scent = w.Dropdown(
            options=[KEEP, *scents], value=scent or KEEP, description="scent", layout=w.Layout(width="34em"), **WIDE
        )
        self.ph = w.Text(
            value="" if ph_read is None else f"{ph_read:g}",
            placeholder=_reading(shown),
            description="pH that was read",
            continuous_update=False,
            layout=w.Layout(width="34em"),
            **WIDE,
        )
        self.size = Level("batch size", "containers", batch_size, 1, max(MOST_CONTAINERS, batch_size), 1, whole=True)
        self.load = Level("fragrance load", "% of the whole", 0, *LOADS)
        self.level = Level("thickener level", "% of the whole", 0, 0.0, 1.5, 0.01)
        for control, name in (
            (self.size, "maker-batch-size"),
            (self.load, "maker-fragrance-load"),
            (self.level, "maker-thickener-level"),
        ):
            control.row.add_class(name)
        self.rows = (self.recipe, self.scent, self.size.row, self.load.row, self.level.row)
        self._quiet = False
        self._calls: list[Callable[..., None]] = []
        self._fit(shown, fragrance_load, thickener_level)
        self.recipe.observe(self._changed_recipe, names="value")
        for control in (self.scent, self.ph):
            control.observe(self._changed, names="value")
        for level in (self.size, self.load, self.level):
            level.watch(self._changed)

    def watch(self, call: Callable[..., None]) -> None:
        """Call whenever anything changed; once, where another recipe changes several controls."""
        self._calls.append(call)

    def plan(self, *, batches: int = 1) -> Plan:
        """The plan that the controls stand for.

        Raises
        ------
        MakerKitError
            As `make_plan` does.
        NoticeError
            If what was typed as a reading is no number.
        """
        recipe = self.workshop.recipe(self.recipe.value)
        return make_plan(
            self.workshop,
            recipe.name,
            batch_size=int(self.size.value),
            batches=batches,
            scent="" if self.scent.value == KEEP else self.scent.value,
            ph_read=_number(self.ph.value),
            fragrance_load=self.load.value if recipe.scent else None,
            thickener_level=self.level.value if recipe.thickener else None,
        )

    def _fit(self, recipe: Recipe, load: float | None = None, level: float | None = None) -> None:
        """Give the sliders the range and the levels of a recipe."""
        self.load.enable(bool(recipe.scent))
        self.scent.disabled = not recipe.scent
        self.load.reach(
            load if load is not None else recipe.percent_of(recipe.scent) if recipe.scent else 0.0,
            LOADS[0],
            max(LOADS[1], load or 0.0),
            LOADS[2],
        )
        self.level.enable(bool(recipe.thickener))
        if recipe.thickener:
            own = recipe.percent_of(recipe.thickener)
            most = recipe.ingredients[recipe.thickener].most_percent or 2 * own
            self.level.reach(level if level is not None else own, 0.0, max(1.5 * most, own, level or 0.0), 0.01)
        else:
            self.level.reach(0.0, 0.0, 1.0, 0.01)

    def _changed(self, *_: object) -> None:
        if not self._quiet:
            for call in self._calls:
                call()

    def _changed_recipe(self, *_: object) -> None:
        self._quiet = True
        try:
            recipe = self.workshop.recipe(self.recipe.value)
            self._fit(recipe)
            self.scent.value, self.ph.value, self.ph.placeholder = KEEP, "", _reading(recipe)
        finally:
            self._quiet = False
        self._changed()


def _reading(recipe: Recipe) -> str:
    if not recipe.holds_water:
        return "no water in it, no pH to read"
    return "none on file" if recipe.ph_read is None else f"{recipe.ph_read:g} (last reading on file)"


def _number(text: str) -> float | None:
    try:
        return float(typed_number(text, "a pH", "5.2")) if text.strip() else None
    except QuantityError as error:
        msg = f'"{text}" is no pH: write a number such as 5.2, or leave it empty'
        raise NoticeError(msg) from error
