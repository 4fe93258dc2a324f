"""All questions that a careful helper would ask about a workshop's tables."""

from __future__ import annotations

from collections.abc import Callable

from maker_kit.workshop.slips.dates import ask_dates
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.inside import ask_inside
from maker_kit.workshop.slips.names import ask_names
from maker_kit.workshop.slips.offers import ask_offers
from maker_kit.workshop.slips.plans import ask_plans
from maker_kit.workshop.slips.question import Asker, Question
from maker_kit.workshop.slips.recipes import ask_readings, ask_recipes
from maker_kit.workshop.slips.shops import ask_shops
from maker_kit.workshop.slips.written import ask_written

KINDS: tuple[Callable[[Held, Asker], None], ...] = (
    *(ask_inside, ask_recipes, ask_readings, ask_offers, ask_shops),
    *(ask_plans, ask_names, ask_dates, ask_written),
)


def questions(held: Held) -> tuple[Question, ...]:
    """The questions about single cells, by table and row; none about a cell that says ``sure``.

    Parameters
    ----------
    held : Held

    Returns
    -------
    tuple of Question
    """
    asker = Asker()
    for kind in KINDS:
        kind(held, asker)
    place = {spec.file: i for i, spec in enumerate(held.tables)}
    return tuple(sorted(asker.questions, key=lambda q: (place.get(q.file, len(place)), q.file, q.row)))
