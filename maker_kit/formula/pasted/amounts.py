"""The amounts in one stretch of a pasted recipe: numbers with their units, as bands where a range is written, and what cannot be read in one way."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.amount_text import BARE_OUNCES, NO_AMOUNT, UNITS, folded, short, split_amount
from maker_kit.errors import QuantityError
from maker_kit.formula.pasted.names import MASK
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT as LEAST_USUAL_PERCENT
from maker_kit.units import LEAST_AMOUNT, MOST_AMOUNT, parse_amount

_PERCENT = frozenset({"%", "percent", "per cent", "pct"})
_DROPS = frozenset({"drop", "drops", "gtt", "gtts"})
_PARTS = frozenset({"part", "parts"})
_UNSIZED = frozenset(
    {
        "pinch",
        "pinches",
        "dash",
        "dashes",
        "handful",
        "handfuls",
        "scoop",
        "scoops",
        "capful",
        "capfuls",
        "squirt",
        "squirts",
        "splash",
        "splashes",
        "pump",
        "pumps",
        "dollop",
        "dollops",
        "smidgen",
        "bottle",
        "bottles",
        "jar",
        "jars",
        "pack",
        "packs",
        "packet",
        "packets",
        "stick",
        "sticks",
        "glass",
        "glasses",
        "mug",
        "mugs",
        "spoon",
        "spoons",
        "spoonful",
        "spoonfuls",
    }
)
_TWO_WAYS = {
    **{word: NO_AMOUNT[word] for word in ("t", "ts", "gr", "grain", "grains", "ppm")},
    "c": "may be a cup or a degree",
    "‰": "is thousandths, not hundredths",
}
_NOT_AMOUNTS = frozenset(NO_AMOUNT) - _PERCENT - _DROPS - frozenset(_TWO_WAYS)
"""Lengths, temperatures and times: a number with one of these is no amount of anything."""

_NUMBER = re.compile(
    r"(?<![\w/.,])(?<![^\W\d_]-)(?:(?:[0-9]{1,9} (?:and |& ?)?|[0-9]{1,9}-)?[0-9]{1,9} ?/ ?[0-9]{1,9}|[0-9][0-9.,']*|[.,][0-9]+)"
)
_UNIT_WORD = re.compile(r" ?([%‰℃℉]|°? ?[^\W\d_]{1,20}³?)\.?")
_SHARE_OF = re.compile(r" ?\(?(w/w|m/m|by weight|by mass|w/v|m/v|v/v|by volume)\b\)?", re.IGNORECASE)
_BETWEEN = re.compile(r" ?(?:-{1,2}|to|or) ?", re.IGNORECASE)
_TIMES = re.compile(r" ?[x×*] ?")
_NUMBER_WORD = re.compile(
    r"(?i)(?:^|[\s,(])(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|dozen|half|quarters?|thirds?|[0-9][0-9.,/]*)(?: and| &)?(?: an?| one)? ?-?$"
)
"""Numbers in words, or digits with "and", right before an amount: it is more than what was read as the amount."""
_PLUS = re.compile(r",? ?(?:plus|and|[+&]) ?", re.IGNORECASE)
_KILO_AND_GRAM = re.compile(r"[^|]*(?:kg|kilos?|kilograms?)\.?\|[^|]*[0-9] ?(?:g|grams?)\.?", re.IGNORECASE)
_BOUND = re.compile(
    r"(?:\b(?:up to|at most|at least|less than|more than|under|over|max|maximum|min|minimum)\.?|(?:^| )[<>≤≥±]) ?$",
    re.IGNORECASE,
)
_TARGET = re.compile(
    rf"(?:^|[\s,(\[{MASK}:;-])(?P<words>(?:(?:top|topped|make|made|fill|filled|bring|brought) up (?:with )?)?(?:q ?\.? ?s\.?(?: ?(?:to|ad))?|up to|to|ad)(?: (?:make|total|reach|a total of))?) ?$",
    re.IGNORECASE,
)
_TOPPED = re.compile(r"\b(?:top|topped|make|made|fill|filled|bring|brought)\b[^0-9]{0,80}\bup to ?$", re.IGNORECASE)


@dataclass(frozen=True)
class Found:
    """One amount as it stands in a text.

    Attributes
    ----------
    start, end : int
        Its place in the text; for a target with the words before it.
    low, high : Fraction
        The band [g, mL, %, drops, ounces or a bare number]; equal where one number is written.
    basis : str
        ``mass``, ``volume``, ``percent``, ``drops``, ``ounces`` (of weight or volume: unknown), ``parts``, ``number`` (no unit), ``unsized``, ``pieces`` or ``unclear``.
    written : str
    target : bool
        Whether it is what the whole is made up to.
    fault : str
        Why it cannot be taken as it is, as a sentence to go on after; empty where it can.
    """

    start: int
    end: int
    low: Fraction
    high: Fraction
    basis: str
    written: str
    target: bool = False
    fault: str = ""


def amounts_in(masked: str) -> tuple[Found, ...]:
    """All amounts of a stretch of plain text in which known names are masked, in their order; a number that belongs to a name (``1,3-``, ``75 °C``) is none.

    Never raises: what cannot be read is an amount with a fault.
    """
    single = [found for m in _NUMBER.finditer(masked) if (found := _single(masked, m)) is not None]
    return tuple(
        _targets(masked, [_doubtful(masked, found) for found in _sums(masked, _bands(masked, _times(masked, single)))])
    )


def read_number(text: str) -> Fraction:
    """A number as a maker writes it, exactly: ``1 1/2``, ``1-1/2``, ``0,5``. Raises QuantityError where it can be read in two ways, or in none."""
    mixed = re.fullmatch(r"([0-9]{1,9})(?:-| and | ?& ?)([0-9]+ ?/ ?[0-9]+)", text)
    if mixed:
        whole, part = split_amount(mixed[1], "an amount", "250 g")[0], split_amount(mixed[2], "an amount", "250 g")[0]
        if part >= 1:
            msg = f'"{short(text)}" cannot be read as one number; write it such as 1 1/2'
            raise QuantityError(msg)
        return whole + part
    return split_amount(text, "an amount", "250 g")[0]


def _single(text: str, match: re.Match[str]) -> Found | None:
    start, end = match.start(), match.end()
    number = match[0].rstrip(".,'")
    end -= len(match[0]) - len(number)
    unit, unit_end = _unit_after(text, end)
    if unit in _NOT_AMOUNTS or (not unit and re.match(r"-[^\W\d_]", text[end : end + 2])):
        return None
    written = text[start:unit_end]
    basis = _basis(unit)
    try:
        value = read_number(number)
        if basis in {"mass", "volume", "pieces"}:
            value = parse_amount(f"{number if re.fullmatch('[0-9.,]+', number) else _mixed(value)} {unit}").exact
        elif not LEAST_AMOUNT <= value <= MOST_AMOUNT:
            return Found(
                start,
                unit_end,
                value,
                value,
                "unclear",
                written,
                fault=f'"{short(written)}" is {"nothing at all" if not value else "out of all proportion"}; look at the number',
            )
    except QuantityError as error:
        return Found(start, unit_end, Fraction(0), Fraction(0), "unclear", written, fault=str(error))
    fault = f'"{short(written)}": "{unit}" {_TWO_WAYS[unit]}' if unit in _TWO_WAYS else ""
    if basis == "percent":
        share = _SHARE_OF.match(text, unit_end)
        if share:
            unit_end, written = share.end(), text[start : share.end()]
            fault = (
                ""
                if share[1].casefold() in {"w/w", "m/m", "by weight", "by mass"}
                else f'"{short(written)}" is a share by volume, and a recipe is in percent by mass'
            )
        if value > 100:
            fault = f'"{short(written)}" is more than the whole'
        elif sure := re.compile(r" sure\b!?", re.IGNORECASE).match(text, unit_end):
            unit_end, written = sure.end(), text[start : sure.end()]
        elif value < LEAST_USUAL_PERCENT:
            fault = f'"{short(written)}" is very little: {float(value * 100):g} % may be meant. Write that, or "{float(value):g} % sure"'
    return Found(start, unit_end, value, value, "unclear" if fault else basis, written, fault=fault)


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
        if (
            key in UNITS
            or key in BARE_OUNCES
            or key in NO_AMOUNT
            or key in _PERCENT
            or key in _DROPS
            or key in _PARTS
            or key in _UNSIZED
            or key in _TWO_WAYS
        ):
            return key, stop
    return "", end


def _basis(unit: str) -> str:
    if unit in UNITS:
        return UNITS[unit][0]
    for basis, words in (
        ("ounces", BARE_OUNCES),
        ("percent", _PERCENT),
        ("drops", _DROPS),
        ("parts", _PARTS),
        ("unsized", _UNSIZED),
        ("unclear", _TWO_WAYS),
    ):
        if unit in words:
            return basis
    return "number"


def _bands(text: str, single: list[Found]) -> list[Found]:
    """Two numbers with a dash, "to" or "or" between them become one band."""
    joined: list[Found] = []
    for found in single:
        last = joined[-1] if joined else None
        if last is None or not _BETWEEN.fullmatch(text[last.end : found.start]):
            joined.append(found)
            continue
        joined[-1] = _band(text[last.start : found.end], last, found)
    return joined


def _band(written: str, first: Found, second: Found) -> Found:
    fault, low = first.fault or second.fault, first
    if not fault and first.basis == "number":
        unit = second.written[len(_NUMBER.match(second.written)[0].rstrip(".,'")) :]
        again = f"{first.written} {unit}"
        low = _single(again, _NUMBER.match(again)) or first
        fault = low.fault
    if not fault and low.basis != second.basis:
        fault = f'"{short(written)}" holds two amounts of different kinds'
    elif not fault and low.low > second.high:
        fault = f'"{short(written)}" falls from the first number to the second'
    return Found(
        first.start, second.end, low.low, second.high, "unclear" if fault else second.basis, written, fault=fault
    )


def _times(text: str, single: list[Found]) -> list[Found]:
    """ "3 x 5 g" is 15 g: a whole number, a times sign and an amount with a unit become one amount."""
    joined: list[Found] = []
    for found in single:
        last = joined[-1] if joined else None
        if (
            last
            and last.basis == "number"
            and not last.fault
            and last.low.denominator == 1
            and found.basis not in {"number", "percent", "unclear"}
            and _TIMES.fullmatch(text[last.end : found.start])
        ):
            joined[-1] = replace(
                found,
                start=last.start,
                low=last.low * found.low,
                high=last.low * found.high,
                written=text[last.start : found.end],
            )
        else:
            joined.append(found)
    return joined


def _sums(text: str, found: list[Found]) -> list[Found]:
    """Two amounts that are written as one become their sum: "1 lb 4 oz", "1 kg 200 g", "1 cup plus 2 tbsp"; the larger one stands first, and the ounces beside pounds are of weight."""
    joined: list[Found] = []
    for one in found:
        last = joined[-1] if joined else None
        gap = text[last.end : one.start] if last else ""
        more = None
        if last and not (last.fault or one.fault) and last.low == last.high and one.low == one.high:
            pounds = bool(re.search(r"(?i)(?:lbs?|pounds?|#)\.?$", last.written))
            second = parse_amount(f"{_mixed(one.low)} oz wt").exact if pounds and one.basis == "ounces" else one.low
            same = last.basis == one.basis in {"mass", "volume"} or (pounds and one.basis == "ounces")
            parted = bool(_PLUS.fullmatch(gap)) or (
                gap == " " and (pounds or bool(_KILO_AND_GRAM.fullmatch(f"{last.written}|{one.written}")))
            )
            if same and parted and second < last.low:
                more = Found(
                    last.start, one.end, last.low + second, last.low + second, last.basis, text[last.start : one.end]
                )
        if more:
            joined[-1] = more
        else:
            joined.append(one)
    return joined


def _doubtful(text: str, found: Found) -> Found:
    """An amount that a dash or a word such as "at most" stands before is asked about."""
    start, fault, before = found.start, found.fault, text[max(0, found.start - 100) : found.start]
    if re.search(r"(?:^| )-$", before):
        fault = fault or f'"-{short(found.written)}" may be a dash before {short(found.written)}, or less than nothing'
    if not fault and _NUMBER_WORD.search(before) and not re.search(r"[0-9][0-9.,/]* ?$", before):
        word = _NUMBER_WORD.search(before)
        fault = f'"{short((before[word.start() :] + found.written).strip(" ,("))}" holds more than one number'
    if _BOUND.search(before) and not _TOPPED.search(before):
        fault = fault or f'"{short(text[max(0, start - 10) : found.end].strip())}" says a bound, not an amount'
    return replace(found, basis="unclear", fault=fault) if fault else found


def _targets(text: str, found: list[Found]) -> list[Found]:
    """Amounts that "to", "ad" or "q.s. to" stands before are what the whole is made up to; a bare number right before another number makes both unclear."""
    marked: list[Found] = []
    for one in found:
        before = text[max(0, one.start - 60) : one.start]
        words = _TARGET.search(before)
        if words and "says a bound" not in one.fault:
            marked.append(replace(one, start=one.start - len(before) + words.start("words"), target=True))
        else:
            marked.append(one)
    for before, after in itertools.pairwise(range(len(marked))):
        if (
            marked[before].basis == "number"
            and text[marked[before].end : marked[after].start] == " "
            and not marked[after].target
        ):
            written = text[marked[before].start : marked[after].end]
            marked[after] = replace(
                marked[after], basis="unclear", fault=f'"{short(written)}" holds two numbers side by side'
            )
    return marked
