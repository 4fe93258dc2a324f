"""A recipe with its sliders set: what is planned, what to weigh, what to look at, how near the limits are."""

from __future__ import annotations

from maker_kit.formula.batch import counted
from maker_kit.formula.scale import decimals_of
from maker_kit.plan.plan import Plan
from maker_kit.workbook.amounts import percent
from maker_kit.workbook.charts.formula import LIMITS
from maker_kit.workbook.charts.picture import Still
from maker_kit.workbook.shown.sheets import Sheet


def overview(plan: Plan) -> Sheet:
    """What is planned, in a few lines: recipe, where it goes, batch, loads, reading, notes."""
    recipe, product = plan.recipe, plan.recipe.product_type
    kind = f"{'rinsed off' if product.rinse_off else 'left on'}{', spray' if product.spray else ''}"
    content = f"{recipe.fill_mass_g:.1f} g" + ("" if recipe.sold_by_mass else f" ({recipe.fill_ml:g} mL)")
    lost = f"{recipe.loss_percent:g} % loss and {recipe.film_g:g} g left on the tools"
    batches = f"{plan.batches} batch{'' if plan.batches == 1 else 'es'}"
    rows = {
        "recipe": f"{recipe.title}, version {recipe.version}",
        "where it goes": f"{', '.join(product.places)}; {kind}; for {product.for_whom or 'whom is not told'}",
        "one batch": f"{counted(plan.batch_size)} of {content} in {recipe.container}: "
        f"{plan.batch_mass_g:.1f} g with {lost}",
        "looked at": f"{batches} = {counted(plan.containers)} from one order",
    }
    if plan.load_on_whole is not None:
        on_base = f"{plan.load_on_base:.3f} % on the base"
        rows["fragrance load"] = f"{recipe.scent}: {percent(plan.load_on_whole)} % of the whole = {on_base}"
    if plan.thickener_level is not None:
        rows["thickener level"] = f"{recipe.thickener}: {percent(plan.thickener_level)} % of the whole"
    if recipe.holds_water:
        known = None not in (recipe.ph_low, recipe.ph_high)
        wanted = f" (wanted {recipe.ph_low:g} to {recipe.ph_high:g})" if known else ""
        noted = f" ({recipe.ph_noted})" if recipe.ph_noted else ""
        rows["pH that was read"] = (
            f"{recipe.ph_in_words}{noted}" if recipe.ph_in_words else "not read yet: unknown"
        ) + wanted
    kinds = [note.kind for note in plan.notes]
    rows["notes"] = " · ".join(f"{kinds.count(kind)} {kind}" for kind in ("stop", "look", "know"))
    return Sheet(rows.items(), columns=["what", "as planned"])


def weigh_out_sheet(plan: Plan) -> Sheet:
    """The weigh-out of one batch; beside it the mass for all batches where there are several."""
    everything = f"all {plan.batches} batches [g]"
    rows = [
        {
            "phase": row.phase,
            "ingredient": row.ingredient,
            "% of the whole": percent(row.percent),
            "mass [g]": f"{row.mass_g:.2f}",
            "weigh [g]": f"{row.weighed_g:.{decimals_of(row.step_g)}f}",
            "step [g]": f"{row.step_g:g}",
            "off by [%]": "0.0" if abs(row.error_percent) < 0.05 else f"{row.error_percent:+.1f}",
            "mass [oz]": f"{row.oz:.3f}",
            everything: f"{row.mass_g * plan.batches:.2f}",
            "note": row.note,
        }
        for row in plan.weigh_out.rows
    ]
    total = {
        "ingredient": "together",
        "% of the whole": percent(sum(r.percent for r in plan.weigh_out.rows)),
        "mass [g]": f"{plan.batch_mass_g:.2f}",
        everything: f"{plan.batch_mass_g * plan.batches:.2f}",
    }
    hidden = {everything} if plan.batches == 1 else set()
    if plan.workshop.settings.weights_in == "g":
        hidden.add("mass [oz]")
    shown = [heading for heading in rows[0] if heading not in hidden]
    return Sheet([*rows, total], ("phase", "ingredient", "note"), columns=shown)


def premix_sheet(plan: Plan) -> Sheet:
    """The pre-mixes of a weigh-out, each with its own weigh-out; says so where none is needed."""
    rows = [(mix.ingredient, mix.sentence()) for mix in plan.weigh_out.premixes]
    none = [("none", "every line of this batch is large enough for the scale")]
    return Sheet(rows or none, columns=["pre-mix", "how"])


def limits_picture(plan: Plan) -> Still:
    """One bar per limited substance, as a picture with its numbers as words."""
    return LIMITS.still(plan.bars, plan.recipe.title)
