"""The gate: what stands between a product and own use, a gift, a sale; eyes, lips, under three and spray apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from maker_kit import reference
from maker_kit.decision.benched import BATCH_RECORD, deviation_needs, fill_needs, record_need
from maker_kit.decision.filed import answered, as_listed, label_told, papers_of, unknowns, where
from maker_kit.decision.gate_step import APART, BEFORE, CLOSED, NOT_ASKED, OPEN, STEPS, Gate, GateStep
from maker_kit.decision.need import AGAINST, MISSING, NOTHING_FOUND, UNKNOWN, Need
from maker_kit.decision.watched import watch_need
from maker_kit.errors import MakerKitError
from maker_kit.formula.annexes.uses import for_small_children
from maker_kit.formula.kinds import DRY, WET
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.judged import Judged
from maker_kit.plan.label.our_label import label_gaps
from maker_kit.plan.log.kept import KeptRecord
from maker_kit.trial.verdict import JudgedTarget
from maker_kit.workshop import Workshop

WATER = ", water"
"""How the step of a duty ends that holds only for what may hold water."""


def gate(
    workshop: Workshop,
    recipe: Recipe,
    judged: Judged,
    card: Iterable[JudgedTarget] = (),
    kept: KeptRecord | None = None,
) -> Gate:
    """What is still missing for each step.

    A step opens only where every need of it has nothing found against it, the steps before it are open, and so are all
    places apart that the product goes to. What is unknown or not on file blocks.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
        As set.
    judged : Judged
        Its notes, of the same recipe.
    card : iterable of JudgedTarget
        What the trials say of its target card; none where it has none.
    kept : KeptRecord, optional
        What the bench log holds of the recipe as it is listed; the tables papers.csv and watch.csv count beside it, for
        who keeps paper.

    Returns
    -------
    Gate
    """
    market = workshop.settings.market
    goes = goes_to(workshop, recipe)
    listed = as_listed(workshop, recipe)
    watched, record = (workshop.watched, kept) if listed else ((), None)
    own = {
        "own use": (*_notes(workshop, recipe, judged), *_water(recipe), *_keeping(recipe), *_places(recipe)),
        "gift": (
            *deviation_needs(workshop, recipe, kept),
            *_told(workshop, recipe, judged),
            watch_need(recipe, watched, record),
            *_label(workshop, recipe),
        ),
        "sale": (_likeness(tuple(card) if listed else ()), *fill_needs(kept if listed else None)),
    }
    needs = {step: (*own.get(step, ()), *_duties(workshop, recipe, step, record)) for step in (*STEPS, *APART)}
    answers = {
        step: NOT_ASKED if step not in goes else OPEN if all(n.met for n in needs[step]) else CLOSED for step in APART
    }
    steps = []
    for step in STEPS:
        first = [*BEFORE[step], *(apart for apart in APART if apart in goes)]
        waits = tuple(name for name in first if answers[name] != OPEN)
        answers[step] = OPEN if not waits and all(n.met for n in needs[step]) else CLOSED
        steps.append(GateStep(step, answers[step], needs[step], waits))
    steps += [GateStep(step, answers[step], needs[step]) for step in APART]
    words = tuple(row for row in reference.rows("gate_words.csv") if row["market"] in ("", market))
    return Gate(recipe.name, recipe.version, market, judged.law_as_of, tuple(steps), words)


def goes_to(workshop: Workshop, recipe: Recipe) -> frozenset[str]:
    """The places apart that a product goes to: eyes, lips, under three, spray."""
    kind, places = recipe.product_type, {name_key(place) for place in recipe.product_type.places}
    asked = {
        "eyes": "eye area" in places,
        "lips": "lips" in places,
        "under three": for_small_children(kind),
        "spray": kind.spray or workshop.container(recipe.container).kind == "spray",
    }
    return frozenset(step for step, there in asked.items() if there)


def _notes(workshop: Workshop, recipe: Recipe, judged: Judged) -> Iterator[Need]:
    """No stop stands; and nothing is unknown that a supplier's sheet does not answer."""
    asked, here = "no stop in the notes", (f"recipes/{recipe.name}.csv",)
    for f in judged.of_kind("stop"):
        yield Need("own.stop", asked, AGAINST, f.text, f.next_step, f.source, here)
    if not judged.stopped:
        law = f"law as of {judged.law_as_of}" if judged.law_as_of else "law on file without a date"
        yield Need("own.stop", asked, NOTHING_FOUND, f"No note stops it ({law}).", rests_on=here)
    asked = "nothing unknown in the notes"
    open_ones = [f for f in unknowns(judged.findings) if answered(workshop, recipe, f) is None]
    for f in open_ones:
        yield Need("own.unknown", asked, UNKNOWN, f.text, f.next_step, f.source, here)
    if not open_ones:
        papers = dict.fromkeys(answered(workshop, recipe, f) for f in unknowns(judged.findings))
        said = (
            "What the tables do not hold is told by the suppliers' sheets." if papers else "Nothing is unknown there."
        )
        yield Need("own.unknown", asked, NOTHING_FOUND, said, rests_on=(*here, *map(where, filter(None, papers))))


def _water(recipe: Recipe) -> Iterator[Need]:
    here = (f"bench log: {recipe.ph_noted}" if recipe.ph_noted else f"recipes.csv: {recipe.name}",)
    asked = "a pH that was read, inside the band that is wanted, where there is water in it"
    source = "the band is the recipe's own; what preserves hangs on the pH"

    def need(state: str, because: str, step: str = "") -> Need:
        return Need("own.ph", asked, state, because, step, source, here)

    read, low, high = recipe.ph_read, recipe.ph_low, recipe.ph_high
    if recipe.wetness == DRY:
        yield need(NOTHING_FOUND, "No line of it brings water, so it has no pH.")
    elif recipe.wetness != WET:
        yield need(UNKNOWN, "Whether there is water in it is not known.", "ask the suppliers what is inside")
    elif read is None:
        yield need(UNKNOWN, "No pH was read.", "read it and write it into the bench log or recipes.csv")
    elif low is None or high is None:
        yield need(UNKNOWN, "What pH is wanted is not on file.", "write the band into recipes.csv")
    elif not low <= read <= high:
        yield need(
            AGAINST, f"The pH read, {read:g}, lies outside {low:g} to {high:g}.", "correct it, and read it again"
        )
    else:
        yield need(NOTHING_FOUND, f"The pH read, {read:g}, lies inside {low:g} to {high:g}.")


def _keeping(recipe: Recipe) -> Iterator[Need]:
    asked, here = "how long it keeps, and how fast it is used", (f"recipes.csv: {recipe.name}",)
    source = "keeping time and use from the workshop's own tables; no shelf life was tested here"
    if not recipe.keeps_months or not recipe.use_per_month:
        said = "How long it keeps, or how many are used a month, is not on file."
        yield Need("own.keeping", asked, UNKNOWN, said, "write both into recipes.csv", source, here)
    else:
        said = f"It keeps {recipe.keeps_months:g} months; {recipe.use_per_month:g} are used a month."
        yield Need("own.keeping", asked, NOTHING_FOUND, said, "", source, here)


def _places(recipe: Recipe) -> Iterator[Need]:
    asked, here = "where it goes", (f"recipes.csv: {recipe.name}",)
    if not recipe.product_type.places:
        said = "Where on the body it goes is not on file."
        yield Need("own.places", asked, UNKNOWN, said, "write it into recipes.csv", "", here)
    else:
        left = "rinsed off" if recipe.product_type.rinse_off else "left on"
        yield Need(
            "own.places", asked, NOTHING_FOUND, f"{', '.join(recipe.product_type.places)}; {left}.", rests_on=here
        )


def _told(workshop: Workshop, recipe: Recipe, judged: Judged) -> Iterator[Need]:
    """Whoever avoids something that is in it was told."""
    asked = "whoever avoids something in it is told"
    told = {name_key(name) for paper in papers_of(workshop, recipe, "people told") for name in paper.about}
    people = {row.person for row in workshop.avoid}
    found = [f for f in judged.findings if f.code == "avoid.found"]
    waiting = [f for f in found if any(name_key(a) not in told for a in f.about if a in people)]
    for f in waiting:
        step = "do not give it to them; tell them, and note it in papers.csv as people told"
        yield Need("gift.people_told", asked, MISSING, f.text, step, "avoid.csv", ("avoid.csv",))
    if not waiting:
        said = "Nothing on the avoid-list was found in it." if not found else "They were told."
        yield Need("gift.people_told", asked, NOTHING_FOUND, said, "", "avoid.csv", ("avoid.csv",))


def _likeness(card: tuple[JudgedTarget, ...]) -> Need:
    asked, here = "the target card judged, before anything is said of likeness", ("targets.csv",)
    source = "Commission Regulation (EU) No 655/2013, Annex: evidential support (read as AGES, Austria, renders it)"
    musts = [row for row in card if row.weight == "must" and row.measure != "cost"]
    waiting = [row.must_have for row in musts if row.met is None]
    if not musts:
        said = "No target card is on file, so nothing may be said of how it compares."
        return Need("sale.trial", asked, MISSING, said, "write the card into targets.csv before a batch", source, here)
    if waiting:
        said = f"Not judged yet: {', '.join(waiting)}."
        return Need("sale.trial", asked, UNKNOWN, said, "finish the trial", source, here)
    return Need("sale.trial", asked, NOTHING_FOUND, f"{len(musts)} must-haves are judged.", "", source, here)


def _label(workshop: Workshop, recipe: Recipe) -> Iterator[Need]:
    """What the label must say is known, or told by a supplier's sheet."""
    asked, here = "nothing unknown in what the label must say", (f"recipes/{recipe.name}.csv",)
    try:
        gaps = label_gaps(workshop, recipe)
    except MakerKitError as error:
        yield Need("gift.label_told", asked, UNKNOWN, f"{error}.", "mend that first", "", here)
        return
    for gap in gaps:
        if label_told(workshop, recipe, gap) is None:
            state = AGAINST if gap.kind == "stop" else UNKNOWN
            step = gap.next_step or "ask the supplier, and keep the sheet in papers.csv"
            yield Need("gift.label_told", asked, state, gap.text, step, gap.source, here)
    sheets = [label_told(workshop, recipe, gap) for gap in gaps]
    if None not in sheets:
        said = (
            "What the tables do not hold is told by the suppliers' sheets." if sheets else "Nothing is unknown there."
        )
        yield Need("gift.label_told", asked, NOTHING_FOUND, said, rests_on=(*here, *map(where, filter(None, sheets))))


def _duties(workshop: Workshop, recipe: Recipe, step: str, kept: KeptRecord | None) -> Iterator[Need]:
    """What the table of duties asks for at a step in the workshop's market; a batch's record may be in its log."""
    steps = {step} if recipe.wetness == DRY else {step, step + WATER}
    for row in reference.rows("gate_duties.csv"):
        if row["step"] not in steps or row["market"] not in ("", workshop.settings.market):
            continue
        papers = papers_of(workshop, recipe, row["paper"])
        if row["paper"] == BATCH_RECORD and not papers and kept is not None:
            yield record_need(row, kept)
            continue
        on_file = "; ".join(f"{p.paper} of {p.date.isoformat()}" + f" by {p.by}" * bool(p.by) for p in papers)
        yield Need(
            row["code"],
            row["needs"],
            NOTHING_FOUND if papers else MISSING,
            f"On file: {on_file}." if papers else "No record on file.",
            "" if papers else row["next_step"],
            reference.source_of(row),
            tuple(map(where, papers)),
            row["who"],
        )
