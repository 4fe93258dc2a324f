"""What a jug, a kit or a cupboard fills: full containers, what runs out first and next, what one more pack gives."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.batch import LABEL, MOST_CONTAINERS, as_bought, containers_in, counted, exact_fill_mass, filled
from maker_kit.formula.changes.shortage import not_taken
from maker_kit.formula.recipe import Recipe
from maker_kit.frames import frame_of
from maker_kit.names import look_up, near_miss
from maker_kit.numbers import exact_number, number_text
from maker_kit.units import stated_amount


@dataclass(frozen=True)
class PackOnSale:
    """One pack that could be bought more of.

    Attributes
    ----------
    name, item : str
        Its own, and that of the ingredient, container or label in it.
    amount : float
        Content [g, or pieces].
    price : str
        As shown; empty where none is known.
    """

    name: str
    item: str
    amount: float | Fraction
    price: str = ""


@dataclass(frozen=True)
class InHandRow:
    """One thing that a recipe takes, beside what there is of it.

    Attributes
    ----------
    item : str
        Ingredient as bought, container or label.
    unit : {'g', 'pieces'}
    each : float
        What one container takes, loss included and film left out [g or pieces].
    have : float or None
        What there is [g or pieces]; None where it is not named: got ready separately.
    fills, unrounded : int, float or None
        Full containers that this alone would fill, and before rounding down.
    left : float or None
        What stays over after the containers that all of it together fill [g or pieces].
    """

    item: str
    unit: str
    each: float
    have: float | None
    fills: int | None
    unrounded: float | None
    left: float | None


@dataclass(frozen=True)
class OneMorePack:
    """What one more pack would give.

    Attributes
    ----------
    pack, item, price : str
    amount : float
        Its content [g or pieces].
    containers, more : int
        Full containers with it, and by how many that is more.
    runs_out_next : str
        What runs out first then.
    """

    pack: str
    item: str
    price: str
    amount: float
    containers: int
    more: int
    runs_out_next: str


@dataclass(frozen=True)
class InHand:
    """What there is, in full containers.

    Attributes
    ----------
    title : str
    rows : tuple of InHandRow
        In the order of the recipe, then container and label.
    containers, unrounded : int, float
        Full containers, rounded down, and before rounding.
    runs_out_first : str
        What sets it.
    next_containers, runs_out_next : int or None, str
        Full containers if that were no bound, and what would set it then; None and empty where nothing else is named.
    more_packs : tuple of OneMorePack
        One for each pack on sale of what runs out first, also where it gives no more.
    findings : tuple of Finding
    """

    title: str
    rows: tuple[InHandRow, ...]
    containers: int
    unrounded: float
    runs_out_first: str
    next_containers: int | None
    runs_out_next: str
    more_packs: tuple[OneMorePack, ...]
    findings: tuple[Finding, ...]

    @property
    def not_included(self) -> tuple[str, ...]:
        """What the recipe takes and nobody named among what there is."""
        return tuple(row.item for row in self.rows if row.have is None)

    def row(self, item: str) -> InHandRow:
        """The row of one ingredient, container or label. Raises UnknownNameError if the recipe does not take it."""
        return look_up(item, {row.item: row for row in self.rows}, f'{self.title} takes no "{item}"')

    def note(self, row: InHandRow) -> str:
        """What to know of a row, in a few words."""
        if row.have is None:
            return "have it ready"
        return {self.runs_out_next: "runs out next", self.runs_out_first: "runs out first"}.get(row.item, "")

    def to_frame(self) -> pd.DataFrame:
        """One row a thing: unit, for one container, have, full containers, before rounding, left over, note."""
        columns = {"what": "item", "unit": "unit", "for one": "each", "have": "have", "full containers": "fills"}
        columns |= {"before rounding": "unrounded", "left": "left", "note": self.note}
        return frame_of(self.rows, columns, ["have", "before rounding", "left"], ["full containers"])

    @property
    def packs_that_help(self) -> tuple[OneMorePack, ...]:
        """Those of `more_packs` with which at least one container more is filled."""
        return tuple(p for p in self.more_packs if p.more > 0)

    def packs_to_frame(self) -> pd.DataFrame:
        """What one more pack would give, for those that help: content, price, full containers, more, runs out next."""
        columns = {"one more pack": "pack", "content": "amount", "price": "price", "full containers": "containers"}
        return frame_of(self.packs_that_help, {**columns, "more": "more", "runs out next": "runs_out_next"})


def split_stock(
    recipe: Recipe, have: Mapping[str, float | Fraction | str]
) -> tuple[dict[str, Fraction], dict[str, Fraction]]:
    """What there is, apart and exactly: ingredients [g], and the recipe's container and labels [pieces].

    Parameters
    ----------
    recipe : Recipe
    have : Mapping of str to float, Fraction or str
        As `stated_amount` takes it; a volume takes the ingredient's density.

    Raises
    ------
    QuantityError
        If an amount is none, negative, a volume without a density, or pieces where grams are due or the other way
        round.
    """
    grams, pieces = {}, {}
    for item, amount in have.items():
        whole = item in {recipe.container, LABEL}
        stated, thing = stated_amount(amount, item, pieces=whole), recipe.ingredients.get(item)
        if whole:
            pieces[item] = stated.exact
        else:
            grams[item] = stated.exact_grams(thing.density_g_per_ml if thing else None)
    return grams, pieces


def what_i_have(recipe: Recipe, have: Mapping[str, float | Fraction | str], packs: Iterable[PackOnSale] = ()) -> InHand:
    """How many containers what there is fills, what runs out first, and what one more pack of it would give.

    The largest whole ``n`` with ``(n · V · ρ · (1 + loss / 100) + film) · percent / 100 ≤ have`` for every
    ingredient named, and ``n ≤`` the containers and labels named; exact.

    Parameters
    ----------
    recipe : Recipe
    have : Mapping of str to float, Fraction or str
        As in `split_stock`, with labels as ``Label``. What is not named is got ready separately and bounds nothing.
    packs : iterable of PackOnSale
        What could be bought more of.

    Raises
    ------
    QuantityError
        If an amount is none, or nothing that the recipe takes is named.
    RecipeError
        As `as_bought` does.
    """
    grams, pieces = split_stock(recipe, have)
    shares = as_bought(recipe, frozenset(grams))
    stock = {item: amount for item, amount in {**grams, **pieces}.items() if item in shares or item in pieces}
    if not stock:
        msg = f"nothing that {recipe.title} takes is named; it takes {', '.join([*shares, recipe.container])}"
        msg += "".join(f'; "{n}": {near_miss(n, shares)}' for n in list(have)[:1])
        raise QuantityError(msg)

    def reach_of(item: str, amount: Fraction) -> Fraction:
        """Containers that so much of one thing reaches for, before rounding down."""
        if item in shares:
            return containers_in(recipe, amount * 100 / shares[item])
        return min(amount, Fraction(MOST_CONTAINERS))

    reach = {item: reach_of(item, amount) for item, amount in stock.items()}
    first = min(reach, key=lambda item: reach[item])
    count = math.floor(reach[first])
    after = min((item for item in reach if item != first), key=lambda item: reach[item], default="")
    rows = [
        _row(recipe, item, shares.get(item), stock.get(item), reach.get(item), count)
        for item in [*shares, recipe.container, *([LABEL] if LABEL in pieces else [])]
    ]
    more = []
    for pack in (p for p in packs if p.item == first):
        content = exact_number(pack.amount, f"the content of {pack.name}")
        trial = {**reach, first: reach_of(first, stock[first] + content)}
        then = min(trial, key=lambda item: trial[item])
        full = math.floor(trial[then])
        more.append(OneMorePack(pack.name, first, pack.price, float(content), full, full - count, then))
    unused = [n for n in grams if n not in shares]
    return InHand(
        recipe.title,
        tuple(rows),
        count,
        float(reach[first]),
        first,
        math.floor(reach[after]) if after else None,
        after,
        tuple(more),
        _findings(recipe, rows, reach, first, after, more, unused),
    )


def no_help(first: str, packs: Iterable[OneMorePack]) -> str:
    """That one more pack of what runs out first fills no container more by itself, and what else is in the way."""
    following = [name for name in dict.fromkeys(p.runs_out_next for p in packs) if name != first]
    why = f"{' and '.join(following)} would run out then, so buy that too"
    why = why if following else "no pack on sale holds enough for another container"
    return f"one more pack of {first} alone fills no container more: {why}"


def _row(
    recipe: Recipe, item: str, share: Fraction | None, have: Fraction | None, reach: Fraction | None, count: int
) -> InHandRow:
    each, film = Fraction(1), Fraction(0)
    if share is not None:
        each = exact_fill_mass(recipe) * (1 + exact_number(recipe.loss_percent, "the loss in %") / 100) * share / 100
        film = exact_number(recipe.film_g, "the film in g") * share / 100 if count else film
    left = None if have is None else have - each * count - film
    amount, whole, left = (None if n is None else float(n) for n in (have, reach, left))
    fills = None if reach is None else math.floor(reach)
    return InHandRow(item, "pieces" if share is None else "g", float(each), amount, fills, whole, left)


def _findings(
    recipe: Recipe,
    rows: list[InHandRow],
    reach: Mapping[str, Fraction],
    first: str,
    after: str,
    more: list[OneMorePack],
    unused: list[str],
) -> tuple[Finding, ...]:
    count = math.floor(reach[first])
    second = math.floor(reach.get(after, 0))
    then = f", then {after} at {counted(second) if second else 'not even one'}" if after else ""
    text = (
        f"What is there fills {counted(count) if count else filled(0)} of {recipe.title} ({number_text(reach[first])} "
        f"before rounding down); {first} runs out first{then}."
    )
    steps = [
        f"one more {p.pack}{p.price and f' ({p.price})'} makes it {p.containers}, then {p.runs_out_next} runs out"
        for p in more
        if p.more > 0
    ] or [no_help(first, more)] * bool(more)
    say = know if count else look
    found = [say("kit.reach", first, text, next_step="; ".join(steps), source="proportion: have / need")]
    missing = [r.item for r in rows if r.have is None]
    if missing:
        text = f"Not named among what is there, so it bounds nothing: {', '.join(missing)}."
        found.append(know("kit.not_included", missing, text, subject="not named", next_step="have it ready"))
    return (*found, *not_taken(unused, missing, '"{}" is there, and the recipe does not take it.'))
