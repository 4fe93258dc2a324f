"""One base in many scents: a row of controls for each scent, the base there is, and what each part takes."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.formula.changes.split import UNSCENTED
from maker_kit.formula.kinds import is_scent
from maker_kit.plan.scents import SplitPlan
from maker_kit.workbook import asked
from maker_kit.workbook.charts.split import SPLIT
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import Slider, button, counter, dropdown, field, look, recipe_choice, row
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import split as shown
from maker_kit.workbook.typed import Part, read_shares
from maker_kit.workshop import Workshop

MOST_CONTAINERS, MOST_LOAD, LOAD_STEP = 200, 5.0, 0.05


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
        most, most_load = max(MOST_CONTAINERS, count), max(MOST_LOAD, load)
        self.scent = dropdown(f"scent {number}", [*scents, UNSCENTED], scent or UNSCENTED, **look("19em", "5em"))
        self.count = counter(
            f"containers {number}", "", count, most, 0, hint=f"up to {most}", widths=("8em", "13em", "9em")
        )
        near = {"hint": f"up to {most_load:g}", "widths": ("5em", "10em", "9em")}
        self.load = Slider(f"load {number}", "% of the whole", load, 0.0, most_load, LOAD_STEP, **near)
        self.controls = (self.scent, self.count, self.load)
        self.row = row([self.scent, self.count.row, self.load.row])
        self.row.add_class(f"maker-part-{number}")
        self.scent.observe(self._fit, names="value")
        self._fit()

    @property
    def part(self) -> Part:
        """Scent, load and containers."""
        bare = self.scent.value == UNSCENTED
        return self.scent.value, 0.0 if bare else self.load.value, self.count.value

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
        Scent, load and containers of each part to begin with; see `maker_kit.workbook.typed.read_shares`.
    have : str
        The base there is; empty where it is not known.
    """
    scents = [thing.name for thing in workshop.ingredients.values() if is_scent(thing)]
    base = recipe_choice(workshop, recipe)
    there = field("base there is", have, "such as 2 gallons or 7.5 kg; empty if not known")
    rows = [ScentRow(scents, k, *part) for k, part in enumerate(read_shares(shares), 1)]
    lines = w.VBox([line.row for line in rows])

    def planned() -> SplitPlan:
        return asked.split(workshop, base.value, [line.part for line in rows if line.count.value], there.value)

    def call() -> Shown:
        plan = planned()
        words = shown.split_sheet(plan), shown.totals_sheet(plan), shown.split_notes(plan)
        return {"picture": plan.split, "words": words}

    def add(_: object) -> None:
        taken = {line.scent.value for line in rows}
        line = ScentRow(scents, len(rows) + 1, next((s for s in scents if s not in taken), UNSCENTED), 0.5, 0)
        rows.append(line)
        lines.children = (*lines.children, line.row)
        panel.watch(line.controls)

    panel = CallPanel(
        "maker-split",
        (base, there, *(control for line in rows for control in line.controls)),
        call,
        SPLIT,
        rows=[base, there, lines, button("one scent more", add)],
        below=[keeping("maker-split", workshop, planned, "split.csv")],
    )
    return panel
