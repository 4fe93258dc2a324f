"""What the first notebook shows: the workshop's recipes with notes and costs, and the way to the others."""

from __future__ import annotations

import html
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from maker_kit.buying.invented import invented_in_list
from maker_kit.money import MICROS_PER_CENT, money
from maker_kit.plan.marks import shop_lines
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.workbook.amounts import between
from maker_kit.workbook.shown.sheets import SIGN, Sheet

WHOLE = "\N{NO-BREAK SPACE}"
PASTE = "01a_from_any_text.ipynb"
"""The notebook that reads a recipe in any text."""
LINK = "color:#1a4f8a; text-decoration:underline"
TRUST = (
    "Every limit carries its source and the date it was read; what is from memory says so, and what is not on file is "
    "called unknown, never fine.",
    "The workbook counts and compares. It has not tested your product, does not know your local law, and is no "
    "substitute for a qualified person where others will use what you make.",
    "Three signs stand for three kinds of note: "
    "■ stop (do not make or give this), ▲ look (decide on purpose), ● know, which is there to be read.",
)


Priced = tuple[Plan, Purchase | None]
"""A plan, and what it costs; None where it cannot be bought from what is on file."""


def recipes_sheet(priced: Iterable[Priced]) -> Sheet:
    """A line a recipe: its stops and looks, how many are made, and what one costs beside the shop's prices."""
    rows, currency = [], ""
    for plan, bought in priced:
        currency, shop = plan.currency, sorted(line.price for line in shop_lines(plan.workshop, plan.recipe))
        each = "not for sale" if bought is None else money(bought.unit_cash_micros)
        notes = (_count(kind, len(plan.of_kind(kind))) for kind in ("stop", "look"))
        rows.append((plan.recipe.title, *notes, plan.containers, each, _whole(shop)))
    columns = ["recipe", "stops", "looks", "made", f"one costs [{currency}]", f"in the shop [{currency}]"]
    return Sheet(rows, columns[:3], columns=columns)


def _whole(prices: Sequence[float]) -> str:
    return between((prices[0], prices[-1])).replace(" ", WHOLE) if prices else "–"


def _count(kind: str, many: int) -> str:
    return WHOLE.join((SIGN[kind], str(many), kind + ("" if many == 1 else "s"))) if many else "–"


def pages(names: Sequence[str], at_once: int) -> dict[str, tuple[str, ...]]:
    """The recipes in lots that are looked at together, each under words such as ``1 to 24 of 500``."""
    lots = [tuple(names[start : start + at_once]) for start in range(0, len(names), at_once)] or [()]
    return {f"{k * at_once + 1} to {k * at_once + len(lot)} of {len(names)}": lot for k, lot in enumerate(lots)}


def start_in_words(priced: Sequence[Priced], of_all: int = 0) -> str:
    """How many recipes there are, how many are stopped, and how many cost less than in the shop at any price there.

    Parameters
    ----------
    priced : sequence of Priced
        The recipes that are looked at.
    of_all : int
        How many there are, where these are not all: of the others nothing is said.
    """
    stopped = sum(bool(plan.of_kind("stop")) for plan, _ in priced)
    cheaper = sum(_cheaper(plan, bought) for plan, bought in priced)
    recipes = f"{len(priced)} recipe{'' if len(priced) == 1 else 's'}"
    if of_all > len(priced):
        recipes = f"{len(priced)} of {of_all} recipes, those below"
    words = f"{recipes}: {f'■ {stopped}' if stopped else 'none'} stopped, {_cost(cheaper)} less than in the shop"
    marked = sum(
        bool(invented_in_list(plan.market, bought.basket).names) for plan, bought in priced if bought is not None
    )
    return f"{words} · ▲ {marked} priced with invented prices" if marked else words


def _cost(many: int) -> str:
    return f"{many or 'none'} cost{'' if many > 1 else 's'}"


def _cheaper(plan: Plan, bought: Purchase | None) -> bool:
    prices = [line.price_cents * MICROS_PER_CENT for line in shop_lines(plan.workshop, plan.recipe)]
    return bool(prices) and bought is not None and bought.unit_cash_micros < min(prices)


def notebooks_beside(folder: Path) -> list[tuple[str, str]]:
    """File name, and number with title, of every notebook of a folder; those without a title left out."""
    found = []
    for path in sorted(folder.glob("[0-9]*.ipynb")):
        try:
            first = json.loads(path.read_text(encoding="utf-8"))["cells"][0]
            title = "".join(first["source"]).splitlines()[0]
        except (OSError, ValueError, LookupError):
            continue
        found.append((path.name, f"{path.name.partition('_')[0]} · {title.lstrip('# ')}"))
    return found


def map_of(notebooks: Iterable[tuple[str, str]]) -> str:
    """The notebooks as links, each with the question it answers (HTML)."""
    lines = [
        f'<li><a href="{html.escape(name, quote=True)}" style="{LINK}">{html.escape(asks)}</a></li>'
        for name, asks in notebooks
    ]
    return f'<ul style="line-height:1.6; margin:.3em 0">{"".join(lines)}</ul>'


def paste_link() -> str:
    """The way to a recipe of one's own (HTML)."""
    look = "display:inline-block; padding:.3em 1em; border:1px solid; border-radius:3px; color:#1a4f8a"
    return (
        f'<a href="{PASTE}" style="{look}"><b>Paste my recipe</b></a> from a page, a label or a message, in any shape'
    )


def trust() -> str:
    """How far to trust it (HTML)."""
    return "".join(f'<p style="margin:.3em 0; line-height:1.4">{html.escape(text)}</p>' for text in TRUST)
