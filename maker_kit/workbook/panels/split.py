"""One base in many scents: a row of controls for each scent, the base there is, and what each part takes."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.formula.changes.split import UNSCENTED
from maker_kit.formula.kinds import is_scent
from maker_kit.workbook import keep
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import FIELD, CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import split as show_split
from maker_kit.workshop import Workshop

MOST_CONTAINERS, MOST_LOAD, LOAD_STEP = 200, 5.0, 0.05
COUNT_NAME, LOAD_NAME = "containers", "load"


class ScentRow:
    """The controls of one part: scent, containers, load.

    Parameters
    ----------
    scents : sequence of str
    number : int
        Which part it is; its controls are named by it.
    scent : str
    load : float
        Of the whole [%].
    count : int
        Containers; a part of 0 is left out.
    """

    def __init__(self, scents: list[str], number: int, scent: str, load: float, count: int) -> None:
        self.scent = dropdown(
            f"scent {number}",
            [*scents, UNSCENTED],
            scent.strip() or UNSCENTED,
            style={"description_width": "5em"},
            layout=w.Layout(width="19em"),
        )
        self.count = _level(
            f"{COUNT_NAME} {number}",
            f"(up to {max(MOST_CONTAINERS, count)})",
            count,
            0,
            max(MOST_CONTAINERS, count),
            1,
            whole=True,
        )
        self.load = _level(
            f"{LOAD_NAME} {number}",
            f"% of the whole (up to {max(MOST_LOAD, load):g})",
            load,
            0.0,
            max(MOST_LOAD, load),
            LOAD_STEP,
            whole=False,
        )
        self.controls = (self.scent, self.count, self.load)
        self.row = w.HBox([self.scent, self.count.row, self.load.row], layout=w.Layout(flex_flow="row wrap"))
        self.row.add_class(f"maker-part-{number}")
        self.scent.observe(self._fit, names="value")
        self._fit()

    @property
    def share(self) -> show_split.Share:
        """Scent, load and containers."""
        bare = self.scent.value == UNSCENTED
        return self.scent.value, 0.0 if bare else self.load.value, int(self.count.value)

    def _fit(self, *_: object) -> None:
        self.load.enable(self.scent.value != UNSCENTED)


def split_panel(workshop: Workshop, recipe: str, shares: str, have: str = "") -> CallPanel:
    """One base in many scents: containers and load of each, what each part takes and its label names, what stays over.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Whose base is split first.
    shares : str
        Scent, load and containers of each part to begin with; see `maker_kit.workbook.shown.split.read_shares`.
    have : str
        The base there is; empty where it is not known.
    """
    scents = [thing.name for thing in workshop.ingredients.values() if is_scent(thing)]
    shown = workshop.recipe(recipe)
    base = w.Dropdown(
        options=[(r.title, r.name) for r in workshop.recipes.values()], value=shown.name, description="recipe", **FIELD
    )
    there = w.Text(
        value=have,
        description="base there is",
        placeholder="such as 2 gallons or 7.5 kg; empty if not known",
        continuous_update=False,
        **FIELD,
    )
    parts = [
        ScentRow(scents, k, name, load, count)
        for k, (name, load, count) in enumerate(show_split.read_shares(shares), 1)
    ]
    lines = w.VBox([part.row for part in parts])
    more = w.Button(description="one scent more", layout=w.Layout(width="14em"))

    def planned() -> Any:
        return show_split.split(workshop, base.value, [part.share for part in parts if part.count.value], there.value)

    def call() -> tuple[str, Any]:
        plan = planned()
        return show_split.split_sheet(plan).html() + show_split.split_words(plan).html() + show_split.split_notes(
            plan
        ).html(), plan.split

    below = keeping("maker-split", lambda file: keep.keep_table(workshop, planned(), file), "split.csv")
    panel = CallPanel(
        "maker-split",
        (base, there, *(c for part in parts for c in part.controls)),
        call,
        Picture(charts_split.draw_split, 9.4, charts_split.split_height),
        rows=[base, there, lines, more],
        below=[below],
    )

    def add(_: object) -> None:
        part = ScentRow(
            scents,
            len(parts) + 1,
            next((s for s in scents if s not in {p.scent.value for p in parts}), UNSCENTED),
            0.5,
            0,
        )
        parts.append(part)
        lines.children = (*lines.children, part.row)
        panel.watch(part.controls)

    more.on_click(add)
    return panel


def _level(name: str, unit: str, value: float, low: float, high: float, step: float, *, whole: bool) -> Level:
    level = Level(name, unit, value, low, high, step, whole=whole)
    level.box.style.description_width = "8em" if whole else "5em"
    level.box.layout.width, level.slider.layout.width = "13em" if whole else "10em", "9em"
    return level
