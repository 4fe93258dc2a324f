"""The answer of a screen in one sentence, and its stops as a banner."""

from __future__ import annotations

import html
from collections.abc import Iterable

from maker_kit.buying.invented import invented_in_list
from maker_kit.buying.pricing import PricedBasket
from maker_kit.findings import Finding
from maker_kit.plan.plan import Plan
from maker_kit.workbook.amounts import between
from maker_kit.workbook.size_cost import SizeCost
from maker_kit.workshop import Workshop

BIG = "font-size:1.25em; line-height:1.35; margin:.15em 0; font-weight:600"
MOST_STOPS = 3
"""How many stops a banner names before it counts the rest."""
NOTHING = "Nothing to stop for or to look at was found in the tables on file. That is not a promise that it is safe."


def answer(words: str) -> str:
    """Words that answer, as the first line of a screen (HTML, everything escaped)."""
    return f'<p style="{BIG}">{html.escape(words)}</p>'


def notes_in_words(findings: Iterable[Finding]) -> str:
    """What the notes come to, with their signs: ``■ 2 stops, ▲ 3 to look at``."""
    kinds = [f.kind for f in findings]
    stops, looks = kinds.count("stop"), kinds.count("look")
    stopped = f"■ {stops} stop{'s' if stops > 1 else ''}" if stops else "no stop on file"
    return f"{stopped}, {f'▲ {looks}' if looks else 'nothing'} to look at"


def stops_banner(findings: Iterable[Finding]) -> str:
    """The stops in a frame with a sign and a word, never by colour alone; empty where there is none (HTML)."""
    stops = [f for f in findings if f.kind == "stop"]
    if not stops:
        return ""
    lines = [f"<div><b>■ stop:</b> {html.escape(f.text)}</div>" for f in stops[:MOST_STOPS]]
    if len(stops) > 1:  # what they are about stands first: all of it is seen without moving the frame's content
        about = dict.fromkeys(f.subject for f in stops)
        lines.insert(0, f"<div><b>■ {len(stops)} stops: {html.escape('; '.join(about))}</b></div>")
    if len(stops) > MOST_STOPS:
        lines.append(f"<div>… and {len(stops) - MOST_STOPS} more, under notes</div>")
    frame = "border:2px solid #a33; border-left-width:10px; padding:.2em .7em; margin:.2em 0; line-height:1.4"
    return f'<div role="alert" style="{frame}; max-height:5.8em; overflow:auto">{"".join(lines)}</div>'


def invented_words(plan: Plan, basket: PricedBasket | None) -> str:
    """How many prices of a shopping list are invented, to put behind a sentence; empty where none is: `` · ▲ 9 of 11
    prices in this list are invented``.
    """
    words = invented_in_list(plan.market, basket).words() if basket is not None else ""
    return f" · ▲ {words}" if words else ""


def size_in_words(found: SizeCost | None, plan: Plan) -> str:
    """What one container costs at the chosen batch size beside the shop, and what stands against the recipe:
    ``12 × Gel cream: 8.18 EUR each, less than in the shop (10.90 to 15.50) · ▲ 5 to look at``.
    """
    words = f"{plan.containers} × {plan.recipe.title}: {_each_in_words(found, plan)}"
    return f"{words} · {notes_in_words(plan.notes)}{invented_words(plan, found.point.basket if found else None)}"


def _each_in_words(found: SizeCost | None, plan: Plan) -> str:
    if found is None or found.point.impossible:
        return "cannot be bought from what is on file"
    if found.each is None:
        return "cost not known yet"
    low, high = found.each
    words = f"{between(found.each)} {plan.currency} each" + (
        "" if plan.market.delivery_known else " at the least delivery"
    )
    prices = sorted(line.price for line in found.view.shop_lines)
    if not prices:
        return f"{words}, no shop price on file"
    shop = between((prices[0], prices[-1]))
    if high <= prices[0]:
        return f"{words}, less than in the shop ({shop})"
    if low > prices[-1]:
        return f"{words}, more than in the shop ({shop})"
    return f"{words}, {shop} in the shop"


def faults_told(workshop: Workshop) -> tuple[str, ...]:
    """One sentence on the faults of tables that were read partly, the first of them and the recipes that are left out;
    none where there is no fault.

    Parameters
    ----------
    workshop : Workshop
    """
    if not workshop.faults:
        return ()
    first, many = workshop.faults[0].sentence(), len(workshop.faults)
    faults = "1 fault" if many == 1 else f"{many} faults, the first of them"
    gone = f"; left out: {', '.join(workshop.left_out)}" if workshop.left_out else ""
    return (f"The tables have {faults}: {first}. What stands on it is not counted{gone}. maker-kit check names all.",)
