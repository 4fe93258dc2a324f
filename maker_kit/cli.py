"""The verbs for the shell: open, judge, report, decide, sheet, trial, trace, log, check, new, tables, memory, help."""

from __future__ import annotations

import argparse
import atexit
import gc
import json
import os
import sys
import textwrap
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path

from maker_kit.errors import WorkshopError, path_text
from maker_kit.terminal import Parser, ended, say, whole_number
from maker_kit.workbook.run.trial_verb import add_trial

WORKSHOP = "workshop's folder of tables, or its workbook (.xlsx; default: the demo workshop)"


def build_parser() -> argparse.ArgumentParser:
    """The verbs and what they take."""
    parser = Parser(
        prog="maker-kit", description="The maker's workbook: recipes, limits, buying and cost curves for small batches."
    )
    verbs = parser.add_subparsers(dest="verb", required=True)

    verb = verbs.add_parser("open", help="open the notebooks in the browser")
    first = "which notebook to show first (default: 00_start_here.ipynb)"
    verb.add_argument("notebook", nargs="?", default="00_start_here.ipynb", help=first)
    _takes_workshop(verb)
    verb.add_argument("--port", type=whole_number, metavar="NUMBER", help="port to serve at (default: any free one)")
    verb.add_argument("--no-browser", action="store_true", help="only start it and print its address")
    verb.set_defaults(run=_open)

    verb = verbs.add_parser("judge", help="say what stops a recipe and what to look at, without costs")
    verb.add_argument("recipes", nargs="*", metavar="RECIPE", help="a recipe's name or title (default: all of them)")
    _takes_workshop(verb)
    verb.add_argument("--json", action="store_true", help="print a list for other programs")
    verb.add_argument("--all", action="store_true", help="print what is good to know too, not only its count")
    verb.set_defaults(run=_judge)

    verb = verbs.add_parser("report", help="write the costing report of one or more recipes, without a screen")
    verb.add_argument("recipes", nargs="+", metavar="RECIPE", help="a recipe's name, such as r1b-hand-wash")
    _takes_workshop(verb)
    _takes_values(verb, "upto=20, batches=12, fragrance_load=0.8")
    _writes_to(verb, "reports", "the report")
    verb.add_argument(
        "--seconds",
        metavar="SECONDS",
        help="how long the costs of one recipe may take; what is not proved by then says so (default: 120)",
    )
    verb.set_defaults(run=_report)

    verb = verbs.add_parser("decide", help="say make, buy, change or do not use, on one page another can check")
    verb.add_argument("recipes", nargs="+", metavar="RECIPE", help="a recipe's name or title")
    _takes_workshop(verb)
    _takes_values(verb, "batches=12, batch_size=6, fragrance_load=0.8")
    verb.add_argument("--paper", default="A4", metavar="A4 | Letter", help="size of the PDF's pages (default: A4)")
    _writes_to(verb, "reports", "the page, its PDF and its JSON")
    verb.set_defaults(run=_decide)

    verb = verbs.add_parser("sheet", help="write the bench sheet of one or more recipes, to print")
    verb.add_argument("recipes", nargs="+", metavar="RECIPE", help="a recipe's name, such as r5-hand-lotion")
    _takes_workshop(verb)
    verb.add_argument(
        "--containers", type=whole_number, default=12, metavar="NUMBER", help="containers in the batch (default: 12)"
    )
    verb.add_argument("--number", default="", metavar="TEXT", help="the batch's number (default: a line to write it)")
    verb.add_argument("--paper", default="A4", metavar="PAPER", help="A4 or Letter (default: A4)")
    _writes_to(verb, "sheets", "it")
    verb.set_defaults(run=_sheet)

    add_trial(verbs, _lines)

    verb = verbs.add_parser("trace", help="follow a lot to every unit, or a batch, unit or place back to its lots")
    verb.add_argument("name", metavar="NAME", help="a lot's code, a batch's or unit's number, or a place")
    _takes_workshop(verb)
    verb.add_argument("--as", default="", dest="kind", choices=("lot", "batch", "unit", "place"), help="what it is")
    verb.add_argument("--csv", type=Path, metavar="FILE", help="write every unit and lot as a table, whole")
    verb.add_argument("--letter", action="store_true", help="print the letter to send to whoever has a unit")
    verb.add_argument("--why", default="", metavar="TEXT", help="the reason that stands in the letter")
    verb.set_defaults(run=_trace)

    verb = verbs.add_parser("log", help="look the bench log over, or mend a damaged one")
    _takes_workshop(verb)
    verb.add_argument("--mend", action="store_true", help="set a damaged log aside and bring back what its tables hold")
    verb.set_defaults(run=_log)

    verb = verbs.add_parser("check", help="read a workshop's tables and name every fault at once")
    verb.add_argument("folder", nargs="?", default="", metavar="FOLDER", help=f"the {WORKSHOP}")
    verb.add_argument("--fix", action="store_true", help="propose what near misses mean, and write it if you agree")
    verb.add_argument("--yes", action="store_true", help="with --fix: write without a question")
    verb.set_defaults(run=_check)

    verb = verbs.add_parser("new", help="make a workshop of your own from the demo; never overwrites")
    verb.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that does not exist yet, or is empty")
    verb.add_argument("--empty", action="store_true", help="only the headings of the tables, nothing of the demo")
    verb.add_argument("--xlsx", action="store_true", help="the tables as sheets of one workbook, workshop.xlsx")
    verb.set_defaults(run=_new)

    verb = verbs.add_parser("tables", help="say what every column of a table means, with an example")
    verb.add_argument("table", nargs="?", default="", metavar="TABLE", help="such as packs (default: all of them)")
    verb.set_defaults(run=_told)

    verb = verbs.add_parser("memory", help="list every published figure that is from memory, and what would confirm it")
    verb.set_defaults(run=_told)

    verb = verbs.add_parser("help", help="list the notebooks' questions, or say what one answers, needs and leaves out")
    verb.add_argument("notebook", nargs="?", default="", metavar="NOTEBOOK", help="such as 02 (default: all of them)")
    verb.set_defaults(run=_told)
    verbs.metavar = " | ".join(verbs.choices)
    return parser


def _takes_values(verb: argparse.ArgumentParser, example: str) -> None:
    told = f"set one value, such as {example}; may be repeated"
    verb.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="texts", help=told)


def _writes_to(verb: argparse.ArgumentParser, folder: str, what: str) -> None:
    told = f"where to write {what} (default: {folder})"
    verb.add_argument("--to", type=Path, default=Path(folder), metavar="FOLDER", help=told)


def _takes_workshop(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--workshop", default="", metavar="FOLDER", help=f"your {WORKSHOP}")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb.

    Parameters
    ----------
    arguments : sequence of str, optional
        The words after ``maker-kit``; those of the shell by default.

    Returns
    -------
    int
        0 when all went well, 1 when something is wrong with what was given (said in a sentence) or a judged recipe has
        a stop; 2 is the shell's for words it does not know.
    """
    verb = ""

    def work() -> int:
        nonlocal verb
        given = build_parser().parse_args(arguments)
        verb = given.verb
        return int(given.run(given))

    # Ctrl-C is how the open notebooks end, even before they are there
    return ended(work, lambda: verb == "open", last=arguments is None)


def _report(given: argparse.Namespace) -> int:
    from maker_kit.collecting import seldom_collected

    atexit.register(gc.freeze)  # Python would look through everything for garbage as it ends: a tenth of the time
    texts = given.texts + ([] if given.seconds is None else [f"seconds={given.seconds}"])
    with seldom_collected():  # from the first import on
        from maker_kit.workbook.run.report import write_reports

        tell = partial(say, file=sys.stderr)
        return _said(write_reports(given.recipes, given.workshop, texts, given.to, tell=tell))


def _decide(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.decide import write_decisions

    return _said(write_decisions(given.recipes, given.workshop, given.texts, given.to, paper=given.paper))


def _judge(given: argparse.Namespace) -> int:
    from maker_kit.findings import KINDS
    from maker_kit.plan.judged import judge_folder

    judged = judge_folder(given.workshop, given.recipes)
    if given.json:
        say(json.dumps([each.record() for each in judged], ensure_ascii=False, indent=1))
        return int(any(each.stopped for each in judged))
    for place, each in enumerate(judged):
        say("\n" * bool(place) + each.sentence())
        for kind in KINDS if given.all else KINDS[:2]:
            for finding in each.of_kind(kind):
                said = (finding.text, f"Next: {finding.next_step}" * bool(finding.next_step))
                words = " ".join(filter(None, (*said, f"[{finding.source}]" * bool(finding.source))))
                say(f"  {kind:4}  {finding.subject}")
                say(textwrap.fill(words, 110, initial_indent=" " * 8, subsequent_indent=" " * 8))
        known = len(each.of_kind("know"))
        if known and not given.all:
            say(f"  and {known} more to know: add --all to read {'it' if known == 1 else 'them'}")
    return int(any(each.stopped for each in judged))


def _sheet(given: argparse.Namespace) -> int:
    from maker_kit.workshop import find_workshop
    from maker_kit.workshop.making import from_here

    workshop, to = find_workshop(given.workshop), from_here(given.to)
    from maker_kit.workbook.run.sheets_to_print import write_sheets

    more = {"containers": given.containers, "number": given.number, "paper": given.paper}
    return _said(write_sheets(workshop, given.recipes, to, **more))


def _lines(given: argparse.Namespace) -> int:
    return _said(given.lines(given))


def _said(lines: Iterable[object]) -> int:
    """Say one after the other, each as soon as it is there; 0, for all went well."""
    for line in lines:
        say(line)
    return 0


def _trace(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.log_verbs import follow

    return follow(given)


def _log(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.log_verbs import look_log_over

    return look_log_over(given)


def _check(given: argparse.Namespace) -> int:
    from maker_kit.workshop import find_tables, load_workshop

    folder = find_tables(given.folder)
    if given.fix:
        from maker_kit.workbook.run.fixing import fix_tables

        fix_tables(folder, yes=given.yes)
    try:
        shop = load_workshop(folder)
    except WorkshopError as error:
        told = dict.fromkeys(fault.sentence() for fault in error.faults)
        say("\n".join(told))
        say(f"{len(told)} {'fault' if len(told) == 1 else 'faults'} in {path_text(folder)}")
        return 1
    say(shop.summary())
    return 0


def _new(given: argparse.Namespace) -> int:
    from maker_kit.workshop import new_workshop

    made = new_workshop(given.folder, empty=given.empty, xlsx=given.xlsx)
    if given.empty:
        sheets = "the sheets containers and ingredients, then packs"
        first = sheets if given.xlsx else "containers.csv and ingredients.csv, then packs.csv"
        say(f"made {made} with empty tables; begin with {first}, then run: maker-kit check {made}")
        return 0
    say("every price in it is marked invented: write your own over it, and the word is gone with it")
    say(f"made {made}; change its tables in any spreadsheet program, then run: maker-kit check {made}")
    return 0


def _told(given: argparse.Namespace) -> int:
    from maker_kit.reference.memory import memory_text
    from maker_kit.workbook.run.notebook_pages import notebook_page
    from maker_kit.workshop.csv.told import tables_text

    told = {"help": lambda: notebook_page(given.notebook), "tables": lambda: tables_text(given.table)}
    say(told.get(given.verb, memory_text)(), end="")
    return 0


def _open(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.opening import open_notebooks

    def workshop() -> Path | None:
        if not given.workshop.strip() and not os.environ.get("MAKER_KIT_WORKSHOP", "").strip():
            return None  # known without fetching what reads tables, so that the first picture comes earlier
        from maker_kit.workshop import find_tables, load_workshop
        from maker_kit.workshop.making import is_demo

        where = find_tables(given.workshop)
        if is_demo(where):
            return None
        load_workshop(where)
        return where

    return open_notebooks(
        given.notebook,
        workshop,
        port=given.port,
        browser=not given.no_browser,
        say=lambda line: say(line, flush=True),
    )


if __name__ == "__main__":
    sys.exit(main())
