"""What must stand on our label: the list in its order as a picture, and all the rest in tabs."""

from __future__ import annotations

from typing import Any

from maker_kit.errors import LabelError
from maker_kit.label.letter_height import panel_area_cm2
from maker_kit.label.particulars import LabelFacts
from maker_kit.label.sheet import SheetGrid, sheet_grid, typed_count, typed_sizes
from maker_kit.numbers import typed_number
from maker_kit.plan import make_plan
from maker_kit.plan.label.our_label import OurLabel, our_label
from maker_kit.workbook.charts.our_label import OUR_LABEL
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.keep import keep_pdf
from maker_kit.workbook.panels.call import CallPanel, Shown, keep_button
from maker_kit.workbook.panels.controls import dropdown, field, look, recipe_choice, row, sentence, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.paper.label_sheet import label_sheet, ruler
from maker_kit.workbook.shown.label import our_label as shown
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workbook.typed import read_day
from maker_kit.workshop import Workshop

MARKETS = [("EU", "EU"), ("US", "US")]
KINDS = [("by its container", ""), ("liquid", "liquid"), ("thick or viscous", "thick"), ("solid", "solid")]
WIDE = look("27.5em", "9.6em")


class OurLabelScreen(LateScreen):
    """A recipe's label: what only the maker can tell left, the list right, the rest in tabs.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which is shown first; the workshop's first where none is named.
    market : {'', 'EU', 'US'}
        The workshop's unless given.
    business, batch, made_on, function : str
        What stands in the fields at first.
    """

    def __init__(
        self,
        workshop: Workshop,
        recipe: str = "",
        market: str = "",
        business: str = "",
        batch: str = "",
        made_on: str = "",
        function: str = "",
    ) -> None:
        self.workshop = workshop
        self.recipe = recipe_choice(workshop, recipe)
        self.market = dropdown("market", MARKETS, market or workshop.settings.market, **WIDE)
        self.business = field("who answers for it", business, "name and address", **WIDE)
        self.batch = field("batch", batch, "such as R5-04", **WIDE)
        self.made_on = field("made on", made_on, "such as 2026-11-02", **WIDE)
        self.function = field("what it is for", function, "such as hand lotion", **WIDE)
        self.contact = field("harm is told to", "", "US: address, phone or site", **WIDE)
        self.net = field("net content", "", "empty: what the recipe fills", **WIDE)
        self.kind = dropdown("content is", KINDS, "", **WIDE)
        self.height = field("panel height [cm]", "", "without shoulder and neck", **WIDE)
        self.girth = field("girth [cm]", "", "around a round pack", **WIDE)
        self.width = field("or width [cm]", "", "of the front of a flat pack", **WIDE)
        controls = (
            self.recipe,
            self.market,
            self.business,
            self.batch,
            self.made_on,
            self.function,
            self.contact,
            self.net,
            self.kind,
            self.height,
            self.girth,
            self.width,
        )
        super().__init__(
            "maker-our-label",
            controls,
            self._shown,
            {"picture": OUR_LABEL},
            {
                "to print": "to_print",
                "the list": {"text": None, "names": None},
                "net content": "net_content",
                "warnings": "warned",
                "notes": "notes",
            },
            more={"claims": self._claims, "label sheet": self._sheet},
        )

    def label(self) -> OurLabel:
        """The label with what stands in the fields."""
        height, girth, width = (
            typed_number(box.value, "a size", "12.5") if box.value.strip() else None
            for box in (self.height, self.girth, self.width)
        )
        panel = None
        if height is not None and (girth is not None or width is not None):
            panel = panel_area_cm2(height_cm=height, girth_cm=girth, width_cm=width)
        facts = LabelFacts(
            self.business.value.strip(),
            self.batch.value.strip(),
            read_day(self.made_on.value, "making it") if self.made_on.value.strip() else None,
            self.function.value.strip(),
            self.contact.value.strip(),
        )
        plan = make_plan(self.workshop, self.recipe.value)
        return our_label(
            plan, facts, market=self.market.value, net=self.net.value.strip(), kind=self.kind.value, panel_cm2=panel
        )

    def _claims(self) -> CallPanel:
        said = field(
            "claims",
            "",
            "one a line; evidence behind =, such as\nsofter hands = trial of 2026-03-02",
            rows=4,
            **look("44em", "6em"),
        )

        def call() -> Shown:
            return {"words": shown.claims_shown(said.value, self.label())}

        return CallPanel("maker-label-claims", (said,), call)

    def _sheet(self) -> CallPanel:
        page = field("page", "A4", "A4, Letter or 100 x 150", **look("20em", "9em"))
        typed = {
            "columns": field("columns", "2", **look("14em", "9em")),
            "rows": field("rows", "3", **look("14em", "9em")),
            "margins": field("margins [mm]", "10", "left, top, right, bottom", **look("20em", "9em")),
            "gaps": field("gaps [mm]", "4", "across, down", **look("20em", "9em")),
        }
        path = field("file", "labels.pdf", **look("28em", "9em"))
        fault, said = text_box("maker-label-sheet-kept-fault"), text_box("maker-label-sheet-kept")

        def grid() -> SheetGrid:
            columns, rows = (typed_count(typed[name].value, name) for name in ("columns", "rows"))
            margins = typed_sizes(typed["margins"].value, "the margins", 2, 4)
            gaps = typed_sizes(typed["gaps"].value, "the gaps", 2)
            return sheet_grid(page.value, columns=columns, rows=rows, margin_mm=margins, gap_mm=gaps)

        def call() -> Shown:
            try:
                return {"words": shown.sheet_preview(label_sheet(self.label(), grid()))}
            except LabelError as error:  # what does not fit is said where it would be seen
                return {"words": sentence(str(error))}

        def keep() -> str:
            return keep_pdf(self.workshop, label_sheet(self.label(), grid()).pdf(), path.value)

        def first() -> str:
            return keep_pdf(self.workshop, ruler(page.value), "ruler.pdf")

        buttons = [
            keep_button("write the labels as PDF", keep, fault, said),
            keep_button("write a test ruler first", first, fault, said),
        ]
        fields = (page, *typed.values())
        return CallPanel("maker-label-sheet", fields, call, rows=[row(fields)], below=[path, row(buttons), fault, said])

    def _shown(self) -> Shown:
        label = self.label()
        declared = label.declaration
        result: dict[str, Any] = {
            "answer": shown.our_answer(label),
            "stops": label.findings,
            "picture": Of(self.workshop.recipe(self.recipe.value).title, declared),
            "to_print": lambda: shown.to_print_sheet(label),
            "text": lambda: sentence(declared.text),
            "names": lambda: shown.list_sheet(declared),
            "net_content": lambda: shown.net_sheet(label.net),
            "warned": lambda: shown.warnings_sheet(label),
            "notes": lambda: findings_sheet(label.findings),
        }
        return result


@once_begun
def our_label_panel(workshop: Workshop, recipe: str = "", **start: str) -> OurLabelScreen:
    """A recipe's label; see `OurLabelScreen` for what it can start with."""
    return OurLabelScreen(workshop, recipe, **start)
