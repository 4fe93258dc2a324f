"""What the bench log answers of the gate: the record of the last batch, deviations that are not settled, and the fills.

Papers on file count beside it, for who keeps paper.
"""

from __future__ import annotations

from collections.abc import Iterator

from maker_kit import reference
from maker_kit.decision.filed import where
from maker_kit.decision.need import AGAINST, MISSING, NOTHING_FOUND, UNKNOWN, Need
from maker_kit.findings import PRACTICE
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.log.kept import Deviation, KeptRecord, place_of
from maker_kit.workshop import Workshop
from maker_kit.workshop.csv.tables import DEVIATION
from maker_kit.workshop.papers import Paper

BATCH_RECORD = "batch record"
LOG = "bench log"
SETTLE = (
    "settle it and note it in papers.csv, as a deviation about this batch with the day under 'closed on'; or throw the "
    "batch away and write that into the bench log"
)


def record_need(row: reference.Row, kept: KeptRecord) -> Need:
    """How the log's record of the last batch of this version answers what the table of duties asks for."""
    source, step = reference.source_of(row), row["next_step"]
    if kept.unread:
        said = f"The bench log could not be read: {kept.unread}"
        return Need(row["code"], row["needs"], UNKNOWN, said, "look the log over with maker-kit log", source, (LOG,))
    if not kept.last:
        made = f"{kept.batches} of other versions are in the log; none" if kept.batches else "No batch"
        said = f"{made} of this version ({kept.version}), and no paper."
        return Need(row["code"], row["needs"], MISSING, said, step, source, (LOG,), row["who"])
    here = (place_of(kept.last),)
    if kept.lacks:
        said = f"The record of batch {kept.last} is not whole: {'; '.join(kept.lacks)}."
        step = "write down what it lacks, or note the sheet that holds it in papers.csv"
        return Need(row["code"], row["needs"], UNKNOWN, said, step, source, here, row["who"])
    said = f"Batch {kept.last} of this version is in the bench log: weighings with lots, steps, pH and filling."
    return Need(row["code"], row["needs"], NOTHING_FOUND, said, "", source, here, row["who"])


def deviation_needs(workshop: Workshop, recipe: Recipe, kept: KeptRecord | None) -> Iterator[Need]:
    """Every deviation that is not settled, by the log and by papers; or that there is none."""
    asked = "no deviation that is not settled"
    papers, logged = open_deviations(workshop, recipe), open_logged(workshop, recipe, kept)
    for paper in papers:
        said = f"{', '.join(paper.about) or 'a batch'} of {paper.date.isoformat()}: {paper.note or 'not told'}"
        step = "settle it or discard the batch, and write the day under 'closed on'"
        yield Need("gift.deviation", asked, AGAINST, f"{said}.", step, PRACTICE, (where(paper),))
    for row in logged:
        rescue = f"; done about it: {row.rescue}" if row.rescue else "; nothing is noted that was done about it"
        said = f"batch {row.batch} of {row.made_on}: {row.what.rstrip('.')}; because {row.reason.rstrip('.')}{rescue}."
        yield Need("gift.deviation", asked, AGAINST, said, SETTLE, PRACTICE, (place_of(row.batch),))
    if kept is not None and kept.unread:
        said = f"The bench log could not be read: {kept.unread}"
        yield Need("gift.deviation", asked, UNKNOWN, said, "look the log over with maker-kit log", PRACTICE, (LOG,))
    elif not papers and not logged:
        here = ("papers.csv",) if kept is None else (LOG, "papers.csv")
        yield Need("gift.deviation", asked, NOTHING_FOUND, "No open deviation is on file.", "", PRACTICE, here)


def fill_needs(kept: KeptRecord | None) -> Iterator[Need]:
    """Whether enough is in them, where the log holds the last batch of this version; paper is not asked for it."""
    if kept is None or not kept.last:
        return
    asked, here = "fills weighed, and not below what the label states", (place_of(kept.last),)
    if kept.fills is None:
        said, step = f"Of batch {kept.last} too few fills were weighed.", "weigh three or more, ten are better"
        yield Need("sale.fills", asked, UNKNOWN, said, step, PRACTICE, here)
        return
    for f in kept.fills.findings:
        state = AGAINST if f.kind == "stop" else UNKNOWN if f.kind == "look" else NOTHING_FOUND
        yield Need("sale.fills", asked, state, f.text, f.next_step, f.source or PRACTICE, here)


def open_deviations(workshop: Workshop, recipe: Recipe) -> tuple[Paper, ...]:
    """The deviations of any batch of a recipe, of whatever version, that are on paper and not closed."""
    return tuple(p for p in _papers(workshop, recipe) if p.closed_on is None)


def open_logged(workshop: Workshop, recipe: Recipe, kept: KeptRecord | None) -> tuple[Deviation, ...]:
    """The deviations in the log that nothing settles: no paper about that batch with a day on which it was closed, and
    units of it that were not all thrown away.
    """
    closed = {name_key(name) for p in _papers(workshop, recipe) if p.closed_on for name in p.about}
    rows = kept.deviations if kept is not None else ()
    return tuple(d for d in rows if not d.discarded and not {name_key(d.batch), name_key(f"batch {d.batch}")} & closed)


def _papers(workshop: Workshop, recipe: Recipe) -> list[Paper]:
    return [p for p in workshop.papers if p.paper == DEVIATION and p.recipe == recipe.name]
