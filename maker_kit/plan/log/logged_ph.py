"""The last pH of a recipe that the bench log holds, in place of the one in its table."""

from __future__ import annotations

from dataclasses import replace

from maker_kit.bench.batches import last_ph
from maker_kit.bench.log import FILE, BenchLog, open_log
from maker_kit.errors import MakerKitError
from maker_kit.findings import Finding, look
from maker_kit.workshop import Workshop


def with_logged_ph(workshop: Workshop, log: BenchLog | None) -> tuple[Workshop, dict[str, Finding]]:
    """The workshop with each recipe's last pH reading from the log, and where each is from.

    Parameters
    ----------
    workshop : Workshop
    log : BenchLog or None

    Returns
    -------
    tuple of (Workshop, dict of str to Finding)
        Recipes of which the log has no reading stay as their table has them; the findings, by recipe, are of kind
        *know* with the code ``day.ph``.
    """
    recipes, told = dict(workshop.recipes), {}
    for name, recipe in workshop.recipes.items():
        found = last_ph(log, name) if log is not None else None
        if found is not None:
            recipes[name], told[name] = replace(recipe, ph_read=found[0]), found[3]
    return replace(workshop, recipes=recipes), told


def with_own_log(workshop: Workshop) -> tuple[Workshop, dict[str, Finding]]:
    """As `with_logged_ph` with the log in the workshop's own folder, where there is one.

    A log that cannot be read changes nothing and is told of every recipe: ``day.log_unread`` (look).
    """
    if not (workshop.folder / FILE).is_file():
        return workshop, {}
    try:
        with open_log(workshop.folder) as log:
            return with_logged_ph(workshop, log)
    except MakerKitError as error:
        text = f"The last pH in the bench log was not looked up: {error}"
        return workshop, {name: look("day.log_unread", FILE, text, level="unknown") for name in workshop.recipes}
