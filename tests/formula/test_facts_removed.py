"""A fact that is taken away never takes a stop away: every kind of fact a recipe tells, one by one.

Outside the property, by what they are, and never silent (each is asserted to leave a look at least):

- the name of the barred substance itself: nothing else says that it is there, so the recipe is then one that holds
  something which nobody named;
- a reading of pH: what burns by its reading alone is unknown without it;
- a certificate, a supplier's own most: they are the limit itself, and nobody else sets it;
- too little of a preservative: undisclosed in what is bought to preserve, it may be enough, and whether it is, is
  unknown;
- what only preserves (Annex V), undisclosed in something that is not bought to preserve: raw materials are kept like
  cosmetics (common practice, no source), or every plant extract would stop.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest
from formula.judged_recipes import recipe, thing
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from maker_kit.findings import Finding
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.annexes.verdicts import entries_of
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.limits.worst_end import only_preserves, worst_ends
from maker_kit.formula.notes.flags import flags
from maker_kit.formula.recipe import Certificate, Ingredient, ProductType, Recipe, Share
from maker_kit.formula.substances.naming import part_key, substance_key

PRODUCTS = st.builds(
    ProductType,
    st.lists(st.sampled_from(PLACES), min_size=1, max_size=2, unique=True).map(tuple),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["adults", "small children"]),
)
ALKALINE_SCENT = thing("Mixture", "Aqua, Glycerin, Potassium Hydroxide", "scent", {"Potassium Hydroxide": (0, 1)})
FUNCTIONS = st.sampled_from(["active", "preservative", "UV filter", "colour", "scent", "conditioner"])


@cache
def regulated() -> tuple[str, ...]:
    """A name of every entry of Annexes III, V and VI that has a figure."""
    found = [
        next((n for n in e.names if law().by_key.get(substance_key(n))), "")
        for e in law().entries
        if e.annex in {"III", "V", "VI"} and any(u.most for u in e.uses)
    ]
    return tuple(dict.fromkeys(filter(None, found)))


@st.composite
def mixtures(draw: st.DrawFn) -> Ingredient:
    """A bought mixture of a restricted substance, water and glycerin, told with ranges, its names most first."""
    name = draw(st.sampled_from(regulated()))
    high = draw(st.integers(1, 95))
    low = draw(st.integers(0, high))
    water = draw(st.integers(0, 100 - high))
    parts = [(name, low, high), ("Aqua", water, 100 - low), ("Glycerin", 0, 100 - high - water)]
    order = tuple(n for n, _, _ in sorted(parts, key=lambda part: -part[2]))
    if part_key(order[0]) != part_key(name) and low > 50:
        order = (name, *(n for n in order if n != name))
    inside = tuple(Share(n, float(a), float(b)) for n, a, b in parts)
    return Ingredient("Bought mixture", order, draw(FUNCTIONS), 1.0, inside=inside)


def with_mixture(mixture: Ingredient, percent: float, product: ProductType, ph: float | None) -> Recipe:
    made = recipe("cream", product, {"Ester": 5, mixture.name: percent}, "Water", extra=(mixture,))
    return replace(made, ph_read=ph)


def stopped(made: Recipe) -> set[str]:
    """Keys of all substances that a stop is about, whether it keeps well aside; a scent's own stop says of the scent
    what one of these is.
    """
    held = {part_key(row.substance) for row in expand(made).rows}
    return held & {part_key(n) for f in flags(made) if f.kind == "stop" and f.topic != "preservation" for n in f.about}


def unknowns(made: Recipe) -> list[Finding]:
    return [f for f in flags(made) if f.kind in {"stop", "look"}]


def holds_by_order(mixture: Ingredient) -> bool:
    """Whether the amounts told agree with names listed most first (Article 19(1)(g))."""
    share = {part_key(s.substance): s for s in mixture.inside}
    highs = [share[part_key(n)].high_percent for n in mixture.inci]
    return all(a >= b for a, b in pairwise(highs)) and all(
        share[part_key(n)].high_percent <= 100 / (k + 1) or k == 0 for k, n in enumerate(mixture.inci)
    )


@settings(max_examples=60)
@given(mixtures(), st.sampled_from([0.5, 3.0, 20.0]), PRODUCTS, st.data())
def test_an_amount_inside_a_mixture(mixture, percent, product, data) -> None:
    """Both ends, the high end, the low end of one substance, or all amounts of the mixture."""
    assume(holds_by_order(mixture))
    before = with_mixture(mixture, percent, product, 5.5)
    name = next(s.substance for s in mixture.inside if s.substance not in {"Aqua", "Glycerin"})
    what = data.draw(st.sampled_from(["both", "high", "low", "all"]))
    of = data.draw(st.sampled_from([s.substance for s in mixture.inside]))
    inside = tuple(
        s
        if s.substance != of
        else replace(s, high_percent=None, low_percent=None if what == "both" else s.low_percent)
        if what in {"both", "high"}
        else replace(s, low_percent=None)
        for s in mixture.inside
    )
    bare = replace(mixture, inside=() if what == "all" else inside)
    after = unknowns(with_mixture(bare, percent, product, 5.5))
    if any(f.kind == "stop" and f.topic == "preservation" for f in flags(before)):
        assert any(f.topic == "preservation" for f in after)
    lost = stopped(before) - stopped(with_mixture(bare, percent, product, 5.5))
    if lost == {part_key(name)} and only_preserves(name) and mixture.function != "preservative":
        assert any("undisclosed" in f.code for f in after)
        return
    assert not lost, (lost, name, bare)


def test_an_undisclosed_acid_that_can_be_over_stops() -> None:
    """Annex III entry 98: salicylic acid 2 % at most; second of three names it can be half of 5 %."""
    told = thing("Blend", "Aqua, Salicylic Acid, Glycerin", "active", {"Salicylic Acid": (45, 48), "Aqua": (48, 52)})
    product = ProductType(("face",), rinse_off=False)
    assert "salicylic acid" in stopped(with_mixture(told, 5, product, 5.5))
    undisclosed = [
        f
        for f in flags(with_mixture(replace(told, inside=()), 5, product, 5.5))
        if f.kind == "stop" and f.topic == "limit"
    ]
    assert [(f.code, f.about[0]) for f in undisclosed] == [("limit.law_undisclosed", "Salicylic Acid")]


# at most k-th of the list: 0.9 % of a blend holds at most 0.45 % of its second name (V 13: 0.6 %); a base of 99 % keeps
# itself with no more than a cosmetic may hold (common practice)
@pytest.mark.parametrize(
    ("inci", "function", "percent"),
    [
        ("Benzyl Alcohol, Dehydroacetic Acid", "preservative", 0.9),
        ("Phenoxyethanol, Ethylhexylglycerin", "preservative", 1.0),
        ("Aqua, Sodium Benzoate, Potassium Sorbate", "preservative", 1.0),
        ("Aqua, Glycerin, Aloe Barbadensis Leaf Juice, Sodium Benzoate, Phenoxyethanol", "active", 10),
        ("Aqua, Cocamidopropyl Betaine, Sodium Chloride, Sodium Benzoate", "surfactant", 30),
        ("Parfum, Linalool, Limonene, Citral", "scent", 0.5),
        ("Cetearyl Alcohol, Ceteareth-20", "emulsifier", 6),
    ],
)
def test_blends_as_they_are_sold_are_looks_and_no_stops(inci: str, function: str, percent: float) -> None:
    mixture = thing("Blend", inci, function)
    made = with_mixture(mixture, percent, ProductType(("body",), rinse_off=function == "surfactant"), 5.0)
    assert not [f for f in flags(made) if f.kind == "stop" and f.topic == "limit"]


@settings(max_examples=20)
@given(mixtures(), PRODUCTS)
def test_the_worst_end_is_never_below_what_is_told(mixture, product) -> None:
    made = with_mixture(mixture, 10.0, product, None)
    inside = expand(made)
    worst = worst_ends(made, inside)
    assert all(worst[part_key(row.substance)] >= row.known_high for row in inside.rows)
    assert all(most <= Fraction(100) for most in worst.values())


@settings(max_examples=25)
@given(mixtures(), PRODUCTS, st.sampled_from([0.5, 5.0, 30.0]), st.sampled_from([1.5, 3.0, 8.5, 11.8]))
@example(ALKALINE_SCENT, ProductType(("hands",), False, False, "adults"), 0.5, 11.8)
def test_a_reading_of_ph(mixture, product, percent, ph) -> None:
    before, after = (with_mixture(mixture, percent, product, x) for x in (ph, None))
    kept = {(f.code, f.about) for f in flags(after)}
    outside = {f.about[-1] for f in flags(before) if f.code == "law.ph_outside"}  # then a scent may hold none of it
    for f in flags(before):
        if f.kind == "stop" and (f.code, f.about) not in kept:
            assert f.topic in {"ph", "preservation"} or f.about[-1] in outside, f
            assert any(x.level == "unknown" or x.topic == "preservation" for x in unknowns(after)), f


@settings(max_examples=25)
@given(mixtures(), PRODUCTS, st.sampled_from([0.5, 5.0, 30.0]))
def test_what_something_is_there_for(mixture, product, percent) -> None:
    """A table without a function cannot be read, which stops; a recipe made otherwise is judged by the stricter
    reading. What only its function calls a filter or a colour is none without it.
    """
    name = next(s.substance for s in mixture.inside if s.substance not in {"Aqua", "Glycerin"})
    called = {"UV filter": "VI", "colour": "IV"}.get(mixture.function)
    assume(called is None or any(e.annex == called for e in entries_of(name)))
    before = with_mixture(mixture, percent, product, 5.5)
    assert stopped(before) <= stopped(with_mixture(replace(mixture, function=""), percent, product, 5.5))


@settings(max_examples=25)
@given(mixtures(), PRODUCTS, st.sampled_from([0.5, 5.0, 30.0]), st.data())
def test_for_whom_and_where_it_goes(mixture, product, percent, data) -> None:
    """For whom: an age that is barred is asked about. Where: of several places one, or all, undisclosed."""
    before = with_mixture(mixture, percent, product, 5.5)
    undisclosed = with_mixture(mixture, percent, replace(product, for_whom=""), 5.5)
    asked = {part_key(n) for f in unknowns(undisclosed) for n in f.about}
    for f in flags(before):
        if f.kind == "stop" and f.topic in {"limit", "law"}:
            assert {part_key(n) for n in f.about} & asked, f
    nowhere = with_mixture(mixture, percent, replace(product, places=()), 5.5)
    assert stopped(before) <= {part_key(n) for f in unknowns(nowhere) for n in f.about}


@settings(max_examples=20)
@given(mixtures(), PRODUCTS, st.sampled_from([0.5, 5.0, 30.0]))
def test_names_of_the_other_substances(mixture, product, percent) -> None:
    """The name of the barred substance itself is the one fact whose loss cannot be met: what is then there is not
    named, and that is said.
    """
    name = next(s.substance for s in mixture.inside if s.substance not in {"Aqua", "Glycerin"})
    before = with_mixture(mixture, percent, product, 5.5)
    others = replace(mixture, inside=tuple(s for s in mixture.inside if s.substance == name))
    assert part_key(name) not in stopped(before) or part_key(name) in stopped(
        with_mixture(others, percent, product, 5.5)
    )
    nameless = replace(mixture, inci=(), inside=())
    assert any(mixture.name in f.about for f in unknowns(with_mixture(nameless, percent, product, 5.5)))


def test_a_certificate_that_is_gone_is_asked_for() -> None:
    paper = Certificate(49, "5A", 0.3, "invented")
    scent = thing("Scent", "Parfum", "scent", {"Linalool": (5, 8)}, certificates=(paper,))
    product = ProductType(("body",), rinse_off=False)
    assert any(f.kind == "stop" and "Scent" in f.about for f in flags(with_mixture(scent, 1.0, product, 5.5)))
    bare = unknowns(with_mixture(replace(scent, certificates=()), 1.0, product, 5.5))
    assert any(f.topic == "scent" and "Scent" in f.about for f in bare)
