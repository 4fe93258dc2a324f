"""What a maker types as lines ``name = value``."""

from __future__ import annotations

from maker_kit.errors import NoticeError


def read_answers(text: str, example: str = "line 2: amount = 56.7 g") -> dict[str, str]:
    """Names and values, one a line.

    Parameters
    ----------
    text : str
    example : str
        Shown where a line is none.

    Returns
    -------
    dict of str to str

    Raises
    ------
    NoticeError
        If a line has no "=", or a name comes twice.
    """
    found: dict[str, str] = {}
    for line in filter(None, (part.strip() for part in text.splitlines())):
        name, equals, value = (piece.strip() for piece in line.partition("="))
        if not equals or not name:
            msg = f'"{line}" is not understood: write a name, "=", and the value, as in "{example}"'
            raise NoticeError(msg)
        if name in found:
            msg = f'"{name}" is named twice; leave one of the two lines out'
            raise NoticeError(msg)
        found[name] = value
    return found
