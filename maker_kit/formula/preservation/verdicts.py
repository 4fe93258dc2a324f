"""One finding a preservative: how much of it works, against what is published or what its supplier says."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from maker_kit.findings import PRACTICE, Finding, know, look, stop
from maker_kit.formula.limits.judging import Judgement
from maker_kit.formula.limits.worst_end import legal_maxima
from maker_kit.formula.preservation.ph_reading import READ_IT
from maker_kit.formula.preservation.traces import trace_below
from maker_kit.formula.preservation.undissociated import PreservativeRow
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import number_text

NO_TEST = "No challenge test was made: only one (ISO 11930 or USP <51>) shows that a product is preserved."
LOW_RISK = "ISO 29621, products of low microbiological risk; read"
WORKS = "undissociated (the part of the acid that works)"


@dataclass(frozen=True)
class Case:
    """What a preservative is judged beside.

    Attributes
    ----------
    recipe : Recipe
    working : tuple of str
        Preservatives of the recipe that are known to work in it.
    more : bool
        Whether anything in it may preserve.
    perhaps : tuple of str
        Those that hardly depend on the pH, in an amount that was told and may be enough.
    low_risk : str
        Why microbes hardly grow in it all the same, in words; empty where nothing says so.
    judged : tuple of Judgement
        How the recipe stands to its limits.
    """

    recipe: Recipe
    working: tuple[str, ...]
    more: bool
    low_risk: str
    judged: tuple[Judgement, ...]
    perhaps: tuple[str, ...] = ()

    def beside(self, name: str) -> tuple[str, ...]:
        """The others that are known to work."""
        return tuple(w for w in self.working if w != name)

    @property
    def but(self) -> str:
        """Why microbes hardly grow in it all the same, as a sentence with a blank before it; empty where nothing says
        so.
        """
        return f" {self.low_risk[0].upper()}{self.low_risk[1:]}." if self.low_risk else ""


def verdict(row: PreservativeRow, case: Case) -> Finding:
    """What there is to say of one preservative of a recipe.

    Parameters
    ----------
    row : PreservativeRow
    case : Case

    Returns
    -------
    Finding
    """
    if row.trace:
        return _trace(row, case)
    if row.agent.unknown_in if row.acid else row.only_undisclosed:
        return _undisclosed(row, case)
    return _acid(row, case) if row.acid else _steady(row, case)


def _trace(row: PreservativeRow, case: Case) -> Finding:
    """What can be there at most is too little to count; a stop where nothing else is left that might preserve."""
    agent, least = row.agent, trace_below(row.agent.inci)
    where, maxima = ", ".join(agent.ingredients), legal_maxima(agent.inci)
    told = (
        f"an undisclosed amount in {', '.join(agent.unknown_in)}, which can be no more than"
        if agent.unknown_in
        else f"from {where}, at most"
    )
    bound = (
        f"a tenth of its least legal maximum of {number_text(maxima[0])} %"
        if maxima
        else "what is taken as too little where no legal maximum is on file"
    )
    if agent.most >= least:
        bound = f"what would have to be there: at the pH read, {row.ph_read:g}, only {_share(row)} % of it is {WORKS}"
    amount = f"{Decimal(f'{float(agent.most):.2g}'):f}"
    text = (
        f"{row.substance}: {told} about {amount} % of the whole{', counted as acid' if row.acid else ''}: less than "
        f"{bound}. Such a trace keeps nothing but what brought it, and counts for nothing here.{case.but}"
    )
    step = (
        "Add a preservative at its supplier's level that works at this pH, or make a version without water. If "
        f"{where} is meant to preserve, ask its supplier how much is inside and write it down."
    )
    law = ["maximum: Regulation (EC) 1223/2009 Annex V, annex_uses.csv"] if maxima else []
    return Finding(
        "know" if case.more else "look" if case.low_risk else "stop",
        "preservation.trace",
        (row.substance, *agent.ingredients),
        text,
        level="under",
        next_step="" if case.more else step,
        found_percent=float(agent.most),
        limit_percent=float(least),
        sources=(f"share of the maximum: {PRACTICE}", *law, *row.figures.sources),
    )


def _undisclosed(row: PreservativeRow, case: Case) -> Finding:
    """It is there, and nobody has told how much."""
    name, unknown_in = row.substance, row.agent.unknown_in
    where = ", ".join(unknown_in)
    text = (
        f"{name} is in {where}, in an amount that nobody has told: whether it protects the finished product is unknown."
    )
    step = (
        f"Ask the supplier of {where} how much is inside, and how much may be added before it no longer protects: "
        "everything added dilutes it."
    )
    more = {
        "limit_percent": row.least_undissociated_percent,
        "sources": row.figures.sources or ("what is inside, on file",),
    }
    if row.level == "under" and row.acid:
        return Finding(
            "look" if case.working or case.low_risk or case.more else "stop",
            "preservation.undisclosed_and_dissociated",
            (name, *unknown_in),
            f"{text} However much it is, at the pH read, {row.ph_read:g}, only {_share(row)} % of it is {WORKS}: it "
            "hardly works here.",
            level="under",
            next_step=f"{step} Bring the pH down to where it works, and read it again.",
            **more,
        )
    text += " No pH was read either." if row.acid and row.ph_read is None else ""
    return look("preservation.undisclosed", (name, *unknown_in), text, level="unknown", next_step=step, **more)


def _acid(row: PreservativeRow, case: Case) -> Finding:
    name, total, known = row.substance, float(row.agent.total), row.figures
    if row.undissociated_percent is None:
        unread = row.ph_read is None
        why = (
            f" counted as acid, but no pH was read, so how much of it is {WORKS} is unknown"
            if unread
            else f"; no pKa is on file, so how much of it is {WORKS} at pH {row.ph_read:g} is unknown"
        )
        return look(
            "preservation.acid_not_read" if unread else "preservation.no_pka",
            name,
            f"{name}: {total:.3f} % of the whole{why}.",
            level="unknown",
            next_step=READ_IT if unread else "Ask the supplier at which pH it works.",
            found_percent=total,
            sources=known.sources,
        )
    works, enough, above = row.undissociated_percent, known.enough_undissociated, row.dissociated_by_ph
    trusted = f"common practice trusts it up to pH {known.works_to_ph:g} (no source)" if known.works_to_ph else ""
    text = f"{name}: at the pH read, {row.ph_read:g}, {_share(row)} % of {total:.3f} % (counted as acid) is {WORKS}: "
    text += f"{works:.4f} % of the whole.{_published(row)}"
    kind, step, brief = "look", "", ""
    if row.level == "under":
        others = case.beside(name)
        kind = "look" if case.low_risk or others or case.perhaps else "stop"
        text += (
            f" It hardly works here: {trusted or 'hardly any of it is undissociated'}."
            if above
            else " That is too little."
        )
        text += _legal(row, case) + (case.but or _carried(others, case))
        step = (
            "Bring the pH down into the band where it works (and read it again), or take a preservative that works "
            "at this pH."
            if above or row.undissociated_share_percent < 20
            else "Use more, within its limit, or add another preservative."
        )
    elif row.level == "near":
        brief = f"{text} That is little to spare."
        text = f"{brief} {NO_TEST}"
        step = f"Lower the pH a little: {trusted}." if above else "Lower the pH a little, or use more within its limit."
    elif row.level == "unknown":
        other = next(iter(case.beside(name)), "")
        kind = "know" if other else "look"
        text += f" Whether that is enough is unknown.{f' {other} works beside it.' if other else ''}"
        step = "Ask the supplier for the level and pH at which it works, and for a challenge test."
    else:
        kind = "know"
        if not known.least_undissociated and (enough is None or works < enough):
            text += " It stands within its supplier's working range."
        brief = f"{text}{f' {trusted[:1].upper()}{trusted[1:]}.' if trusted else ''}"
        text = f"{brief} {NO_TEST}"
    return Finding(
        kind,
        f"preservation.acid_{row.level}",
        (name,),
        text,
        level=row.level,
        next_step=step,
        found_percent=works,
        limit_percent=None if row.level == "unknown" else row.least_undissociated_percent,
        sources=known.sources,
        brief=brief,
    )


def _carried(others: tuple[str, ...], case: Case) -> str:
    """What carries the product, or may, as a sentence with a blank before it."""
    if others:
        return f" Others carry the product: {', '.join(others)}."
    return f" Whether {', '.join(case.perhaps)} carries the product is unknown." if case.perhaps else ""


def _published(row: PreservativeRow) -> str:
    """What is published of an acid's working amount, as a sentence with a blank before it."""
    known, works = row.figures, row.undissociated_percent
    if known.least_undissociated:
        low, high = min(known.least_undissociated), max(known.least_undissociated)
        text = (
            f" Published for {row.substance.casefold()} against one mould at 25 °C: {low:g} to {high:g} % un-ionised."
        )
        if row.level != "under" or works <= 0:
            return text
        far = low > works * 1.5
        return text + (f" That is {low / works:.0f}–{high / works:.0f} times under." if far else " That is under it.")
    if known.enough_undissociated is not None:
        return (
            f" Published: {known.enough_undissociated:g} % un-ionised held every yeast and mould tried back; less "
            "was not told."
        )
    return " No published working minimum is on file."


def _legal(row: PreservativeRow, case: Case) -> str:
    """That so much is allowed all the same, where the law says so without a condition."""
    inci = set(map(name_key, row.agent.inci))
    own = [j for j in case.judged if j.limit.kind == "law" and inci & set(map(name_key, j.members))]
    if not own or any(j.level not in {"fine", "near"} or j.standing.to_check for j in own):
        return ""
    tightest = min(own, key=lambda j: j.most or Fraction(100))
    return (
        f" Legal all the same: {number_text(tightest.known_high)} % of at most {number_text(tightest.most or 0)} % "
        f"({tightest.limit.region} law). Legal is not protected."
    )


def _steady(row: PreservativeRow, case: Case) -> Finding:
    """A preservative that hardly depends on the pH, by its supplier's working range."""
    recipe, where = case.recipe, ", ".join(row.ingredients)
    text = (
        f"{row.substance}: at least {number_text(row.total_percent)} % of the whole, from {where}; it hardly depends "
        f"on the pH ({PRACTICE})."
    )
    things = (recipe.ingredients[n] for n in row.ingredients)
    thing = next((t for t in things if t.least_percent is not None), None)
    if row.level == "unknown" or thing is None:
        return look(
            "preservation.no_range",
            (row.substance, *row.ingredients),
            f"{text} No working range of its supplier is on file, so whether this is enough is unknown.",
            level="unknown",
            next_step=f"Ask the supplier of {where} for the least that protects, and write it into the ingredients.",
            found_percent=row.total_percent,
            source="none on file",
        )
    least, percent = number_text(thing.least_percent), recipe.percent_of(thing.name)
    more = {"found_percent": percent, "limit_percent": thing.least_percent, "source": f"supplier's range of {where}"}
    if row.level == "under":
        return stop(
            "preservation.under_range",
            (row.substance, thing.name),
            f"{text} {thing.name} stands under its supplier's least of {least} %: too little protects nothing.",
            level="under",
            next_step=f"Raise {thing.name} to at least {least} %, within its limit.",
            **more,
        )
    most = f" to {number_text(thing.most_percent)}" if thing.most_percent is not None else ""
    brief = f"{text} {thing.name} stands at {number_text(percent)} %, from the supplier's least of {least}{most} %."
    about = (row.substance, thing.name)
    return know("preservation.in_range", about, f"{brief} {NO_TEST}", level="fine", brief=brief, **more)


def _share(row: PreservativeRow) -> str:
    share = row.undissociated_share_percent or 0.0
    return f"{share:.1f}" if share >= 10 else f"{share:.3f}"
