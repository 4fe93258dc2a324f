"""What to fill in first, in a workshop that holds no recipe yet."""

from __future__ import annotations

import html

from maker_kit.workbook.shown.start import LINK, PASTE
from maker_kit.workshop import Workshop

NOTHING = "This workshop holds no recipe yet."


def first_steps(workshop: Workshop) -> tuple[str, ...]:
    """That there is no recipe, and what to fill in first: a sentence, then steps (HTML), done ones left out."""
    steps = []
    if not workshop.containers:
        steps.append("Write a container into containers.csv: its name, kind, how much it holds, what it weighs empty.")
    if not workshop.ingredients:
        steps.append("Write what you weigh into ingredients.csv: name, INCI name, function, and the density.")
    steps.append("Then paste a recipe, answer what is asked, and save it.")
    if not workshop.market.packs:
        steps.append("For what it costs, write suppliers.csv, delivery.csv and packs.csv: who sells which pack.")
    listed = "".join(f"<li>{html.escape(step)}</li>" for step in steps)
    where = html.escape(str(workshop.tables or workshop.folder))
    return (
        NOTHING,
        f'<ol style="line-height:1.6; margin:.3em 0">{listed}</ol>',
        f'<p><a href="{PASTE}" style="{LINK}">Paste a recipe</a> · the tables stand in {where}; '
        "refresh this page when you have saved them.</p>",
    )
