"""A shop's label read as it is typed: a bar a name, why, beside ours, and a recipe to start from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import ipywidgets as w

from maker_kit.errors import LabelError, QuantityError
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.pasted.recipe_text import read_recipe_text
from maker_kit.label.beside import beside
from maker_kit.label.declaration import declare
from maker_kit.label.kind import kind_of
from maker_kit.label.order.middle import likely_middle
from maker_kit.label.reading import LabelReading, read_label
from maker_kit.label.starting import StartingRecipe, starting_recipe
from maker_kit.names import name_key
from maker_kit.numbers import typed_number
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.read_a_label import READ_LABEL
from maker_kit.workbook.keep import keep_text
from maker_kit.workbook.panels.call import CallPanel, Shown, keep_button
from maker_kit.workbook.panels.controls import dropdown, field, look, recipe_choice, sentence, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.shown.label import read_a_label as shown
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workbook.typed import read_day
from maker_kit.workshop import Workshop

OWN = "typed below"
EXAMPLE = "Aqua, Glycerin, Phenoxyethanol"
"""What stands in the box where no label is on file, until one is typed."""
LAWS = [
    ("EU: from 1 % down in any order", "eu"),
    ("US: 1 % or less in any order", "us"),
    ("the order holds all the way", "all"),
]
USES = [("not told", ""), ("rinsed off", "rinse-off"), ("left on", "leave-on")]
WIDE = look("27.5em", "8.6em")


class LabelScreen(LateScreen):
    """A label left, its bars right; names, rules, notes, beside ours and a starting recipe in tabs.

    Parameters
    ----------
    workshop : Workshop
    product : str
        A shop product whose label is on file; the first with a label unless given.
    text : str
        Another label; takes the place of the product's.
    law : {'eu', 'us', 'all'}
    where, read_on : str
        Where and when it was read; the product's unless given.
    first : str
        What the first name may be, such as ``60 to 85``; no guess without it.
    """

    def __init__(
        self,
        workshop: Workshop,
        product: str = "",
        text: str = "",
        law: str = "eu",
        where: str = "",
        read_on: str = "",
        first: str = "",
    ) -> None:
        self.workshop, self._filling = workshop, False
        self.products = {p.name: p for p in workshop.shop_products.values() if p.label_order}
        begin = OWN if text.strip() or not self.products else product or next(iter(self.products))
        self.product = dropdown("shop product", [*self.products, OWN], begin, **WIDE)
        first_text = text if text.strip() or self.products else EXAMPLE
        self.text = w.Textarea(
            first_text, rows=5, continuous_update=False, layout={"width": "27.5em"}, tooltip="label text"
        )
        self.text.add_class("maker-label-text")
        self.law = dropdown("the 1 % line", LAWS, law, **WIDE)
        self.use = dropdown("it is", USES, "", **WIDE)
        self.called = field("it is called", "", "such as hand gel", **WIDE)
        self.claims = field("the pack claims", "", "such as 5 % glycerin", **WIDE)
        self.where = field("read where", where, "shop, page or pack", **WIDE)
        self.on = field("read on", read_on, "such as 2026-03-02", **WIDE)
        self.first = field("first name [%]", first, "a range such as 60 to 85", **WIDE)
        self.colours = field("colours [%]", "", "all together; empty: about 1", **WIDE)
        self._take(keep=bool(text.strip()))
        controls = (
            self.text,
            self.called,
            self.law,
            self.use,
            self.claims,
            self.where,
            self.on,
            self.first,
            self.colours,
        )
        self.text.observe(self._other_text, names="value")  # first: what is shown then is of the new list
        super().__init__(
            "maker-label",
            controls,
            self._shown,
            {"picture": READ_LABEL},
            {
                "notes": {"kind": None, "notes": None},
                "names": "names",
                "the rules": "rules",
            },
            more={"why": self._why, "beside ours": self._beside, "starting recipe": self._starting},
            rows=[
                self.product,
                w.HTML("the list as it stands on the pack", layout={"margin": "0", "height": "1.6em"}),
                *controls,
            ],
        )
        self.product.observe(self._another, names="value")

    def reading(self) -> LabelReading:
        """The label as it is read with what stands in the fields."""
        product = ProductType(("hands", "body"), self.use.value == "rinse-off") if self.use.value else None
        colours = self.colours.value.strip()
        return read_label(
            self.text.value,
            law=self.law.value,
            product=product,
            claims=[c for c in re.split(r"[;\n]", self.claims.value) if c.strip()],
            where=self.where.value,
            on=read_day(self.on.value, "reading it") if self.on.value.strip() else None,
            colours_most=typed_number(colours, "colours at most", "2") if colours else None,
        )

    def range_of_first(self) -> tuple[Any, Any] | None:
        """What the first name may be [%]; None while it is not told."""
        return range_in(self.first.value)

    def _take(self, *, keep: bool = False) -> None:
        """The fields of the chosen product."""
        product = self.products.get(self.product.value)
        if product is None or keep:
            return
        self.text.value = ", ".join(product.label_order)
        self.called.value = product.name
        self.claims.value = "; ".join(product.claims)
        self.where.value = product.where_read
        days = [size.read_on for size in product.sizes if size.read_on is not None]
        self.on.value = str(min(days)) if days else ""
        self.first.value = self.colours.value = ""

    def _another(self, *_: Any) -> None:
        self._filling = True
        try:
            self._take()
            if self.product.value == OWN:  # what was told of another pack is not true of this one
                for box in (self.called, self.claims, self.where, self.on, self.first, self.colours):
                    box.value = ""
        finally:
            self._filling = False
        self.redraw()

    def _other_text(self, _: Any) -> None:
        """Another list typed over a product's is no longer that product's."""
        product = self.products.get(self.product.value)
        if product is None or self._filling:
            return
        typed = {name_key(name) for name in re.split(r"[,;\n]", self.text.value)}
        if 2 * len(typed & {name_key(name) for name in product.label_order}) < len(product.label_order):
            self.product.value = OWN

    def _guess(self, reading: LabelReading) -> Mapping[str, float]:
        first = self.range_of_first()
        if first is None or reading.bounds is None:
            return {}
        return dict(zip(reading.bounds.order.names, likely_middle(reading.bounds, first), strict=True))

    def _shown(self) -> Shown:
        if self._filling:  # one redraw when all fields are filled, none for each
            return {}
        reading = self.reading()
        guess = self._guess(reading)
        kind = findings_sheet(kind_of(reading, self.called.value))
        return {
            "answer": shown.label_answer(reading),
            "stops": reading.findings,
            "picture": Of(self.called.value.strip(), (reading, guess)),
            "kind": lambda: kind,
            "notes": lambda: findings_sheet(reading.findings),
            "names": lambda: (shown.names_sheet(reading, dict(guess)), *(() if guess else (sentence(shown.NO_GUESS),))),
            "rules": lambda: shown.rules_sheet(reading),
        }

    def _why(self) -> CallPanel:
        names = [r.name for r in self.reading().rows]
        which = dropdown("name", names, names[0], **look("32em", "6em"))

        def call() -> Shown:
            reading = self.reading()
            if [*which.options] != [r.name for r in reading.rows]:
                which.options = [r.name for r in reading.rows]
            return {"words": shown.why_sheet(reading, which.value)}

        return CallPanel("maker-label-why", (which,), call)

    def _beside(self) -> CallPanel:
        which = recipe_choice(self.workshop, self._like(), "our recipe", **look())

        def call() -> Shown:
            found = beside(self.reading(), declare(self.workshop.recipe(which.value)))
            return {"words": (sentence(shown.beside_words(found)), shown.beside_sheet(found))}

        return CallPanel("maker-label-beside", (which,), call)

    def _like(self) -> str:
        """The recipe that is made in place of the product; the first where none is."""
        found = [r.name for r in self.workshop.recipes.values() if r.shop_product == self.product.value]
        return next(iter(found), "")

    def _start(self) -> StartingRecipe:
        first = self.range_of_first()
        if first is None:
            raise LabelError(shown.NO_GUESS)
        return starting_recipe(self.reading(), first)

    def _starting(self) -> CallPanel:
        name, title = field("short name", **WIDE), field("title", **WIDE)
        like = recipe_choice(self.workshop, self._like(), "kept like", **WIDE)
        fault, said = text_box("maker-label-kept-fault"), text_box("maker-label-kept")

        def call() -> Shown:
            try:
                start = self._start()
            except LabelError as error:  # what is not told yet is no fault
                return {"words": sentence(str(error))}
            again = sentence("To read it again in 01a: " + start.text.replace("\n", "; "))
            return {"words": (findings_sheet(start.findings), shown.starting_sheet(start), again)}

        def keep() -> str:
            start = self._start()
            parsed = read_recipe_text(start.text, self.workshop.ingredients)
            typed = name.value.strip(), title.value.strip()
            return keep_text(self.workshop, parsed, *typed, f"{start.source}; untried guess", like.value)

        button = keep_button("save as a recipe", keep, fault, said)
        return CallPanel("maker-label-start", (), call, below=[name, title, like, button, fault, said])


def range_in(text: str) -> tuple[Any, Any] | None:
    """A typed range of percents, such as ``60 to 85``; None where nothing is typed. Raises QuantityError otherwise."""
    if not text.strip():
        return None
    parts = re.split(r"\s*(?:to|–|—|-|\.\.)\s*", text.strip().rstrip("%").strip())
    if len(parts) != 2:
        raise QuantityError(f'"{text.strip()[:20]}" is no range; write the least and the most, such as 60 to 85')
    low, high = (typed_number(p.strip().rstrip("%"), "the range of the first name", "60") for p in parts)
    return low, high


@once_begun
def read_label_panel(workshop: Workshop, product: str = "", **start: str) -> LabelScreen:
    """A shop's label, read as it is typed; see `LabelScreen` for what it can start with."""
    return LabelScreen(workshop, product, **start)
