"""What a watch of one version says: watched long enough, and unchanged?"""

from __future__ import annotations

from collections.abc import Iterator

from maker_kit.bench.watching import PH_MOVES, THINNER, WEIGHT_MOVES
from maker_kit.decision.need import AGAINST, NOTHING_FOUND, UNKNOWN, Need
from maker_kit.findings import PRACTICE
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.log.kept import KeptRecord
from maker_kit.workshop.papers import Watched

LEAST_DAYS = 28
"""How long a batch is watched at room temperature before any is given away [days] (common practice, no source)."""
ROOM_C = (15.0, 25.0)
"""What counts as room temperature [°C] (common practice, no source)."""
ASKED = f"watched for {LEAST_DAYS} days at room temperature, and unchanged wherever it was watched"


def watch_need(recipe: Recipe, watched: tuple[Watched, ...], kept: KeptRecord | None = None) -> Need:
    """How a recipe's version stands up to being watched.

    Parameters
    ----------
    recipe : Recipe
    watched : tuple of Watched
        Of the whole workshop, by its tables.
    kept : KeptRecord, optional
        What the bench log holds of the recipe.

    Returns
    -------
    Need
        ``gift.watch``: against it where anything changed, unknown where too little was seen.
    """
    seen = [w for w in watched if w.recipe == recipe.name and name_key(w.version) == name_key(recipe.version)]
    changes = [*_changes(seen), *(kept.changes if kept else ())]
    if changes:
        rows = tuple(dict.fromkeys(place for _, place in changes))
        words = "; ".join(words for words, _ in changes)
        step = "find out why before any of it is given away; never save a batch that smells wrong"
        return Need("gift.watch", ASKED, AGAINST, f"It changed: {words}.", step, PRACTICE, rows)
    seen += kept.watched if kept else ()
    room = [w for w in seen if ROOM_C[0] <= w.temperature_c <= ROOM_C[1]]
    last = max(room, key=lambda w: w.day, default=None)
    step = "keep one of each batch, look at it, and write what you see into the bench log or watch.csv"
    if last is None:
        said = "Nobody has watched this version at room temperature, so how it keeps is not yet known."
        return Need("gift.watch", ASKED, UNKNOWN, said, step, PRACTICE)
    rows = tuple(dict.fromkeys(w.place for w in seen))
    if last.day < LEAST_DAYS:
        said = f"Watched for {last.day:g} of {LEAST_DAYS} days: not yet known."
        return Need("gift.watch", ASKED, UNKNOWN, said, step, PRACTICE, rows)
    if last.as_before is None:
        said = "Whether it still looks and smells as on the first day was not noted at the last look."
        return Need("gift.watch", ASKED, UNKNOWN, said, step, PRACTICE, rows)
    if min(w.day for w in room) > 0:
        said = "Its first day was not noted, so nobody can say whether it changed."
        return Need("gift.watch", ASKED, UNKNOWN, said, step, PRACTICE, rows)
    said = f"Watched for {last.day:g} days at room temperature; nothing changed that was noted."
    return Need("gift.watch", ASKED, NOTHING_FOUND, said, "", PRACTICE, rows)


def _changes(seen: list[Watched]) -> Iterator[tuple[str, str]]:
    """What changed, in words, and where that stands; against the first look at the same batch in the same place."""
    first: dict[tuple[str, float, str], float] = {}
    for w in sorted(seen, key=lambda w: (w.batch, w.temperature_c, w.day)):
        where = f"batch {w.batch}, day {w.day:g} at {w.temperature_c:g} °C"
        if w.as_before is False:
            yield f"{where} does not look or smell as before", w.place
        for key, name, most, relative in (
            ("spread_cm", "spread [cm]", THINNER, True),
            ("ph", "pH", PH_MOVES, False),
            ("weight_g", "weight [g]", WEIGHT_MOVES, True),
        ):
            value = getattr(w, key)
            if value is None:
                continue
            start = first.setdefault((w.batch, w.temperature_c, key), value)
            moved = abs(value - start) / (start if relative and start else 1)
            if moved > most + 1e-9:
                yield f"{where}, {name} {value:g} after {start:g}", w.place
