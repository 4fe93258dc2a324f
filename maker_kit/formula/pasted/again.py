"""A pasted text that was changed: which of the answers given to it before still belong to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from maker_kit.errors import MakerKitError
from maker_kit.formula.pasted.lines import Piece
from maker_kit.formula.pasted.questions import Key
from maker_kit.formula.pasted.recipe_text import RecipeText, answered, read_recipe_text


def answers_again(before: RecipeText, text: str, answers: Mapping[str, str]) -> dict[str, str]:
    """The answers that are kept when a text is changed.

    An answer about a line goes with that line, wherever it stands now, and is dropped where the line was changed or
    stands there more than once; any other is kept where its question is still asked. So nobody's answer is taken for
    another line's.

    Parameters
    ----------
    before : RecipeText
        As it was read before the change.
    text : str
        The new text.
    answers : Mapping of str to str
        Those that were given to the text before, each under its question's key.

    Returns
    -------
    dict of str to str

    Raises
    ------
    RecipeError
        If the new text is none that can be read.
    """
    read = read_recipe_text(text, before.known, {})
    said, again = ([_said(piece) for piece in text.source.pieces] for text in (before, read))
    times = Counter(said), Counter(again)
    waiting: dict[Key, str] = {}
    for typed, answer in answers.items():
        key = Key.read(typed)
        if key.line:
            line = said[key.line - 1] if key.line <= len(said) else ("", "")
            if any(count[line] != 1 for count in times):
                continue
            key = Key(key.about, again.index(line) + 1)
        waiting[key] = answer
    kept: dict[str, str] = {}
    while found := next((q for q in read.questions if q.about in waiting), None):
        answer = waiting.pop(found.about)
        try:
            read = answered(read, {found.key: answer})
        except MakerKitError:  # no longer an answer to what is asked
            continue
        kept[found.key] = answer
    return kept


def _said(piece: Piece) -> tuple[str, str]:
    return piece.written, piece.amount
