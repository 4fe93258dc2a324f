"""Cutting a pasted recipe into its lines: with the phase each stands under, the name it writes and the amount beside
it.

By line ends, commas, semicolons and bullets.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from fractions import Fraction

from maker_kit.amount_text import in_digits, words
from maker_kit.errors import RecipeError, short
from maker_kit.formula.pasted.amounts import amounts_in
from maker_kit.formula.pasted.lines import CutText, Doubt, Found, Piece
from maker_kit.formula.pasted.names import MASK, NameBook, plain
from maker_kit.formula.pasted.tidy import is_step, step_note, tidied, without_list_numbers

MOST_CHARACTERS = 100_000
"""Longest text that is read [characters]."""
MOST_PIECES = 300
"""Most lines of one recipe."""

_BULLET = re.compile(r"(?:[*•·▪‣◦●○■□–-]|\[[ xX]?\]|>)+ |[*•·▪‣◦●]")
_PHASE = re.compile(
    r"#* ?\**(?:phase|part|stage) ([^\W_]{1,12})\b\**(?: ?\([^()]*\))?(?: ?[:.)-]+ ?|$)(?P<rest>.*)", re.IGNORECASE
)
_LETTER = re.compile(r"([A-H]) ?[:)] (?P<rest>\S.*)")
_HEADING = re.compile(r"(?:#+ )?\**(?P<name>[^:=|0-9]{1,60}?)\**:\**$|#+ (?P<marked>[^:=|0-9]{1,60})$")
_PHASE_WORD = re.compile(
    r"(?:#+ )?\**(?P<name>[^\W\d_][\w -]{0,40}?) phase(?: ?\([^()]*\))?(?:\**:\**|$)(?P<rest>.*)", re.IGNORECASE
)
_FOR_THE = re.compile(r"^for the ", re.IGNORECASE)
_NO_PHASE = frozenset(words("ingredients|ingredient|recipe|you need|you will need|what you need|formula"))
_METHOD = frozenset(
    words("method|steps|directions|instructions|procedure|how to|how to make it|to make|what to do|notes|note")
)
_COLUMN_WORDS = frozenset(
    words("ingredient|ingredients|amount|amounts|percent|percentage|%|phase|weight|mass|grams|g|quantity|name|inci")
    + words("wt|w/w|w|wt%|raw|material|trade|function|purpose|cas")
)
_COLUMN_UNITS = {"%": set(words("%|percent|percentage|w/w")), "g": {"g", "grams"}}
_PHASE_COLUMN = re.compile(r"\|? ?(?P<phase>[A-Z][0-9]?) ?[|;] ?(?=[^|;]*[^\W\d_][^|;]*[|;])")
"""A letter alone before a name and another column is the phase of its row."""
_TOTAL = re.compile(
    r"(?:grand )?(?:total|sum|batch|batch size|yield|yields|makes|in all|altogether)(?: weight| mass| amount)?",
    re.IGNORECASE,
)
_REST = re.compile(
    r"\b(?:q ?\.? ?s\b\.?|quantum satis|balance|remainder|the rest|rest|to the top|to top|to fill|(?:top|fill|make) up)"
    r"(?: (?:of|with))?",
    re.IGNORECASE,
)
_JOINING = re.compile(r"(?i)\b(?:or|to|and|plus|is|equals)\b")
_LEADING = re.compile(
    r"(?:(?:and|plus|add|take|with|of|the|some|about|approx|approximately|ca|circa|roughly)\b\.?"
    r"|[~≈&+=:;,.|/*•-]) ?",
    re.IGNORECASE,
)
_TRAILING = re.compile(
    r" ?(?:(?<=[ )])(?:and|plus|about|approx|approximately|ca|circa|roughly|up|with)\.?|[~≈&+=:;,.|/*-])$",
    re.IGNORECASE,
)


def cut(text: str, book: NameBook) -> CutText:
    """A pasted recipe in pieces; see `maker_kit.formula.pasted.recipe_text.read_recipe_text`.

    Raises
    ------
    RecipeError
        If it is no text, too long, or falls into more than `MOST_PIECES` lines.
    """
    if not isinstance(text, str):
        kind = type(text).__name__
        raise RecipeError(
            f"a recipe is pasted as text, not as {kind}; write it such as: 50 g shea butter, 3 % glycerin"
        )
    if len(text) > MOST_CHARACTERS or len(text.encode("utf-8", errors="replace")) > MOST_CHARACTERS:
        raise RecipeError(
            f"the text is {len(text):,} characters long; a recipe of at most {MOST_CHARACTERS // 1000} kB is read. "
            "Paste the recipe alone"
        )
    text, set_aside = tidied(text, book.masked)
    notes = list(set_aside)
    found: list[Piece] = []
    total: Found | None = None
    phase = "A"
    for line, content in _content(text, book, notes):
        if content is None:
            phase = line
            continue
        if column := _PHASE_COLUMN.match(content):
            phase, content = column["phase"], content[column.end() :]
        for part in () if _tells(content, book, notes) else _parts(content, book):
            if _tells(part, book, notes):
                continue
            piece = read_piece(part, book, phase)
            told = piece.basis not in {"none", "unclear"} and not book.find(piece.written)
            if told and _TOTAL.fullmatch(piece.written):
                total = Found(0, 0, piece.low, piece.high, piece.basis, piece.amount)
            elif piece.written or piece.basis != "none" or piece.balance:
                found.append(piece)
            _check_count(found, 2 * MOST_PIECES)
    joined = _joined(found, book)
    _check_count(joined, MOST_PIECES)
    return CutText(tuple(joined), total, tuple(notes), _column_unit(text))


def _tells(text: str, book: NameBook, notes: list[str]) -> bool:
    """Whether a text is a step and no ingredient; then a note says that it was left out."""
    step = is_step(book.masked(text))
    if step:
        notes.append(step_note(text))
    return step


def _column_unit(text: str) -> str:
    """The unit that a heading of columns names, where it names one and not two."""
    for raw in text.splitlines():
        told = {w for w in re.split(r"[ |,;()\[\]\t]+", plain(raw).casefold()) if w}
        if len(told) > 1 and told <= _COLUMN_WORDS:
            units = {unit for unit, names in _COLUMN_UNITS.items() if names & told}
            return units.pop() if len(units) == 1 else ""
    return ""


def _check_count(pieces: list[Piece], most: int) -> None:
    if len(pieces) > most:
        most = f"more than {MOST_PIECES} lines; a recipe has at most {MOST_PIECES}"
        raise RecipeError(f"the text falls into {most}. Paste the recipe alone")


def _content(text: str, book: NameBook, notes: list[str]) -> Iterator[tuple[str, str | None]]:
    """The lines without headings, bullets and list numbers; a heading comes as its phase and None."""
    lines = [plain(raw.strip("\t").replace("\t", " | ")) for raw in re.split(r"\r\n|[\r\n\u2028\u2029\x0b\x0c]", text)]
    lines = [line for line in lines if any(c.isalnum() for c in line)]
    counted = without_list_numbers(lines)
    for k, line in enumerate(lines):
        if bullet := _BULLET.match(line):
            line = line[bullet.end() :].strip()
        line = counted.get(k, line)
        if phase := _PHASE.match(line) or _LETTER.match(line):
            yield phase[1].upper() if len(phase[1]) == 1 else phase[1], None
            line = phase["rest"].strip(" *")
        if named := _PHASE_WORD.match(line):
            yield _FOR_THE.sub("", named["name"]), None
            line = named["rest"].strip(" *")
        heading = _HEADING.match(line)
        name = next((n.strip(" *") for n in heading.groups() if n), "") if heading else ""
        if (name or line).strip(" .").casefold() in _METHOD:
            count = f"{len(lines) - k - 1} line{'' if len(lines) - k == 2 else 's'}"
            notes.append(f'What stands after "{short(line)}" ({count}) was not read as ingredients.')
            return
        if heading and name and not book.find(name):
            if name.casefold() not in _NO_PHASE:
                yield _FOR_THE.sub("", name).strip() or "A", None
            continue
        told = [w for w in re.split(r"[ |,;()\[\]/]+", line.casefold()) if w]
        if line and not all(w in _COLUMN_WORDS for w in told):
            yield line, line


def _parts(line: str, book: NameBook) -> Iterator[str]:
    """A line cut at semicolons, bullets, and commas that stand neither in a number, nor in a name, nor in brackets.

    And at every amount where each has a name of its own.
    """
    masked = book.masked(line)
    depth, start, cuts = 0, 0, []
    last_close = max(masked.rfind(")"), masked.rfind("]"))
    for i, sign in enumerate(masked):
        if sign in "([" and i < last_close:
            depth += 1
        elif sign in ")]":
            depth = max(0, depth - 1)
        elif depth == 0 and (
            sign in ";•|\t" or (sign == "," and not (masked[i - 1 : i].isdigit() and masked[i + 1 : i + 2].isdigit()))
        ):
            cuts.append((start, i))
            start = i + 1
    cuts.append((start, len(line)))
    for a, b in cuts:
        yield from _by_amounts(line[a:b].strip(), book)


def _by_amounts(part: str, book: NameBook) -> Iterator[str]:
    """Two lines where a part starts with an amount and each has words after it: 2 oz shea 1/2 cup water."""
    part = in_digits(part)
    masked = book.masked(part)
    found = [f for f in amounts_in(masked) if f.basis != "number" or f.target]
    if len(found) < 2 or "(" in masked or "[" in masked or any(f.target for f in found):
        yield part
        return
    starts = [0, *(f.start for f in found[1:]), len(part)]
    gaps = [masked[f.end : after] for f, after in zip(found, starts[1:], strict=True)]
    words_in = [re.search(rf"[^\W\d_]{{2}}|{MASK}", _JOINING.sub("", gap)) for gap in gaps]
    if _LEADING.sub("", masked[: found[0].start]).strip() or not all(words_in):
        yield part
        return
    for a, b in itertools.pairwise(starts):
        yield part[a:b].strip()


def read_piece(text: str, book: NameBook, phase: str = "A") -> Piece:
    """One piece: its amount, whether it is the balance, and the name that is left when those are taken out."""
    masked = book.masked(text)
    found = amounts_in(masked)
    targets = [f for f in found if f.target]
    amounts = [f for f in found if not f.target]
    side_by_side = len(amounts) == 2 and amounts[1].doubt and amounts[1].doubt.code == "side by side"
    if any(f.basis != "number" for f in amounts) and not side_by_side:
        amounts = [f for f in amounts if f.basis != "number"]
    amount, doubt, note = _one_of(amounts)
    rest = _REST.search(masked)
    left = list(text)
    for f in (*targets, *amounts):
        left[f.start : f.end] = " " * (f.end - f.start)
    for i in range(*rest.span()) if rest else ():
        left[i] = left[i] if masked[i] == MASK else " "
    doubt = Doubt("totals", f'"{short(text)}" names two totals') if len(targets) > 1 else doubt
    return Piece(
        text=text,
        phase=phase,
        written=_name("".join(left), book),
        low=amount.low if amount else None,
        high=amount.high if amount else None,
        basis="unclear" if doubt else amount.basis if amount else "none",
        amount=amount.written if amount else "",
        balance=bool(targets or rest),
        target=targets[0] if targets else None,
        doubt=doubt,
        note=note,
    )


_ALIKE = {
    "ounces": (27, 33),
    "cups": (23, 853),
    "pints": (47, 1705),
    "volume": (Fraction(1, 10), 3),
    "drops": (Fraction(1, 100), Fraction(1, 5)),
}
"""Between which weights one of another kind may be, for a weight beside it to be of the same amount [g]."""


def _one_of(amounts: list[Found]) -> tuple[Found | None, Doubt | None, str]:
    """The amount that counts where one line gives several, and a note; or why none does.

    A mass beside a volume, or beside the same mass in another unit, counts if they can be the same.
    """
    if len(amounts) < 2:
        return (amounts[0], amounts[0].doubt, "") if amounts else (None, None, "")
    masses = [f for f in amounts if f.basis == "mass" and f.low == f.high]
    doubts = [f.doubt for f in amounts if f.doubt]
    written = " and ".join(f.written for f in amounts)
    sizes = sorted(f.low for f in masses)
    alike = bool(masses) and (len(masses) == 1 or sizes[-1] <= Fraction(101, 100) * sizes[0])
    others = {f.basis for f in amounts} - {"mass"}
    if not doubts and alike and len(amounts) <= 3 and others <= {*_ALIKE, "unsized"}:
        chosen = next((f for f in masses if f.written.casefold().endswith("g")), masses[0])
        bands = [(_ALIKE[f.basis], f) for f in amounts if f.basis in _ALIKE]
        if all(least * f.low <= chosen.low <= most * f.high for (least, most), f in bands):
            return chosen, None, f"{chosen.written} is taken, the weight among {written}"
    several = Doubt("several", f'"{short(written, 80)}" are {len(amounts)} amounts for one line')
    return amounts[0], doubts[0] if doubts else several, ""


def _name(left: str, book: NameBook) -> str:
    name = re.sub(r"\( ?[,;/=-]* ?\)|\[ ?\]", " ", " ".join(left.split()))
    name = " ".join(name.split())
    for _ in range(20):
        if not name or book.find(name):
            break
        shorter = _TRAILING.sub("", _LEADING.sub("", name, count=1) if _LEADING.match(name) else name).strip()
        if shorter == name:
            break
        name = shorter
    if name.startswith("(") and name.endswith(")") and name.count("(") == 1:
        name = name[1:-1].strip()
    return name if any(c.isalnum() for c in name) or "<" in name else ""


def _joined(found: list[Piece], book: NameBook) -> list[Piece]:
    """Names and amounts that were cut apart ("shea butter, 2 oz"), together again."""
    half = [p for p in found if p.is_name or p.is_amount]
    amount_first = bool(half) and half[0].is_amount
    joined: list[Piece] = []
    for piece in found:
        last = joined[-1] if joined else None
        name, amount = (piece, last) if amount_first else (last, piece)
        if last and name.is_name and amount.is_amount and last.phase == piece.phase:
            text = f"{last.text}{' ' if amount_first else ': '}{piece.text}"
            joined[-1] = read_piece(text, book, piece.phase)
        else:
            joined.append(piece)
    return joined
