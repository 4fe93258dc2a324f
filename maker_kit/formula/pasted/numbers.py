"""Numbers in words, as recipes write them: "two and a half cups", "half a teaspoon", "2x50 g"; in digits, so that nothing of them is lost."""

from __future__ import annotations

import re

_WHOLE = {
    "a": "1",
    "an": "1",
    "one": "1",
    "two": "2",
    "three": "3",
    "four": "4",
    "five": "5",
    "six": "6",
    "seven": "7",
    "eight": "8",
    "nine": "9",
    "ten": "10",
    "eleven": "11",
    "twelve": "12",
    "a dozen": "12",
    "fifteen": "15",
    "twenty": "20",
    "thirty": "30",
    "forty": "40",
    "fifty": "50",
}
_PART = {
    "two thirds": "2/3",
    "three quarters": "3/4",
    "three fourths": "3/4",
    "half": "1/2",
    "third": "1/3",
    "quarter": "1/4",
    "fourth": "1/4",
    "fifth": "1/5",
    "eighth": "1/8",
}
_UNIT = r"(?:cups?|tbsps?|tablespoons?|teaspoons?|tsps?|drops?|oz|ounces?|pounds?|lbs?|pints?|quarts?|gallons?|grams?|kilos?|kg|g|ml|lit(?:re|er)s?|fl|fluid|pinch(?:es)?|dash(?:es)?|handfuls?|parts?)\b"


def _any(words: dict[str, str]) -> str:
    return "|".join(word.replace(" ", "[ -]") for word in sorted(words, key=len, reverse=True))


_WHOLE_AND_PART = re.compile(
    rf"(?<![\w/.,-])(?P<whole>[0-9]{{1,3}}|{_any(_WHOLE)})(?: and |-and-)(?:an? |one[ -])?(?P<part>{_any(_PART)})(?: of)?(?: an?)?(?= )",
    re.IGNORECASE,
)
_UNIT_AND_PART = re.compile(
    rf"(?<![\w/.,-])(?P<whole>[0-9]{{1,3}}|{_any(_WHOLE)}) (?P<unit>{_UNIT}) and (?:an? )?(?P<part>{_any(_PART)})\b(?! (?:an? )?{_UNIT})",
    re.IGNORECASE,
)
_PART_ALONE = re.compile(
    rf"(?<![\w/.,-])(?:an? |one[ -])?(?P<part>{_any(_PART)})(?: of)?(?: an?)? (?={_UNIT})", re.IGNORECASE
)
_WHOLE_ALONE = re.compile(rf"(?<![\w/-])(?P<whole>{_any(_WHOLE)})(?: of)?(?: an?)? (?={_UNIT})", re.IGNORECASE)
_TIMES = re.compile(r"(?<![\w.,/])([0-9]{1,3}) ?[x×*] ?(?=[0-9.])")


def in_digits(text: str) -> str:
    """One line of plain text with its numbers before units in digits: ``two and a half cups`` is ``2 1/2 cups``, ``a cup and a half`` is ``1 1/2 cup``, ``2x50 g`` is ``2 x 50 g``.

    Only numbers that a unit follows are touched; words elsewhere may belong to a name.
    """

    def whole(match: re.Match[str]) -> str:
        return _WHOLE.get(" ".join(match["whole"].casefold().replace("-", " ").split()), match["whole"])

    def part(match: re.Match[str]) -> str:
        return _PART[match["part"].casefold().replace("-", " ")]

    text = _TIMES.sub(r"\1 x ", text)
    text = _UNIT_AND_PART.sub(lambda m: f"{whole(m)} {part(m)} {m['unit']}", text)
    text = _WHOLE_AND_PART.sub(lambda m: f"{whole(m)} {part(m)}", text)
    text = _PART_ALONE.sub(lambda m: f"{part(m)} ", text)
    return _WHOLE_ALONE.sub(lambda m: f"{whole(m)} ", text)
