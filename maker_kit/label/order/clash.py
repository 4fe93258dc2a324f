"""Why a label contradicts itself: a smallest set of caps, floors and sums that collide, in a sentence.

A deletion filter: one rule after another is left out, the least telling first, and stays out where still nothing fits.
What is left cannot be made smaller; several such sets may exist, and one is named.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from maker_kit.errors import ContradictionError
from maker_kit.label.order.chain import Misfit, propagate
from maker_kit.label.order.figures import figures_of
from maker_kit.label.order.groups import place_sums
from maker_kit.label.order.label_order import LabelOrder, NameSum
from maker_kit.label.order.programs import suspects
from maker_kit.numbers import number_text

AT_MOST, AT_LEAST, SUM = "at_most", "at_least", "sum"
Rule = tuple[str, object]
"""Its kind, and the name or the sum it is of."""
Fits = Callable[[LabelOrder], Misfit | None]


def contradiction(order: LabelOrder, fits: Fits) -> ContradictionError:
    """The fault of an order that nothing fits, with a smallest set of rules that collide.

    Parameters
    ----------
    order : LabelOrder
    fits : callable
        None where some composition fits an order.
    """
    rules = smallest(order, fits)
    return ContradictionError(_sentence(order, rules, fits), rules)


def smallest(order: LabelOrder, fits: Fits) -> tuple[Rule, ...]:
    """A smallest set of rules of which none can be left out."""
    kept = _narrowed(order, fits)
    for rule in [*kept]:
        without = [r for r in kept if r != rule]
        if fits(_with(order, without)) is not None:
            kept = without
    place = {n: i for i, n in enumerate(order.names)}
    return tuple(sorted(kept, key=lambda r: place.get(r[1], len(place)) if isinstance(r[1], str) else len(place)))


def _rules(order: LabelOrder) -> list[Rule]:
    """All rules, the least telling first: caps from the end, floors by floor × place, sums."""
    place = {n: i + 1 for i, n in enumerate(order.names)}
    caps = sorted(order.at_most, key=lambda n: -place[n])
    floors = sorted(order.at_least, key=lambda n: order.at_least[n] * place[n])
    return [*((AT_MOST, n) for n in caps), *((AT_LEAST, n) for n in floors), *((SUM, s) for s in order.sums)]


def _with(order: LabelOrder, rules: list[Rule]) -> LabelOrder:
    return order.keeping(
        [n for kind, n in rules if kind == AT_MOST],
        [n for kind, n in rules if kind == AT_LEAST],
        [order.sums.index(s) for kind, s in rules if kind == SUM],
    )


def _narrowed(order: LabelOrder, fits: Fits) -> list[Rule]:
    """All rules; where sums need linear programs, only those that the programs suspect, if they alone collide."""
    rules = _rules(order)
    if not order.sums or len(rules) < 5:
        return rules
    names = {n: i for i, n in enumerate(order.names)}
    figures = figures_of(order)
    plain = propagate(figures)
    if isinstance(plain, Misfit):  # the sums are not needed for it
        return [rule for rule in rules if rule[0] != SUM]
    caps, floors = suspects(plain, place_sums(order, figures))
    places = {AT_MOST: caps, AT_LEAST: floors}
    few = [(kind, what) for kind, what in rules if kind == SUM or names[what] in places[kind]]
    return few if fits(_with(order, few)) is not None else rules


def _sentence(order: LabelOrder, rules: tuple[Rule, ...], fits: Fits) -> str:
    few = _with(order, list(rules))
    fault = fits(few)
    how = "" if fault is None or few.sums else fault.fault
    if how == "own":
        (_, name), *_ = rules
        return f"{name} is to hold {_p(few.at_least[name])} or more, and may hold at most {_p(few.at_most[name])}."
    if how == "order" and len(few.at_most) == len(few.at_least) == 1:
        (cap,), (floor,) = few.at_most, few.at_least
        return (
            f"{floor} is to hold {_p(few.at_least[floor])} or more, so it stands above the 1 % line and every name "
            f"before it holds at least as much; but {cap}, named before it, may hold at most {_p(few.at_most[cap])}."
        )
    if how == "least":
        return f"The least amounts already add up to {_p(_least(few))}: {_and(_floor(few, n) for n in few.at_least)}."
    if how == "most":
        return f"Even at their most the names reach only {_p(_most(few))}: {_and(_cap(few, n) for n in few.at_most)}."
    said = [
        *(f"{n} at most {_p(x)}" for n, x in few.at_most.items()),
        *(f"{n} at least {_p(x)}" for n, x in few.at_least.items()),
        *map(_said, few.sums),
    ]
    return f"These cannot all be true of one list in this order: {_and(said)}."


def _said(s: NameSum) -> str:
    ends = [f"at least {_p(s.least)}"] if s.least is not None else []
    ends += [f"at most {_p(s.most)}"] if s.most is not None else []
    return f"{_and(s.names)} together {' and '.join(ends)}"


def _floor(order: LabelOrder, name: str) -> str:
    before = order.names.index(name)
    lifts = before and before < len(order.names) - order.colours_last and order.at_least[name] > 1
    return f"{name} at {_p(order.at_least[name])} or more{f' with the {before} before it' if lifts else ''}"


def _cap(order: LabelOrder, name: str) -> str:
    after = len(order.names) - order.colours_last - order.names.index(name) - 1
    return f"{name} at most {_p(order.at_most[name])}{f', so the {after} after it too' if after > 0 else ''}"


def _least(order: LabelOrder) -> Fraction:
    """Least that the whole list can be [%]: its floors, run up the list."""
    lower, held = Fraction(0), Fraction(0)
    chain = len(order.names) - order.colours_last
    for i in reversed(range(len(order.names))):
        floor = order.at_least.get(order.names[i], Fraction(0))
        if i < chain and (floor > 1 or lower > 1 or (floor == 1 and order.law == "eu") or order.law == "all"):
            lower = max(lower, floor)
            held += lower
        else:
            held += floor
    return held


def _most(order: LabelOrder) -> Fraction:
    """Most that the whole list can be [%]: its caps, run down the list with the line as late as it may be."""
    free = propagate(figures_of(order.keeping(order.at_most, (), ())))
    upper, reached = Fraction(100), Fraction(0)
    for i, name in enumerate(order.names):
        cap = order.at_most.get(name, Fraction(100))
        if i < len(order.names) - order.colours_last:
            upper = min(upper, cap)
            under = upper < 1 and order.law != "all"
            reached += min(cap, Fraction(1)) if under else upper
        else:
            reached += cap
    return reached if isinstance(free, Misfit) else Fraction(100)


def _p(percent: Fraction) -> str:
    return f"{number_text(percent)} %"


def _and(parts: object) -> str:
    listed = list(parts)
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} and {listed[-1]}"
