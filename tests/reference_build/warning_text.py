"""The column of wordings of an annex, read: it holds warnings, and also which uses a wording is for, headings,
footnotes, and conditions of a substance; what is cut away is told beside the warning, never lost.
"""

from __future__ import annotations

import re

_QUOTES = "'\"‘’“”"
_LETTER = r"\(?[a-z]\)(?:\s*\((?:i|ii|iii)\))?"
_USES = re.compile(rf"^(?:For\s+)?{_LETTER}(?:(?:\s*,\s*|\s+and\s+|\s*){_LETTER})*\s*:?\s*(?:\d\.\s*)?")
_HEADING = re.compile(
    r"(?i)^(?:as from \d+ \w+ \d{4},?\s*)?(?:conditions of use|warnings(?: to be printed on the label)?|"
    r"to be print\w+ on the label)\s*:\s*|^as from \d+ \w+ \d{4}\s*:\s*"
)
_WHEN = re.compile(r"(?i)^(?:for (?!professional)|above )[^:]*?(?:labelling is obligatory)?\s*:\s*")
_FOOTNOTE = re.compile(r"(?i)^(?:\*|footnote|\(\d+\s*\))")
_OF = re.compile(r"^(?!Do )(?:\w+ ?){1,3}:$")
_STOP_INSIDE = re.compile(rf"([.!])?[{_QUOTES}]+([.!])?$")
_MARK = re.compile(r"\s*(?:\*+|\(\*\)|\(\d+\))\s*$")
_PARTS = r"^(?:For )?(?:\([a-z]\)(?:\([ivx0-9]+\))?[ ,:]*(?:and |to |– )?)*"
FOOTNOTE = "footnote"


def warning_lines(wording: str, known: set[str]) -> list[dict[str, str]]:
    """Each line of a wording: the letters of the uses it is for (none for all), as the annex has it, and what is to be
    printed of it with what the law says around that.
    """
    rows, uses, letters, to_print = [], "", "", True
    for line in wording.split(" | ") if wording else []:
        marks = set(re.findall(r"\(([a-z])\)", re.match(_PARTS, line)[0])) & known
        letters = " ".join(sorted(marks)) or letters
        row = {"letters": letters, "line": line, "text": "", "around": "", "kind": ""}
        rows.append(row)
        line = line.strip()
        if _FOOTNOTE.match(line):
            row["kind"], row["text"] = FOOTNOTE, line
            continue
        if line.casefold().startswith("only nanomaterials"):
            to_print = False  # what follows is what the substance has to be, and nothing to print
        if not to_print:
            continue
        if told := _USES.match(line):
            uses, line = told[0].removeprefix("For ").strip(" :"), line[told.end() :]
        line = _HEADING.sub("", re.sub(r"^(?:[-–—]\s*|\d\.\s+)(?=[A-Z])", "", line))
        if _OF.match(line):
            uses = line.rstrip(":")
            continue
        when = _WHEN.match(line)
        text = _MARK.sub("", line[when.end() :] if when else line).strip().lstrip(_QUOTES)
        text = _STOP_INSIDE.sub(lambda end: end[1] or end[2] or "", text).strip()
        if re.search(r"[^\W\d]{2}", text):
            around = [f"of the law's {uses}" if uses else "", when[0].strip(" :") if when else ""]
            row["text"], row["around"] = text, "; ".join(filter(None, around))
    return rows
