"""What a maker does with trials: plan one, enter results, look, open the key; each gives the workshop as it is then.

In a workshop of her own every act is kept in its file at once; in the demo it is only tried out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

from maker_kit.errors import NoticeError, QuantityError
from maker_kit.names import name_key
from maker_kit.numbers import typed_number
from maker_kit.trial.card import TargetCard
from maker_kit.trial.judge import judge_look
from maker_kit.trial.looks import refuse_pointless, spread_looks
from maker_kit.trial.plan import HANDS, TrialPlan, new_seed
from maker_kit.trial.power_curve import PowerCurve, pairs_curve, power_curve
from maker_kit.trial.protocols import protocol_for, protocols
from maker_kit.trial.run import ANSWER, TrialRun, correct, kinds_for, start_run, take_look, unseal
from maker_kit.trial.verdict import IN_WORDS
from maker_kit.workbook.paper.trial import key_sheet, score_sheets
from maker_kit.workshop import Workshop
from maker_kit.workshop.judged_targets import card_of, run_named
from maker_kit.workshop.making import is_demo, refuse_demo
from maker_kit.workshop.recipe_lines import NAME_RULE, is_recipe_name
from maker_kit.workshop.trials import Row, result_rows, save_run, take_in, take_in_typed

PERCENT = 100.0
PAPER = "paper"
"""Folder of a workshop that sheets to print go into."""


def plan_trial(
    workshop: Workshop,
    recipe: str,
    must_have: str,
    name: str,
    count: int,
    *,
    kind: str = "",
    hands: str = HANDS[0],
    looks: int = 1,
    expected: str = "",
    seed: int | None = None,
    day: date | None = None,
) -> Workshop:
    """The workshop with a run more, planned from the recipe's card, and kept.

    Parameters
    ----------
    workshop : Workshop
    recipe, must_have : str
    name : str
        Of the run, also its file's.
    count : int
        Tasters or pairs.
    kind : str
        As `maker_kit.trial.plan.KINDS`; the first that goes with the measure unless given.
    hands : {'one pair of hands', 'panel'}
    looks : int
        How often is judged, evenly spread, the last time when all is in.
    expected : {'ours', 'shop', ''}
        For a paired trial.
    seed : int, optional
        Drawn unless given.
    day : date, optional
        Today unless given.

    Returns
    -------
    Workshop

    Raises
    ------
    NoticeError
        If the recipe has no card, the name is taken or none for a file, or the must-have is a cost.
    MakerKitError
        As `TrialPlan`, `start_run` and `refuse_pointless` do.
    """
    card = card_of(workshop, recipe)
    if card is None:
        raise NoticeError(
            f"{workshop.recipe(recipe).title} has no target card: write three to six must-haves into targets.csv"
        )
    name = name.strip()
    if not is_recipe_name(name):
        raise NoticeError(f"a run needs a short name: {NAME_RULE}; write it such as rub-in-1")
    if any(name_key(run.name) == name_key(name) for run in workshop.trials):
        raise NoticeError(f'there is a run "{name}" already: choose another name')
    row = card.must_have(must_have)
    fitting = kinds_for(row.measure)
    if not fitting:
        raise NoticeError(f"{row.name} is worked out from prices, not tried")
    kind = kind or fitting[0]
    if kind not in fitting:
        raise NoticeError(
            f"{row.name} is {row.measure} on the card, which goes with {', '.join(fitting)}, not with {kind}"
        )
    if kind == "kind":
        count, looks = 1, 1
    at = spread_looks(count, looks)
    protocol = protocols().get(protocol_for(row.name, row.measure))
    gap = 0.0 if row.gap is None else row.gap / (PERCENT if row.measure == "tasters" else 1)
    plan = TrialPlan(
        name,
        card.recipe,
        card.against,
        row.name,
        kind,
        hands,
        count,
        gap,
        row.unit,
        new_seed() if seed is None else seed,
        day or date.today(),
        card.version,
        looks=at,
        expected=expected,
        protocol=protocol.name if protocol else "",
        dose_g=protocol.dose_g if protocol else None,
        wash_out_h=protocol.wash_out_h if protocol and hands == HANDS[0] else None,
    )
    refuse_pointless(plan)
    return _kept(workshop, start_run(plan, card))


def plan_power(
    workshop: Workshop,
    recipe: str,
    must_have: str,
    kind: str,
    count: int,
    scatter: float,
    looks: int = 1,
    expected: str = "",
) -> PowerCurve:
    """What a planned number of tasters or pairs can show, over all its looks; `scatter` is the standard deviation of a
    difference, which only pairs need. Raises NoticeError for a kind or a cost, and as `power_curve`, `pairs_curve` and
    `spread_looks` do.
    """
    card = card_of(workshop, recipe)
    row = card.must_have(must_have) if card else None
    if row is None or row.gap is None or not kinds_for(row.measure):
        raise NoticeError(f"{must_have} takes no number of tasters: it is looked at, or worked out from prices")
    if kind == "pairs":
        return pairs_curve(count, row.gap, scatter, unit=row.unit, looks=spread_looks(count, looks))
    two_sided = kind == "paired" and not expected
    return power_curve(kind, count, row.gap / PERCENT, looks=spread_looks(count, looks), two_sided=two_sided)


def enter_results(workshop: Workshop, run: str, text: str, day: date | None = None) -> Workshop:
    """The workshop with results entered, all of them or none: one a line, ``1 = 417`` for the answer of taster 1,
    ``1 509 = 41`` for a measure of pair 1, code 509. Raises QuantityError for a line that is none, and as `enter`.
    """
    return _changed(workshop, run, day, lambda found, card, on: take_in(found, card, on, typed_rows(text)))


def correct_result(workshop: Workshop, run: str, text: str, why: str, day: date | None = None) -> Workshop:
    """The workshop with other values for results that are in, typed as `enter_results` takes them; the old ones stay to
    be read. Raises as `correct`.
    """

    def act(found: TrialRun, card: TargetCard, on: date) -> TrialRun:
        for place, code, value, _ in typed_rows(text):
            found = correct(found, card, on, place, value, why, code)
        return found

    return _changed(workshop, run, day, act)


def enter_file(workshop: Workshop, run: str, path: str | Path, day: date | None = None) -> Workshop:
    """The workshop with the results of a CSV file entered (headings place, code, value, note), all of them or none.
    Raises WorkshopError with every fault of the file, and as `enter`.
    """
    return _changed(workshop, run, day, lambda found, card, on: take_in(found, card, on, result_rows(path)))


def enter_typed(workshop: Workshop, run: str) -> Workshop:
    """The workshop with the rows taken in that were typed at the end of the run's own file. Raises as `enter`."""
    return _changed(workshop, run, None, lambda found, card, _: take_in_typed(found, card))


def open_key(workshop: Workshop, run: str, day: date | None = None) -> Workshop:
    """The workshop with a run's key opened: no result is taken any more. Raises as `unseal`."""
    return _changed(workshop, run, day, lambda found, _, on: unseal(found, on))


def look_now(workshop: Workshop, run: str, day: date | None = None) -> tuple[Workshop, str]:
    """The workshop with a planned look taken, and what it says; the key stays closed. Raises as `take_look`."""
    after = _changed(workshop, run, day, lambda found, _, on: take_look(found, on))
    return after, IN_WORDS[judge_look(run_named(after, run))]


def typed_rows(text: str) -> tuple[Row, ...]:
    """Results as typed, one a line. Raises QuantityError for a line that is none."""
    rows: list[Row] = []
    for line in filter(None, (part.strip() for part in text.splitlines())):
        left, equals, value = (part.strip() for part in line.partition("="))
        place, _, code = left.partition(" ")
        if not equals or not value or not place:
            raise QuantityError(
                f'"{line}" is not understood: write 1 = 417 (taster = code), or 1 509 = 41 (pair code = value)'
            )
        number = typed_number(place, "a taster or pair", "1")
        if number.denominator != 1:
            raise QuantityError(f'"{line}" begins with {place}: tasters and pairs are whole numbers')
        rows.append((int(number), code.strip() or ANSWER, value, ""))
    if not rows:
        raise QuantityError("nothing was typed: write one result a line, as in 1 = 417, or 1 509 = 41")
    return tuple(rows)


def print_sheets(workshop: Workshop, run: str, folder: str | Path = "", paper: str = "A4") -> tuple[Path, ...]:
    """Write the score sheets and the key of a run as two PDF, or the sheet alone where only the kind is looked at; into
    the workshop's folder of paper unless another is named.

    Raises
    ------
    NoticeError
        If it would go into the demo workshop, or a file cannot be written.
    UnknownNameError
        If there is no such run or paper.
    """
    found = run_named(workshop, run)
    card = _card(workshop, found)
    target = Path(folder).expanduser() if str(folder).strip() else workshop.folder / PAPER
    refuse_demo(target, "name a folder of your own to print into")
    made = workshop.recipes.get(card.recipe)
    title = made.title if made else ""
    sheets = [("scores", score_sheets(found, card, paper, title))]
    if found.plan.kind != "kind":
        sheets.append(("key", key_sheet(found, paper, title)))
    try:
        target.mkdir(exist_ok=True)
        paths = []
        for what, pdf in sheets:
            path = target / f"{found.name}-{what}.pdf"
            path.write_bytes(pdf)
            paths.append(path)
    except OSError as error:
        raise NoticeError(
            f"{target} cannot be written to: {error.strerror or error}; name a folder that is there"
        ) from error
    return tuple(paths)


def _changed(workshop: Workshop, name: str, day: date | None, act: Callable[..., TrialRun]) -> Workshop:
    run = run_named(workshop, name)
    return _kept(workshop, act(run, _card(workshop, run), day or date.today()))


def _card(workshop: Workshop, run: TrialRun) -> TargetCard:
    cards = workshop.target_cards.get(run.plan.recipe, ())
    found = next((card for card in cards if card.version == run.plan.card_version), None)
    if found is None:
        raise NoticeError(
            f"version {run.plan.card_version} of the card, from which {run.name} was planned, is not in targets.csv"
        )
    return found


def _kept(workshop: Workshop, run: TrialRun) -> Workshop:
    """The workshop with a run as it is now, kept in its file unless it is the demo."""
    if not is_demo(workshop.folder):
        save_run(workshop.folder, run)
    names = [r.name for r in workshop.trials]
    runs = [run if r.name == run.name else r for r in workshop.trials]
    return replace(workshop, trials=tuple(runs if run.name in names else [*runs, run]))
