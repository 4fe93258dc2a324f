"""A pasted text made ready to be cut into lines: rows of web tables, two columns of amounts, words that are no part of
a name, and lines that are steps.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction

from maker_kit.amount_text import words
from maker_kit.errors import QuantityError, short
from maker_kit.formula.pasted.names import MASK, plain
from maker_kit.numbers import typed_number

_NUMBERED = re.compile(r"\(?([0-9]{1,2})[.)] (?=\S)")
_ROW = re.compile(r"<(?:t[rdh]|li|br|p|div)\b[^<>]*>", re.IGNORECASE)
_WHOLE_ROW = re.compile(r"<tr\b[^<]*(?:<(?!/?tr\b)[^<]*)*</tr", re.IGNORECASE)
_FIRST_CELL = re.compile(r"<tr\b[^<>]*>\s*<t[dh]\b[^<>]*>", re.IGNORECASE)
_NEXT_CELL = re.compile(r"</t[dh]\s*>\s*<t[dh]\b[^<>]*>|<t[dh]\b[^<>]*>", re.IGNORECASE)
_BREAK = re.compile(r"</?(?:tr|table|thead|tbody|tfoot|p|div|br|li|ul|ol|h[1-6]|caption)\b[^<>]*>", re.IGNORECASE)
_TAG = re.compile(r"</?[a-z][^<>]*>", re.IGNORECASE)
_OPTIONAL = re.compile(
    r"[(\[]\s*optional\s*[)\]]|\boptional\s*:"  # in brackets, or in front
    r"|[,;–-]\s*optional\b(?=\s*(?:$|[,;.)]))",
    re.IGNORECASE,
)
_PH = re.compile(
    r"\b(?:(?:to|until|for|adjust(?:ed)?|about|around|at) )*pH ?(?:of |to |=|~|≈|about |around )*"
    r"[0-9]{1,2}(?:[.,][0-9]+)?(?: ?(?:-|–|to) ?[0-9]{1,2}(?:[.,][0-9]+)?)?",
    re.IGNORECASE,
)
_STEP = re.compile(
    r"[(\[]?(?:then |and |now |next,? |gently |slowly |carefully |once |when |while )*"
    r"(?:heat|cool|warm|melt|stir|mix|blend|whisk|pour|let|allow|bring|remove|wait|test|check|adjust|fill|label|store|"
    r"keep|leave|rest|weigh|combine|homogeni[sz]e|shake|sterili[sz]e|disinfect|saniti[sz]e|add|below|at|hold)\b",
    re.IGNORECASE,
)
_UNCLEAR = re.compile(r"(?:add|blend|fill|keep|rest|leave|at|below|hold|combine|label)\b", re.IGNORECASE)
"""Words that may begin a name too, or a line whose amount is missing."""
_MEASURED = re.compile(
    r"(?:[0-9][0-9.,]* ?(?:-|–|to|and) ?)?[0-9][0-9.,]* ?"
    r"(?:minutes?|mins?|hours?|hrs?|h|seconds?|secs?|days?|weeks?|rpm|(?:° ?|degrees? ?|deg "
    r")(?:[CF]\b|celsius|fahrenheit)?"
    r"|[CF]\b)\.?",
    re.IGNORECASE,
)
_UNITS = {
    **dict.fromkeys(words("%|percent|percentage|w/w|% w/w|wt %|wt%"), "%"),
    **dict.fromkeys(words("g|grams|gram|weight|mass|amount|weight g|amount g|mass g"), "g"),
}
_ALIKE = Fraction(1, 50)
"""How far the grams of a row may be off its percents, of what the other rows say."""
_LEAST_OFF = Fraction(1, 20)
"""And at least so many [g]: half the step of a kitchen scale."""
_LINE_END = re.compile(r"\r\n|[\r\n\u2028\u2029\x0b\x0c]")
_BY_MASS = re.compile(r"(?i)(?<=\d) ?(?:wt|weight|mass|gew|ma)\.? ?-? ?%")
_NAMES = frozenset(words("ingredient|ingredients|name|raw material|material|ingredient name|trade name"))
_ASIDE = frozenset(words("inci|inci name|function|purpose|cas|cas no|cas number|notes|supplier|source|cost|price"))
"""Columns beside the name and the amount, which are not read."""
_PERCENT = re.compile(r"(?<![\d.,])([0-9][0-9.,]*) ?%")
_GRAMS = re.compile(r"(?i)[,;/=(\[–-]* ?(?<![\d.,])([0-9][0-9.,]*) ?(?:g|grams?)\b\.? ?[)\]/,;–-]*")
_WHOLE = re.compile(r"(?:grand )?(?:total|sum)s?\b.*", re.IGNORECASE)


def tidied(text: str, masked: Callable[[str], str] = str) -> tuple[str, tuple[str, ...]]:
    """The text with one row of a web table or list a line, one amount a row where two columns say the same, and without
    "(optional)" and the pH that something is added up to; and notes on what was set aside.

    ``masked`` gives a line as long as it was, with the known names out of sight: a percent in a name is no amount.
    """
    notes: list[str] = []
    if _ROW.search(text):
        text = _without_tags(text)
    lines = [line if len(line) > LONGEST else _BY_MASS.sub(" %", line) for line in _LINE_END.split(text)]
    lines = _one_of_two(list(_one_amount(_needed_columns(lines), notes)), notes, masked)
    for pattern, note in (
        (_OPTIONAL, '"optional" was set aside: each line counts as it stands.'),
        (_PH, "A pH to be reached is no amount and was set aside."),
    ):
        bare = [pattern.sub(" ", line) if len(line) < LONGEST else line for line in lines]
        if bare != lines:
            notes.append(note)
        lines = bare
    return "\n".join(lines), tuple(notes)


LONGEST = 2000
"""Longest line that is tidied [characters]."""


def is_step(masked: str) -> bool:
    """Whether a stretch of text, known names masked, tells what to do and holds no amount: temperatures and times are
    none. What names an ingredient is a step only with one of these; else it is an ingredient without its amount.
    """
    if len(masked) > LONGEST or not _STEP.match(masked):
        return False
    bare = _MEASURED.sub("", masked)
    clear = bare != masked or (MASK not in masked and not _UNCLEAR.match(masked))
    return clear and not any(c.isdigit() for c in bare)


def without_list_numbers(lines: list[str]) -> dict[int, str]:
    """Lines that a list numbers 1, 2, 3 …, without their numbers; a number that stands alone is no list."""
    numbered = [(k, m) for k, line in enumerate(lines) if (m := _NUMBERED.match(line))]
    in_order = [int(m[1]) for _, m in numbered] == list(range(1, len(numbered) + 1))
    return {k: lines[k][m.end() :] for k, m in numbered} if len(numbered) > 1 and in_order else {}


def _without_tags(text: str) -> str:
    """The rows of a web table, one a line, their cells apart by strokes."""
    flat = _WHOLE_ROW.sub(lambda row: " ".join(row[0].split()), text)
    flat = _FIRST_CELL.sub("<tr>", flat)
    flat = _BREAK.sub("\n", _NEXT_CELL.sub(" | ", flat))
    return html.unescape(_TAG.sub(" ", flat))


def _one_amount(lines: Iterable[str], notes: list[str]) -> Iterator[str]:
    """The lines; where a heading names a column of percents and one of grams, the rows under it with the percent alone,
    if the grams say the same, and with both where they do not.
    """
    cells_of, held = None, []
    for line in lines:
        heading = _heading(line)
        if heading is not None:
            yield from _rows(held, cells_of, notes)
            cells_of, held = heading, []
        elif cells_of is not None:
            held.append(line)
        else:
            yield line
    yield from _rows(held, cells_of, notes)


def _needed_columns(lines: list[str]) -> list[str]:
    """The lines; under a heading that names a column of names and others that are not read, without those."""
    kept: list[str] = []
    sign, count, left = "", 0, []
    for line in lines:
        for mark in ("\t", "|"):
            cells = [plain(c).casefold().strip(" *") for c in _cells(line, mark)]
            if len(cells) > 2 and set(cells) & _NAMES and set(cells) & _ASIDE:
                sign, count = mark, len(cells)
                left = [i for i, cell in enumerate(cells) if cell not in _ASIDE]
        cells = _cells(line, sign) if sign else []
        kept.append(f" {sign} ".join(cells[i] for i in left) if sign and len(cells) == count else line)
    return kept


def _one_of_two(lines: list[str], notes: list[str], masked: Callable[[str], str]) -> list[str]:
    """The lines; where each that holds one percent and one weight says the same by both, with the percent alone."""
    told: dict[int, tuple[Fraction, Fraction]] = {}
    for k, line in enumerate(lines):
        bare = masked(line) if len(line) <= LONGEST else ""
        if len(_PERCENT.findall(bare)) == len(_GRAMS.findall(bare)) == 1:
            pair = _pair(_PERCENT.findall(bare)[0], _GRAMS.findall(bare)[0])
            if pair is not None and all(pair):
                told[k] = pair
    if len(told) < 2:
        return lines
    ratios = sorted(g / p for p, g in told.values())
    middle = ratios[len(ratios) // 2]
    if any(abs(g - p * middle) > max(_ALIKE * g, _LEAST_OFF) for p, g in told.values()):
        return lines
    notes.append(f"The percents of {len(told)} lines are taken; their grams say the same.")
    return [_GRAMS.sub(" ", line) if k in told else line for k, line in enumerate(lines)]


def _heading(line: str) -> tuple[str, int, int, int] | None:
    """What separates the cells of a heading with percents and grams, how many they are, and where the two stand."""
    for sign in ("\t", "|", ";", ","):
        cells = _cells(line, sign)
        units = [_UNITS.get(re.sub(r"[()\[\]]", "", plain(c)).casefold().strip(), "") for c in cells]
        if units.count("%") == 1 and units.count("g") == 1 and len(cells) > 2:
            return sign, len(cells), units.index("%"), units.index("g")
    return None


def _cells(line: str, sign: str) -> list[str]:
    return [cell.strip() for cell in line.strip(" |" if sign == "|" else " ").split(sign)]


def _rows(lines: list[str], heading: tuple[str, int, int, int] | None, notes: list[str]) -> Iterator[str]:
    if heading is None:
        yield from lines
        return
    sign, count, percent, grams = heading
    table = [_cells(line, sign) for line in lines]
    amounts = [_pair(row[percent], row[grams]) if len(row) == count else None for row in table]
    names = [" ".join(c for i, c in enumerate(row) if i not in (percent, grams) and c) for row in table]
    told = [a for a, name in zip(amounts, names, strict=True) if a and not _WHOLE.fullmatch(name)]
    whole = sorted(g / p for p, g in told if p and g)
    middle = whole[len(whole) // 2] if whole else Fraction(0)
    agreed = 0
    for line, row, name, amount in zip(lines, table, names, amounts, strict=True):
        if amount is None and not _WHOLE.fullmatch(row[0]):
            yield line
        elif amount is not None and not _WHOLE.fullmatch(name):
            left = sign.join(c for i, c in enumerate(row) if i not in (percent, grams))
            same = abs(amount[1] - amount[0] * middle) <= max(_ALIKE * amount[1], _LEAST_OFF)
            agreed += same
            apart = "" if same else f" ({_number(row[grams])} g)"
            yield f"{left}{sign} {_number(row[percent])} %{apart}"
    if agreed:
        notes.append(f"The percents of {agreed} rows are taken; their grams say the same.")


def _number(cell: str) -> str:
    return re.sub(r"(?i)(?:%|percent|grams?|g)\.?$", "", plain(cell)).strip()


def _pair(percent: str, grams: str) -> tuple[Fraction, Fraction] | None:
    """The percent and the grams of a row; None where one of them is no number."""
    try:
        # type: ignore[return-value]
        return tuple(typed_number(_number(c), "an amount", "250 g") for c in (percent, grams))
    except QuantityError:
        return None


def step_note(text: str) -> str:
    """What is said of a step among the lines."""
    return f'"{short(text)}" is a step, and was not read as an ingredient.'
