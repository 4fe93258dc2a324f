"""How every order is charged at one count, by branch and bound over the modes alone."""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS, Restriction, candidates
from maker_kit.buying.basket.highs import PROVED, Program, solve
from maker_kit.buying.curve.catalogue import Array, price_counts
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier
from maker_kit.buying.curve.kit_counts import without_kits
from maker_kit.buying.curve.linear import Least, Linear
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.supplier_subsets import Multipliers
from maker_kit.buying.market import Market

NEAR = 0.0045
"""Part of the cost that its bound may lack; what lies nearer is left to the integer program."""

CENT, KG = 1e4, 1e4
"""The program counts in cents and kilograms, so that its numbers are of one size."""


class Node(NamedTuple):
    """Modes that are left: of every supplier their places, and one beyond the last for a closed one."""

    bound: float
    number: int
    left: tuple[tuple[int, ...], ...]
    rows: int
    found: Least


class ModeTree:
    def __init__(self, prices: Prices, market: Market) -> None:
        self.prices, self.book, self.market, cache = prices, prices.book, market, prices.cache
        self.needs, self.tariffs, self.kits = cache, self.book.tariffs, self.book.kits
        book, self.items, self.sellers = self.book, range(len(self.book.items)), range(len(self.book.tariffs))
        self.selling = [sorted({a.supplier for a in book.articles if item in a.content}) for item in self.items]
        self.sets = [
            [each for size in range(1, len(some) + 1) for each in itertools.combinations(some, size)]
            for some in self.selling
        ]
        self.by_goods = [s for s in self.sellers if self.tariffs[s].threshold_cents]
        self.by_weight = [s for s in self.sellers if any(m.most_dg < ENDLESS for m in self.tariffs[s].modes)]
        self.tried, self.turns = [], 0
        self.multipliers: dict[Multipliers, list[Array]] = {}
        self._columns()
        self._table(tuple(Multiplier() for _ in self.sellers))

    def _columns(self) -> None:
        """Lay out the columns: modes, sets of suppliers an item, goods and weight an item and supplier, kits, and parts
        of a need at the best prices."""
        cost: list[float] = []

        def column(each: float = 0.0) -> int:
            cost.append(each)
            return len(cost) - 1

        self.mode = [[column(mode.fee_micros / CENT) for mode in rates.modes] for rates in self.tariffs]
        self.used = [{each: column() for each in sets} for sets in self.sets]
        self.goods = [column(1.0) for _ in self.items]
        self.goods_at = [{s: column(1.0) for s in some if s in self.by_goods} for some in self.selling]
        self.weight = [{s: column() for s in some if s in self.by_weight} for some in self.selling]
        self.kit = [[column(kit.goods_cents(1) * 0.0 + step.price_cents * self.book.factors[kit.supplier] / CENT) for step in kit.steps] for kit in self.kits]
        self.part: list[list[tuple[int, int, float, float]]] = []
        for item in self.items:
            found = []
            for s in self.selling[item]:
                mine = [a for a in self.book.articles if a.supplier == s and set(a.content) == {item}]
                each = [(int(a.prices.min()) * self.book.factors[s] / CENT / a.content[item], a.weight_dg / a.content[item]) for a in mine]
                lightest = math.inf
                for price, heavy in sorted(each):
                    if heavy < lightest:
                        found.append((s, column(), price, heavy))
                        lightest = heavy
            self.part.append(found)
        self.cost = cost

    def _table(self, multipliers: Multipliers) -> None:
        """The least prices of every item from every set of suppliers, at all counts [cent]."""
        tables = []
        for item in self.items:
            rows = []
            for each in self.sets[item]:
                some = tuple(m if s in each else None for s, m in enumerate(multipliers))
                rows.append(self.prices.cache.with_parts(item, some).price(self.prices.rows[item]))
            tables.append(np.minimum(np.array(rows), NEVER) / SCALE / CENT)
        self.multipliers[multipliers] = tables

    def _program(self, at: int, need: dict[str, int], upper: float) -> Program:
        book, rows = self.book, []
        caps = candidates(self.market, need, {r.supplier.name: r for r in self.tariffs}, Restriction())
        heaviest = [0] * len(self.tariffs)
        for article in book.articles:
            heaviest[article.supplier] += caps.get(article.name, 0) * article.weight_dg
        high = [1.0] * len(self.cost)
        for item in self.items:
            for k in (self.goods[item], *self.goods_at[item].values()):
                high[k] = upper
            for s, k in self.weight[item].items():
                high[k] = heaviest[s] / KG
        for kit, columns in zip(self.kits, self.kit, strict=True):
            for k, step in zip(columns, kit.steps, strict=True):
                high[k] = min(step.high, caps.get(kit.name, 0))
        for s, modes in enumerate(self.mode):
            rows.append((dict.fromkeys(modes, 1.0), 0.0, 1.0))
        for s in self.by_goods:
            terms = {some[s]: CENT / book.factors[s] for some in self.goods_at if s in some}
            terms |= {k: price * need.get(book.items[item], 0) * CENT / book.factors[s] for item in self.items for seller, k, price, _ in self.part[item] if seller == s}
            terms |= {k: step.price_cents for kit, columns in zip(self.kits, self.kit, strict=True) if kit.supplier == s for k, step in zip(columns, kit.steps, strict=True)}
            rows.append((terms | {k: -mode.least_goods_cents for k, mode in zip(self.mode[s], self.tariffs[s].modes, strict=True)}, 0.0, math.inf))
        for s in self.by_weight:
            terms = {some[s]: 1.0 for some in self.weight if s in some}
            terms |= {k: heavy * need.get(book.items[item], 0) / KG for item in self.items for seller, k, _, heavy in self.part[item] if seller == s}
            terms |= {k: kit.weight_dg / KG for kit, columns in zip(self.kits, self.kit, strict=True) if kit.supplier == s for k in columns}
            rows.append((terms | {k: -min(mode.most_dg, heaviest[s]) / KG for k, mode in zip(self.mode[s], self.tariffs[s].modes, strict=True)}, -math.inf, 0.0))
        for item in self.items:
            units = need.get(book.items[item], 0)
            if not units:
                continue
            used = self.used[item]
            rows.append((dict.fromkeys(used.values(), 1.0), 1.0, 1.0))
            cover = {k: 1.0 for _, k, _, _ in self.part[item]}
            cover |= {k: kit.content[item] / units for kit, columns in zip(self.kits, self.kit, strict=True) if item in kit.content for k in columns}
            rows.append((cover, 1.0, math.inf))
            for s in self.selling[item]:
                mine = {k: -1.0 for each, k in used.items() if s in each}
                rows.append(({k: -value for k, value in mine.items()} | dict.fromkeys(self.mode[s], -1.0), -math.inf, 0.0))
                rows.append((mine | {k: 1.0 for seller, k, *_ in self.part[item] if seller == s}, -math.inf, 0.0))
        cost = list(self.cost)
        for item in self.items:
            for _, k, price, _ in self.part[item]:
                cost[k] = price * need.get(book.items[item], 0)
        return Program(cost, high, rows)

    def _tangents(self, at: int, multipliers: Multipliers, need) -> list:
        """Of every item: goods and weight at these prices are not below its cheapest cover from the suppliers used."""
        found = []
        for item in self.items:
            if not need.get(self.book.items[item]):
                continue
            terms = {self.goods[item]: 1.0}
            terms |= {k: multipliers[s].part / SCALE for s, k in self.goods_at[item].items()}
            terms |= {k: multipliers[s].per_dg * KG / CENT for s, k in self.weight[item].items() if multipliers[s].per_dg}
            units = need[self.book.items[item]]
            for s, k, price, heavy in self.part[item]:
                part = multipliers[s].part / SCALE if s in self.goods_at[item] else 1.0
                terms[k] = units * (price * part + heavy * multipliers[s].per_dg / CENT)
            for kit, columns, shares in zip(self.kits, self.kit, self.prices.cache.shares, strict=True):
                if item in kit.content:
                    for k, step in zip(columns, kit.steps, strict=True):
                        price = multipliers[kit.supplier].price(step.price_cents * self.book.factors[kit.supplier], kit.weight_dg)
                        terms[k] = price / SCALE / CENT * shares[item] / sum(shares.values())
            least = self.multipliers[multipliers][item][:, at]
            terms |= {k: -float(price) for k, price in zip(self.used[item].values(), least, strict=True)}
            found.append((terms, -1e-9 * float(least.min()), math.inf))
        return found

    def bound(self, at: int, need: Mapping[str, int], upper_micros: int, stopped: Callable[[], bool], best=None):
        upper = upper_micros / CENT
        program = self._program(at, need, upper)
        self.linear = linear = Linear(program)
        pool = list(self.multipliers)
        pool = [pool[0], *pool[1:][-3:]]
        for multipliers in pool:
            linear.add(self._tangents(at, multipliers, need))
        closed = set()
        out = {}
        for item in self.items:
            T = np.array([self.multipliers[m][item][:, at] for m in pool])
            live = []
            for k, (each, col) in enumerate(self.used[item].items()):
                if T[0, k] >= NEVER / SCALE / CENT or any(set(o) < set(each) and (T[:, j] <= T[:, k]).all() for o, j in live):
                    out[col] = 0.0
                else:
                    live.append((each, k))
        number, tries = itertools.count(), 0
        everything = tuple(tuple(range(len(modes) + 1)) for modes in self.mode)
        self.lps = 0

        def tried(left, floor=-math.inf, basis=None):
            highest = out | {k: float(place in some) for some, modes in zip(left, self.mode, strict=True) for place, k in enumerate(modes)}
            opened = {s: 0.0 if len(self.mode[s]) in some else 1.0 for s, some in enumerate(left)}
            found = linear.least(highest, opened, basis); self.lps += 1
            return None if found is None else Node(max(found.bound, floor), next(number), left, self.cuts, found)

        self.cuts = 0
        heap = [tried(everything)]
        counts = None
        while heap and heap[0].bound < (1 - NEAR) * upper and not stopped():
            node = heapq.heappop(heap)
            if node.rows < self.cuts:
                again = tried(node.left, node.bound)
                if again: heapq.heappush(heap, again)
                continue
            lack, fits = self._lack(node.found.values, linear)
            s = int(np.argmax([each if len(node.left[k]) > 1 else 0.0 for k, each in enumerate(lack)]))
            if lack[s] < 1e-6 * CENT or len(node.left[s]) == 1:
                if tries == 3: heapq.heappush(heap, node); break
                tries += 1
                again = tried(node.left, node.bound)
                modes = [min((p for p in some if p in node.left[k]), key=lambda p: self.tariffs[k].modes[p].fee_micros, default=len(self.mode[k])) for k, some in enumerate(fits)]
                got = self._basket(at, modes, again.found.values, upper_micros)
                multipliers = got and got[2]
                if got is not None and got[0] < upper_micros:
                    upper_micros, counts, _ = got; upper = upper_micros / CENT
                if multipliers is None or multipliers in pool:
                    heapq.heappush(heap, again); break
                pool.append(multipliers)
                if multipliers not in self.multipliers: self._table(multipliers)
                linear.add(self._tangents(at, multipliers, need)); self.cuts += 1
                heapq.heappush(heap, again)
                for item in self.items:  # revive
                    T = np.array([self.multipliers[m][item][:, at] for m in pool]); live=[]
                    for k, (each, col) in enumerate(self.used[item].items()):
                        if T[0, k] >= NEVER / SCALE / CENT or any(set(o) < set(each) and (T[:, j] <= T[:, k]).all() for o, j in live): out[col] = 0.0
                        else: out.pop(col, None); linear.high[col] = 1.0; live.append((each, k))
                allc = [c for u in self.used for c in u.values()]
                linear._solver.changeColsBounds(len(allc), np.array(allc, np.int32), np.zeros(len(allc)), linear.high[allc])
                continue
            inside = [place for place in node.left[s] if place in fits[s]]
            outside = [place for place in node.left[s] if place not in fits[s]]
            for part in (inside, outside):
                if not part: continue
                child = tried((*node.left[:s], tuple(part), *node.left[s + 1 :]), node.bound, node.found.basis)
                if child: heapq.heappush(heap, child)
        low = min(heap[0].bound if heap else math.inf, upper)
        return max(math.ceil(low * CENT * (1 - 1e-12)), 0), upper_micros, counts

    def _lack(self, values, linear):
        """How much more each supplier's cheapest mode that fits costs than the program pays; and the modes that fit."""
        lack, fits = [], []
        for s, modes in enumerate(self.mode):
            share = values[modes]
            if share.sum() < 1e-6:
                lack.append(0.0); fits.append([]); continue
            goods = self._sum(linear, len(self.tariffs) + self.by_goods.index(s), modes, values) if s in self.by_goods else 0.0
            weight = self._sum(linear, len(self.tariffs) + len(self.by_goods) + self.by_weight.index(s), modes, values) if s in self.by_weight else 0.0
            some = [place for place, mode in enumerate(self.tariffs[s].modes) if (s not in self.by_goods or mode.least_goods_cents <= goods + 1e-4) and (mode.most_dg >= ENDLESS or mode.most_dg / KG >= weight - 1e-7)]
            fits.append(some)
            lack.append(min((self.tariffs[s].modes[p].fee_micros for p in some), default=NEVER) / CENT - sum(self.tariffs[s].modes[p].fee_micros * v for p, v in enumerate(share)) / CENT)
        return lack, fits

    def _sum(self, linear, row, modes, values):
        mine = linear._cells[0] == row
        columns = linear._cells[1][mine].astype(int)
        keep = ~np.isin(columns, modes)
        return float(linear._cells[2][mine][keep] @ values[columns[keep]])

    def _multipliers(self, duals):
        first = len(self.tariffs)
        found = [[SCALE, 0] for _ in self.tariffs]
        for row, s in enumerate(self.by_goods, first):
            found[s][0] = min(max(round(SCALE * (1 - duals[row] * CENT / self.book.factors[s])), 1), SCALE)
        for row, s in enumerate(self.by_weight, first + len(self.by_goods)):
            found[s][1] = max(round(-duals[row] * CENT / KG), 0)
        return tuple(Multiplier(*each) for each in found)

    def _basket(self, at, modes, values, upper_micros):
        """Of the ways of a leaf: the cheapest basket of covers priced by the duals, and the prices they end at."""
        opened = [s for s, place in enumerate(modes) if place < len(self.mode[s])]
        state = without_kits(self.prices.cache, self.needs_).only(np.array([at]))
        for k, (kit, columns) in enumerate(zip(self.kits, self.kit, strict=True)):
            many = round(sum(values[columns])) if kit.supplier in opened else 0
            many = 0 if many < kit.fewest else min(many, kit.stock)
            state = state.with_kit(k, kit, np.array([0]), np.array([many]))
        state = self.prices.in_units(state)
        goods0 = {s: sum(int(kit.goods_cents(m)) for kit, m in zip(self.kits, state.kits[0], strict=True) if kit.supplier == s) for s in opened}
        weight0 = {s: sum(int(m) * kit.weight_dg for kit, m in zip(self.kits, state.kits[0], strict=True) if kit.supplier == s) for s in opened}
        groups = [[a.column for a in group] for group in self.prices.cache.groups[: len(self.items)]]
        covers: list[dict[tuple[int, ...], tuple]] = [{} for _ in groups]
        pure = []
        asked = [some for some in self.tried if all((some[s] is None) == (s not in opened) for s in self.sellers)][-2:]
        for part, per in ((SCALE, 0), (SCALE, 10), (SCALE, 100), (SCALE // 2, 10)):
            asked.append(tuple(Multiplier(part if s in self.by_goods else SCALE, per if s in self.by_weight else 0) if s in opened else None for s in self.sellers))
        asked = list(dict.fromkeys(asked))
        seen = set()
        for turn in range(6):
            for some in asked:
                seen.add(some)
                if self.prices.least(some, state)[0] >= NEVER:
                    continue
                counts = self.prices.trace(some, state)[0]
                pure.append(counts)
                for group, mine in zip(groups, covers, strict=True):
                    key = tuple(counts[group].tolist())
                    if key not in mine:
                        g, w, c = dict.fromkeys(opened, 0), dict.fromkeys(opened, 0), 0
                        for column, many in zip(group, key, strict=True):
                            if many:
                                a = self.book.articles[column]; each = int(a.goods_cents(np.array(many)))
                                g[a.supplier] += each; w[a.supplier] += many * a.weight_dg; c += each * self.book.factors[a.supplier]
                        mine[key] = (c / CENT, g, w)
            if not pure: return None
            cols = [(k, key, v) for k, mine in enumerate(covers) for key, v in mine.items()]
            cost = [v[0] for *_, v in cols]
            rows = [({q: 1.0 for q, (k, *_ ) in enumerate(cols) if k == item}, 1.0, 1.0) for item in range(len(groups))]
            which, slack = [], []
            for s in opened:
                mode = self.tariffs[s].modes[modes[s]]
                if mode.least_goods_cents:
                    slack.append((len(rows), 1.0, self.book.factors[s] / CENT)); which.append((s, 0))
                    rows.append(({q: v[1][s] for q, (*_, v) in enumerate(cols) if v[1][s]}, mode.least_goods_cents - goods0[s], math.inf))
                if mode.most_dg < ENDLESS:
                    slack.append((len(rows), -1.0, 1e3)); which.append((s, 1))
                    rows.append(({q: v[2][s] / KG for q, (*_, v) in enumerate(cols) if v[2][s]}, -math.inf, (mode.most_dg - weight0[s]) / KG))
            if not which: break
            some = [(dict(r), lo, hi) for r, lo, hi in rows]
            for q, (row, sign, price) in enumerate(slack, len(cost)): some[row][0][q] = sign
            lp = Linear(Program([*cost, *(p for *_, p in slack)], [1.0] * len(cost) + [1e7] * len(slack), some))
            found = lp.least({}, {})
            new = [[SCALE, 0] for _ in self.sellers]
            for (s, kind), d in zip(which, found.duals[len(groups):], strict=True):
                if kind: new[s][1] = max(round(-d * CENT / KG), 0)
                else: new[s][0] = min(max(round(SCALE * (1 - d * CENT / self.book.factors[s])), 1), SCALE)
            mult = tuple(Multiplier(*each) if s in opened else None for s, each in enumerate(new))
            if mult in seen: break
            asked = [mult]
            self.turns += 1
        if which:
            self.tried = [*self.tried[-20:], mult]
        got = solve(Program(cost, [1.0] * len(cost), rows, upper_micros / CENT, gap=5e-4), 0.3)
        if got.ended == PROVED:
            counts = pure[0].copy()
            for (k, key, _), v in zip(cols, got.values, strict=True):
                if v > 0.5: counts[groups[k]] = key
            pure.append(counts)
        pure = np.array(pure)
        price, taken = price_counts(self.book, pure)
        price = np.where(taken, price, NEVER)
        k = int(price.argmin())
        full = tuple(m or Multiplier() for m in mult) if which else None
        return int(price[k]), pure[k], full
