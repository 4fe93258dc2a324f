"""Random ordered labels: ordinary ones, and such whose least or most lies near 100, where faults hide."""

from __future__ import annotations

import random
from fractions import Fraction


def ordinary(draw: random.Random, most_names: int, law: str | None = None, *, sums: bool = False) -> dict:
    """A label with some caps, floors, colours and, if asked for, sums."""
    n = draw.randint(1, most_names)
    names = [f"N{i}" for i in range(n)]
    tail = draw.choice([0, 0, 0, 1, 2]) if n > 3 else 0
    case = {
        "names": names,
        "law": law or draw.choice(["us", "eu", "all"]),
        "colours_last": tail,
        "at_most": {},
        "at_least": {},
        "sums": [],
    }
    for i, name in enumerate(names):
        roll = draw.random()
        if roll < 0.2:
            case["at_most"][name] = _text(draw.choice([1, 0.5, 2, 5, draw.uniform(0.05, 140 / (i + 1))]))
        elif roll < 0.3:
            case["at_least"][name] = _text(draw.choice([1, 0.5, 0.9, draw.uniform(0.05, 60 / (i + 1))]))
    if sums:
        add_sums(draw, case)
    return case


def add_sums(draw: random.Random, case: dict, shares: dict[str, Fraction] | None = None) -> None:
    """One or two sums over some of its names; about what they share, where that is told."""
    names = case["names"]
    for _ in range(draw.randint(1, 2) if len(names) > 2 else 0):
        members = draw.sample(names, draw.randint(1, len(names) - 1))
        about = sum((shares or {}).get(n, 0) for n in members)
        low = draw.uniform(0, 40) if shares is None else max(float(about) + draw.choice([-1, 0, 0, 0.01, 1]), 0)
        width = draw.uniform(0, 60) if shares is None else draw.choice([0, 0.01, 1, 5])
        ends = {"least": _text(low), "most": _text(low + width)}
        gone = draw.choice([None, None, "least", "most"])
        case["sums"].append({"names": members} | {end: p for end, p in ends.items() if end != gone})


def near_sum(draw: random.Random, most_names: int, law: str | None = None, *, sums: bool = False) -> dict:
    """A label whose caps, floors or sums nearly make 100 at some place of the line."""
    case = ordinary(draw, most_names, law)
    names, m = case["names"], len(case["names"]) - case["colours_last"]
    k = draw.randint(0, m)
    weights = sorted((draw.uniform(0.2, 1) for _ in range(k)), reverse=True)
    left = Fraction(str(round(100 + draw.choice([-1, 1, 0, 0.5, -0.5]) - (m - k) * draw.choice([0.5, 1, 0.2]), 2)))
    shares = [Fraction(round(float(left) * w / sum(weights), 2)).limit_denominator(100) for w in weights]
    which = draw.choice(["at_most", "at_least", "both"])
    for i, share in enumerate(shares):
        if share > 0 and draw.random() < 0.8:
            case["at_most"].pop(names[i], None)
            case["at_least"].pop(names[i], None)
            if which in {"at_most", "both"}:
                case["at_most"][names[i]] = _text(float(min(share + draw.choice([0, 0, Fraction(1, 2)]), 100)))
            if which in {"at_least", "both"}:
                case["at_least"][names[i]] = _text(float(max(share - draw.choice([0, 0, Fraction(1, 2)]), 0)))
    for i in range(k, m):
        if draw.random() < 0.6:
            case["at_most"][names[i]] = draw.choice(["0.5", "1", "0.2"])
            case["at_least"].pop(names[i], None)
    if sums:
        add_sums(draw, case, dict(zip(names, shares, strict=False)))
    return case


def _text(value: float) -> str:
    return str(round(min(value, 100), 2))
