"""One base in many scents in the demo workshop: the base there is, the remainder, the loads that are asked about."""

from __future__ import annotations

import pytest

from maker_kit.errors import MakerKitError, QuantityError
from maker_kit.verdict.scents import base_in_g, plan_split
from maker_kit.workshop import find_workshop

WASH, GEL = "r1b-hand-wash", "r2-gel-cream"
SHARES = [("Scent 1", 0.8, 10), ("Scent 2", 0.6, 8), ("Scent 3", 1.0, 6)]


@pytest.fixture(scope="module")
def workshop():
    return find_workshop("")


def test_a_jug_of_base_is_a_volume_by_its_density(workshop) -> None:
    # one US gallon is 3785.411784 mL; at 1.022 g/mL it weighs 3868.69 g
    assert base_in_g(workshop, WASH, "2 gallons") == pytest.approx(2 * 3785.411784 * 1.022)
    assert base_in_g(workshop, WASH, "7,5 kg") == 7500
    assert base_in_g(workshop, WASH, " ") is None
    # the gel's base is many things, so the recipe's own 0.98 g/mL counts
    assert base_in_g(workshop, GEL, "1 L") == pytest.approx(980)


def test_the_remainder_is_what_is_there_less_the_base_of_all_parts(workshop) -> None:
    # the demo's split takes 6205.6 g; two gallons are 7737.38 g, one is 3868.69 g
    over = plan_split(workshop, WASH, SHARES, base_in_g(workshop, WASH, "2 gallons")).split
    assert over.remainder_g == pytest.approx(7737.38 - 6205.64, abs=0.05)
    short = plan_split(workshop, WASH, SHARES, base_in_g(workshop, WASH, "1 gallon")).split
    assert short.remainder_g == pytest.approx(3868.69 - 6205.64, abs=0.05)
    assert any(f.kind == "look" and "short" in f.text for f in short.findings if f.subject.startswith("base of"))
    assert plan_split(workshop, WASH, SHARES).split.remainder_g is None


@pytest.mark.parametrize("text", ["4 pieces", "8 oz", "much", "-1 kg", "7.5"])
def test_a_base_that_is_no_amount_is_a_sentence(workshop, text) -> None:
    with pytest.raises(MakerKitError) as caught:
        base_in_g(workshop, WASH, text)
    assert "\n" not in str(caught.value)


def test_a_load_typed_as_a_share_is_asked_about(workshop) -> None:
    with pytest.raises(QuantityError, match=r"a fragrance load of Scent 1 of 0\.008 % is very little: did you mean 0\.8 %"):
        plan_split(workshop, WASH, [("Scent 1", 0.008, 10)])


def test_who_must_not_meet_it_is_said_of_each_part(workshop) -> None:
    found = [f for f in plan_split(workshop, "r4-balm", [("Scent 1", 0.4, 2), ("Scent 2", 0.4, 2)]).split.findings if f.topic == "avoid" and "almond" in f.subject]
    assert [f.subject.partition(":")[0] for f in found] == ["Scent 1", "Scent 2"]
