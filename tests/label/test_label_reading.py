"""Labels read with the law's anchors, claims and practice; what contradicts itself; beside ours; a recipe to start."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from demo_workshop import demo

from maker_kit.errors import ContradictionError, LabelError, QuantityError
from maker_kit.formula.annexes.most import most_by_law
from maker_kit.formula.ingredient import ProductType
from maker_kit.label.beside import EXTRA, MISSING, SHARED, beside
from maker_kit.label.declaration import declare
from maker_kit.label.kind import kind_of
from maker_kit.label.order.bounds import bounds_of, together
from maker_kit.label.order.label_order import label_order
from maker_kit.label.order.middle import _mean, likely_middle
from maker_kit.label.reading import read_label
from maker_kit.label.starting import starting_recipe

READ = {"where": "the pack (invented)", "on": date(2026, 3, 2)}
GEL = (
    "Aqua, Propanediol, Glycerin, Isoamyl Laurate, Dimethicone, Phenoxyethanol, Parfum, Carbomer, Panthenol, "
    "Sodium Hydroxide, Ethylhexylglycerin, Limonene, Citral, Linalool"
)
STALL = "Aqua, Cocos Nucifera Oil, Phenoxyethanol, Glycerin, Parfum"
LEFT_ON, RINSED = ProductType(("hands",), False), ProductType(("hands",), True)


@pytest.fixture(scope="module")
def shop():
    return demo()


def test_legal_maxima_in_the_mass_of_what_is_named():
    """Regulation (EC) 1223/2009, Annex V: benzoic acid 0.5 and 2.5 % as acid, sodium benzoate / benzoic acid molar
    masses 144.105 and 122.123 (0.84746); phenoxyethanol 1 %; sorbic 0.6 % as acid, dehydroacetic 0.6 %."""
    ratio = 144.105 / 122.123
    for product, acid in ((LEFT_ON, 0.5), (RINSED, 2.5)):
        most = float(most_by_law("Sodium Benzoate", product).percent)
        assert acid * ratio <= most < acid * ratio + 0.011  # rounded up, never tighter than the law
    assert most_by_law("Phenoxyethanol").percent == 1
    assert most_by_law("Dehydroacetic Acid").percent == Fraction(6, 10)
    assert most_by_law("Benzyl Alcohol").only_as == "preservative"
    assert most_by_law("Glycerin") is None
    assert most_by_law("Titanium Dioxide") is None  # a pigment too


def test_the_shops_gel():
    """By hand: eleven names in order, six from the anchor on at most 1 %, so the first five hold at least 94."""
    found = read_label(GEL, **READ)
    assert found.of("Aqua").least.exact == Fraction(94, 5)
    assert found.of("Propanediol").most.exact == 50
    for name in ("Phenoxyethanol", "Parfum", "Carbomer", "Ethylhexylglycerin", "Limonene"):
        assert found.of(name).most.exact == 1
    assert found.of("Phenoxyethanol").bare_most.exact == Fraction(100, 6)
    frame = found.to_frame()
    assert list(frame["name"])[:2] == ["Aqua", "Propanediol"]
    assert frame["place"].isna().sum() == 3  # the allergens stand in no order


def test_the_market_stall_contradicts_itself_by_two_rules():
    found = read_label(STALL, claims=["5 % glycerin"], **READ)
    assert found.bounds is None
    assert {kind for kind, _ in found.clash.rules} == {"at_most", "at_least"}
    assert {name for _, name in found.clash.rules} == {"Phenoxyethanol", "Glycerin"}
    stops = [f for f in found.findings if f.kind == "stop"]
    assert [f.code for f in stops] == ["label.contradicts"]
    assert set(stops[0].about) == {"Phenoxyethanol", "Glycerin"}
    with pytest.raises(LabelError):
        starting_recipe(found, (60, 85))


def test_the_eus_maxima_are_no_law_on_a_us_label():
    kinds = {r.kind for r in read_label(GEL, law="us", **READ).rules if r.names == ("Phenoxyethanol",)}
    assert kinds == {"practice"}
    kinds = {r.kind for r in read_label(GEL, **READ).rules if r.names == ("Phenoxyethanol",)}
    assert kinds == {"law"}


def test_where_and_when_are_asked_for():
    codes = {q.code for q in read_label(GEL).questions}
    assert {"where", "when"} <= codes
    assert not {"where", "when"} & {q.code for q in read_label(GEL, **READ).questions}
    with pytest.raises(LabelError):
        starting_recipe(read_label(GEL), (60, 85))


def test_a_claim_whose_name_is_not_on_the_list_is_asked_about():
    found = read_label(GEL, claims=["3 % snail slime"], **READ)
    assert "claim" in {q.code for q in found.questions}


@pytest.mark.parametrize(
    ("claim", "wanted"),
    [
        ("with 2% Niacinamide", [("least", "Niacinamide", "1.95")]),
        ("5 percent urea", [("least", "Urea", "4.95")]),
        ("up to 3 % urea", [("most", "Urea", "3.05")]),
        ("less than 1 % fragrance", [("most", "Parfum", "1.05")]),
        ("5 % Glycerin and 2 % Urea", [("least", "Glycerin", "4.95"), ("least", "Urea", "1.95")]),
        ("contains 2,5 % vitamin B3", [("least", "Niacinamide", "2.45")]),
        ("3-5 % urea", []),  # what is not surely read is asked about
        ("95 % natural origin", []),
        ("1/2 % urea", []),
    ],
)
def test_what_a_claim_bounds(claim, wanted):
    """A figure is rounded to what may be printed so: half a step down for a least, half a step up for a most."""
    text = "Aqua, Glycerin, Niacinamide, Butyrospermum Parkii Butter, Urea, Parfum, Phenoxyethanol"
    found = read_label(text, claims=[claim], **READ)
    told = [(r.end, r.names[0], r.percent) for r in found.rules if r.kind == "claim"]
    assert told == [(end, name, Fraction(percent)) for end, name, percent in wanted]
    assert ("claim" in {q.code for q in found.questions}) == (not wanted)


@pytest.mark.parametrize(
    ("text", "claims", "law", "left_out"),
    [
        ("Alcohol Denat., Parfum, Aqua, Limonene", ["12 % perfume oil"], "eu", {"Parfum"}),
        ("Talc, Mica, CI 77891 (12 %), CI 77491", [], "eu", {"Mica", "Titanium Dioxide", "CI 77491"}),
        ("Water, Glycerin, Sodium Benzoate, Urea", ["4 % urea"], "us", {"Sodium Benzoate"}),
    ],
)
def test_practice_that_cannot_be_true_is_left_out_and_said(text, claims, law, left_out):
    """A perfume has more than the 5 % of scent that is usual: that is no contradiction of its label."""
    found = read_label(text, law=law, claims=claims, **READ)
    assert found.clash is None
    assert found.bounds is not None
    unusual = [f for f in found.findings if f.code == "label.unusual"]
    assert {n for f in unusual for n in f.about} == left_out
    assert not left_out & {n for r in found.rules if r.kind == "practice" for n in r.names}


def test_the_frame_says_whether_an_end_is_reached():
    """By hand: 11 names share what the six small ones leave, and none of those is nothing, so 50 is only approached."""
    frame = read_label(GEL, **READ).to_frame().set_index("name")
    assert frame.loc["Aqua", "least reached"]
    assert not frame.loc["Propanediol", "most reached"]
    assert frame.loc["Glycerin", "least by"] == "nothing but that it is listed"


def test_colours_last_are_asked_about_and_bounded():
    text = "Aqua, Glycerin, Sodium Benzoate, CI 19140, CI 42090"
    found = read_label(text, **READ)
    assert "colours" in {q.code for q in found.questions}
    told = read_label(text, colours_most="0.2", **READ)
    assert told.of("CI 19140").most.exact == Fraction(2, 10)
    assert "colours" not in {q.code for q in told.questions}


def test_the_makers_own_figures_and_names_that_are_not_there():
    assert read_label(GEL, at_most={"water": 80}, **READ).of("Aqua").most.exact == 80
    with pytest.raises(LabelError):
        read_label(GEL, at_most={"Sand": 3}, **READ)
    with pytest.raises(QuantityError):
        read_label(GEL, at_most={"Aqua": 130}, **READ)


@pytest.mark.parametrize("count", [1, 2, 5, 12, 60])
def test_the_middle_without_a_line_is_the_broken_stick(count):
    """Mean of the ordered parts of a stick broken at random: (100/n) Σ_{r=j..n} 1/r (Whitworth; David and Nagaraja,
    Order Statistics)."""
    middle = _mean(bounds_of(label_order([f"N{i}" for i in range(count)], law="all")))
    assert middle == pytest.approx([100 / count * sum(1 / r for r in range(j, count + 1)) for j in range(1, count + 1)])


@pytest.mark.parametrize("first", [(60, 85), (30, 40), (90, 95)])
def test_the_middle_sums_to_100_inside_the_bounds(first):
    found = bounds_of(label_order(["A", "B", "C", "D", "E", "F"], at_most={"D": "1"}, at_least={"B": "2"}))
    middle = likely_middle(found, first)
    assert sum(middle) == pytest.approx(100)
    assert first[0] <= middle[0] <= first[1]
    for value, row in zip(middle, found.rows, strict=True):
        assert row.least.percent - 1e-6 <= value <= row.most.percent + 1e-6
    with pytest.raises(LabelError):
        likely_middle(found, (85, 60))
    with pytest.raises(ContradictionError):
        likely_middle(found, (1, 2))


def test_beside_ours_holds_every_name_once_and_no_likeness(shop):
    found = beside(read_label(GEL, **READ), declare(shop.recipe("r2-gel-cream")))
    assert {r.name for r in found.of(MISSING)} == {"Dimethicone", "Carbomer", "Sodium Hydroxide"}
    assert "Tocopherol" in {r.name for r in found.of(EXTRA)}
    assert len({r.name for r in found.rows}) == len(found.rows)
    assert all(r.standing == "strength unknown" for r in found.rows if r.where != SHARED)
    assert not any("like" in column or "similar" in column for column in found.to_frame().columns)


@pytest.mark.parametrize(
    ("text", "called", "differs"),
    [
        (
            "Aqua, Helianthus Annuus Seed Oil, Glycerin, Cetearyl Alcohol, Glyceryl Stearate, Phenoxyethanol",
            "gel",
            True,
        ),
        (
            "Aqua, Helianthus Annuus Seed Oil, Glycerin, Cetearyl Alcohol, Glyceryl Stearate, Phenoxyethanol",
            "lotion",
            False,
        ),
        ("Aqua, Glycerin, Carbomer, Sodium Benzoate", "gel", False),
        ("Aqua, Sodium Laureth Sulfate, Cocamidopropyl Betaine, Glycerin", "lotion", True),
        ("Butyrospermum Parkii Butter, Cera Alba, Ricinus Communis Seed Oil", "balm", False),
    ],
)
def test_what_its_list_looks_like(text, called, differs):
    codes = {f.code for f in kind_of(read_label(text, **READ), called)}
    assert ("label.kind_differs" in codes) == differs


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Aqua, Helianthus Annuus Seed Oil 10 %, Glycerin, Cetearyl Alcohol, Phenoxyethanol", "lotion"),
        ("Aqua, Caprylic/Capric Triglyceride, Glycerin, Carbomer, Sodium Hydroxide", "gel cream"),
        ("Aqua, Aloe Barbadensis Leaf Juice, Glycerin, Carbomer, Sodium Hydroxide, Phenoxyethanol", "gel"),
        ("Sodium Bicarbonate, Citric Acid, Zea Mays Starch, Cocos Nucifera Oil, Parfum", "powder"),
        ("Sucrose, Helianthus Annuus Seed Oil, Glycerin, Polysorbate 80", "powder"),
        ("Kaolin, Aqua, Glycerin, Bentonite, Xanthan Gum", "paste"),
        ("Sodium Cocoyl Isethionate, Cetearyl Alcohol, Aqua, Stearic Acid", "bar"),
        ("Alcohol Denat., Parfum, Aqua, Limonene", "spirit"),
        ("Rosa Damascena Flower Water, Aqua, Propanediol, Sodium Benzoate", "water"),
        ("Ricinus Communis Seed Oil, Cera Alba, Lanolin, Aroma", "balm"),
    ],
)
def test_the_kind_by_the_rules_of_the_trade(text, kind):
    """Common practice, no source: what stands first, oils from 3 %, a gel former from 0.2 %."""
    (found,) = (f for f in kind_of(read_label(text, **READ)) if f.code == "label.kind")
    assert f"expect a {kind}" in found.text


def test_an_oil_phase_is_reckoned_together():
    """By hand: water leads, so the oils after it share what it leaves: two of them with water before, at most two
    thirds together; and each by itself up to a half and a third."""
    found = read_label("Aqua, Helianthus Annuus Seed Oil, Cocos Nucifera Oil, Glyceryl Stearate", **READ)
    low, high = together(found.bounds.order, ["Helianthus Annuus Seed Oil", "Cocos Nucifera Oil"])
    assert high.exact == Fraction(200, 3)
    assert (low.exact, low.reached) == (0, False)


def test_a_soap_is_no_recipe():
    found = read_label("Sodium Olivate, Sodium Cocoate, Aqua, Glycerin, Parfum", **READ)
    assert "label.soap" in {f.code for f in kind_of(found, "soap")}
    with pytest.raises(LabelError, match="lye"):
        starting_recipe(found, (50, 80))


def test_a_starting_recipe_holds_lye_and_gum_at_usual_levels(shop):
    """An order alone would allow 20 % of lye; common practice says half a percent, and the label allows that."""
    text = "Aqua, Aloe Barbadensis Leaf Juice, Glycerin, Carbomer, Sodium Hydroxide, Zinc Oxide, Cocos Nucifera Oil"
    start = starting_recipe(read_label(text, **READ), (80, 95))
    lines = {line.name: line for line in start.lines}
    assert lines["Sodium Hydroxide"].percent <= Fraction(1, 2)
    assert lines["Carbomer"].percent <= 1
    assert sum(line.percent for line in start.lines) == 100
    assert {"label.usual_level", "label.untried"} == {f.code for f in start.findings}
    assert lines["Zinc Oxide"].phase == "B"  # a powder is wetted in the oils
    fixed = read_label("Aqua, Glycerin, Urea, Sodium Hydroxide 3 %, Carbomer", **READ)  # what the pack says goes first
    assert {line.name: line for line in starting_recipe(fixed, (70, 95)).lines}["Sodium Hydroxide"].percent >= Fraction(
        "2.95"
    )


@pytest.mark.parametrize("product", ["Shop wash", "Shop gel", "Shop cleansing water", "Shop lotion"])
def test_a_recipe_to_start_from_makes_100_inside_the_bounds(shop, product):
    reading = read_label(", ".join(shop.shop_product(product).label_order), **READ)
    start = starting_recipe(reading, (60, 85))
    assert sum(line.percent for line in start.lines) == 100
    for line in start.lines:
        assert line.low - Fraction(1, 100) <= line.percent <= line.high
    assert start.findings[0].code == "label.untried"
    assert {line.phase for line in start.lines} <= {"A", "B", "C"}
