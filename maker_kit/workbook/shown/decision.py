"""The decision as a page another can check: the answer, the card, the money, the rules, the risks, the gate."""

from __future__ import annotations

from maker_kit.decision.decision import Decision
from maker_kit.decision.filed import answered, where
from maker_kit.decision.money import amount_of
from maker_kit.formula.batch import counted
from maker_kit.money import MICROS_PER_CENT
from maker_kit.workbook.amounts import short, spans
from maker_kit.workbook.linked import Cell, Linked, Part, cells, one_each
from maker_kit.workbook.shown.decision_gate import MOST_ROWS, gate_parts, steps_part
from maker_kit.workbook.shown.sheets import SIGNS

WHERE = "Where it comes from"
IN_WORDS = {
    "make": "MAKE IT",
    "buy": "BUY IT",
    "change": "CHANGE IT",
    "do not use": "DO NOT USE IT",
    "not yet": "NOT YET",
}
"""The verdicts as a page shows them."""
HANGS = "What the verdict on money hangs on"
RULES = "The rules: the first that holds decides"
MOST_SIGNS = 220
"""Letters of each reason on the first sheet; the whole stands in the parts that follow."""


def decision_page(made: Decision) -> Linked:
    """The whole page of one decision.

    Parameters
    ----------
    made : Decision

    Returns
    -------
    Linked
        The same for the same decision; no day stands on it.
    """
    answer = f"{IN_WORDS[made.verdict]}: {made.because}."
    first = [_answer(made), _card(made), _money(made), _turns(made), _open(made), steps_part(made)]
    parts = [*first, _rules(made), _measured(made), _hangs(made), _risks(made), *gate_parts(made)]
    told = made.plan.workshop.told
    return Linked(answer, [part.told(told) for part in parts if part.sentences or part.rows], WHERE)


def _answer(made: Decision) -> Part:
    said = made.decided_by
    because = [Cell(f"Decided by the rule {said.rule.code}, by:", (), "rules")]
    few = "; ".join(row.short for row in said.rows if row.short)
    because += [Cell(f"– {few}", (), next(row.part for row in said.rows if row.short))] if few else []
    long = [row for row in said.rows if not row.short]
    because += [Cell(f"– {short(row.text, MOST_SIGNS)}", (), row.part) for row in long[:MOST_ROWS]]
    if len(long) > MOST_ROWS:
        because.append(Cell(f"– and {len(long) - MOST_ROWS} more", (), long[0].part))
    return Part("answer", "", (*because, *one_each(made.beside())))


def _card(made: Decision) -> Part:
    version = "" if made.card_version is None else f", version {made.card_version}"
    rows = tuple(
        cells(
            row.target.must_have,
            row.target.weight,
            Cell(row.result, row.rests_on),
            row.answer,
        )
        for row in made.card
    )
    none = () if rows else (Cell("No target card is on file: write one before the batch.", ("targets.csv",)),)
    columns = ("must-have", "weight", "result", "answer")
    return Part("card", f"The target card{version}", none, columns, rows, (15, 8, 62, 15))


def _measured(made: Decision) -> Part:
    """How each must-have of the card is measured, and what was allowed."""
    rows = tuple(
        cells(
            row.target.must_have,
            Cell(row.target.how, row.rests_on[:1]),
            row.target.unit,
            "" if row.target.gap is None else f"{row.target.gap:g}",
        )
        for row in made.card
    )
    return Part("measured", "How the card is measured", (), ("must-have", "how", "unit", "gap"), rows, (18, 52, 22, 8))


def _turns(made: Decision) -> Part:
    """What the comparison hangs on, in a few sentences; the table stands behind."""
    rows, unit = made.hangs_on, made.plan.currency
    if not rows:
        said = "What the comparison hangs on is unknown, because the cost or the fair price is."
        return Part("turns", HANGS, (Cell(said, (), "money"),))

    turning = [row for row in rows if row.turns]
    said = [
        f"{row.name[:1].upper()}{row.name[1:]} turns it: "
        + (
            f"one made is paid {amount_of(row.low_micros)}, which lies between {row.low} and {row.high} {unit}."
            if row.low_micros == row.high_micros
            else f"at {row.low} one made is paid {amount_of(row.low_micros)}, at {row.high} "
            f"{amount_of(row.high_micros)} {unit}."
        )
        for row in turning[:MOST_ROWS]
    ]
    said += [f"And {len(turning) - MOST_ROWS} more turn it."] if len(turning) > MOST_ROWS else []
    unknown, quiet = ([row.name for row in rows if row.turns is word] for word in (None, False))
    said += [f"Unknown: {', '.join(unknown)}."] if unknown else []
    if quiet:
        said.append(f"Moved a fifth down and up, each alone, what does not turn it: {', '.join(quiet)}.")
    return Part("turns", HANGS, (Cell(" ".join(said), (), "hangs"),))


def _open(made: Decision) -> Part:
    """Stops, deviations and open risks by name; each stands behind with its source."""
    stops = list(dict.fromkeys(f.subject for f in made.judged.of_kind("stop")))
    needs = [need for need in made.gate.step("gift").unmet if need.code == "gift.deviation"]
    risks = list(dict.fromkeys(f.subject for f in made.risks))
    said = [
        f"{SIGNS['stop']}: {', '.join(stops)}." if stops else "No stop stands.",
        *(f"▲ deviation not settled: {short(need.because, MOST_SIGNS)}" for need in needs[:MOST_ROWS]),
        *([f"And {len(needs) - MOST_ROWS} more deviations."] if len(needs) > MOST_ROWS else []),
        *([] if needs else ["No open deviation is on file."]),
        f"▲ to look at, or unknown: {short(', '.join(risks), 3 * MOST_SIGNS)}." if risks else "Nothing else is open.",
    ]
    return Part("open", "Stops, deviations, open risks", (Cell(" ".join(said), (), "notes"),))


def _money(made: Decision) -> Part:
    cost, plan, left = made.money, made.plan, made.money.left
    recipe = plan.recipe
    count = f"recipes.csv: {recipe.name}, keeping time and use per month"
    wish = f"decisions.csv, row {cost.intent.row}" if cost.intent else ""
    dose = f"{wish}: dose from {cost.intent.dose_from}" if cost.intent and cost.intent.dose_from else wish
    offers = _offers(made)
    shop = _shop(made)

    names = ("cash_micros", "used_micros", "used_plus_expiring_micros")
    ends = [getattr(left, name) if left else None for name in names]
    used = "unknown" if cost.used_containers is None else str(cost.used_containers)
    rows = [
        cells(f"made in one go: {counted(plan.containers)}", Cell(f"used in time: {used}", (count,)), ""),
        cells(
            "paid; used up; that and what will expire",
            Cell("; ".join(map(amount_of, ends)), (*offers, count)),
            "",
        ),
        cells(
            "one container that is really used",
            Cell(amount_of(cost.each_micros), (*offers, count)),
            Cell(amount_of(cost.fair_micros), shop),
        ),
        cells(
            "one use, dose by weight",
            Cell(amount_of(cost.use_micros, True), tuple(filter(None, (*offers, dose)))),
            Cell(amount_of(cost.shop_use_micros, True), tuple(filter(None, (*shop, dose)))),
        ),
    ]
    size, last = plan.batch_size, made.money_upto
    for price in cost.prices:
        pays = spans((a * size, b * size) for a, b in price.line.pays) or "none"
        word = {True: "ours is no dearer", False: "ours is dearer", None: "unknown"}[price.pays]
        fair = "fair: regular, nearest size" if price.fair else "to compare"
        place = f"shop_products.csv: {recipe.shop_product}, {price.line.name}"
        rows.append(
            cells(
                f"{price.line.name} ({fair})",
                Cell(f"{word};\ncounts that pay up to {last}: {pays}", offers),
                Cell(amount_of(price.line.price_cents * MICROS_PER_CENT), (place,)),
            )
        )
    columns = (f"money [{plan.currency}]", "ours", "the shop's")
    sentences = one_each(cost.why)
    return Part(
        "money", "What it costs, for as much as one container holds", sentences, columns, tuple(rows), (4, 4, 2)
    )


def _offers(made: Decision) -> tuple[str, ...]:
    if made.bought is None:
        return ("packs.csv",)
    listed = "; ".join(f"{line.count} × {line.pack}" for line in made.bought.basket.lines)
    return (f"packs.csv, kits.csv, delivery.csv and suppliers.csv, the cheapest list: {listed}",)


def _shop(made: Decision) -> tuple[str, ...]:
    size, name = made.money.size, made.plan.recipe.shop_product
    if size is None:
        return ("shop_products.csv",)
    day = f", price read {size.read_on.isoformat()}" if size.read_on else ", day of the price not noted"
    return (f"shop_products.csv: {name}, {size.name}{day}",)


def _hangs(made: Decision) -> Part:
    place = ("the same tables of offers, with one input moved at a time",)
    words = {True: "turns", False: "does not turn", None: "unknown"}

    rows = tuple(
        cells(
            row.name,
            row.low,
            Cell(amount_of(row.low_micros), place),
            row.high,
            Cell(amount_of(row.high_micros), place),
            words[row.turns],
        )
        for row in made.hangs_on
    )
    unit = made.plan.currency
    columns = (
        "input",
        "down to",
        f"one made is paid [{unit}]",
        "up to",
        f"one made is paid [{unit}]",
        "the comparison",
    )
    return Part(
        "hangs", "What the comparison of costs hangs on, input by input", (), columns, rows, (26, 12, 17, 12, 17, 16)
    )


def _rules(made: Decision) -> Part:
    rows = tuple(
        (
            Cell(str(number)),
            Cell(f"{said.rule.code}: {said.rule.words}"),
            Cell(said.rule.verdict),
            Cell(
                ("decides" if said.decides else "holds too" if said.rows else "does not hold")
                + (f", by {len(said.rows)} {'row' if len(said.rows) == 1 else 'rows'}" if said.rows else ""),
                (),
                said.rows[0].part if said.rows else "",
            ),
        )
        for number, said in enumerate(made.rules, 1)
    )
    columns = ("no.", "when it holds", "then", "here")
    return Part("rules", RULES, (), columns, rows, (5, 60, 15, 20), new_page=True)


def _risks(made: Decision) -> Part:
    stops = made.judged.of_kind("stop")
    place = f"recipes/{made.plan.recipe.name}.csv and its notes"
    workshop, recipe = made.plan.workshop, made.plan.recipe
    rows = [
        cells("▲ deviation", "not settled", Cell(f"{need.because}\n→ {need.next_step}", need.rests_on))
        for need in made.gate.step("gift").unmet
        if need.code == "gift.deviation"
    ]
    for f in (*stops, *made.risks):
        sheet = answered(workshop, recipe, f)
        told = f"\n→ {f.next_step}" * bool(f.next_step)
        if sheet is not None:
            told = f"\n→ Answered by the supplier's sheet of {sheet.date.isoformat()}; keep it."
        rests = (f.source or place, *((where(sheet),) if sheet else ()))
        rows.append(cells(SIGNS[f.kind], f.subject, Cell(f.text + told, rests)))
    law = made.gate.law_as_of
    said = f"Law on file for {made.gate.market}: " + (f"as of {law}." if law else "it has no date.")
    columns = ("note", "about", "what was found")
    return Part("notes", "Every stop, deviation and open risk", (Cell(said),), columns, tuple(rows), (11, 16, 73))
