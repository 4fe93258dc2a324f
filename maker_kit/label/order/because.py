"""Which rules make a bound: the smallest set of caps, floors and sums that gives it by itself."""

from __future__ import annotations

from maker_kit.label.order.bounds import Bound, OrderBounds, bounds_of
from maker_kit.label.order.label_order import LabelOrder, NameSum
from maker_kit.numbers import number_text


def sufficient(found: OrderBounds, name: str, end: str) -> LabelOrder:
    """The order with so few rules that the bound of one name is still the same, and none can be left out.

    Parameters
    ----------
    found : OrderBounds
    name : str
    end : {'least', 'most'}

    Returns
    -------
    LabelOrder
    """
    wanted = _bound(found, name, end)
    kept = found.order
    for names, which in ((reversed(kept.names), "at_most"), (kept.names, "at_least")):
        for one in names:
            if one in getattr(kept, which):
                kept = _if_same(kept, _without(kept, which, one), name, end, wanted)
    for s in found.order.sums:
        rest = [k for k, other in enumerate(kept.sums) if other is not s]
        if len(rest) < len(kept.sums):
            kept = _if_same(kept, kept.keeping(None, None, rest), name, end, wanted)
    return kept


def because(found: OrderBounds, name: str, end: str) -> str:
    """Why a bound is what it is, in a sentence.

    Parameters
    ----------
    found : OrderBounds
    name : str
    end : {'least', 'most'}

    Returns
    -------
    str
    """
    few, bound = sufficient(found, name, end), _bound(found, name, end)
    rules = [
        *(f"{n} holds at most {number_text(p)} %" for n, p in few.at_most.items()),
        *(f"{n} holds at least {number_text(p)} %" for n, p in few.at_least.items()),
        *(f"{len(s.names)} names together {_ends(s)}" for s in few.sums),
    ]
    if rules:
        return f"{' and '.join(rules)}, and the order does the rest"
    if not bound.exact:
        return "it only has to be there"
    if bound.rule == "line":
        return "it may stand under the 1 % line" if end == "most" else "it surely stands above the 1 % line"
    place = found.order.names.index(name) + 1
    if end == "most":
        before = "the name before it holds" if place == 2 else f"the {place - 1} names before it hold"
        return f"{before} at least as much, and all make 100" if place > 1 else "the others may be next to nothing"
    return "the names after it hold no more each, and all make 100"


def _ends(s: NameSum) -> str:
    least = [] if s.least is None else [f"at least {number_text(s.least)} %"]
    return " and ".join([*least, *([] if s.most is None else [f"at most {number_text(s.most)} %"])])


def _bound(found: OrderBounds, name: str, end: str) -> Bound:
    row = found.of(name)
    return row.least if end == "least" else row.most


def _without(order: LabelOrder, which: str, name: str) -> LabelOrder:
    names = [n for n in getattr(order, which) if n != name]
    every = range(len(order.sums))
    return order.keeping(names, None, every) if which == "at_most" else order.keeping(None, names, every)


def _if_same(kept: LabelOrder, fewer: LabelOrder, name: str, end: str, wanted: Bound) -> LabelOrder:
    bound = _bound(bounds_of(fewer), name, end)
    return fewer if (bound.exact, bound.reached) == (wanted.exact, wanted.reached) else kept
