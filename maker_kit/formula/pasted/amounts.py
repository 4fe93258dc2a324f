"""The amounts in one stretch of a pasted recipe: numbers with their units, as bands where a range is written.

What cannot be read in one way carries a doubt.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from maker_kit.amount_text import BARE_OUNCES, NO_AMOUNT, UNITS, folded, words
from maker_kit.errors import QuantityError, short
from maker_kit.formula.pasted.lines import Found
from maker_kit.formula.pasted.names import MASK
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT as LEAST_USUAL_PERCENT
from maker_kit.numbers import typed_number
from maker_kit.units import LEAST_AMOUNT, MOST_AMOUNT, parse_amount

_PERCENT = frozenset(words("%|percent|per cent|pct"))
_DROPS = frozenset(words("drop|drops|gtt|gtts"))
_PARTS = frozenset(words("part|parts"))
_UNSIZED = frozenset(
    f"{word}{end}"
    for word in words(
        "pinch|dash|handful|scoop|capful|squirt|splash|pump|dollop|smidgen|bottle|jar|pack|packet|stick|glass|mug|"
        "spoon|spoonful"
    )
    for end in ("", "s", "es")
)
_TWO_WAYS = {
    **{word: NO_AMOUNT[word] for word in words("t|ts|gr|grain|grains|ppm")},
    "c": "may be a cup or a degree",
    "‰": "is thousandths, not hundredths",
}
_NOT_AMOUNTS = frozenset(NO_AMOUNT) - _PERCENT - _DROPS - frozenset(_TWO_WAYS)
"""Lengths, temperatures and times: a number with one of these is no amount of anything."""

_KINDS = {
    **{unit: basis for unit, (basis, _) in UNITS.items()},
    **dict.fromkeys(BARE_OUNCES, "ounces"),
    **dict.fromkeys(words("cup|cups"), "cups"),
    **dict.fromkeys(words("pt|pts|pint|pints"), "pints"),
    **dict.fromkeys(_PERCENT, "percent"),
    **dict.fromkeys(_DROPS, "drops"),
    **dict.fromkeys(_PARTS, "parts"),
    **dict.fromkeys(_UNSIZED, "unsized"),
    **dict.fromkeys(_TWO_WAYS, "unclear"),
}
"""Folded unit → basis of an amount with it."""

_NUMBER = re.compile(
    r"(?<![\w/.,])(?<![^\W\d_]-)(?:(?:[0-9]{1,9} (?:and |& ?)?|[0-9]{1,9}-)?[0-9]{1,9} ?/ ?[0-9]{1,9}"
    r"|[0-9][0-9.,']*|[.,][0-9]+)"
)
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
"""A number that is a thousand times as much where the point marks thousands."""
_SMALL = frozenset(unit for unit, (_, name) in UNITS.items() if name in {"gram", "milliliter", "milligram"})
"""Units of which a recipe may hold thousands."""
_UNIT_WORD = re.compile(r" ?([%‰℃℉]|°? ?[^\W\d_]{1,20}³?)\.?")
_SHARE_OF = re.compile(r" ?\(?(w/w|m/m|by weight|by mass|w/v|m/v|v/v|by volume)\b\)?", re.IGNORECASE)
_BETWEEN = re.compile(r" ?(?:-{1,2}|to|or) ?", re.IGNORECASE)
_TIMES = re.compile(r" ?[x×*] ?")
_NUMBER_WORD = re.compile(
    r"(?i)(?:^|[\s,(])(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|dozen|half|quarters?|thirds?"
    r"|[0-9][0-9.,/]*)(?: and| &)?(?: an?| one)? ?-?$"
)
"""Numbers in words, or digits with "and", right before an amount: it is more than what was read as the amount."""
_PLUS = re.compile(r",? ?(?:plus|and|[+&]) ?", re.IGNORECASE)
_KILO_AND_GRAM = re.compile(r"[^|]*(?:kg|kilos?|kilograms?)\.?\|[^|]*[0-9] ?(?:g|grams?)\.?", re.IGNORECASE)
_BOUND = re.compile(
    r"(?:\b(?:up to|at most|at least|less than|more than|under|over|max|maximum|min|minimum)\.?"
    r"|(?:^| )[<>≤≥±]) ?$",
    re.IGNORECASE,
)
_TARGET = re.compile(
    rf"(?:^|[\s,(\[{MASK}:;-])(?P<words>(?:(?:top|topped|make|made|fill|filled|bring|brought) up (?:with )?)?"
    r"(?:q ?\.? ?s\.?(?: ?(?:to|ad))?|up to|to|ad)(?: (?:make|total|reach|a total of))?) ?$",
    re.IGNORECASE,
)
_TOPPED = re.compile(r"\b(?:top|topped|make|made|fill|filled|bring|brought)\b[^0-9]{0,80}\bup to ?$", re.IGNORECASE)


@lru_cache(maxsize=64)  # a line is looked at as a whole, and again as the piece that it is
def amounts_in(masked: str) -> tuple[Found, ...]:
    """All amounts of a stretch of plain text in which known names are masked, in their order.

    A number that belongs to a name (``1,3-``, ``75 °C``) is none. Never raises: what cannot be read is an amount with
    a doubt.
    """
    found = [one for m in _NUMBER.finditer(masked) if (one := _single(masked, m)) is not None]
    for join in (_times, _band, _sum):
        found = _joined(masked, found, join)
    return tuple(_targets(masked, [_doubtful(masked, one) for one in found]))


def read_number(text: str) -> Fraction:
    """A number as a maker writes it, exactly:

    ``1 1/2``, ``1-1/2``, ``0,5``. Raises QuantityError where it can be read in two ways, or in none.
    """
    mixed = re.fullmatch(r"([0-9]{1,9})(?:-| and | ?& ?)([0-9]+ ?/ ?[0-9]+)", text)
    if not mixed:
        return typed_number(text, "an amount", "250 g")
    whole, part = (typed_number(piece, "an amount", "250 g") for piece in mixed.groups())
    if part >= 1:
        raise QuantityError(f'"{short(text)}" cannot be read as one number; write it such as 1 1/2')
    return whole + part


def _single(text: str, match: re.Match[str]) -> Found | None:
    start, end = match.start(), match.end()
    number = match[0].rstrip(".,'")
    end -= len(match[0]) - len(number)
    unit, unit_end = _unit_after(text, end)
    if unit in _NOT_AMOUNTS or (not unit and re.match(r"-[^\W\d_]", text[end : end + 2])):
        return None
    found = Found(start, unit_end, Fraction(0), Fraction(0), _KINDS.get(unit, "number"), text[start:unit_end])
    try:
        value = read_number(number)
        if found.basis in {"mass", "volume", "pieces"}:
            value = parse_amount(f"{number if re.fullmatch('[0-9.,]+', number) else _mixed(value)} {unit}").exact
    except QuantityError as error:
        return found.doubted("number", str(error))
    found, shown = replace(found, low=value, high=value), short(found.written)
    if found.basis not in {"mass", "volume", "pieces"} and not LEAST_AMOUNT <= value <= MOST_AMOUNT:
        return found.doubted(
            "size", f'"{shown}" is {"out of all proportion" if value else "nothing at all"}; look at it'
        )
    if _THOUSANDS.fullmatch(number) and (not unit or unit in _SMALL):
        ways = f"{number.replace('.', '')} or {number}0"
        return found.doubted("number", f'"{shown}": the point may mark thousands: write {ways}')
    if unit in _TWO_WAYS:
        return found.doubted("unit", f'"{shown}": "{unit}" {_TWO_WAYS[unit]}')
    return _percent(text, found) if found.basis == "percent" else found


def _percent(text: str, found: Found) -> Found:
    """A percent with the words after it: of what it is a share, and whether the maker is sure of a very small one."""
    value, share = found.low, _SHARE_OF.match(text, found.end)
    by_volume = share is not None and share[1].casefold() not in {"w/w", "m/m", "by weight", "by mass"}
    if share:
        found = replace(found, end=share.end(), written=text[found.start : share.end()])
    if value > 100:
        return found.doubted("whole", f'"{short(found.written)}" is more than the whole')
    if sure := re.compile(r" sure\b!?", re.IGNORECASE).match(text, found.end):
        found = replace(found, end=sure.end(), written=text[found.start : sure.end()])
    elif value < LEAST_USUAL_PERCENT:
        meant = f'{float(value * 100):g} % may be meant. Write that, or "{float(value):g} % sure"'
        return found.doubted("little", f'"{short(found.written)}" is very little: {meant}')
    if by_volume:
        text = f'"{short(found.written)}" is a share by volume, and a recipe is in percent by mass'
        return found.doubted("volume", text)
    return found


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return f"{whole} {rest.numerator}/{rest.denominator}" if rest else f"{whole}"


def _unit_after(text: str, end: int) -> tuple[str, int]:
    """The longest unit that stands right after a number, folded, and where it ends; empty where none does."""
    ends: list[int] = []
    at = end
    while len(ends) < 4 and (word := _UNIT_WORD.match(text, at)):
        at = word.end()
        ends.append(at)
    for stop in reversed(ends):
        key = folded(text[end:stop])
        if key in _KINDS or key in NO_AMOUNT:
            return key, stop
    return "", end


def _joined(text: str, found: list[Found], join: Callable[[str, Found, Found], Found | None]) -> list[Found]:
    """The amounts with neighbours put together where they are one."""
    joined: list[Found] = []
    for one in found:
        together = join(text, joined[-1], one) if joined else None
        joined[-1 if together else len(joined) :] = [together or one]
    return joined


def _band(text: str, first: Found, second: Found) -> Found | None:
    """Two numbers with a dash, "to" or "or" between them are one band."""
    if not _BETWEEN.fullmatch(text[first.end : second.start]):
        return None
    doubt, low, written = first.doubt or second.doubt, first, text[first.start : second.end]
    if not doubt and first.basis == "number":
        number = _NUMBER.match(second.written)[0].rstrip(".,'")
        again = f"{first.written} {second.written[len(number) :].lstrip()}"
        low = _single(again, _NUMBER.match(again)) or first
        doubt = low.doubt
    band = Found(first.start, second.end, low.low, second.high, second.basis, written, doubt=doubt)
    if doubt:
        return band.doubted(doubt.code, doubt.text)
    if low.basis != second.basis:
        return band.doubted("kinds", f'"{short(written)}" holds two amounts of different kinds')
    if low.low > second.high:
        return band.doubted("falls", f'"{short(written)}" falls from the first number to the second')
    return band


def _times(text: str, count: Found, found: Found) -> Found | None:
    """A whole number, a times sign and an amount with a unit are one amount: 3 x 5 g is 15 g."""
    whole = count.basis == "number" and not count.doubt and count.low.denominator == 1
    if (
        not whole
        or found.basis in {"number", "percent", "unclear"}
        or not _TIMES.fullmatch(text[count.end : found.start])
    ):
        return None
    low, high, written = count.low * found.low, count.low * found.high, text[count.start : found.end]
    return replace(found, start=count.start, low=low, high=high, written=written)


def _sum(text: str, first: Found, second: Found) -> Found | None:
    """Two amounts that are written as one are their sum: "1 lb 4 oz", "1 kg 200 g", "1 cup plus 2 tbsp".

    The larger one stands first, and the ounces beside pounds are of weight.
    """
    if first.doubt or second.doubt or first.low != first.high or second.low != second.high:
        return None
    pounds = bool(re.search(r"(?i)(?:lbs?|pounds?|#)\.?$", first.written))
    of_weight = pounds and second.basis == "ounces"
    more = parse_amount(f"{_mixed(second.low)} oz wt").exact if of_weight else second.low
    gap = text[first.end : second.start]
    kilo = _KILO_AND_GRAM.fullmatch(f"{first.written}|{second.written}")
    parted = bool(_PLUS.fullmatch(gap)) or (gap == " " and (pounds or bool(kilo)))
    if not (of_weight or first.basis == second.basis in {"mass", "volume"}) or not parted or more >= first.low:
        return None
    whole = first.low + more
    return Found(first.start, second.end, whole, whole, first.basis, text[first.start : second.end])


def _doubtful(text: str, found: Found) -> Found:
    """An amount that a dash or a word such as "at most" stands before is asked about."""
    before = text[max(0, found.start - 100) : found.start]
    shown, word = short(found.written), _NUMBER_WORD.search(before)
    if re.search(r"(?:^| )-$", before):
        found = found.doubted("dash", f'"-{shown}" may be a dash before {shown}, or less than nothing')
    if word and not re.search(r"[0-9][0-9.,/]* ?$", before):
        numbers = (before[word.start() :] + found.written).strip(" ,(")
        found = found.doubted("several", f'"{short(numbers)}" holds more than one number')
    if _BOUND.search(before) and not _TOPPED.search(before):
        around = text[max(0, found.start - 10) : found.end].strip(f" {MASK}")
        found = found.doubted("bound", f'"{short(around)}" says a bound, not an amount')
    return found


def _targets(text: str, found: list[Found]) -> list[Found]:
    """Amounts that "to", "ad" or "q.s. to" stands before are what the whole is made up to.

    A bare number right before another number makes both unclear.
    """
    marked: list[Found] = []
    for one in found:
        before = text[max(0, one.start - 60) : one.start]
        goal = _TARGET.search(before)
        if goal and not (one.doubt and one.doubt.code == "bound"):
            one = replace(one, start=one.start - len(before) + goal.start("words"), target=True)
        last = marked[-1] if marked else None
        if last and last.basis == "number" and text[last.end : one.start] == " " and not one.target:
            written = text[last.start : one.end]
            one = replace(one, doubt=None).doubted("side by side", f'"{short(written)}" holds two numbers side by side')
        marked.append(one)
    return marked
