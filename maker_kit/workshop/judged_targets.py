"""What the trials of a workshop say of a recipe's target card."""

from __future__ import annotations

from maker_kit.formula.recipe import Recipe
from maker_kit.names import one_of
from maker_kit.trial.card import TargetCard, card_changes
from maker_kit.trial.judge_card import is_of, judge_card
from maker_kit.trial.run import TrialRun
from maker_kit.trial.verdict import JudgedTarget
from maker_kit.workshop.workshop import Workshop


def card_of(workshop: Workshop, recipe: str | Recipe) -> TargetCard | None:
    """The card of a recipe that is in force: its last version; None where there is none. Raises UnknownNameError where
    there is no such recipe.
    """
    cards = workshop.target_cards.get(workshop.recipe(recipe).name, ())
    return cards[-1] if cards else None


def card_news(workshop: Workshop, recipe: str | Recipe) -> tuple[str, ...]:
    """What the last version of a recipe's card changed, in words; empty for a first version."""
    cards = workshop.target_cards.get(workshop.recipe(recipe).name, ())
    return card_changes(*cards[-2:]) if len(cards) > 1 else ()


def runs_of(workshop: Workshop, card: TargetCard) -> tuple[TrialRun, ...]:
    """The runs that were planned from a card, in the order in which they were."""
    return tuple(run for run in workshop.trials if is_of(run, card))


def run_named(workshop: Workshop, name: str) -> TrialRun:
    """The run of that name, whatever its capitals. Raises UnknownNameError with the nearest name if there is none."""
    found = {run.name: run for run in workshop.trials}
    return found[one_of(found, name, f'there is no run "{name}"')]


def judged_targets(workshop: Workshop, recipe: str | Recipe) -> tuple[JudgedTarget, ...]:
    """One verdict for each must-have of the recipe's card that is in force; empty where it has none.

    Raises
    ------
    UnknownNameError
        If there is no such recipe.
    """
    card = card_of(workshop, recipe)
    return judge_card(card, workshop.trials) if card else ()
