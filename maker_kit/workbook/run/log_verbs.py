"""`maker-kit trace`: what a lot, batch, unit or place comes to, its first part, the whole as a table, or the letter;
`maker-kit log`: whether the bench log holds, and the mending of one that does not.
"""

from __future__ import annotations

import argparse
import sys
from datetime import date
from itertools import islice

from maker_kit.bench.letters import recall_letter
from maker_kit.bench.log import look_over, mend_log, open_log
from maker_kit.bench.trace import Trace, trace
from maker_kit.errors import path_text
from maker_kit.terminal import say
from maker_kit.workshop import find_folder, find_workshop
from maker_kit.workshop.exporting import export_table
from maker_kit.workshop.making import from_here

SHOWN = 40
"""Places and rows that are printed; the whole is a table to write."""


def follow(given: argparse.Namespace) -> int:
    """Follow what was named, and say where it went, or print the letter that calls it back."""
    with open_log(find_folder(given.workshop)) as log:
        found = trace(log, given.name, given.kind)
        if given.letter:
            return _letter(given, found)
        say(f"{found.kind} {found.asked}: {len(found.batches)} batches, {found.numbered} numbered units")
        for place, count in islice(found.places.items(), SHOWN):
            say(f"  {count} {place}")
        if len(found.places) > SHOWN:
            say(f"  … and {len(found.places) - SHOWN} more places")
        if found.unnumbered:
            say(f"  {found.unnumbered} containers have no number: they can be found by their batch alone")
        frame = found.to_frame(SHOWN + 1)
        say(frame[:SHOWN].to_string(index=False))
        if len(frame) > SHOWN:
            left = max(found.numbered - frame["unit"][:SHOWN].nunique(), 1)
            say(f"… and {left} more; --csv FILE writes all of them")
        if given.csv:
            say(f"written to {path_text(export_table(found, from_here(given.csv)))}")
    return 0


def _letter(given: argparse.Namespace, found: Trace) -> int:
    letter = recall_letter(found, find_workshop(given.workshop).settings.market, date.today(), given.why)
    say(letter.text, end="")
    for finding in letter.findings:  # not part of the letter
        words = (finding.text, finding.next_step, f"[{finding.source}]" * bool(finding.source))
        say(f"{finding.kind}: {' '.join(filter(None, words))}", file=sys.stderr)
    return 0


def look_log_over(given: argparse.Namespace) -> int:
    """Say what a workshop's bench log holds and what is wrong with it, mended first where that was asked for."""
    folder = find_folder(given.workshop)
    if given.mend:
        say(mend_log(folder).sentence())
    with open_log(folder) as log:
        found = look_over(log)
        say(", ".join(f"{count} {table}" for table, count in log.counts().items()))
    for finding in found:
        say(f"  {finding.kind}: {finding.text} {finding.next_step}".rstrip())
    return int(any(finding.kind == "stop" for finding in found))
