"""The answer of a screen in one sentence, and its stops as a banner."""

from __future__ import annotations

import html
from collections.abc import Iterable

from maker_kit.buying.invented import invented_in_list
from maker_kit.buying.pricing import PricedBasket
from maker_kit.findings import Finding
from maker_kit.formula.batch import counted
from maker_kit.money import money, money_of
from maker_kit.plan.costs import CurveView
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.workbook.amounts import between, spans
from maker_kit.workbook.size_cost import SizeCost
from maker_kit.workshop import Workshop

BIG = "font-size:1.25em; line-height:1.35; margin:.15em 0; font-weight:600"
MOST_STOPS = 3
"""How many stops a banner names before it counts the rest."""


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


def cost_in_words(bought: Purchase) -> str:
    """What one container costs beside the shop's nearest price: ``12 containers: 6.48 EUR each, 7.20 in the shop``."""
    plan = bought.plan
    return f"{counted(plan.containers)}: {money(bought.unit_cash_micros)} {plan.currency} each"


def curve_in_words(view: CurveView) -> str:
    """The count looked at, what one costs there and in the shop, and the counts that pay."""
    plan = view.plan
    point = view.curve.at(plan.batches) if plan.batches <= view.curve.counts[-1] else None
    cost = "not proved yet"
    if point is not None and point.proved and point.cost_micros is not None:
        cost = f"{money(point.cost_micros / plan.containers)} {view.currency} each"
    words = f"{counted(plan.containers)}: {cost}"
    for line in view.shop_lines[:1]:
        pays = spans(line.pays)
        words += f", {money_of(line.price)} in the shop; "
        words += f"pays at {pays} batches" if pays else f"does not pay up to {view.curve.counts[-1]} batches"
    return words


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


def plan_in_words(plan: Plan) -> str:
    """A plan as its title, count and notes."""
    return f"{plan.recipe.title}, {counted(plan.containers)}: {notes_in_words(plan.notes)}"


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
