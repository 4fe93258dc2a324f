"""What the notebooks call: results as tables, pictures and sentences a maker reads."""

from __future__ import annotations

from typing import Any

import pandas as pd

from maker_kit.buying.basket.reasons import reasons
from maker_kit.findings import know
from maker_kit.money import money_of
from maker_kit.plan.costs import CurveView, Purchase, ShopLine, shop_lines
from maker_kit.plan.plan import Plan
from maker_kit.workbook.charts import curve_and_limits as charts
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, in_currency, money, percent


def containers(count: int) -> str:
    """``1 container``, ``12 containers``."""
    return f"{count} container" + ("" if count == 1 else "s")


def overview(plan: Plan) -> Sheet:
    """What is planned, in a few lines: recipe, where it goes, batch, loads, reading, findings."""
    recipe = plan.recipe
    kind = ("rinsed off" if recipe.product_type.rinse_off else "left on") + (
        ", spray" if recipe.product_type.spray else ""
    )
    content = f"{recipe.fill_mass_g:.1f} g" + ("" if recipe.sold_by_mass else f" ({recipe.fill_ml:g} mL)")
    rows = [
        ("recipe", f"{recipe.title}, version {recipe.version}"),
        ("where it goes", f"{', '.join(recipe.product_type.places)}; {kind}; for {recipe.product_type.for_whom}"),
        (
            "one batch",
            f"{containers(plan.batch_size)} of {content} in {recipe.container}: {plan.batch_mass_g:.1f} g with {recipe.loss_percent:g} % loss and {recipe.film_g:g} g film",
        ),
        (
            "looked at",
            f"{plan.batches} batch{'es' if plan.batches != 1 else ''} = {containers(plan.containers)} from one order",
        ),
    ]
    if plan.load_on_whole is not None:
        rows.append(
            (
                "fragrance load",
                f"{recipe.scent}: {percent(plan.load_on_whole)} % of the whole = {plan.load_on_base:.3f} % on the base",
            )
        )
    if plan.thickener_level is not None:
        rows.append(("thickener level", f"{recipe.thickener}: {percent(plan.thickener_level)} % of the whole"))
    if recipe.holds_water:
        read = "not read yet: unknown" if recipe.ph_read is None else f"{recipe.ph_read:g}"
        band = (
            ""
            if recipe.ph_low is None or recipe.ph_high is None
            else f" (wanted {recipe.ph_low:g} to {recipe.ph_high:g})"
        )
        rows.append(("pH that was read", read + band))
    rows.append(("notes", " · ".join(f"{len(plan.of_kind(kind))} {kind}" for kind in ("stop", "look", "know"))))
    return Sheet(pd.DataFrame(rows, columns=["what", "as planned"]), left=("what", "as planned"))


def weigh_out_sheet(plan: Plan) -> Sheet:
    """The weigh-out of one batch; beside it the mass for all batches where there are several."""
    rows = []
    for row in plan.weigh_out.rows:
        line = {
            "phase": row.phase,
            "ingredient": row.ingredient,
            "% of the whole": percent(row.percent),
            "mass [g]": f"{row.mass_g:.2f}",
            "weigh [g]": _at_step(row.weighed_g, row.step_g),
            "step [g]": f"{row.step_g:g}",
            "off by [%]": _signed(row.error_percent),
            "mass [oz]": f"{row.oz:.3f}",
        }
        if plan.batches > 1:
            line[f"all {plan.batches} batches [g]"] = f"{row.mass_g * plan.batches:.2f}"
        rows.append({**line, "note": row.note})
    total = {
        "phase": "",
        "ingredient": "together",
        "% of the whole": percent(sum(r.percent for r in plan.weigh_out.rows)),
        "mass [g]": f"{plan.batch_mass_g:.2f}",
    }
    if plan.batches > 1:
        total[f"all {plan.batches} batches [g]"] = f"{plan.batch_mass_g * plan.batches:.2f}"
    frame = pd.DataFrame([*rows, total]).fillna("")
    return Sheet(frame, left=("phase", "ingredient", "note"))


def _at_step(mass: float, step: float) -> str:
    digits = max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))
    return f"{mass:.{digits}f}"


def _signed(value: float) -> str:
    return "0.0" if abs(value) < 0.05 else f"{value:+.1f}"


def premix_sheet(plan: Plan) -> Sheet:
    """The pre-mixes of a weigh-out, each with its own weigh-out; says so where none is needed."""
    rows = [{"pre-mix": mix.ingredient, "how": mix.sentence()} for mix in plan.weigh_out.premixes]
    return Sheet(
        pd.DataFrame(rows or [{"pre-mix": "none", "how": "every line of this batch is large enough for the scale"}]),
        left=("pre-mix", "how"),
    )


def notes_sheet(plan: Plan) -> Sheet:
    """All findings of a plan, gravest first."""
    return findings_sheet(plan.findings)


def cautions_sheet(plan: Plan) -> Sheet:
    """The usual cautions for this recipe."""
    return findings_sheet(plan.cautions)


def gravest_sheet(plan: Plan) -> Sheet:
    """Everything of a plan that is a stop or a look; says so where there is nothing."""
    nothing = know(
        "limit.note",
        plan.recipe.title,
        "Nothing to stop for or to look at was found in the tables on file. That is not a promise that it is safe.",
    )
    return findings_sheet(tuple(f for f in plan.findings if f.kind != "know") or (nothing,))


def cost_sheet(bought: Purchase) -> Sheet:
    """What one container costs, beside every shop price for as much."""
    plan, currency = bought.plan, bought.plan.workshop.settings.currency
    unit = "g" if plan.recipe.sold_by_mass else "mL"
    hundred = 100 / (plan.recipe.fill_mass_g if plan.recipe.sold_by_mass else plan.recipe.fill_ml)
    rows = [
        _cost_row(
            f"made: what you pay ({containers(plan.containers)})",
            bought.unit_cash_micros,
            float(bought.unit_cash_micros) * hundred,
            "",
        ),
        _cost_row(
            "made: what this batch used up", bought.unit_used_micros, float(bought.unit_used_micros) * hundred, ""
        ),
    ]
    for line in shop_lines(plan.workshop, plan.recipe):
        rows.append(
            _cost_row(
                f"shop: {line.name}",
                line.price_cents * 10_000,
                float(line.per_100_cents) * 10_000,
                _verdict(bought, line),
            )
        )
    frame = pd.DataFrame(rows)
    frame.columns = ["", f"one container [{currency}]", f"100 {unit} [{currency}]", "paid against this"]
    return Sheet(frame, left=("", "paid against this"))


def _cost_row(what: str, unit_micros: Any, hundred_micros: float, verdict: str) -> tuple[str, str, str, str]:
    return what, money(unit_micros), money(round(hundred_micros)), verdict


def _verdict(bought: Purchase, line: ShopLine) -> str:
    gap = line.price_cents * 10_000 - bought.unit_cash_micros
    return f"{money(abs(gap))} {'less' if gap > 0 else 'more'} a container" if gap else "the same"


def shopping_sheet(bought: Purchase) -> Sheet:
    """The shopping list, supplier by supplier, with fees and the total."""
    frame = in_currency(bought.basket.to_frame(), ("price each", "cost"), bought.plan.workshop.settings.currency)
    return Sheet(frame, left=("supplier", "pack"))


def reasons_sheet(bought: Purchase) -> Sheet:
    """Why the shopping list is what it is, in words."""
    why = reasons(bought.basket, bought.plan.market) or ("nothing unusual: the smallest packs that cover the need",)
    return Sheet(pd.DataFrame({"why this list": why}), left=("why this list",))


def counts_sheet(view: CurveView) -> Sheet:
    """For each shop price, all counts at which making costs no more, up to the largest that was looked at."""
    last = view.curve.counts[-1]
    rows = []
    for line in view.shop_lines:
        pays = ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in line.pays) or f"none up to {last}"
        rows.append(
            {
                "shop price": line.name,
                f"one container [{view.currency}]": money_of(line.price),
                f"counts of batches that pay, up to {last}": pays,
            }
        )
    frame = pd.DataFrame(rows or [{"shop price": "none on file", f"counts of batches that pay, up to {last}": "–"}])
    return Sheet(frame, left=("shop price", f"counts of batches that pay, up to {last}"))


def limits_picture(plan: Plan) -> Still:
    """One bar per limited substance, as a picture with its numbers as words."""
    return Still(Picture(charts.draw_limit_bars, 9.4, charts.limit_bars_height).png(plan.bars), limit_words(plan))


def limit_words(plan: Plan) -> str:
    """The bars' numbers as one sentence each."""
    words = []
    for bar in plan.bars:
        limit = (
            "no limit on file: unknown"
            if bar.limit_percent is None
            else f"limit {percent(bar.limit_percent)} % {bar.counted_as}"
        )
        found = "amount unknown" if bar.found_high_percent is None else f"up to {percent(bar.found_high_percent)} %"
        words.append(f"{bar.substance}: {found} ({limit})")
    return "; ".join(words) or "no substance with a limit on file"


def curve_picture(view: CurveView) -> Still:
    """The saw curve, as a picture with its numbers as words."""
    return Still(Picture(charts.draw_curve, 9.4, charts.curve_height).png(view), curve_words(view))


def curve_words(view: CurveView) -> str:
    """The curve's ends and the counts that pay, in words."""
    known = [(n, c) for n, c in zip(view.containers, view.unit_cash, strict=True) if c is not None]
    if not known:
        return "no count can be bought"
    (first, dear), (last, cheap) = known[0], known[-1]
    words = (
        f"one container costs {money_of(dear, view.currency)} at {containers(first)} "
        f"and {money_of(cheap, view.currency)} at {containers(last)}"
    )
    for line in view.shop_lines:
        pays = ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in line.pays) or "none"
        words += f"; pays against {line.name} ({money_of(line.price, view.currency)}): {pays}"
    return words
