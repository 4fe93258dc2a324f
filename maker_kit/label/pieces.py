"""The pieces of a label's text: what nobody sees taken out, heading and legend cut off, names parted."""

from __future__ import annotations

import re
import unicodedata

from maker_kit.errors import LabelError

MOST_TEXT = 20_000
"""Longest text that is read [characters]."""

_HEADING = re.compile(
    r"(?i)^\W*(?:ingr[eé]dients?|ingredient[ei]s?|ingredienti|ingrediënten|inhaltsstoffe|bestandteile|inci|"
    r"składniki|"
    r"συστατικά)(?:\s*/\s*\w+)*\s*(?:\(inci\))?\s*[:：\-–]\s*"
)
_MAYBE = re.compile(
    r"(?i)[\[(]?\s*[\[(]?(?:\+\s*/\s*[-−–]|\bmay contain\b|\bpeut contenir\b|\bkann enthalten\b|\bpuò contenere\b|"
    r"\bpuede contener\b|\bkan bevatten\b)[\])]?\s*(?:\(\+/[-−–]\)|\[\+/[-−–]\])?\s*:?"
)
_SEPARATORS = ",;•·|،、，；\n"
_LEGEND = re.compile(r"(?:\.\s*|\n\s*)(?=\*+\s*\w)")
_DRUG = re.compile(r"(?i)\bactive ingredients?\b\W*[:：]")
_DOTS = re.compile(r"(?<=[^\W\d]{2})\.\s+(?=[^\W\d])")


def pieces(text: str) -> tuple[list[str], list[str], list[str]]:
    """The names that stand in a list, those that may be in it, and what was left out, such as a legend.

    Raises
    ------
    LabelError
        If it is empty, too long, or the list of a drug.
    """
    if not isinstance(text, str) or not text.strip():
        raise LabelError("the label is empty; type the names as they stand on the pack, with commas between them")
    if len(text) > MOST_TEXT:
        raise LabelError(f"the label has {len(text):,} characters; a list of at most {MOST_TEXT:,} is read")
    if _DRUG.search(text):
        raise LabelError(
            'the pack tells "active ingredients" apart, so it is that of a drug: its other names may stand in any '
            "order, and nothing can be told from it; type the list of a cosmetic"
        )
    clean = _HEADING.sub("", _visible(text)).strip()
    clean, *legend = _LEGEND.split(clean, maxsplit=1)
    sure, maybe = _parted(clean)
    return cut(sure), cut(maybe), list(legend)


def fold_any(text: str) -> str:
    """Letters and digits of a text in any script, small; empty where it has none."""
    return "".join(c for c in text.casefold() if c.isalnum())


def _visible(text: str) -> str:
    """The text without marks that nobody sees: directions of writing, soft hyphens, zero-width and control marks."""
    joined = re.sub(r"(?<=\w)-[ \t]*\n[ \t]*(?=\w)", "-", text.replace("\r\n", "\n").replace("\r", "\n"))
    return "".join(
        c if c == "\n" else " " if unicodedata.category(c) in {"Cc", "Zl", "Zp", "Zs"} else c
        for c in joined
        if c == "\n" or unicodedata.category(c) not in {"Cf", "Co", "Cs", "Cn"}
    )


def _parted(text: str) -> tuple[str, str]:
    match = _MAYBE.search(text)
    if match is None:
        return text, ""
    head, tail = text[: match.start()], text[match.end() :]
    closes = tail.count("]") > tail.count("[") or tail.count(")") > tail.count("(")
    return head.rstrip(" .,;([") if closes else head, tail.rstrip(" ])." if closes else " .")


def cut(text: str) -> list[str]:
    """The pieces between separators that stand in no bracket; a comma between two digits parts nothing, and a new line
    or a full stop only where nothing else does.
    """
    pieces, piece, depth = [], "", 0
    lines = not re.search(r"[,;•·|،、，；]", re.sub(r"\d,\d", "", text))
    if lines and "\n" not in text.strip():
        text = _DOTS.sub("\n", text)
    for at, c in enumerate(text):
        if c in "([{":
            depth += 1
        elif c in ")]}":
            depth = max(depth - 1, 0)
        inside_number = c == "," and text[at - 1 : at].isdigit() and text[at + 1 : at + 2].isdigit()
        if c in _SEPARATORS and not depth and not inside_number and (c != "\n" or lines):
            pieces.append(piece)
            piece = ""
        else:
            piece += " " if c == "\n" else c
    pieces.append(piece)
    tidy = [re.sub(r"^\s*\d{1,3}[.)]\s+", "", p) if lines else p for p in pieces]
    return [p for p in (" ".join(p.split()).strip(" .") for p in tidy) if p]
