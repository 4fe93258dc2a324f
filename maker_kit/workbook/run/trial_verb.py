"""The verb for trials in the shell: planned with sheets and a sealed key to print, entered, looked at, opened, judged.

Every act is kept in the workshop's own folder at once; the demo stays as it is and can only be judged.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

WHICH = "the run's short name, such as rub-in-1"


def add_trial(verbs: Any, say: Callable[[argparse.Namespace], int]) -> None:
    """The verb ``trial`` and what it takes, among those of the shell.

    Parameters
    ----------
    verbs : argparse sub-parsers
    say : callable
        Runs ``given.lines(given)``, which does what was asked and gives the lines to print.
    """
    how = {"say": say}
    trial = verbs.add_parser("trial", help="plan a blind trial, enter its results, open its key and judge it")
    acts = trial.add_subparsers(
        dest="act",
        required=True,
        metavar="plan | sheets | enter | look | open | judge",
        help="what to do with it; each takes --help of its own",
    )

    act = acts.add_parser("plan", help="plan a run from a recipe's target card, and write its sheets and key to print")
    act.add_argument("recipe", metavar="RECIPE", help="a recipe's name or title")
    act.add_argument("must_have", metavar="MUST-HAVE", help="the row of its target card, such as: rub-in time")
    act.add_argument("run_name", metavar="RUN", help=WHICH)
    act.add_argument(
        "--count", type=whole("tasters or pairs"), required=True, metavar="NUMBER", help="tasters, or pairs"
    )
    act.add_argument("--kind", default="", metavar="KIND", help="triangle, duo-trio, paired, pairs or kind")
    act.add_argument("--panel", action="store_true", help="tried by a panel (default: one pair of hands)")
    act.add_argument(
        "--looks", type=whole("looks"), default=1, metavar="NUMBER", help="how often is judged, evenly spread (1)"
    )
    act.add_argument("--expected", default="", metavar="SIDE", help="in a paired trial: ours or shop has more")
    act.add_argument(
        "--seed", type=whole("a seed"), metavar="NUMBER", help="the seed of order and codes (default: drawn)"
    )
    _of_workshop(act, _plan, **how, printed=True)

    act = acts.add_parser("sheets", help="write the score sheets and the key of a run again")
    act.add_argument("run_name", metavar="RUN", help=WHICH)
    _of_workshop(act, _sheets, **how, printed=True)

    act = acts.add_parser("enter", help="take in the results of a CSV file (place, code, value, note): all or none")
    act.add_argument("run_name", metavar="RUN", help=WHICH)
    act.add_argument("file", type=Path, metavar="FILE", help="the CSV file; code may be blank for an answer")
    _of_workshop(act, _enter, **how)

    act = acts.add_parser("look", help="take a planned look along the way; the key stays closed")
    act.add_argument("run_name", metavar="RUN", help=WHICH)
    _of_workshop(act, _look, **how)

    act = acts.add_parser("open", help="open the key of a run: no result is taken any more")
    act.add_argument("run_name", metavar="RUN", help=WHICH)
    _of_workshop(act, _open, **how)

    act = acts.add_parser("judge", help="say of each must-have: different, the same within the gap, or neither yet")
    act.add_argument("recipes", nargs="*", metavar="RECIPE", help="a recipe's name or title (default: all with a card)")
    _of_workshop(act, _judge, **how)


def whole(what: str) -> Callable[[str], int]:
    """A reader of whole numbers, which says in a sentence what was typed instead."""

    def read(text: str) -> int:
        try:
            return int(text)
        except ValueError:
            raise argparse.ArgumentTypeError(
                f'"{text}" is no number of {what}: write a whole number, such as 18'
            ) from None

    return read


def _of_workshop(act: argparse.ArgumentParser, lines: Any, *, say: Any, printed: bool = False) -> None:
    folder = "your workshop's folder of tables (default: the demo workshop)"
    act.add_argument("--workshop", default="", metavar="FOLDER", help=folder)
    if printed:
        act.add_argument("--paper", default="A4", metavar="PAPER", help="A4 or Letter (default: A4)")
        act.add_argument("--to", default="", metavar="FOLDER", help="where to write (default: the workshop's paper)")
    act.set_defaults(run=say, lines=lines)


def _own(given: argparse.Namespace) -> Any:
    """The maker's own workshop; the demo's is refused, since nothing that is done there would be kept."""
    from maker_kit.workshop import find_workshop
    from maker_kit.workshop.making import refuse_demo

    workshop = find_workshop(given.workshop)
    make = "make one of your own with maker-kit new my-workshop, and name it with --workshop my-workshop"
    refuse_demo(workshop.folder, make)
    return workshop


def _plan(given: argparse.Namespace) -> list[str]:
    from maker_kit.trial.plan import HANDS
    from maker_kit.workbook import trial_desk as desk
    from maker_kit.workbook.paper.papers import paper_size

    paper_size(given.paper)  # before anything is kept
    workshop = desk.plan_trial(
        _own(given),
        given.recipe,
        given.must_have,
        given.run_name,
        given.count,
        kind=given.kind,
        hands=HANDS[bool(given.panel)],
        looks=given.looks,
        expected=given.expected,
        seed=given.seed,
    )
    return _printed(workshop, given)


def _sheets(given: argparse.Namespace) -> list[str]:
    return _printed(_own(given), given)


def _printed(workshop: Any, given: argparse.Namespace) -> list[str]:
    from maker_kit.workbook import trial_desk as desk
    from maker_kit.workshop.judged_targets import run_named
    from maker_kit.workshop.making import from_here

    run = run_named(workshop, given.run_name)
    paths = desk.print_sheets(workshop, run.name, from_here(given.to) if given.to else "", given.paper)
    told = f"{run.name}: {len(run.done())} of {run.plan.count} done"
    told += "" if run.plan.kind == "kind" else "; keep the key out of sight until all results are in"
    return [*map(str, paths), told]


def _enter(given: argparse.Namespace) -> list[str]:
    from maker_kit.workbook import trial_desk as desk
    from maker_kit.workshop.judged_targets import run_named
    from maker_kit.workshop.making import from_here

    run = run_named(desk.enter_file(_own(given), given.run_name, from_here(given.file)), given.run_name)
    left = len(run.missing())
    return [f"{run.name}: {len(run.done())} of {run.plan.count} done" + (f", {left} results not in" if left else "")]


def _look(given: argparse.Namespace) -> list[str]:
    from maker_kit.workbook import trial_desk as desk

    _, told = desk.look_now(_own(given), given.run_name)
    return [f"this look says: {told}; the key stays closed"]


def _open(given: argparse.Namespace) -> list[str]:
    from maker_kit.workbook import trial_desk as desk
    from maker_kit.workshop.judged_targets import run_named

    run = run_named(desk.open_key(_own(given), given.run_name), given.run_name)
    return [f"the key of {run.name} is open: no result is taken any more; maker-kit trial judge {run.plan.recipe}"]


def _judge(given: argparse.Namespace) -> list[str]:
    from maker_kit.errors import NoticeError
    from maker_kit.workbook.shown.trial import trial_answer
    from maker_kit.workshop import find_workshop
    from maker_kit.workshop.judged_targets import judged_targets

    workshop = find_workshop(given.workshop)
    names = [workshop.recipe(name).name for name in given.recipes] or list(workshop.target_cards)
    if not names:
        raise NoticeError("no target card is on file: write three to six must-haves of a recipe into targets.csv")
    lines = []
    for name in dict.fromkeys(names):
        lines.append(trial_answer(workshop, workshop.recipe(name)))
        lines += [
            f"  {target.weight:4}  {target.must_have}: {target.text}" for target in judged_targets(workshop, name)
        ]
    return lines
