"""The closed form: caps run down the list, floors run up, the places of the 1 % line that fit are one run, and every
bound comes from one place.

U_j = min(c_1…c_j), L_j = max(ℓ, f_j…f_m). For the line after name k: least(k) = ΣL_1…L_k + Σf of the rest,
most(k) = ΣU_1…U_k + Σmin(c, u) of the rest + Σc of the colours; both only grow with k, so the places that fit run
from the first with most(k) ≥ 100 to the last with least(k) ≤ 100.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

from maker_kit.label.order.figures import Figures

CAP, FLOOR, LINE, SUM = "cap", "floor", "line", "sum"
"""What makes a bound: a most (its own or of an earlier name), a least (its own or of a later name), the 1 % line, or
that all make 100."""


@dataclass(frozen=True)
class Misfit:
    """That nothing fits, and on which side: which rules can be at fault.

    Attributes
    ----------
    fault : {'own', 'order', 'least', 'most', 'both', 'sums'}
    """

    fault: str


@dataclass(frozen=True)
class End:
    """One end of a name's range: ``units / parts`` and what makes it.

    Attributes
    ----------
    units, parts : int
    rule : str
        `CAP`, `FLOOR`, `LINE` or `SUM`.
    place : int
        Place of the name whose cap or floor it is; how many share what is left, for a sum.
    """

    units: int
    parts: int
    rule: str
    place: int


@dataclass(frozen=True)
class Chain:
    """A list whose caps and floors are run down and up. Made by `propagate`.

    Attributes
    ----------
    figures : Figures
    upper, lower : tuple of int
        U and L of the names before the colours.
    upper_from, lower_from : tuple of int
        Place of the name whose cap or floor it is; -1 for the line.
    upper_sum, lower_sum : tuple of int
        Their running sums, from 0 names on.
    least, most : tuple of int
        Least and most of the whole list for each place of the line, from 0 to all.
    first, last : int
        The run of places that fit.
    """

    figures: Figures
    upper: tuple[int, ...]
    lower: tuple[int, ...]
    upper_from: tuple[int, ...]
    lower_from: tuple[int, ...]
    upper_sum: tuple[int, ...]
    lower_sum: tuple[int, ...]
    least: tuple[int, ...]
    most: tuple[int, ...]
    first: int
    last: int

    def under_cap(self, i: int) -> int:
        """Most of a name under the line, or of a colour."""
        cap = self.figures.caps[i]
        return cap if i >= self.figures.chain else min(cap, self.figures.under)


def propagate(
    figures: Figures,
    low: dict[int, int] | None = None,
    high: dict[int, int] | None = None,
    until: int | None = None,
) -> Chain | Misfit:
    """Run caps down and floors up, and find the places of the line that fit.

    Parameters
    ----------
    figures : Figures
    low, high : dict of int to int, optional
        Amounts of the names that sums bound together, by place: what to count for each in least and most of the list,
        in place of its own floor and cap. Such names are under the line at every place.
    until : int, optional
        Last place of the line that is looked at; from there on the names that sums bind could be above it.

    Returns
    -------
    Chain or Misfit
    """
    f, c, m, n = figures.floors, figures.caps, figures.chain, len(figures.caps)
    if any(f[i] > c[i] for i in range(n)):
        return Misfit("own")
    upper, upper_from = _down(c[:m])
    lower, lower_from = _up(f[:m], figures.above)
    if figures.descending:
        first, last = m, m
    else:
        first = max((j + 1 for j in range(m) if f[j] > figures.under), default=0)
        last = next((j for j in range(m) if upper[j] < figures.above), m)
    last = last if until is None else min(last, until)
    if any(lower[j] > upper[j] for j in range(first)):
        return Misfit("order")
    tail_low = [(low or {}).get(i, f[i]) for i in range(n)]
    tail_high = [(high or {}).get(i, c[i] if i >= m else min(c[i], figures.under)) for i in range(n)]
    lower_sum, upper_sum = (0, *accumulate(lower)), (0, *accumulate(upper))
    least, most = _whole(lower_sum, tail_low, m), _whole(upper_sum, tail_high, m)
    fits_least = [k for k in range(first, last + 1) if least[k] <= figures.total]
    fits_most = [k for k in range(first, last + 1) if most[k] >= figures.total]
    if not fits_least:
        return Misfit("least")
    if not fits_most:
        return Misfit("most")
    if fits_most[0] > fits_least[-1]:  # by strictness or sums alone: no place is both
        return Misfit("both")
    return Chain(
        figures,
        tuple(upper),
        tuple(lower),
        tuple(upper_from),
        tuple(lower_from),
        lower_sum=lower_sum,
        upper_sum=upper_sum,
        least=least,
        most=most,
        first=fits_most[0],
        last=fits_least[-1],
    )


def _down(caps: tuple[int, ...]) -> tuple[list[int], list[int]]:
    upper: list[int] = []
    source: list[int] = []
    for i, cap in enumerate(caps):
        tighter = not upper or cap < upper[-1]
        upper.append(cap if tighter else upper[-1])
        source.append(i if tighter else source[-1])
    return upper, source


def _up(floors: tuple[int, ...], line: int) -> tuple[list[int], list[int]]:
    lower: list[int] = []
    source: list[int] = []
    for i in reversed(range(len(floors))):
        before, where = (lower[-1], source[-1]) if lower else (line, -1)
        lower.append(max(before, floors[i]))
        source.append(i if floors[i] > before else where)
    return lower[::-1], source[::-1]


def _whole(running: tuple[int, ...], tail: list[int], m: int) -> tuple[int, ...]:
    rest = [0, *accumulate(reversed(tail))][::-1]
    return tuple(running[k] + rest[k] for k in range(m + 1))


def ends(chain: Chain) -> tuple[list[End], list[End]]:
    """Least and most of every name over all places that fit, in O(n).

    Parameters
    ----------
    chain : Chain

    Returns
    -------
    (list of End, list of End)
        Least and most, in the label's order.
    """
    n, m, ka, kb = len(chain.figures.caps), chain.figures.chain, chain.first, chain.last
    least: list[End] = []
    most: list[End] = []
    p = q = 0
    for i in range(n):
        if i < kb:
            p = _kept(chain, i + 1, max(i + 1, ka), p)
            most.append(_filled_up(chain, i, max(i + 1, ka), p))
        else:
            most.append(_under_most(chain, i, ka))
        if i < ka:
            q = _lowered(chain, i, kb, max(q, i + 1))
            least.append(_filled_down(chain, i, kb, q))
        else:
            least.append(_under_least(chain, i, kb if i >= m else min(i, kb)))
    return least, most


def ends_at(chain: Chain, k: int) -> tuple[list[End], list[End]]:
    """Least and most of every name for one place of the line alone, as `ends` gives them for all."""
    least, most = [], []
    p = q = 0
    for i in range(len(chain.figures.caps)):
        if i < k:
            p, q = _kept(chain, i + 1, k, p), _lowered(chain, i, k, max(q, i + 1))
            most.append(_filled_up(chain, i, k, p))
            least.append(_filled_down(chain, i, k, q))
        else:
            most.append(_under_most(chain, i, k))
            least.append(_under_least(chain, i, k))
    return least, most


def _kept(chain: Chain, count: int, k: int, p: int) -> int:
    """How many of the first names keep their floors while the rest of the first `count` are filled to one level."""
    low, running = chain.lower, chain.lower_sum
    rest = chain.least[k] - running[count]
    while p < count - 1 and rest + running[p] + (count - p) * low[p] > chain.figures.total:
        p += 1
    return p


def _filled_up(chain: Chain, i: int, k: int, p: int) -> End:
    left = chain.figures.total - (chain.least[k] - chain.lower_sum[i + 1]) - chain.lower_sum[p]
    parts = i + 1 - p
    if chain.upper[i] * parts <= left:
        return End(chain.upper[i], 1, CAP, chain.upper_from[i])
    return End(left, parts, SUM, parts)


def _lowered(chain: Chain, i: int, k: int, q: int) -> int:
    """Up to which place the names from i on are lowered to one level, so that all still make 100."""
    up, running = chain.upper, chain.upper_sum
    while q < k and running[i] + chain.most[k] - running[q + 1] + (q + 1 - i) * up[q] >= chain.figures.total:
        q += 1
    return q


def _filled_down(chain: Chain, i: int, k: int, q: int) -> End:
    left = chain.figures.total - chain.upper_sum[i] - chain.most[k] + chain.upper_sum[q]
    parts = q - i
    if left <= chain.lower[i] * parts:
        source = chain.lower_from[i]
        return End(chain.lower[i], 1, LINE if source < 0 else FLOOR, source)
    return End(left, parts, SUM, parts)


def _under_most(chain: Chain, i: int, k: int) -> End:
    cap, left = chain.under_cap(i), chain.figures.floors[i] + chain.figures.total - chain.least[k]
    return End(left, 1, SUM, 1) if left < cap else at_most_under(chain, i)


def at_most_under(chain: Chain, i: int) -> End:
    """The most of a name under the line, or of a colour, as far as its own cap and the line go."""
    own = i >= chain.figures.chain or chain.figures.caps[i] <= chain.figures.under
    return End(chain.under_cap(i), 1, CAP if own else LINE, i if own else -1)


def _under_least(chain: Chain, i: int, k: int) -> End:
    floor, left = chain.figures.floors[i], chain.under_cap(i) + chain.figures.total - chain.most[k]
    return End(left, 1, SUM, 1) if left > floor else End(floor, 1, FLOOR, i)
