"""The verbs for the shell: open, report, check, new."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from maker_kit.errors import MakerKitError, NoticeError, WorkshopError


def build_parser() -> argparse.ArgumentParser:
    """The verbs and what they take."""
    parser = argparse.ArgumentParser(
        prog="maker-kit", description="The maker's workbook: recipes, limits, buying and cost curves for small batches."
    )
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="open | report | check | new")

    verb = verbs.add_parser("open", help="open the notebooks in the browser")
    verb.add_argument(
        "notebook",
        nargs="?",
        default="00_start_here.ipynb",
        help="which notebook to show first (default: 00_start_here.ipynb)",
    )
    verb.add_argument(
        "--workshop", default="", metavar="FOLDER", help="your workshop's folder of tables (default: the demo workshop)"
    )
    verb.add_argument("--no-browser", action="store_true", help="only start it and print its address")
    verb.set_defaults(run=_open)

    verb = verbs.add_parser("report", help="write the costing report of one or more recipes, without a screen")
    verb.add_argument("recipes", nargs="+", metavar="RECIPE", help="a recipe's name, such as r1b-hand-wash")
    verb.add_argument(
        "--workshop", default="", metavar="FOLDER", help="your workshop's folder of tables (default: the demo workshop)"
    )
    verb.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        dest="texts",
        help="set one value, such as upto=20, batches=12, fragrance_load=0.8; may be repeated",
    )
    verb.add_argument(
        "--to",
        type=Path,
        default=Path("reports"),
        metavar="FOLDER",
        help="where to write the report (default: reports)",
    )
    verb.set_defaults(run=_report)

    verb = verbs.add_parser("check", help="read a workshop's tables and name every fault at once")
    verb.add_argument(
        "folder",
        nargs="?",
        default="",
        metavar="FOLDER",
        help="the workshop's folder of tables (default: the demo workshop)",
    )
    verb.set_defaults(run=_check)

    verb = verbs.add_parser("new", help="make a workshop of your own from the demo; never overwrites")
    verb.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that does not exist yet, or is empty")
    verb.set_defaults(run=_new)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb.

    Parameters
    ----------
    arguments : sequence of str, optional
        The words after ``maker-kit``; those of the shell by default.

    Returns
    -------
    int
        0 when all went well, 1 when something is wrong with what was given (said in a sentence); 2 is the shell's for
        words it does not know.
    """
    given = build_parser().parse_args(arguments)
    try:
        return int(given.run(given))
    except MakerKitError as error:
        print(error, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("stopped; nothing was left half written", file=sys.stderr)
        return 1


def _report(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.report import write_reports

    def tell(line: str) -> None:
        print(line, file=sys.stderr)

    for path in write_reports(given.recipes, given.workshop, given.texts, given.to, tell=tell):
        print(path)
    return 0


def _check(given: argparse.Namespace) -> int:
    from maker_kit.workshop import find_folder, load_workshop

    folder = find_folder(given.folder)
    try:
        shop = load_workshop(folder)
    except WorkshopError as error:
        for fault in error.faults:
            print(fault.sentence())
        print(f"{len(error.faults)} {'fault' if len(error.faults) == 1 else 'faults'} in {folder}")
        return 1
    print(shop.summary())
    return 0


def _new(given: argparse.Namespace) -> int:
    from maker_kit.workshop import new_workshop

    made = new_workshop(given.folder)
    print(f"made {made}; change its tables in any spreadsheet program, then run: maker-kit check {made}")
    return 0


def _open(given: argparse.Namespace) -> int:
    from maker_kit.workbook.run.report import notebook_folder
    from maker_kit.workshop import find_folder, load_workshop

    folder = notebook_folder()
    name = given.notebook if given.notebook.endswith(".ipynb") else given.notebook + ".ipynb"
    if not (folder / name).is_file():
        from maker_kit.names import near_miss

        msg = (
            f'there is no notebook "{given.notebook}": '
            f"{near_miss(name, sorted(p.name for p in folder.glob('*.ipynb')))}"
        )
        raise NoticeError(msg)
    workshop = find_folder(given.workshop)
    load_workshop(workshop)
    words = [
        sys.executable,
        "-m",
        "jupyterlab",
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.default_url=/lab/tree/{name}",
    ]
    if given.no_browser:
        words.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--allow-root")
    return subprocess.call(
        words,
        env={
            **os.environ,
            "MAKER_KIT_WORKSHOP": str(workshop),
            "JUPYTER_CONFIG_PATH": os.pathsep.join(
                filter(
                    None, [str(folder.parent / "maker_kit" / "workbook" / "lab"), os.environ.get("JUPYTER_CONFIG_PATH")]
                )
            ),
        },
    )


if __name__ == "__main__":
    sys.exit(main())
