"""How the lines of a pasted recipe make up the whole: by weight, in percent, or both.

Where they do not, the maker is asked, and nothing is stretched in silence.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from maker_kit.errors import QuantityError, short
from maker_kit.formula.pasted.lines import Found, TextLine
from maker_kit.formula.pasted.questions import (
    OF_THE_WHOLE,
    PERCENT_OF,
    STRETCH,
    SUM,
    SUM_OF,
    TOTAL,
    WHOLE,
    Key,
    Question,
    answered_density,
    answered_mass,
    is_hundred,
    is_whole,
)
from maker_kit.formula.recipe import SUM_TOLERANCE_PERCENT
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import exact_number, plain_text

_TOLERANCE = exact_number(SUM_TOLERANCE_PERCENT)
_TOTAL_SHARE, _TOTAL_G = Fraction(1, 1000), Fraction(1, 20)
"""How far a written total may be off before it is asked about: a thousandth of it, or half the step of a kitchen scale
[g].
"""

_UNDECIDED = frozenset({"none", "unclear", "number", "parts"})
"""Kinds of amounts that may become a weight or a percent yet."""


@dataclass(frozen=True)
class Whole:
    """What the lines come to.

    Attributes
    ----------
    questions : tuple of Question
    notes : tuple of str
    percents : tuple of Fraction
        Of each line, in percent by mass of the whole [%]; empty while something is open.
    masses_g : tuple of Fraction or None
        Of each line [g]; None for a recipe in percent alone.
    total_g : Fraction or None
        The whole [g]; None where no weight is given.
    before_g, before_percent : Fraction or None
        What the lines come to as written, without the one that takes the rest [g, %]; None where no line is written so.
    """

    questions: tuple[Question, ...] = ()
    notes: tuple[str, ...] = ()
    percents: tuple[Fraction, ...] = ()
    masses_g: tuple[Fraction | None, ...] = ()
    total_g: Fraction | None = None
    before_g: Fraction | None = None
    before_percent: Fraction | None = None


class _OpenError(Exception):
    """The whole cannot be told before this is answered."""

    def __init__(self, about: Key, text: str, answer: str) -> None:
        self.question = Question(about, text, answer)
        super().__init__(text)


def whole_of(lines: Sequence[TextLine], stated: Found | None, given: Mapping[Key, str]) -> Whole:
    """What the lines make up, or the questions that stand in the way.

    By weight: ``percent = 100 · m / Σm``, where a line that takes the rest weighs the total less the others. Percents
    beside weights: of a mass that is answered, or of the whole ``T``, which is the total written, or
    ``T = Σm / (1 − Σp / 100)``.

    Parameters
    ----------
    lines : sequence of TextLine
    stated : Found or None
        A total that stands on a line of its own.
    given : Mapping of Key to str
        The answers.

    Raises
    ------
    QuantityError
        If an answer cannot be taken.
    """
    rests = [n for n in lines if n.balance and n.basis == "none"]
    weights = [n.least_g for n in lines if n.weighed and n.least_g is not None]
    before_g = sum(weights) if any(n.weighed for n in lines) else None
    before_percent = _percent(lines) if any(n.basis == "percent" for n in lines) else None
    if len(rests) > 1:
        taken = f"line {rests[0].number} takes the rest already. How much is this?"
        again = (
            Question(Key("amount", n.number), f"Line {n.number}, {n.called}: {taken}", '"5 g", "2 %" or "leave out"')
            for n in rests[1:]
        )
        return Whole(tuple(again), before_g=before_g, before_percent=before_percent)
    if any(n.basis in _UNDECIDED and not n.balance for n in lines) and not any(
        n.weighed and n.basis not in _UNDECIDED for n in lines
    ):
        return Whole((), before_g=before_g, before_percent=before_percent)
    target = next((n.target for n in lines if n.target is not None), stated)
    ways = _Sum(lines, rests, target, given)
    told_in_grams = TOTAL in given or (target is not None and target.basis in {"mass", "volume"})
    try:
        if before_g is None and not (rests and before_percent is None and told_in_grams):
            percents, total = ways.in_percent()
            masses: tuple[Fraction | None, ...] = tuple(None if total is None else total * p / 100 for p in percents)
        else:
            masses, total = ways.by_weight()
            percents = tuple(100 * m / total for m in masses) if masses and total else ()
    except _OpenError as missing:
        return Whole((missing.question,), tuple(ways.notes), before_g=before_g, before_percent=before_percent)
    return Whole((), tuple(ways.notes), percents, masses, total, before_g, before_percent)


def _percent(lines: Sequence[TextLine]) -> Fraction:
    return sum(n.low for n in lines if n.basis == "percent" and n.low is not None)


def _show(number: Fraction) -> str:
    return plain_text(Fraction(f"{float(number):.6f}"))


@dataclass(frozen=True)
class _Sum:
    """The lines, which of them take the rest, what they are made up to, and the answers; `notes` says what was done."""

    lines: Sequence[TextLine]
    rests: list[TextLine]
    target: Found | None
    given: Mapping[Key, str]
    notes: list[str] = field(default_factory=list)

    def in_percent(self) -> tuple[tuple[Fraction, ...], Fraction | None]:
        """The percent of each line, and the whole [g] where it is told."""
        lines, rests, target, given = self.lines, self.rests, self.target, self.given
        share = target is not None and target.basis in {"percent", "number"}
        if share and target.low != 100 and not is_hundred(given.get(TOTAL, "")):
            text = (
                f'The whole is written as "{short(target.written)}", and the lines are in percent: percents make 100. '
                "Is it 100?"
            )
            raise _OpenError(TOTAL, text, '"100"')
        if any(n.basis == "percent" and n.low != n.high for n in lines):
            return (), None
        if not rests and any(n.basis == "none" for n in lines):
            return (), None
        parts = [n.low if n.basis == "percent" else Fraction(0) for n in lines]
        total = sum(parts)
        batch = target.low if target is not None and target.basis == "mass" and target.low == target.high else None
        if rests and total > 100:
            text = (
                f"The lines come to {_show(total)} % without {rests[0].called}, so nothing is left for it. Correct a "
                'line under its "line …: amount".'
            )
            raise _OpenError(SUM_OF, text, f'under "{Key("amount", lines[0].number)}": "2 %"')
        if rests:
            return tuple(100 - total if n is rests[0] else p for n, p in zip(lines, parts, strict=True)), batch
        if abs(total - 100) <= _TOLERANCE:
            if total != 100:
                self.notes.append(f"The lines come to {_show(total)} %, near enough to 100; none was changed.")
            return tuple(parts), batch
        if SUM_OF in given:
            return self._mended(parts, total, given[SUM_OF]), batch
        of_one = abs(total - 1) <= Fraction(1, 50)
        shares = " They look like shares of one: a hundred times as much may be meant." if of_one else ""
        ask = "Which line takes the difference, or is every line stretched?"
        text = f"The lines come to {_show(total)} %, not 100.{shares} {ask}"
        raise _OpenError(SUM_OF, text, f'"{max(lines, key=lambda n: n.low or 0).called}" or "{STRETCH}"')

    def _mended(self, parts: Sequence[Fraction], total: Fraction, answer: str) -> tuple[Fraction, ...]:
        lines = self.lines
        if name_key(answer) == STRETCH:
            self.notes.append(
                f"The lines came to {_show(total)} %; as answered, each was multiplied by 100 / {_show(total)}."
            )
            return tuple(100 * p / total for p in parts)
        names = [{name_key(n.ingredient), name_key(n.written)} for n in lines]
        found = next((k for k, named in enumerate(names) if name_key(answer) in named), None)
        if found is None:
            hint = near_miss(answer, [n.called for n in lines]).sentence
            raise QuantityError(
                f'{SUM_OF}: "{short(answer)}" is no line of this recipe: {hint} Name the line that takes the '
                f'difference, or answer "{STRETCH}"'
            )
        level, name = parts[found] + 100 - total, lines[found].called
        if level < 0:
            raise QuantityError(
                f"{SUM_OF}: {name} would fall to {_show(level)} %, below zero; name another line, or correct one"
            )
        went = f"{name} went from {_show(parts[found])} to {_show(level)} %."
        self.notes.append(f"The lines came to {_show(total)} %; as answered, {went}")
        return tuple(level if k == found else p for k, p in enumerate(parts))

    def by_weight(self) -> tuple[tuple[Fraction, ...], Fraction | None]:
        """The mass of each line, and the whole [g]."""
        lines, rests, given = self.lines, self.rests, self.given
        percent_lines = [n for n in lines if n.basis == "percent"]
        if percent_lines and PERCENT_OF not in given:
            one = percent_lines[0]
            text = (
                f"Percents ({one.called}: {short(one.amount)}) stand beside weights. Of what are they: of the whole, "
                "or of some weight?"
            )
            raise _OpenError(PERCENT_OF, text, f'"{WHOLE}" or "500 g"')
        total = self._total()
        closed = all(n.least_g is not None and n.least_g == n.most_g for n in lines if n.weighed)
        if (
            not closed
            or any(n.low != n.high for n in percent_lines)
            or any(n.basis == "none" and not n.balance for n in lines)
        ):
            return (), None
        weight = sum(n.least_g for n in lines if n.weighed)
        of = self._percent_of(total, weight) if percent_lines else Fraction(0)
        masses = [n.low * of / 100 if n.basis == "percent" else n.least_g if n.weighed else Fraction(0) for n in lines]
        come_to = sum(masses)
        if rests and come_to > total:
            text = (
                f"The lines come to {_show(come_to)} g, more than the whole of {_show(total)} g, so nothing is left "
                f"for {rests[0].called}. How much is the whole?"
            )
            raise _OpenError(TOTAL, text, '"600 g"')
        if rests:
            return tuple(total - come_to if n is rests[0] else m for n, m in zip(lines, masses, strict=True)), total
        off = total is not None and abs(come_to - total) > max(_TOTAL_SHARE * total, _TOTAL_G)
        if off and name_key(given.get(TOTAL, "")) != SUM:
            text = (
                f"The lines come to {_show(come_to)} g, and the whole is given as {_show(total)} g. Is the sum of the "
                "lines right? Otherwise correct a line."
            )
            raise _OpenError(TOTAL, text, f'"{SUM}"')
        if total is not None and come_to != total:
            written = f"{_show(total)} g is written; the percents are of the lines."
            self.notes.append(f"The lines come to {_show(come_to)} g, and {written}")
        return tuple(masses), come_to

    def _percent_of(self, total: Fraction | None, weight: Fraction) -> Fraction:
        answer, percent = self.given[PERCENT_OF], _percent(self.lines)
        if not is_whole(answer):
            return answered_mass(answer, PERCENT_OF)
        if total is not None:
            return total
        if percent >= 100:
            text = (
                f"The percents come to {_show(percent)} %, so nothing is left for the weights; they cannot be of the "
                "whole. Of what weight are they?"
            )
            raise _OpenError(PERCENT_OF, text, '"500 g"')
        return weight / (1 - percent / 100)

    def _total(self) -> Fraction | None:
        """What the whole weighs [g], where that is given."""
        target, given, needed = self.target, self.given, bool(self.rests)
        answer = given.get(TOTAL, "")
        if answer and name_key(answer) != SUM and not is_hundred(answer):
            return answered_mass(answer, TOTAL)
        if target is not None and not target.doubt and target.low == target.high:
            if target.basis == "mass":
                return target.low
            if target.basis == "volume" and OF_THE_WHOLE in given:
                return target.low * answered_density(given[OF_THE_WHOLE], OF_THE_WHOLE)
            if target.basis == "volume" and needed:
                volume = f'"{short(target.written)}", a volume'
                text = f"The whole is {volume}. What does 1 mL of the finished product weigh, in g?"
                raise _OpenError(OF_THE_WHOLE, text, '"0.98"')
        if needed:
            said = f' ("{short(target.written)}")' if target is not None else ""
            text = f"One line takes the rest, and how much the whole weighs is not said{said}. How much is it?"
            raise _OpenError(TOTAL, text, '"500 g"')
        return None
