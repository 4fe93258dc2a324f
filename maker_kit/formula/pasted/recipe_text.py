"""A recipe pasted in any mess: what each line says, what it weighs at least and at most; what is missing is asked for.

Nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import pandas as pd

from maker_kit.errors import QuantityError, RecipeError, UnknownNameError, short
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.pasted.amounts import LEAST_USUAL_PERCENT
from maker_kit.formula.pasted.lines import CutText, Piece, TextLine
from maker_kit.formula.pasted.masses import (
    ANSWERED,
    LEAST_DROP_ML,
    MOST_DROP_ML,
    RESTS,
    band_g,
    density_of,
    solid_form,
    takes_rest,
)
from maker_kit.formula.pasted.names import NameBook
from maker_kit.formula.pasted.pieces import cut
from maker_kit.formula.pasted.questions import (
    BARE_NUMBERS,
    LEAVE_OUT,
    OF_THE_WHOLE,
    PARTS,
    PERCENT_OF,
    SUM_OF,
    TOTAL,
    Key,
    Question,
    answered_amount,
    read_answers,
)
from maker_kit.formula.pasted.whole import Whole, whole_of
from maker_kit.frames import frame_of
from maker_kit.names import name_key, near_miss

AS_WRITTEN = "as written"
"""The answer that keeps an ingredient that is not on file under the name the text gives it."""


@dataclass(frozen=True)
class RecipeText:
    """What a pasted recipe says, and what it leaves open.

    Attributes
    ----------
    lines : tuple of TextLine
    questions, notes : tuple of Question, tuple of str
        What must be answered before it becomes percent; what was set aside or put together.
    known : Mapping of str to Ingredient
    answers : Mapping of str to object
        Those given so far.
    source, whole : CutText, Whole
        How it was cut, and how the lines make up the whole.
    """

    lines: tuple[TextLine, ...]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]
    known: Mapping[str, Ingredient]
    answers: Mapping[str, object]
    source: CutText
    whole: Whole = field(default_factory=Whole)

    @property
    def low_g(self) -> float:
        """What the lines that can be weighed come to at least [g]."""
        return float(sum(line.least_g or 0 for line in self.lines))

    @property
    def high_g(self) -> float | None:
        """What the lines come to at most [g]; None while one of them cannot be told."""
        told = [line.most_g for line in self.lines if line.weighed]
        return None if any(g is None for g in told) else float(sum(told))

    @property
    def percent(self) -> float:
        """What the lines written in percent come to [%]."""
        return float(sum(line.low for line in self.lines if line.basis == "percent" and line.low is not None))

    def to_frame(self) -> pd.DataFrame:
        """One row a line: phase, as written, ingredient, amount, kind, from [g], to [g], note."""
        columns = {"line": "number", "phase": "phase", "as written": "written", "ingredient": "ingredient"}
        columns |= {"amount": "amount", "kind": "basis", "from [g]": "low_g", "to [g]": "high_g"}
        return frame_of(self.lines, {**columns, "note": lambda n: _noted("takes the rest" * n.balance, n.note)})


def read_recipe_text(
    text: str, known: Mapping[str, Ingredient], answers: Mapping[str, object] | None = None
) -> RecipeText:
    """Read a recipe that was pasted in any mess.

    Lines are separated by line ends, commas, semicolons or bullets; phases by headings; amounts stand before or after
    the names, in US or metric units, as fractions, decimals with point or comma, or bands; "water to 500 g" and "q.s.
    to 100" take the rest. A volume becomes a mass only by the density [g/mL] of its ingredient, and never where that is
    a powder or comes in grains (see `solid_form`); drops are a band of `LEAST_DROP_ML` to `MOST_DROP_ML` each (common
    practice, no source) and have to be weighed; a bare "oz" is a weight or a volume; a name is taken only where it is a
    known name or its INCI name.

    Parameters
    ----------
    text : str
        At most 100 kB. It is text and nothing else, whatever it looks like.
    known : Mapping of str to Ingredient
        The ingredients on file.
    answers : Mapping of str to object, optional
        Answers to questions, each under the question's key; ``line 2: amount`` and ``line 2: ingredient`` may be
        answered for every line.

    Raises
    ------
    RecipeError
        If it is no text, too long, or holds no line at all.
    UnknownNameError, QuantityError
        If an answer goes to no question, or cannot be taken.
    """
    return _read(cut(text, NameBook.of(known)), known, dict(answers or {}))


def answered(parsed: RecipeText, answers: Mapping[str, object]) -> RecipeText:
    """The recipe with more answers, and the questions that are left. Raises as `read_recipe_text` does."""
    return _read(parsed.source, parsed.known, {**parsed.answers, **answers})


def _read(source: CutText, known: Mapping[str, Ingredient], answers: Mapping[str, object]) -> RecipeText:
    book, questions, lines = NameBook.of(known), [], []
    given = read_answers(answers)
    bare = any(piece.basis == "number" for piece in source.pieces)
    headed = bool(source.bare_unit) and bare and BARE_NUMBERS not in given
    if headed:
        given[BARE_NUMBERS] = source.bare_unit
    for number, piece in enumerate(source.pieces, 1):
        if given.get(Key("amount", number)) != LEAVE_OUT:
            lines.append(_line(number, piece, book, given, questions))
    if not lines:
        like = "50 g shea butter, 3 % glycerin"
        raise RecipeError(f"no line of a recipe was found; write each ingredient with its amount, such as: {like}")
    whole = whole_of(lines, source.total, given)
    questions.extend(whole.questions)
    keys = {q.about for q in questions} | {TOTAL, PERCENT_OF, SUM_OF, BARE_NUMBERS, PARTS, OF_THE_WHOLE}
    keys |= {Key(what, n) for n in range(1, len(source.pieces) + 1) for what in ("amount", "ingredient")}
    keys |= {Key("density", name=name) for n in lines for name in (n.written, n.ingredient) if name}
    for typed in answers:
        if Key.read(str(typed)) not in keys:
            hint = near_miss(str(typed), [q.key for q in questions] or sorted(map(str, keys)))
            raise UnknownNameError(f'"{short(str(typed))}" is no question about this recipe: {hint}')
    heading = f"Numbers without a unit are in {source.bare_unit}, as the heading of their column says."
    notes = (*source.notes, *([heading] if headed else []), *whole.notes)
    return RecipeText(tuple(lines), tuple(dict.fromkeys(questions)), notes, known, answers, source, whole)


def _line(number: int, piece: Piece, book: NameBook, given: Mapping[Key, str], questions: list[Question]) -> TextLine:
    line = TextLine(**vars(piece), number=number, ingredient=_ingredient(number, piece, book, given, questions))
    no_rest = line.balance and line.basis == "none" and not takes_rest(line, book.known)
    line = replace(line, balance=line.balance and not no_rest)
    key, shared = Key("amount", number), {"number": BARE_NUMBERS, "parts": PARTS}.get(piece.basis)
    who, closed = f"Line {number}, {line.called}", piece.low == piece.high

    def ask(about: Key, text: str, answer: str) -> None:
        questions.append(Question(about, text, answer))

    if key in given:
        value, basis, rest = answered_amount(given[key], key, line.basis, line.low if closed else None)
        was = f'"{short(line.amount)}" was written' if line.amount else ""
        note = _noted(line.note, was, "answered")
        line = replace(line, low=value, high=value, basis=basis, balance=rest, note=note, amount=given[key], doubt=None)
    elif shared and closed and shared in given:
        value, basis, rest = answered_amount(given[shared], shared, line.basis, line.low)
        little = basis == "percent" and value is not None and value < LEAST_USUAL_PERCENT
        if little:
            is_, meant = f"{float(value):g} %", f"{float(value * 100):g} %"
            text = f"{who}: {is_} is very little; {meant} may be meant. How much is it?"
            ask(key, text, f'"{meant}", or "{is_} sure"')
        line = replace(line, low=value, high=value, basis="unclear" if little else basis, balance=rest)
    elif no_rest:
        ask(key, f"{who}: only {RESTS} is filled up with in silence. How much is it?", '"0.5 %", "5 g" or "rest"')
    elif line.basis == "none" and not line.balance:
        ask(key, f"{who}: no amount is given. How much is it?", '"5 g", "2 %", "rest" or "leave out"')
    elif shared and closed:
        ask(shared, _SHARED[shared.about], '"%", "g" or "10 g"')
    elif line.doubt:
        ask(key, f"{who}: {line.doubt}. How much is it?", '"5 g", "2 %" or "1 tsp"')
    elif line.basis in _ASKED:
        text, answer, band = _ASKED[line.basis]
        ask(key, f"{who}: {text.format(short(line.amount))}", answer if closed else band)
    elif not closed:
        middle = f'"{float((line.low + line.high) / 2):.4g} {_UNITS.get(line.basis, "g")}"'
        ask(key, f'{who}: "{short(line.amount)}" is a band. How much of it is taken?', middle)
    density, said = density_of(line.ingredient, piece, book, given)
    form = solid_form(book.known[line.ingredient]) if line.ingredient in book.known else ""
    if form and said != ANSWERED:
        density = None  # of the solid itself; between its grains is air
    if density is not None and line.basis in {"volume", "drops", "ounces"}:
        line = replace(line, note=_noted(line.note, f"{float(density):g} g/mL ({said})"))
    if line.basis == "volume" and density is None:
        volume = f'{who}: "{short(line.amount)}" is a volume, and '
        if form:
            text = (
                f"{line.called} comes as {form} with air between (common practice, no source), so its density does not "
                f'tell what a spoon or a cup of it weighs. Weigh it and answer under "{key}"; or what does 1 mL of it '
                "weigh as it is spooned, in g?"
            )
        else:
            text = "its density is not known. What does 1 mL weigh, in g?"
        ask(Key("density", name=line.called), volume + text, '"0.8"' if form else '"0.92"')
    least, most = band_g(line.basis, line.low, line.high, density)
    return replace(line, least_g=least, most_g=most)


def _noted(*notes: str) -> str:
    return "; ".join(note for note in notes if note)


_UNITS = {"mass": "g", "volume": "mL", "percent": "%"}
_SHARED = {
    "bare numbers": "Some numbers have no unit. What is one of them: a percent, a gram, or some other amount?",
    "parts": "Some lines are in parts. What is one part: a percent, a gram, or some other amount?",
}
_DROP = f"a drop is {float(LEAST_DROP_ML)} to {float(MOST_DROP_ML)} mL (common practice, no source)"
_WEIGH = "Weigh them: how many grams is it?"
_ASKED = {
    "ounces": ('"{}" may be a weight or a volume. Which is it?', '"oz wt" or "fl oz"', '"56.7 g"'),
    "cups": (
        (
            '"{}": a cup is 236.6 mL (US customary), 240 mL (US label), 250 mL (metric) or 284.1 mL '
            "(imperial). Which is it?"
        ),
        '"US", "US label", "metric" or "imperial"',
        '"56.7 g"',
    ),
    "pints": ('"{}": a pint is 473.2 mL (US) or 568.3 mL (imperial). Which is it?', '"US" or "imperial"', '"56.7 g"'),
    "drops": (f'"{{}}" have no fixed size: {_DROP}. {_WEIGH}', '"0.4 g"', '"0.4 g"'),
    "unsized": ('"{}" has no fixed size. Weigh it: how many grams is it?', '"56.7 g"', '"56.7 g"'),
    "pieces": (f'"{{}}" counts pieces. {_WEIGH}', '"56.7 g"', '"56.7 g"'),
}
"""Basis of an amount that has to be asked about → question, and an answer to one amount and to a band."""


def _ingredient(number: int, piece: Piece, book: NameBook, given: Mapping[Key, str], questions: list[Question]) -> str:
    key = Key("ingredient", number)
    if key in given and name_key(given[key]) == AS_WRITTEN and piece.written:
        return book.find(piece.written) or piece.written
    written = given.get(key, piece.written)
    found = book.find(written)
    no = f'"{short(written)}" is no ingredient on file; {book.hint(written).sentence}'
    if key in given and not found:
        raise QuantityError(f'{key}: {no} To keep the name as it stands, answer "{AS_WRITTEN}"')
    if not found and not written:
        text = f'Line {number}, "{short(piece.text)}": no ingredient is named. Which is it?'
        questions.append(Question(key, text, "the ingredient's name"))
    elif not found:
        answer = f'the ingredient\'s name, or "{AS_WRITTEN}"'
        questions.append(Question(key, f"Line {number}: {no} Which is it?", answer))
    return found
