"""The last pH of a recipe that the bench log holds, in place of the one in its table."""

from __future__ import annotations

from dataclasses import replace

from maker_kit.bench.batches import last_ph
from maker_kit.bench.log import FILE, BenchLog, open_log
from maker_kit.errors import MakerKitError
from maker_kit.findings import Finding, look
from maker_kit.formula.preservation.ph_reading import named_tool, reading_error
from maker_kit.workshop import Workshop


def with_logged_ph(workshop: Workshop, log: BenchLog | None) -> tuple[Workshop, dict[str, Finding]]:
    """The workshop with each recipe's last pH reading from the log, and where each is from.

    Only a batch that was made as the recipe in hand is made vouches for it: the words of its steps may have changed
    since, and how much is filled. A reading of another one is told and changes nothing.

    Parameters
    ----------
    workshop : Workshop
    log : BenchLog or None

    Returns
    -------
    tuple of (Workshop, dict of str to Finding)
        Recipes of which the log has no reading stay as their table has them; the findings, by recipe, are ``day.ph``
        (know) and ``day.ph_other_version`` (look), and stand in the workshop too.
    """
    recipes, told = dict(workshop.recipes), {}
    for name, recipe in workshop.recipes.items() if log is not None else ():
        found = last_ph(log, name, recipe)
        if found is not None:
            tool = named_tool(found.tool)
            read = {"ph_read": found.value, "ph_tool": tool, "ph_error": reading_error(tool)}
            recipes[name] = replace(recipe, **read, ph_at_c=found.at_c, ph_noted=found.noted)
        other = found or last_ph(log, name)
        if other is not None:
            told[name] = other.told(recipe, "unknown" if recipe.ph_read is None else "note")
    return replace(workshop, recipes=recipes, logged=told), told


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
        step = "Look the log over with maker-kit log, or mend it with maker-kit log --mend."
        unread = look("day.log_unread", FILE, text, level="unknown", next_step=step)
        told = dict.fromkeys(workshop.recipes, unread)
        return replace(workshop, logged=told), told
