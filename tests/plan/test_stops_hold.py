"""What must never take a stop away: a prohibited substance stops whatever it is put into (Regulation (EC) No 1223/2009,
Article 14 with Annex II, state of August 2026), and a fact that is not told takes away only what that fact alone said.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from demo_figures import DEMO_RECIPES
from demo_workshop import demo
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from maker_kit.findings import Finding
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe, Share
from maker_kit.formula.substances.naming import part_key, substance_key
from maker_kit.plan import make_plan

SHOP = demo()
RECIPES = [SHOP.recipe(name) for name in DEMO_RECIPES]
PROHIBITED = sorted(
    name
    for name, places in law().banned.items()
    if len(name) > 2 and all(not law().prohibitions[place].conditional for place in places)
)
"""Names of what Annex II prohibits without any condition."""
PRODUCTS = st.builds(
    ProductType,
    st.lists(st.sampled_from(PLACES), min_size=1, max_size=2, unique=True).map(tuple),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["adults", "small children"]),
)


def stops(recipe: Recipe) -> tuple[Finding, ...]:
    return tuple(f for f in make_plan(SHOP, recipe).findings if f.kind == "stop")


def with_line(recipe: Recipe, thing: Ingredient, percent: float) -> Recipe:
    """The recipe with one more line, which the largest line gives room for."""
    room = max(recipe.lines, key=lambda line: line.percent)
    lines = [replace(x, percent=x.percent - percent) if x is room else x for x in recipe.lines]
    return replace(
        recipe,
        lines=(*lines, Line(room.phase, thing.name, percent)),
        ingredients={**recipe.ingredients, thing.name: thing},
    )


def with_thing(recipe: Recipe, thing: Ingredient) -> Recipe:
    return replace(recipe, ingredients={**recipe.ingredients, thing.name: thing})


@settings(max_examples=150)
@given(
    st.sampled_from(RECIPES),
    st.sampled_from(PROHIBITED),
    st.sampled_from(["alone", "undisclosed in a mixture", "told in a mixture", "told from 0 on"]),
    st.sampled_from(["", "active", "preservative", "scent"]),
    PRODUCTS,
)
def test_a_prohibited_substance_stops_any_recipe(recipe, name, where, function, product) -> None:
    low_high = {"told in a mixture": (0.01, 0.5), "told from 0 on": (0.0, 0.01)}
    thing = Ingredient(
        "Newly bought",
        (name,) if where == "alone" else ("Glycerin", name),
        function,
        1.0,
        inside=(Share(name, *low_high[where]),) if where in low_high else (),
    )
    found = stops(with_line(replace(recipe, product_type=product), thing, 0.5))
    barred = {substance_key(n) for f in found if f.code == "law.prohibited" for n in f.about}
    assert substance_key(name) in barred, [(f.code, f.about) for f in found]


def changed(recipe: Recipe, data: st.DataObject) -> Recipe:
    """The recipe for another product, at another level of something, at another pH: so that there are stops to lose."""
    ph = data.draw(st.one_of(st.just(recipe.ph_read), st.floats(1.5, 12.5).map(lambda x: round(x, 1))), "pH")
    made = replace(recipe, product_type=data.draw(PRODUCTS, "product"), ph_read=ph)
    lines = [x.ingredient for x in made.lines]
    chosen, room = data.draw(st.sampled_from(lines), "raised"), max(made.lines, key=lambda line: line.percent)
    more = data.draw(st.sampled_from([0.0, 0.5, 2.0]), "by")
    assume(chosen != room.ingredient)
    levels = {chosen: more, room.ingredient: -more}
    return replace(
        made, lines=tuple(replace(x, percent=round(x.percent + levels.get(x.ingredient, 0.0), 6)) for x in made.lines)
    )


def own_of(thing: Ingredient) -> set[str]:
    """What a fact of one ingredient is about: itself and what is in it."""
    return {part_key(n) for n in (thing.name, *thing.inci, *(share.substance for share in thing.inside))}


def test_there_are_stops_to_lose() -> None:
    at_the_eyes = replace(RECIPES[3], product_type=ProductType(("eye area",), rinse_off=False))
    assert {f.topic for f in stops(at_the_eyes)} >= {"limit", "preservation"}


@pytest.mark.parametrize("fact", ["inside", "certificates", "range"])
@settings(max_examples=60)
@given(st.sampled_from(RECIPES), st.data())
def test_a_fact_of_an_ingredient_takes_away_no_stop_but_its_own(fact, recipe, data) -> None:
    before = changed(recipe, data)
    thing = before.ingredients[data.draw(st.sampled_from([x.ingredient for x in before.lines]), "of")]
    bare = {
        "inside": replace(thing, inside=()),
        "certificates": replace(thing, certificates=()),
        "range": replace(thing, least_percent=None, most_percent=None),
    }[fact]
    after = stops(with_thing(before, bare))
    kept = {(f.code, f.about) for f in after}
    own = own_of(thing)
    for stop in stops(before):
        if not own & set(map(part_key, stop.about)):
            assert (stop.code, stop.about) in kept, (thing.name, stop.text)


@settings(max_examples=100)
@given(st.sampled_from(RECIPES), st.data())
def test_a_ph_that_nobody_read_takes_away_no_stop_but_those_of_the_reading(recipe, data) -> None:
    made = changed(recipe, data)
    before, after = stops(made), stops(replace(made, ph_read=None))
    kept = {(f.code, f.about) for f in after}
    for stop in before:
        if stop.topic == "preservation":
            assert any(f.topic == "preservation" for f in after), stop.text
        elif stop.topic != "ph" and stop.code != "law.ph_outside":
            assert (stop.code, stop.about) in kept, stop.text


@settings(max_examples=60)
@given(
    st.sampled_from(RECIPES), st.sampled_from(["density_source", "use_per_month", "keeps_months", "source"]), st.data()
)
def test_what_is_told_of_the_recipe_beside_takes_away_no_stop(recipe, fact, data) -> None:
    made = changed(recipe, data)
    bare = replace(made, **{fact: "" if fact.endswith("source") else None})
    assert {(f.code, f.about) for f in stops(made)} <= {(f.code, f.about) for f in stops(bare)}
