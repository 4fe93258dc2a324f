"""Whole cost curves, exact and live: tables of covers that are kept between slider moves, and a certified band where a count is not proved yet.

The problem is the internet shopping problem (Błażewicz et al., Int. J. Appl. Math. Comput. Sci. 20 (2010) 385–390). With the way every order is charged fixed, its items come apart but for
"subtotal of at least" and "weight of at most"; those two rows get Lagrange multipliers for a lower bound (Fisher, Management Science 27 (1981) 1–18), and what the bound leaves open is searched by label setting.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from maker_kit.buying.basket.basket import Basket, cheapest_basket, checked_need, with_need
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.basket.ties import settle_ties
from maker_kit.buying.curve.catalogue import catalogue
from maker_kit.buying.curve.covers import NEVER
from maker_kit.buying.curve.search import Search, until
from maker_kit.buying.curve.supplier_subsets import MOST_SUPPLIERS
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.market import MICROS_PER_CENT, Market
from maker_kit.buying.market_check import check_market
from maker_kit.buying.pricing import bought_units, price_basket
from maker_kit.errors import QuantityError

if TYPE_CHECKING:
    import pandas as pd

HEADROOM = Fraction(3, 2)
"""How much larger than the first need the tables are made, so that a moved slider finds them ready."""

KEPT_TABLES = 2
"""Sets of items (recipes) whose tables are kept."""

NOT_YET = "not proved yet"


@dataclass(frozen=True)
class CurveBand:
    """What is known of the least cost of every count of batches from 1 on.

    Attributes
    ----------
    market : Market
    needs : tuple of Mapping of str to int
        Base units of every item, a count each; items that are not needed left out.
    lower_micros : tuple of int
        What no basket costs less than [0.0001 cent].
    upper_micros : tuple of (int or None)
        Cost of the best basket known [0.0001 cent]; None where none is known.
    status : tuple of str
        ``proved`` where both are equal, ``impossible`` where no basket covers the need, else ``not proved``.
    why : tuple of str
        A sentence where it is not ``proved``; else empty.
    baskets : tuple of (Mapping of str to int, or None)
        Pack name to count of the best basket known.
    """

    market: Market
    needs: tuple[Mapping[str, int], ...]
    lower_micros: tuple[int, ...]
    upper_micros: tuple[int | None, ...]
    status: tuple[str, ...]
    why: tuple[str, ...]
    baskets: tuple[Mapping[str, int] | None, ...]

    @property
    def counts(self) -> tuple[int, ...]:
        """Counts of batches, 1 to N."""
        return tuple(range(1, len(self.status) + 1))

    @property
    def open_counts(self) -> tuple[int, ...]:
        """Counts whose lower and upper cost differ."""
        return tuple(n for n, state in zip(self.counts, self.status, strict=True) if state == "not proved")

    def basket(self, count: int) -> Basket | None:
        """The best basket known of one count, priced again in whole numbers.

        Raises
        ------
        QuantityError
            If the curve does not reach the count.
        NotProvedError
            If the price or the cover differs from what the curve says.
        """
        if not 1 <= count <= len(self.status):
            msg = f"a count of {count}: the curve holds 1 to {len(self.status)}"
            raise QuantityError(msg)
        counts, need = self.baskets[count - 1], self.needs[count - 1]
        if counts is None:
            return None
        priced = price_basket(self.market, counts)
        bought = bought_units(self.market, priced.counts)
        if priced.cost_micros != self.upper_micros[count - 1] or any(
            bought.get(item, 0) < units for item, units in need.items()
        ):
            msg = f"The shopping list for {count} batches could not be proved: its price in the curve and the exact sum differ."
            raise NotProvedError(msg)
        return with_need(self.market, priced, need)

    def settled_basket(self, count: int, *, time_limit_s: float = 10.0) -> Basket | None:
        """The first of all cheapest baskets of one proved count, in the fixed order of `maker_kit.buying.basket.ties`; the one to show.

        Raises
        ------
        NotProvedError
            If the count, or the order of its cheapest baskets, is not proved in time.
        """
        basket = self.basket(count)
        if basket is None or not basket.counts:
            return basket
        if self.status[count - 1] != "proved":
            msg = f"The cheapest shopping list for {count} batches is not proved yet."
            raise NotProvedError(msg)
        counts = settle_ties(
            self.market, basket.need, Restriction(), basket.counts, basket.cost_micros, time.monotonic() + time_limit_s
        )
        return with_need(self.market, price_basket(self.market, counts), basket.need)

    def to_frame(self) -> pd.DataFrame:
        """The band as a table: batches, lower_cost, upper_cost [currency], proved."""
        import pandas as pd

        return pd.DataFrame(
            {
                "batches": self.counts,
                "lower_cost": [
                    x / (100 * MICROS_PER_CENT) if state != "impossible" else None
                    for x, state in zip(self.lower_micros, self.status, strict=True)
                ],
                "upper_cost": [x if x is None else x / (100 * MICROS_PER_CENT) for x in self.upper_micros],
                "proved": [state == "proved" for state in self.status],
            }
        )


def needs_of(per_batch: Mapping[str, Fraction], upto: int) -> dict[str, np.ndarray]:
    """``ceil(n · per batch)`` of every item for n = 1 … `upto`, exactly; items that are never needed left out.

    Raises
    ------
    QuantityError
        If an amount is below 0.
    BasketError
        If a need is too large to be worked out.
    """
    found = {}
    steps = np.arange(1, upto + 1, dtype=np.int64)
    for item, amount in per_batch.items():
        exact = Fraction(amount)
        if checked_need({item: -(-exact * upto // 1)}):
            if exact.numerator * upto < 2**62 and exact.denominator < 2**62:
                found[item] = -(-exact.numerator * steps // exact.denominator)
            else:
                found[item] = np.array(
                    [-(-exact.numerator * n // exact.denominator) for n in range(1, upto + 1)], dtype=np.int64
                )
    return found


class CurveSolver:
    """Curves of one market, with the tables kept between them.

    Parameters
    ----------
    market : Market

    Raises
    ------
    BasketError
        If the market has a fault.
    """

    def __init__(self, market: Market) -> None:
        check_market(market)
        self.market = market
        self._tables_kept: dict[tuple[str, ...], TableCache] = {}
        self._lock = threading.Lock()  # two curves of one solver may be worked out at a time

    def curve(
        self,
        per_batch: Mapping[str, Fraction],
        upto: int,
        *,
        seconds: float | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> CurveBand:
        """The band of every count of batches from 1 to `upto`: exact where the search closed, certified from both sides elsewhere.

        There is no chance in the search: without a time limit the same tables and needs give the same baskets. Of baskets at one cost that it meets it keeps the one from fewer suppliers, then of fewer packs; the
        whole order of `maker_kit.buying.basket.ties` is settled by `CurveBand.settled_basket`.

        Parameters
        ----------
        per_batch : Mapping of str to Fraction
            What one batch takes of every item [0.1 g or pieces], exactly.
        upto : int
        seconds : float, optional
            Stop about then with what is known.
        cancelled : callable, optional
            Asked between steps; once true, stops with what is known.

        Returns
        -------
        CurveBand
        """
        stopped = until(None if seconds is None else time.monotonic() + seconds, cancelled)
        needs = needs_of(per_batch, upto)
        rows = _rows(needs, upto)
        if not needs:
            return CurveBand(
                self.market, rows, (0,) * upto, (0,) * upto, ("proved",) * upto, ("",) * upto, ({},) * upto
            )
        tables_kept = self._tables_for(needs)
        if tables_kept is None:
            return CurveBand(
                self.market,
                rows,
                (0,) * upto,
                (None,) * upto,
                ("not proved",) * upto,
                (NOT_YET,) * upto,
                (None,) * upto,
            )
        search = Search(tables_kept, [needs[item] for item in tables_kept.book.items], stopped)
        search.run()
        return self._band(search, rows)

    def close(
        self,
        band: CurveBand,
        *,
        first: Sequence[int] = (),
        progress: Callable[[CurveBand], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
        time_limit_s: float = 60.0,
    ) -> CurveBand:
        """The band with its open counts proved by the integer program, the asked ones first.

        Parameters
        ----------
        band : CurveBand
        first : sequence of int
            Counts to prove before all others.
        progress : callable, optional
            Gets the band after every count.
        cancelled : callable, optional
            Asked before every count.
        time_limit_s : float
            For one count [s].

        Returns
        -------
        CurveBand
            A count stays ``not proved`` where the time was up or the search was called off.
        """
        tried: set[int] = set()
        while not (cancelled and cancelled()):
            count = _next_count([n for n in band.open_counts if n not in tried], first, band)
            if count is None:
                break
            tried.add(count)
            band = _with_point(band, count, time_limit_s)
            if progress:
                progress(band)
        return band

    def _tables_for(self, needs: Mapping[str, np.ndarray]) -> TableCache | None:
        """The tables of these items, made anew where the needs have outgrown them; None where they would be too large."""
        items = tuple(sorted(needs))
        most = [int(needs[item][-1]) for item in items]
        with self._lock:
            found = self._tables_kept.pop(items, None)
            if found is None or any(m > have for m, have in zip(most, found.most, strict=False)):
                book = catalogue(self.market, items)
                if len(book.tariffs) > MOST_SUPPLIERS:
                    return None
                found = TableCache(book, [int(m * HEADROOM) + 1 for m in most])
                if not found.fits:
                    return None
            self._tables_kept[items] = found
            while len(self._tables_kept) > KEPT_TABLES:
                self._tables_kept.pop(next(iter(self._tables_kept)))
            return found

    def _band(self, search: Search, rows: tuple[Mapping[str, int], ...]) -> CurveBand:
        names = [article.name for article in search.book.articles]
        baskets: list[Mapping[str, int] | None] = []
        for n in range(search.size):
            at = np.flatnonzero(search.known.counts[n])
            baskets.append(
                {names[k]: int(search.known.counts[n, k]) for k in at} if search.known.upper[n] < NEVER else None
            )
        upper = tuple(u if u < NEVER else None for u in search.known.upper.tolist())
        lower = tuple(search.lower.tolist())
        status = tuple(
            "impossible" if u is None and x >= NEVER else "proved" if u == x else "not proved"
            for x, u in zip(lower, upper, strict=True)
        )
        band = CurveBand(
            self.market,
            rows,
            lower,
            upper,
            status,
            tuple("" if state == "proved" else NOT_YET for state in status),
            tuple(baskets),
        )
        return _from_impossible(band, status.index("impossible")) if "impossible" in status else band


def _rows(needs: Mapping[str, np.ndarray], upto: int) -> tuple[Mapping[str, int], ...]:
    columns = {item: need.tolist() for item, need in needs.items()}
    return tuple({item: values[n] for item, values in columns.items() if values[n]} for n in range(upto))


def _next_count(left: Sequence[int], first: Sequence[int], band: CurveBand) -> int | None:
    """The count to prove next: an asked one; or the middle of those of which no basket is known, to find soon from where on there is none; or the first."""
    asked = [n for n in first if n in left]
    if asked or not left:
        return asked[0] if asked else None
    unknown = [n for n in left if band.upper_micros[n - 1] is None]
    return unknown[len(unknown) // 2] if unknown else left[0]


def _with_point(band: CurveBand, count: int, time_limit_s: float) -> CurveBand:
    """The band after one count was solved by itself, with what that tells of the others."""
    need = band.needs[count - 1]
    try:
        basket = cheapest_basket(band.market, need, tie_break=False, time_limit_s=time_limit_s)
    except ImpossibleNeedError:
        return _from_impossible(band, count - 1)
    except NotProvedError as error:
        return replace(band, why=(*band.why[: count - 1], str(error), *band.why[count:]))
    lower, upper, baskets = list(band.lower_micros), list(band.upper_micros), list(band.baskets)
    cost = basket.cost_micros
    for k in range(len(lower)):
        known = upper[k]
        if k <= count - 1 and band.status[k] == "not proved" and (known is None or known > cost):
            upper[k], baskets[k] = cost, dict(basket.counts)
        if k >= count - 1 and band.status[k] == "not proved":
            lower[k] = max(lower[k], cost)
    status = tuple(
        "proved" if state == "not proved" and a == b else state
        for state, a, b in zip(band.status, lower, upper, strict=True)
    )
    why = tuple("" if state == "proved" else words for state, words in zip(status, band.why, strict=True))
    return replace(
        band, lower_micros=tuple(lower), upper_micros=tuple(upper), status=status, why=why, baskets=tuple(baskets)
    )


def _from_impossible(band: CurveBand, start: int) -> CurveBand:
    """The band where no basket covers the need of one count, and so of no larger one; the sentence is that of the first."""
    try:
        cheapest_basket(band.market, band.needs[start], tie_break=False)
    except (ImpossibleNeedError, NotProvedError) as error:
        words = str(error)
    else:
        msg = f"The curve and the integer program differ about {start + 1} batches."
        raise NotProvedError(msg)
    size = len(band.status)
    return replace(
        band,
        status=(*band.status[:start], *("impossible",) * (size - start)),
        why=(*band.why[:start], *(words,) * (size - start)),
        upper_micros=(*band.upper_micros[:start], *(None,) * (size - start)),
        baskets=(*band.baskets[:start], *(None,) * (size - start)),
    )
