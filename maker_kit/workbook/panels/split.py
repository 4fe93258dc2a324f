"""One base in many scents: a row of controls for each scent, the base there is, and what each part takes."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.formula.changes.split import UNSCENTED
from maker_kit.formula.kinds import is_scent
from maker_kit.plan.scents import SplitPlan, likely_load
from maker_kit.workbook import asked
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.split import SPLIT
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import Slider, button, counter, dropdown, field, look
from maker_kit.workbook.panels.hand import Hand
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.screen import SLIDER
from maker_kit.workbook.shown import split as shown
from maker_kit.workbook.typed import Part, read_shares

MOST_CONTAINERS, MOST_LOAD, LOAD_STEP, SCENTS = 200, 5.0, 0.05, 3
WIDE = look("25em", "8em")


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
        self.scent = dropdown(f"scent {number}", [*scents, UNSCENTED], scent or UNSCENTED, **WIDE)
        self.count = counter(f"containers {number}", "", count, most, 0, widths=SLIDER)
        self.load = Slider(f"load {number}", "% of the whole", load, 0.0, most_load, LOAD_STEP, widths=SLIDER)
        self.controls = (self.scent, self.count, self.load)
        self.row = w.VBox([self.scent, self.count.row, self.load.row], layout={"flex": "0 0 auto"})
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


def split_panel(hand: Hand, shares: str = "", have: str = "") -> LateScreen:
    """One base in many scents: containers and load of each, what each part takes and its label names, what stays over.

    Parameters
    ----------
    hand : Hand
        The recipe whose base is split.
    shares : str
        Scent, load and containers of each part to begin with; see `maker_kit.workbook.typed.read_shares`. Empty for the
        workshop's first scents at the recipe's own load.
    have : str
        The base there is; empty where it is not known.
    """
    workshop = hand.workshop
    scents = [thing.name for thing in workshop.ingredients.values() if is_scent(thing)]
    begun = (scents or [""])[:SCENTS]
    parts = read_shares(shares) or [(name, likely_load(hand.made), hand.wanted.value) for name in begun]
    there = field("base there is", have, "2 gallons or 7.5 kg; empty if not known", **WIDE)
    rows = [ScentRow(scents, k, *part) for k, part in enumerate(parts, 1)]
    lines = w.VBox([line.row for line in rows], layout={"max_height": "23em", "overflow": "hidden auto"})

    def planned() -> SplitPlan:
        return asked.split(workshop, hand.made, [line.part for line in rows if line.count.value], there.value)

    def call() -> Shown:
        plan = planned()
        return {
            "answer": shown.split_answer(plan),
            "stops": shown.together(plan.split),
            "picture": Of(hand.made.title, plan.split),
            "words": lambda: shown.split_sheet(plan),
            "totals": lambda: shown.totals_sheet(plan),
            "notes": lambda: shown.split_notes(plan),
        }

    def add(_: object) -> None:
        taken = {line.scent.value for line in rows}
        line = ScentRow(scents, len(rows) + 1, next((s for s in scents if s not in taken), UNSCENTED), 0.5, 0)
        rows.append(line)
        lines.children = (*lines.children, line.row)
        panel.watch(line.controls)

    panel = LateScreen(
        "maker-split",
        (there, *(control for line in rows for control in line.controls)),
        call,
        {"picture": SPLIT},
        {
            "each scent": "words",
            "together": "totals",
            "to look at": "notes",
        },
        rows=[there, lines, button("one scent more", add)],
        below=[keeping("maker-split", workshop, planned, "split.csv")],
    )
    return panel
