"""A recipe pasted in any mess: what each line says, what it weighs at least and at most, and what is missing, asked for. Nothing is guessed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

import pandas as pd

from maker_kit import reference
from maker_kit.amount_text import short
from maker_kit.errors import QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.kinds import WET, wetness
from maker_kit.formula.pasted.amounts import LEAST_USUAL_PERCENT
from maker_kit.formula.pasted.answers import LEAVE_OUT, answered_amount, answered_density, read_answers
from maker_kit.formula.pasted.lines import Question, TextLine
from maker_kit.formula.pasted.names import NameBook
from maker_kit.formula.pasted.pieces import CutText, Piece, cut
from maker_kit.formula.pasted.whole import Whole, whole_of
from maker_kit.names import near_miss
from maker_kit.units import check_density, parse_amount

LEAST_DROP_ML, MOST_DROP_ML = Fraction(3, 100), Fraction(6, 100)
"""Size of a drop [mL]: common practice, no source; it hangs on the dropper and the liquid, so drops are weighed."""
ANSWERED = "answered"
"""Where a density is from that the maker gave."""
AS_WRITTEN = "as written"
"""The answer that keeps an ingredient that is not on file under the name the text gives it."""


@dataclass(frozen=True)
class RecipeText:
    """What a pasted recipe says, and what it leaves open.

    Attributes
    ----------
    lines : tuple of TextLine
    questions : tuple of Question
        All must be answered before it becomes percent.
    notes : tuple of str
        What was set aside or put together.
    known : Mapping of str to Ingredient
    answers : Mapping of str to object
        The answers given so far.
    source : CutText
    whole : Whole
        How the lines make up the whole.
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
        return float(sum((line.least_g or Fraction(0) for line in self.lines), Fraction(0)))

    @property
    def high_g(self) -> float | None:
        """What the lines come to at most [g]; None while one of them cannot be told."""
        told = [line.most_g for line in self.lines if line.weighed]
        return None if any(g is None for g in told) else float(sum(told, Fraction(0)))

    @property
    def percent(self) -> float:
        """What the lines written in percent come to [%]."""
        return float(
            sum((line.low for line in self.lines if line.basis == "percent" and line.low is not None), Fraction(0))
        )

    def to_frame(self) -> pd.DataFrame:
        """The lines as a table: line, phase, as written, ingredient, amount, kind, from [g], to [g], note."""
        rows = [
            (
                n.number,
                n.phase,
                n.written,
                n.ingredient,
                n.amount,
                n.basis,
                n.low_g,
                n.high_g,
                "; ".join(w for w in ("takes the rest" if n.balance else "", n.note) if w),
            )
            for n in self.lines
        ]
        return pd.DataFrame(
            rows, columns=["line", "phase", "as written", "ingredient", "amount", "kind", "from [g]", "to [g]", "note"]
        )

    def questions_frame(self) -> pd.DataFrame:
        """The questions as a table: answer under, question, answer such as."""
        return pd.DataFrame(
            [(q.key, q.text, q.answer) for q in self.questions], columns=["answer under", "question", "answer such as"]
        )


def read_recipe_text(
    text: str, known: Mapping[str, Ingredient], answers: Mapping[str, object] | None = None
) -> RecipeText:
    """Read a recipe that was pasted in any mess.

    Lines are separated by line ends, commas, semicolons or bullets; phases by headings; amounts stand before or after the names, in US or metric units, as fractions, decimals with point or comma, or
    bands; "water to 500 g" and "q.s. to 100" take the rest. A volume becomes a mass only by the density [g/mL] of its ingredient, and never where that is a powder or comes in grains (see `solid_form`); drops are a band of `LEAST_DROP_ML` to `MOST_DROP_ML` each
    (common practice, no source) and have to be weighed; a bare "oz" is a weight or a volume; a name is taken only where it is a known name or its INCI name.

    Parameters
    ----------
    text : str
        At most 100 kB. It is text and nothing else, whatever it looks like.
    known : Mapping of str to Ingredient
        The ingredients on file.
    answers : Mapping of str to object, optional
        Answers to questions, each under the question's key; ``line 2: amount`` and ``line 2: ingredient`` may be answered for every line.

    Returns
    -------
    RecipeText

    Raises
    ------
    RecipeError
        If it is no text, too long, or holds no line at all.
    UnknownNameError
        If an answer goes to no question.
    QuantityError
        If an answer cannot be taken; it says what is allowed.
    """
    return _read(cut(text, NameBook.of(known)), known, dict(answers or {}))


def answered(parsed: RecipeText, answers: Mapping[str, object]) -> RecipeText:
    """The recipe with more answers, and the questions that are left. Raises as `read_recipe_text` does."""
    return _read(parsed.source, parsed.known, {**parsed.answers, **answers})


def _read(source: CutText, known: Mapping[str, Ingredient], answers: Mapping[str, object]) -> RecipeText:
    book, questions, lines = NameBook.of(known), [], []
    given = read_answers(answers)
    headed = (
        bool(source.bare_unit)
        and "bare numbers" not in given
        and any(piece.basis == "number" for piece in source.pieces)
    )
    if headed:
        given["bare numbers"] = source.bare_unit
    for number, piece in enumerate(source.pieces, 1):
        if given.get(f"line {number}: amount") == LEAVE_OUT:
            continue
        lines.append(_line(number, piece, book, given, questions))
    if not lines:
        msg = "no line of a recipe was found; write each ingredient with its amount, such as: 50 g shea butter, 3 % glycerin"
        raise RecipeError(msg)
    whole = whole_of(lines, source.total, given)
    questions.extend(whole.questions)
    keys = {q.key for q in questions} | {
        f"line {n}: {what}" for n in range(1, len(source.pieces) + 1) for what in ("amount", "ingredient")
    }
    keys |= {f"density of {name}" for n in lines for name in (n.written, n.ingredient) if name} | {
        "total",
        "percent of",
        "sum",
        "bare numbers",
        "parts",
        "density of the whole",
    }
    for key in answers:
        if key not in keys:
            msg = f'"{short(str(key))}" is no question about this recipe: {near_miss(str(key), [q.key for q in questions] or sorted(keys))}'
            raise UnknownNameError(msg)
    notes = (
        *source.notes,
        *(
            [f"Numbers without a unit are in {source.bare_unit}, as the heading of their column says."]
            if headed
            else []
        ),
        *whole.notes,
    )
    return RecipeText(tuple(lines), tuple(dict.fromkeys(questions)), notes, known, answers, source, whole)


def _line(number: int, piece: Piece, book: NameBook, given: Mapping[str, str], questions: list[Question]) -> TextLine:
    ingredient = _ingredient(number, piece, book, given, questions)
    low, high, basis, amount, balance, fault = (
        piece.low,
        piece.high,
        piece.basis,
        piece.amount,
        piece.balance,
        piece.fault,
    )
    note, key = piece.note, f"line {number}: amount"
    what = ingredient or short(piece.written) or short(piece.text)
    shared = {"number": "bare numbers", "parts": "parts"}.get(basis, "")
    if key in given:
        low, high, basis, balance = answered_amount(given[key], key, basis, low if low == high else None)
        note = "; ".join(w for w in (note, f'"{short(amount)}" was written' if amount else "", "answered") if w)
        amount, fault = given[key], ""
    elif shared and low == high and shared in given:
        low, high, basis, balance = answered_amount(given[shared], shared, basis, low)
        if basis == "percent" and low is not None and low < LEAST_USUAL_PERCENT:
            basis, meant = "unclear", f"{float(low * 100):g} %"
            questions.append(
                Question(
                    key,
                    f"Line {number}, {what}: {float(low):g} % is very little; {meant} may be meant. How much is it?",
                    f'"{meant}", or "{float(low):g} % sure"',
                )
            )
    elif basis == "none" and not balance:
        questions.append(
            Question(
                key,
                f"Line {number}, {what}: no amount is given. How much is it?",
                '"5 g", "2 %", "rest" or "leave out"',
            )
        )
    elif shared and low == high:
        questions.append(Question(shared, _SHARED[shared], '"%", "g" or "10 g"'))
    elif fault:
        questions.append(Question(key, f"Line {number}, {what}: {fault}. How much is it?", '"5 g", "2 %" or "1 tsp"'))
    elif basis in _ASKED:
        questions.append(
            Question(
                key,
                f"Line {number}, {what}: {_ASKED[basis].format(short(amount))}",
                '"oz wt" or "fl oz"'
                if basis == "ounces" and low == high
                else '"0.4 g"'
                if basis == "drops"
                else '"56.7 g"',
            )
        )
    elif low != high:
        questions.append(
            Question(
                key,
                f'Line {number}, {what}: "{short(amount)}" is a band. How much of it is taken?',
                f'"{float((low + high) / 2):.4g} {_UNITS.get(basis, "g")}"',
            )
        )
    density, said = _density(ingredient, piece, book, given)
    form = solid_form(book.known[ingredient]) if ingredient in book.known else ""
    if form and said != ANSWERED:
        density = None  # of the solid itself; between its grains is air
    if density is not None and basis in {"volume", "drops", "ounces"}:
        note = "; ".join(w for w in (note, f"{float(density):g} g/mL ({said})") if w)
    if basis == "volume" and density is None and form:
        questions.append(
            Question(
                f"density of {ingredient}",
                f'Line {number}, {what}: "{short(amount)}" is a volume, and {what} comes as {form} with air between (common practice, no source), so its density does not tell what a '
                f'spoon or a cup of it weighs. Weigh it and answer under "{key}"; or what does 1 mL of it weigh as it is spooned, in g?',
                '"0.8"',
            )
        )
    elif basis == "volume" and density is None:
        name = ingredient or piece.written or short(piece.text)
        questions.append(
            Question(
                f"density of {name}",
                f'Line {number}, {what}: "{short(amount)}" is a volume, and its density is not known. What does 1 mL weigh, in g?',
                '"0.92"',
            )
        )
    return TextLine(
        number,
        piece.text,
        piece.phase,
        piece.written,
        ingredient,
        amount,
        basis,
        low,
        high,
        *_band_g(basis, low, high, density),
        balance,
        note,
        piece.target,
    )


_UNITS = {"mass": "g", "volume": "mL", "percent": "%"}
_SHARED = {
    "bare numbers": "Some numbers have no unit. What is one of them: a percent, a gram, or some other amount?",
    "parts": "Some lines are in parts. What is one part: a percent, a gram, or some other amount?",
}
_ASKED = {
    "ounces": '"{}" may be a weight or a volume. Which is it?',
    "drops": f'"{{}}" have no fixed size: a drop is {float(LEAST_DROP_ML)} to {float(MOST_DROP_ML)} mL (common practice, no source). Weigh them: how many grams is it?',
    "unsized": '"{}" has no fixed size. Weigh it: how many grams is it?',
    "pieces": '"{}" counts pieces. Weigh them: how many grams is it?',
}


def _ingredient(number: int, piece: Piece, book: NameBook, given: Mapping[str, str], questions: list[Question]) -> str:
    key = f"line {number}: ingredient"
    if key in given:
        if given[key].casefold() == AS_WRITTEN and piece.written:
            return book.find(piece.written) or piece.written
        found = book.find(given[key])
        if not found:
            msg = f'{key}: "{short(given[key])}" is no ingredient on file; {book.hint(given[key]).sentence} To keep the name as it stands, answer "{AS_WRITTEN}"'
            raise QuantityError(msg)
        return found
    found = book.find(piece.written)
    if not found and not piece.written:
        questions.append(
            Question(
                key,
                f'Line {number}, "{short(piece.text)}": no ingredient is named. Which is it?',
                "the ingredient's name",
            )
        )
    elif not found:
        questions.append(
            Question(
                key,
                f'Line {number}: "{short(piece.written)}" is no ingredient on file; {book.hint(piece.written).sentence} Which is it?',
                f'the ingredient\'s name, or "{AS_WRITTEN}"',
            )
        )
    return found


def _density(ingredient: str, piece: Piece, book: NameBook, given: Mapping[str, str]) -> tuple[Fraction | None, str]:
    """What 1 mL weighs [g], and who says so."""
    for key in (f"density of {ingredient}", f"density of {piece.written}"):
        if key in given:
            return answered_density(given[key], key), ANSWERED
    known = book.known.get(ingredient)
    if known is None or known.density_g_per_ml is None:
        return None, ""
    return check_density(known.density_g_per_ml, ingredient), known.density_source or "on file, no source"


def solid_form(ingredient: Ingredient) -> str:
    """In which form a solid comes that is spooned with air in it, such as ``crystals``; empty for what is no such solid, or not known as one.

    A single substance, or a mixture that begins with it and holds no water, that ``solids_by_volume.csv`` lists (common practice, no source); or one whose source of density calls it a solid.
    """
    if wetness(ingredient) == WET or not ingredient.inci:
        return ""
    listed = {row["inci"].casefold(): row["form"] for row in reference.rows("solids_by_volume.csv")}
    said = re.search(
        r"\b(?:solid|powder|crystals?|granules?|flakes?|pellets?)\b", ingredient.density_source, re.IGNORECASE
    )
    return listed.get(ingredient.inci[0].casefold(), "") or ("a solid" if said else "")


def _band_g(
    basis: str, low: Fraction | None, high: Fraction | None, density: Fraction | None
) -> tuple[Fraction | None, Fraction | None]:
    """What an amount weighs at least and at most [g]; None where that cannot be told."""
    if low is None or high is None:
        return None, None
    if basis == "mass":
        return low, high
    if density is None:
        return None, None
    if basis == "volume":
        return low * density, high * density
    if basis == "drops":
        return low * LEAST_DROP_ML * density, high * MOST_DROP_ML * density
    if basis == "ounces":
        weight, volume = parse_amount("1 oz wt").exact, parse_amount("1 fl oz").exact * density
        return low * min(weight, volume), high * max(weight, volume)
    return None, None
