"""A page for each notebook's question: what it answers, what it needs of a maker, and what it will not tell her.

What it goes through and how far to trust it is read from the notebook itself, so that the page says what stands there.
"""

from __future__ import annotations

import json
import re
import textwrap
from typing import NamedTuple

from maker_kit.errors import UnknownNameError
from maker_kit.names import near_miss
from maker_kit.workbook.run.copies import notebook_folder
from maker_kit.workbook.shown.start import TRUST

WIDTH = 110
_TRUST = re.compile(r"^## How far to trust (it|this page)\s*$", re.MULTILINE)
_HEADING = re.compile(r"^## (.+?)\s*$", re.MULTILINE)


class _Told(NamedTuple):
    question: str
    answers: str
    tables: str
    else_needed: str = ""


_RECIPE = "recipes, recipe_lines, ingredients, containers"
_OFFERS = "suppliers, delivery, packs, kits"
_PAGES = {
    "00_start_here": _Told(
        "where do I start?",
        "the map, with a small picture of each notebook",
        f"workshop, {_RECIPE}, {_OFFERS}, shop_products",
    ),
    "01_formula": _Told(
        "what goes in?",
        "sliders for batch size, fragrance load and thickener level; what to weigh, the limits,"
        " the cost of one container",
        f"workshop, {_RECIPE}, whats_inside, certificates, limits, avoid, {_OFFERS}",
        "A pH that you read, where a preservative is an acid; your readings of thickness, for its picture.",
    ),
    "01a_from_any_text": _Told(
        "what is this recipe in percent?",
        "paste it in any mess; each open question has a field of its own; the answer is kept as a recipe file",
        "ingredients",
        "The text, and what it leaves open: which density, which base, which spoon.",
    ),
    "01b_short_swapped_split": _Told(
        "what if something is short, swapped, or split?",
        "one count and one set of weighed amounts for a kit "
        "against its list and your scale, what it fills and four ways on, a swap, one base in many scents; a "
        "swap or a way on is kept as a recipe",
        f"{_RECIPE}, kits, swaps, certificates, {_OFFERS}",
        "What you weighed of what came.",
    ),
    "01c_thickness": _Told(
        "how thick will it be?",
        "the thickness curve through your readings, the level for what the shop's shows, the wall",
        "recipes, recipe_lines, ingredients, thickness",
        "At least three levels that you made and read cold, and a reading of the shop's with the same tool.",
    ),
    "01d_preservation": _Told(
        "does it keep?",
        "the part of a preservative that works along the pH that was read; acid, a blend of two emulsifiers, density",
        f"{_RECIPE}, whats_inside",
        "A pH that you read, with its tool.",
    ),
    "02_make_or_buy": _Told(
        "from what batch size is making cheaper than buying?",
        "the whole curve under sliders, the counts that "
        "pay, the shopping list and why, one order for several recipes, what moves the verdict, selling price",
        f"workshop, {_RECIPE}, {_OFFERS}, shop_products",
        "Your own minutes and what an hour is worth, if they are to count.",
    ),
    "03_bench_day": _Told(
        "what is next at the bench?",
        "what came as lots, the sheet to print, what is weighed, one step at a "
        "time, when it is cool enough, two phases joined, what is still to buy with the cupboard asked first",
        f"{_RECIPE}, recipe_steps, {_OFFERS}",
        "A scale, a thermometer, and what the packs say: lot and date.",
    ),
    "03a_after": _Told(
        "did it come out right, and does it keep?",
        "fills against the label, what changes while it stands, a "
        "batch against those before it, loss and film from real yields",
        "recipes, containers",
        "What was weighed in each container, and what you saw, read and smelled while it stood.",
    ),
    "03b_trace": _Told(
        "where did it go?",
        "from a lot to every unit and back in one picture, the letter to send, a complaint and the duty to report it",
        "workshop, recipes",
        "The record that 03_bench_day and 03a_after write; without one the demo's is shown.",
    ),
    "04_read_a_label": _Told(
        "what may be in it?",
        "a shop's list typed or pasted: least and most percent of every name from its "
        "order, the 1 % line, claims and the law's maxima; why; beside our recipe; a recipe to start from "
        "inside the bounds",
        "shop_products, recipes, recipe_lines, ingredients",
        "The list as it is printed, in its order, and which law it was printed under.",
    ),
    "04a_our_label": _Told(
        "what must stand on ours?",
        "the list by substance in the law's order with ties and the 1 % line, "
        "allergens, net content in two units, warnings and the rest, for the EU or the US",
        f"workshop, {_RECIPE}, whats_inside, certificates",
        "What each supplier tells of the inside of a mixture; who answers for the product.",
    ),
    "05_side_by_side": _Told(
        "is it as good as the shop's?",
        "a target card, blind trials planned with a kept seed, score sheets and "
        "a sealed key to print, and three answers only: different, the same within the gap, neither yet",
        "recipes, shop_products, targets",
        "The shop's product itself, one to thirty tasters, and somebody else who keeps the key.",
    ),
    "06_costing_report": _Told(
        "what does it cost?",
        "the page that `maker-kit report` writes",
        f"workshop, {_RECIPE}, {_OFFERS}, shop_products",
    ),
}
"""What each notebook answers, in the words of the readme, the tables it reads, and what else has to be there."""


def notebook_page(name: str = "") -> str:
    """The page of one notebook, or the list of all questions.

    Parameters
    ----------
    name : str
        Such as ``02_make_or_buy``, its file, or the number before its name; all questions where empty.

    Returns
    -------
    str
        Markdown that reads well as it is.

    Raises
    ------
    UnknownNameError
        If there is no such notebook.
    """
    wanted = name.strip().removesuffix(".ipynb")
    if not wanted:
        lines = [f"{place:26}{_read(place)[0].removeprefix('# ').strip()}" for place in _PAGES]
        return "\n".join((*lines, "", "A page for each: maker-kit help 02")) + "\n"
    found = next((p for p in _PAGES if wanted.casefold() in (p.casefold(), p.partition("_")[0])), None)
    if found is None:
        msg = f'there is no notebook "{wanted}": {near_miss(wanted, _PAGES)}'
        raise UnknownNameError(msg)
    return _page(found)


def _page(name: str) -> str:
    told, (title, asked, trust) = _PAGES[name], _read(name)
    needs = f"The tables {told.tables}. {told.else_needed}".strip()
    parts = [f"{title.strip()} ({name})", _filled(f"{told.answers[0].upper()}{told.answers[1:]}.")]
    if asked:
        parts += ["## What it goes through", "\n".join(f"- {each}" for each in asked)]
    parts += ["## What you need", _filled(needs)]
    parts += ["## What it will not tell you, and how far to trust it", *map(_filled, trust.split("\n\n"))]
    return "\n\n".join(parts) + "\n"


def _filled(text: str) -> str:
    return textwrap.fill(" ".join(text.split()), WIDTH)


def _read(name: str) -> tuple[str, list[str], str]:
    """Title, the headings of the lesson, and how far to trust it, of a notebook."""
    path = notebook_folder() / f"{name}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    words = ["".join(c["source"]) for c in cells if c["cell_type"] == "markdown"]
    trust = ""
    for text in words:
        if found := _TRUST.search(text):
            trust = _HEADING.split(text[found.end() :])[0].strip()
    asked = [heading for text in words for heading in _HEADING.findall(text) if not heading.startswith("How far")]
    return words[0].splitlines()[0], asked, trust or "\n\n".join(TRUST)  # the first notebook's stands in a tab
